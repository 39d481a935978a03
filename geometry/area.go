package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// Lie is how a surface lies over a polygon. Plan and Missing add up to the
// polygon's own area in plan.
type Lie struct {
	Plan      float64 // m2 in plan where the surface has ground
	True      float64 // m2 along the slope, of the same ground
	Missing   float64 // m2 in plan where it has none
	Low, High float64 // lowest and highest ground, m; 0 without ground
}

// LieOver measures the area of a surface over a polygon, in plan and along the
// slope. It is exact but for rounding: the triangles of both are cut by one
// another, and a flat piece that rises by g for each metre has an area of the
// root of 1 + g2 times its plan. Rings count by even and odd, so that a ring
// within another is a hole. An error is a *TINError: a polygon needs three places
// that are not on one line.
func LieOver(s Surface, polygon orb.Polygon) (Lie, error) {
	region, err := polygonTriangles(polygon)
	if err != nil {
		return Lie{}, err
	}
	var cut clipper
	out := Lie{Low: math.Inf(1), High: math.Inf(-1)}
	for _, r := range region {
		out.Missing += areaOf(r.At[:])
		for t := range s.Triangles(bounds(r.At[:])) {
			piece := cut.within(r.At[:], &t)
			plan := areaOf(piece)
			if !(plan > 0) {
				continue
			}
			out.Plan += plan
			out.True += plan * t.steepening()
			for _, p := range piece {
				z := t.at(place(p))
				out.Low, out.High = min(out.Low, z), max(out.High, z)
			}
		}
	}
	if out.Plan == 0 {
		out.Low, out.High = 0, 0
	}
	out.Missing = max(0, out.Missing-out.Plan)
	return out, nil
}

// steepening is the area of a triangle along its slope over its area in plan:
// half the length of the cross product of two sides, over its upright part.
func (t Triangle) steepening() float64 {
	ux, uy, uz := t.At[1][0]-t.At[0][0], t.At[1][1]-t.At[0][1], t.Elevation[1]-t.Elevation[0]
	vx, vy, vz := t.At[2][0]-t.At[0][0], t.At[2][1]-t.At[0][1], t.Elevation[2]-t.Elevation[0]
	x, y, z := uy*vz-uz*vy, uz*vx-ux*vz, ux*vy-uy*vx
	return math.Hypot(math.Hypot(x, y), z) / math.Abs(z)
}
