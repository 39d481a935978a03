package geometry

import (
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/paulmach/orb"
)

func TestTrianglesTouchingBox(t *testing.T) {
	tin := mustTIN(t, randomPoints(800), TINOptions{LongestEdge: 150})
	whole := 0
	for range tin.Triangles(tin.Bound()) {
		whole++
	}
	if whole != tin.Summary().Triangles {
		t.Errorf("%d triangles in the whole bound, %d in all", whole, tin.Summary().Triangles)
	}
	r := rand.New(rand.NewPCG(21, 22))
	for range 100 {
		x, y := 1000*r.Float64(), 1000*r.Float64()
		box := orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + 100*r.Float64(), y + 20*r.Float64()}}
		var got, want []Triangle
		for tri := range tin.Triangles(box) {
			got = append(got, tri)
		}
		for i := range tin.triangles() {
			if tri := tin.triangle(i); !tin.empty[i] && meets(tri, box) {
				want = append(want, tri)
			}
		}
		if len(got) != len(want) {
			t.Fatalf("%d triangles touch %v, want %d", len(got), box, len(want))
		}
	}
	for range tin.Triangles(tin.Bound()) {
		break // a reader may stop early
	}
}

// A surface answers several goroutines at once, the first box query included.
func TestTINFromSeveralGoroutines(t *testing.T) {
	tin := mustTIN(t, randomPoints(500), TINOptions{})
	want := len(tin.Slice(nil, orb.Point{0, 0}, orb.Point{1000, 1000})[0])
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			n := 0
			for range tin.Triangles(tin.Bound()) {
				n++
			}
			if got := len(tin.Slice(nil, orb.Point{0, 0}, orb.Point{1000, 1000})[0]); n != tin.triangles() || got != want {
				t.Errorf("%d triangles, %d knots, want %d and %d", n, got, tin.triangles(), want)
			}
		})
	}
	wait.Wait()
}

// meets tells whether a triangle meets a box: a corner of one in the other, or
// sides that cross.
func meets(tri Triangle, box orb.Bound) bool {
	ring := box.ToRing()
	for k := range 3 {
		if box.Contains(tri.At[k]) {
			return true
		}
	}
	for k := range 4 {
		if from, to := clipSpan(tri, ring[k], ring[k+1], 0); to > from {
			return true
		}
	}
	return false
}
