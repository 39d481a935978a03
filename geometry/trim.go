package geometry

import "math"

// trim marks triangles at the outer edge that hold no ground: those with an
// edge longer than longest, when it is set, and those that are flat against an
// outer edge which is their longest. It works inward from the hull as far as
// such triangles reach one another, so the order does not matter.
func (t *TIN) trim(longest float64) {
	t.empty = make([]bool, t.triangles())
	outer := append([]int32(nil), t.hull...)
	for len(outer) > 0 {
		c := outer[len(outer)-1]
		outer = outer[:len(outer)-1]
		if t.empty[c/3] || !t.stretched(c/3, longest) && !t.flatAgainst(c) {
			continue
		}
		t.empty[c/3] = true
		for k := 3 * (c / 3); k < 3*(c/3)+3; k++ {
			if t.twin[k] != none {
				outer = append(outer, t.twin[k])
			}
		}
	}
}

// longestSlack is how far an edge may pass the longest that is asked for, m: a
// micrometre, so that points set out at just that distance stay joined.
const longestSlack = 1e-6

// stretched reports whether a triangle has an edge longer than longest that is
// no part of a breakline.
func (t *TIN) stretched(triangle int32, longest float64) bool {
	if !(longest > 0) {
		return false
	}
	for c := 3 * triangle; c < 3*triangle+3; c++ {
		if t.length(c) > longest+longestSlack && !t.isFixed(c) {
			return true
		}
	}
	return false
}

// flatAgainst reports whether the triangle of an outer edge is a sliver that
// stands less than flatHull above it.
func (t *TIN) flatAgainst(c int32) bool {
	l := t.length(c)
	if l < t.length(following(c)) || l < t.length(preceding(c)) || t.isFixed(c) {
		return false
	}
	return t.leftOf(c, t.at[t.apex(c)]) < l*flatHull
}

// isFixed reports whether a corner's edge is part of a breakline.
func (t *TIN) isFixed(c int32) bool { return t.fixed != nil && t.fixed[c] }

// length of a corner's edge in plan, m.
func (m *mesh) length(c int32) float64 {
	a, b := m.at[m.from(c)], m.at[m.to(c)]
	return math.Hypot(b.x-a.x, b.y-a.y)
}
