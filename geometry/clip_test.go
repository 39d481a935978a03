package geometry

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// Cutting in memory that serves again gives the ring that cutting afresh gives, to
// the last digit, whatever was cut before.
func TestClipperKeepsNothing(t *testing.T) {
	var kept clipper
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.IntRange(-4, 4)
		corner := func(name string) orb.Point {
			return orb.Point{float64(number.Draw(t, name+" x")), float64(number.Draw(t, name+" y")) / 3}
		}
		tri := Triangle{At: [3]orb.Point{corner("a"), corner("b"), corner("c")}}
		if sideOf(place(tri.At[0]), place(tri.At[1]), place(tri.At[2])) <= 0 {
			return
		}
		ring := []orb.Point{{-2, -1}, {2.5, -1}, {2.5, 0.5}, {0, 1}, {-2, 0.75}}
		want := slices.Clone(ring)
		for k := range 3 {
			var side []float64
			for _, v := range want {
				side = append(side, sideOf(place(tri.At[k]), place(tri.At[(k+1)%3]), place(v)))
			}
			want, _ = cutConvex(nil, nil, want, side)
		}
		got := kept.within(ring, &tri)
		if areaOf(want) == 0 && areaOf(got) == 0 {
			return // a point or a line
		}
		if !slices.Equal(got, want) {
			t.Fatalf("%v, cut afresh %v", got, want)
		}
	})
}
