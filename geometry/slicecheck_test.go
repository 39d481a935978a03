package geometry

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// clipSpan is where the segment a to b is inside a triangle, as shares of its
// length, by cutting with the three sides, moved out by so many metres: another
// way than the walk's.
func clipSpan(tri Triangle, a, b orb.Point, out float64) (from, to float64) {
	from, to = 0, 1
	for k := range 3 {
		p, q := tri.At[k], tri.At[(k+1)%3]
		out := out * math.Hypot(q[0]-p[0], q[1]-p[1])
		da := (q[0]-p[0])*(a[1]-p[1]) - (q[1]-p[1])*(a[0]-p[0]) + out
		db := (q[0]-p[0])*(b[1]-p[1]) - (q[1]-p[1])*(b[0]-p[0]) + out
		switch {
		case da < 0 && db < 0:
			return 0, 0
		case da < 0:
			from = max(from, da/(da-db))
		case db < 0:
			to = min(to, da/(da-db))
		}
	}
	return from, max(from, to)
}

// distanceIn is how far inside a triangle a place is, m.
func distanceIn(tri Triangle, p orb.Point) float64 {
	least := math.Inf(1)
	for k := range 3 {
		q, r := tri.At[k], tri.At[(k+1)%3]
		least = min(least, sideOf(place(q), place(r), place(p))/math.Hypot(r[0]-q[0], r[1]-q[1]))
	}
	return least
}

// planeAt is the elevation of a triangle's plane at a place.
func planeAt(tri Triangle, p orb.Point) float64 {
	var w [3]float64
	sum := 0.0
	for k := range 3 {
		q, r := tri.At[(k+1)%3], tri.At[(k+2)%3]
		w[k] = (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0])
		sum += w[k]
	}
	return (w[0]*tri.Elevation[0] + w[1]*tri.Elevation[1] + w[2]*tri.Elevation[2]) / sum
}

// checkSlice compares a slice with cutting every triangle by the segment, which
// needs triangles of decent shape, and with the rules of a slice.
func checkSlice(t testing.TB, tin *TIN, a, b orb.Point, tolerance float64) {
	t.Helper()
	pieces := tin.Slice(nil, a, b)
	checkPieces(t, pieces, math.Hypot(b[0]-a[0], b[1]-a[1]))
	length := math.Hypot(b[0]-a[0], b[1]-a[1])
	for i := range tin.triangles() {
		tri := tin.triangle(i)
		from, to := clipSpan(tri, a, b, 0)
		if tin.empty[i] || (to-from)*length < 1e-6 {
			continue
		}
		for _, share := range []float64{0.1, 0.5, 0.9} {
			s := mix(from, to, share)
			at := orb.Point{mix(a[0], b[0], s), mix(a[1], b[1], s)}
			if distanceIn(tri, at) < 1e-9 {
				continue // along an edge: cutting by float cannot tell the side
			}
			want := planeAt(tri, at)
			got, ok := atOffset(pieces, s*length)
			if !ok || math.Abs(got-want) > tolerance {
				t.Fatalf("from %v to %v, offset %v: elevation %v %v, triangle %d has %v", a, b, s*length, got, ok, i, want)
			}
		}
	}
	covered := 0.0
	for i := range tin.triangles() {
		from, to := clipSpan(tin.triangle(i), a, b, 1e-9)
		if !tin.empty[i] {
			covered += (to - from) * length
		}
	}
	walked := 0.0
	for _, p := range pieces {
		from, to := p.Span()
		walked += to - from
	}
	if walked > covered+1e-6 { // along an edge, both its triangles are in covered
		t.Fatalf("from %v to %v: %v m of ground, triangles cover %v m", a, b, walked, covered)
	}
}

func atOffset(pieces []Line, offset float64) (float64, bool) {
	for _, p := range pieces {
		if z, ok := p.At(offset); ok {
			return z, true
		}
	}
	return math.NaN(), false
}

// checkPieces checks what Surface promises of any slice.
func checkPieces(t testing.TB, pieces []Line, length float64) {
	t.Helper()
	end := 0.0
	for i, p := range pieces {
		from, to := p.Span()
		if len(p) < 2 || !(to > from) || from < end || to > length || i > 0 && from == end {
			t.Fatalf("piece %d from %v to %v with %d knots, after %v, length %v", i, from, to, len(p), end, length)
		}
		for k, knot := range p {
			if math.IsNaN(knot.Elevation) || k > 0 && knot.Offset < p[k-1].Offset {
				t.Fatalf("piece %d has knots %v", i, p)
			}
		}
		end = to
	}
}
