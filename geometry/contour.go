package geometry

import (
	"slices"

	"github.com/paulmach/orb"
)

// Contours returns the lines on which a surface has each of the levels, exactly
// over its triangles, as far as the triangles touch the box. levels must rise.
// Ground runs up to the left of a line, so a closed line round a hill runs
// counter-clockwise. A corner just at a level counts as above it, which keeps
// lines whole over flat ground; ground that is level for an area has its
// contour along that area's lower edge.
func Contours(s Surface, box orb.Bound, levels []float64) [][]orb.LineString {
	segments := make([][]Segment, len(levels))
	for t := range s.Triangles(box) {
		low := min(t.Elevation[0], t.Elevation[1], t.Elevation[2])
		high := max(t.Elevation[0], t.Elevation[1], t.Elevation[2])
		first, _ := slices.BinarySearch(levels, low)
		for k := first; k < len(levels) && levels[k] <= high; k++ {
			if c, ok := t.Contour(levels[k]); ok {
				segments[k] = append(segments[k], c)
			}
		}
	}
	out := make([][]orb.LineString, len(levels))
	for k := range segments {
		out[k] = Chain(segments[k])
	}
	return out
}

// Contour is where a level cuts the triangle, with the ground rising to its left.
// It reports false where it does not cut. A corner at the level counts as above it.
func (t Triangle) Contour(level float64) (Segment, bool) {
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		a, b, c := t.Elevation[i] >= level, t.Elevation[j] >= level, t.Elevation[k] >= level
		if a == b || a == c {
			continue
		}
		// Corner i lies alone on its side of the level. Corners run
		// counter-clockwise, so it is on the left of a line from p to q.
		p, q := t.crossing(i, j, level), t.crossing(i, k, level)
		if a {
			return Segment{p, q}, true
		}
		return Segment{q, p}, true
	}
	return Segment{}, false
}

// crossing is the point between two corners at a level between their elevations.
// It is reckoned from the lower corner, whichever is named first, so that
// neighbours agree to the last bit.
func (t Triangle) crossing(i, j int, level float64) orb.Point {
	if t.Elevation[i] > t.Elevation[j] {
		i, j = j, i
	}
	f := (level - t.Elevation[i]) / (t.Elevation[j] - t.Elevation[i])
	a, b := t.At[i], t.At[j]
	return orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}
}
