package geometry

import "github.com/paulmach/orb"

// Facet is a flat piece of a design: a convex counter-clockwise ring in plan,
// not closed, and the plane over it.
type Facet struct {
	Ring []orb.Point
	// The plane has the given Elevation, m, at the place At, and rises by Rise
	// metres for each metre of x and of y.
	At        orb.Point
	Elevation float64
	Rise      orb.Point
}

// Level is the plane's elevation at a place, m.
func (f Facet) Level(p orb.Point) float64 {
	return f.Elevation + f.Rise[0]*(p[0]-f.At[0]) + f.Rise[1]*(p[1]-f.At[1])
}

// CompareFacet measures the earth between a surface, first lowered by the given
// depth in metres, and a facet: fill where the facet is above. It is exact but
// for rounding, as Compare is. Missing is the area of the ring where the surface
// has no ground.
func CompareFacet(from Surface, lowered float64, f Facet) CutFill {
	out := compared{CutFill: CutFill{Area: areaOf(f.Ring)}}
	if out.Area == 0 {
		return out.CutFill
	}
	covered := 0.0
	for a := range from.Triangles(bounds(f.Ring)) {
		piece := out.one.within(f.Ring, &a)
		if len(piece) < 3 {
			continue
		}
		out.up = out.up[:0]
		for _, p := range piece {
			out.up = append(out.up, f.Level(p)-a.at(place(p))+lowered)
		}
		covered += out.addHeights(piece, out.up)
	}
	out.Missing = max(0, out.Area-covered)
	return out.CutFill
}
