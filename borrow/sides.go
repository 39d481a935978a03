package borrow

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// side is a flat piece of the pit's sides: the plane that rules, among all that
// start from one piece of boundary, where every bound is positive.
type side struct {
	plane  affine
	bounds [3]affine
	from   edge    // the boundary it starts from; a corner is an edge without length
	source *source // that boundary, shared by the sides that start from it
	number int32   // among all sides of the pit
}

// facetAngle is the widest facet of a cone, one degree. A facet between two
// rays of a cone, scaled to the right volume, is off by angle^2 / 12 at its
// edges and half that in its middle, relative to the depth below the tip:
// 2.6e-5 for one degree.
const facetAngle = math.Pi / 180

// leastFacet is the angle below which a cone's gap between two planes is the
// rounding of their directions, radians.
const leastFacet = 1e-12

// sidesOf returns the sides that fall from some runs of edges into a ring, slope
// horizontal to one vertical. There are none when the sides are vertical.
//
// The side from an edge at a point p is the largest of z(b) - |p - b| / slope
// over its points b. With the ground's grade k along the edge and |k| below
// 1 / slope it is largest where p lies ahead of b by the angle whose cosine is
// -k slope, and there it is a plane of gradient 1 / slope that holds the edge.
// Where p has no such b on either of two neighbouring edges, their common
// corner rules with a cone. Every distance counts, so a side falls to both
// hands of its edge, whatever the boundary does in between.
func sidesOf(runs []run, ring []orb.Point, slope float64) []*side {
	if slope == 0 {
		return nil
	}
	var out []*side
	for _, r := range runs {
		for _, e := range r.edges {
			out = append(out, e.planes(slope)...)
		}
		out = append(out, r.cones(slope)...)
	}
	out = slices.DeleteFunc(out, func(s *side) bool { return !s.reaches(ring) })
	for i, s := range out {
		s.number = int32(i)
		if i > 0 && s.from == out[i-1].from {
			s.source = out[i-1].source
		} else {
			s.source = sourceOf(s.from, slope)
		}
	}
	return out
}

// reaches tells whether no bound has the whole ring on its wrong side: most
// sides that fall outwards are known by that.
func (s *side) reaches(ring []orb.Point) bool {
	for _, b := range s.bounds {
		if _, high := b.span(ring); high <= touch {
			return false
		}
	}
	return true
}

// planes returns the plane to the left and to the right of an edge, none where
// the ground along it is as steep as the sides or steeper.
func (e edge) planes(slope float64) []*side {
	length := distance(e.from, e.to)
	u := orb.Point{(e.to[0] - e.from[0]) / length, (e.to[1] - e.from[1]) / length}
	grade := (e.zTo - e.zFrom) / length
	across := 1/(slope*slope) - grade*grade // of the gradient, squared
	if !(across > 0) {
		return nil
	}
	fall := math.Sqrt(across)
	var out []*side
	for _, n := range []orb.Point{{-u[1], u[0]}, {u[1], -u[0]}} {
		// The point b that rules p lies up the plane's gradient from p, so the
		// bounds are lines through both ends along the gradient.
		up := orb.Point{grade*u[0] - fall*n[0], grade*u[1] - fall*n[1]}
		normal := orb.Point{slope * (fall*u[0] + grade*n[0]), slope * (fall*u[1] + grade*n[1])}
		out = append(out, &side{
			plane: through(e.from, e.zFrom, up[0], up[1]),
			bounds: [3]affine{
				through(e.from, 0, n[0], n[1]),
				through(e.from, 0, normal[0], normal[1]),
				through(e.to, 0, -normal[0], -normal[1]),
			},
			from: e,
		})
	}
	return out
}

// cone returns the facets about the corner where edge b follows edge a: those
// directions in which neither edge has a point of its own that rules.
//
// Seen from the corner, an edge that rises away with grade k rules within the
// angle acos(-k slope) about itself. Angles are counted from b to the left; a
// lies at turn.
func cone(a, b edge, slope float64) []*side {
	base := math.Atan2(b.to[1]-b.from[1], b.to[0]-b.from[0])
	back := math.Atan2(a.from[1]-a.to[1], a.from[0]-a.to[0])
	turn := math.Mod(back-base+4*math.Pi, 2*math.Pi)
	ruleB := ruled((b.zTo-b.zFrom)/distance(b.from, b.to), slope)
	ruleA := ruled((a.zFrom-a.zTo)/distance(a.from, a.to), slope)
	tip := edge{b.from, b.from, b.zFrom, b.zFrom}
	out := facets(tip, slope, base+max(ruleB, turn+ruleA-2*math.Pi), base+min(2*math.Pi-ruleB, turn-ruleA))
	return append(out, facets(tip, slope, base+max(ruleB, turn+ruleA), base+min(2*math.Pi-ruleB, turn-ruleA+2*math.Pi))...)
}

// ruled is the angle about an edge, seen from its end, within which it rules.
func ruled(grade, slope float64) float64 {
	return math.Acos(max(-1, min(1, -grade*slope)))
}

// facets returns the cone about a tip between two directions in flat pieces.
func facets(tip edge, slope, from, to float64) []*side {
	if to-from < leastFacet {
		return nil
	}
	n := math.Ceil((to - from) / facetAngle)
	width := (to - from) / n
	// The mean over the facet of a cone's depth over a plane's.
	fall := width / 2 / math.Sin(width/2) / slope
	out := make([]*side, int(n))
	for i := range out {
		a := from + float64(i)*width
		b, mid := a+width, a+width/2
		out[i] = &side{
			plane: through(tip.from, tip.zFrom, -fall*math.Cos(mid), -fall*math.Sin(mid)),
			bounds: [3]affine{
				through(tip.from, 0, -math.Sin(a), math.Cos(a)),
				through(tip.from, 0, math.Sin(b), -math.Cos(b)),
				through(tip.from, 0, math.Cos(mid), math.Sin(mid)),
			},
			from: tip,
		}
	}
	return out
}

// distance is the plan distance between two points, m.
func distance(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }
