package geometry

import "math"

// Knot is a vertex of a Line: an offset and the elevation there, both in metres.
type Knot struct {
	Offset, Elevation float64
}

// Line is elevation against offset in the plane of one cross-section. Offsets
// never decrease; the same offset twice is a vertical step. A Line says nothing
// beyond its first and last knot.
type Line []Knot

// Span returns the first and the last offset. It is (0, 0) for an empty line.
func (l Line) Span() (from, to float64) {
	if len(l) == 0 {
		return 0, 0
	}
	return l[0].Offset, l[len(l)-1].Offset
}

// At returns the elevation at an offset, linear between knots. At a vertical
// step it is the mean of the two sides. It reports false outside the span.
func (l Line) At(offset float64) (float64, bool) {
	left, right, ok := l.Sides(offset)
	if !ok {
		return math.NaN(), false
	}
	if left == right {
		return left, true
	}
	return (left + right) / 2, true
}

// Sides returns the elevation just before and just after an offset, which
// differ only at a vertical step. At either end of the span both are the end's
// own side. It reports false outside the span.
func (l Line) Sides(offset float64) (before, after float64, ok bool) {
	n := len(l)
	if n == 0 || offset < l[0].Offset || offset > l[n-1].Offset {
		return 0, 0, false
	}
	// i is the first knot at or beyond the offset, j the first beyond it.
	i := firstKnot(l, func(k Knot) bool { return k.Offset >= offset })
	j := firstKnot(l, func(k Knot) bool { return k.Offset > offset })
	if i == j { // strictly between two knots
		z := between(l[i-1], l[i], offset)
		return z, z, true
	}
	before, after = l[i].Elevation, l[j-1].Elevation
	switch {
	case i == 0 && j == n:
		return before, after, true
	case i == 0:
		before = after
	case j == n:
		after = before
	}
	return before, after, true
}

// Lift returns a copy of the line with dz metres added to every elevation.
func (l Line) Lift(dz float64) Line {
	out := make(Line, len(l))
	for i, k := range l {
		out[i] = Knot{k.Offset, k.Elevation + dz}
	}
	return out
}

// Mirror returns the line with every offset's sign changed.
func (l Line) Mirror() Line {
	out := make(Line, len(l))
	for i, k := range l {
		out[len(l)-1-i] = Knot{-k.Offset, k.Elevation}
	}
	return out
}

// firstKnot returns the index of the first knot for which after holds, len(l)
// when none does. after must be false for a first run of knots and then true.
func firstKnot(l Line, after func(Knot) bool) int {
	lo, hi := 0, len(l)
	for lo < hi {
		mid := (lo + hi) / 2
		if after(l[mid]) {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo
}

// between is the elevation at an offset on the straight part from a to b,
// a.Offset < b.Offset. It is exact at both ends.
func between(a, b Knot, offset float64) float64 {
	t := (offset - a.Offset) / (b.Offset - a.Offset)
	if t < 0.5 {
		return a.Elevation + t*(b.Elevation-a.Elevation)
	}
	return b.Elevation - (1-t)*(b.Elevation-a.Elevation)
}
