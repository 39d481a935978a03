package geometry

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
)

// Segments in any order join to an open line and a closed one; a joint off by
// less than the tolerance joins, one off by more does not.
func TestChain(t *testing.T) {
	at := func(x, y float64) orb.Point { return orb.Point{x, y} }
	got := Chain([]Segment{
		{at(5, 0), at(5, 1)},
		{at(1, 0), at(2, 0)},
		{at(5, 1), at(6, 1)},
		{at(2, sameJoint/2), at(3, 0)},
		{at(0, 0), at(1, 0)},
		{at(6, 1), at(5, 0)},
		{at(3, 3*sameJoint), at(4, 0)},
		{at(9, 9), at(9, 9)},
	})
	want := []orb.LineString{
		{at(0, 0), at(1, 0), at(2, 0), at(3, 0)},
		{at(3, 3*sameJoint), at(4, 0)},
		{at(5, 0), at(5, 1), at(6, 1), at(5, 0)},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// An island in a hole of a polygon is a polygon of its own, and the hole goes with
// the smallest ring around it.
func TestPolygons(t *testing.T) {
	box := func(a, b float64) orb.Ring { return orb.Ring{{a, a}, {b, a}, {b, b}, {a, b}, {a, a}} }
	hole := func(a, b float64) orb.Ring { r := box(a, b); r.Reverse(); return r }
	got := Polygons([]orb.Ring{hole(4, 5), box(0, 10), box(3, 6), hole(2, 8), hole(20, 21), {{0, 0}, {1, 1}, {0, 0}}})
	want := orb.MultiPolygon{{box(0, 10), hole(2, 8)}, {box(3, 6), hole(4, 5)}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}
