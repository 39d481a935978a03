package plan

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// lakeLength is the longest straight line from shore to shore at a level that the
// site names, m; land that lies between is not looked at, so that it is never less
// than the wind's own run over the water. It reports false where the lake is not
// known there.
func lakeLength(v *PlanView, name string) (float64, bool) {
	if v == nil {
		return 0, false
	}
	most := 0.0
	for _, p := range v.Pools {
		if p.Name != name {
			continue
		}
		for _, polygon := range p.Water {
			if len(polygon) > 0 {
				most = max(most, widest(polygon[0]))
			}
		}
	}
	return most, most > 0
}

// widest is the greatest distance between two points of a ring: two corners of its
// convex hull have it.
func widest(ring orb.Ring) float64 {
	h := hull(ring)
	most := 0.0
	for i, a := range h {
		for _, b := range h[i+1:] {
			most = max(most, math.Hypot(b[0]-a[0], b[1]-a[1]))
		}
	}
	return most
}

// hull is the convex hull of points, counter-clockwise, by the monotone chain
// (A. M. Andrew, Information Processing Letters 9, 1979).
func hull(points []orb.Point) []orb.Point {
	p := slices.Clone(points)
	slices.SortFunc(p, func(a, b orb.Point) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	half := func(p []orb.Point) []orb.Point {
		var out []orb.Point
		for _, q := range p {
			for n := len(out); n > 1; n = len(out) {
				a, b := out[n-2], out[n-1]
				if (b[0]-a[0])*(q[1]-a[1])-(b[1]-a[1])*(q[0]-a[0]) > 0 {
					break
				}
				out = out[:n-1]
			}
			out = append(out, q)
		}
		return out[:len(out)-1]
	}
	lower := half(p)
	slices.Reverse(p)
	return append(lower, half(p)...)
}
