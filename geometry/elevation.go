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

// within is the elevation at a place in a triangle. It measures along and square
// to the longest edge, which is safe for a sliver: the share of the far corner
// lies between 0 and 1 and the rest lies on the edge.
func (t *TIN) within(triangle int32, p xy) float64 {
	c := 3 * triangle
	for d := c + 1; d < 3*triangle+3; d++ {
		if t.length(d) > t.length(c) {
			c = d
		}
	}
	for d := 3 * triangle; d < 3*triangle+3; d++ {
		if t.leftOf(d, p) == 0 {
			return t.onEdge(d, p)
		}
	}
	a, b, r := t.at[t.from(c)], t.at[t.to(c)], t.at[t.apex(c)]
	dx, dy := b.x-a.x, b.y-a.y
	whole := float64(dx*dx) + float64(dy*dy)
	foot := func(q xy) float64 { return (float64((q.x-a.x)*dx) + float64((q.y-a.y)*dy)) / whole }
	far := min(max(t.leftOf(c, p)/t.leftOf(c, r), 0), 1)
	if far == 1 {
		return t.elevation[t.apex(c)]
	}
	share := min(max((foot(p)-float64(far*foot(r)))/(1-far), 0), 1)
	return mix(mix(t.elevation[t.from(c)], t.elevation[t.to(c)], share), t.elevation[t.apex(c)], far)
}
