package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// Elevation returns the elevation of the ground at a place, m. It reports false
// where there is no ground. The cursor may be nil.
func (t *TIN) Elevation(c *Cursor, at orb.Point) (float64, bool) {
	p := place(at)
	if !(math.Abs(p.x) <= farthest && math.Abs(p.y) <= farthest) {
		return math.NaN(), false
	}
	if c == nil {
		c = &Cursor{}
	}
	triangle, inside := t.locate(c.hint, p)
	c.hint = int(triangle)
	if !inside || !t.groundAt(triangle, p) {
		return math.NaN(), false
	}
	return t.within(triangle, p), true
}

// groundAt reports whether a triangle, or a neighbour that shares the place p on
// its edge or corner, holds ground.
func (t *TIN) groundAt(triangle int32, p xy) bool {
	if !t.empty[triangle] {
		return true
	}
	found := false
	for c := 3 * triangle; c < 3*triangle+3; c++ {
		if t.at[t.from(c)] == p {
			t.around(c, func(d int32) bool {
				found = found || !t.empty[d/3]
				return !found
			})
		}
		if o := t.twin[c]; o != none && !t.empty[o/3] && t.leftOf(c, p) == 0 {
			found = true
		}
	}
	return found
}

// within is the elevation at a place in a triangle, or on its edge.
func (t *TIN) within(triangle int32, p xy) float64 {
	for c := 3 * triangle; c < 3*triangle+3; c++ {
		if t.leftOf(c, p) == 0 {
			return t.onEdge(c, p)
		}
	}
	flat := t.triangle(int(triangle))
	return flat.at(p)
}
