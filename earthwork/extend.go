package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// reachToes sees to it that the ground goes on to where the faces meet it. What
// it carries on is added to the section's ground and stripped ground; what it
// may not carry on is a fault.
func (k *cutter) reachToes(s *Section, c, high crossSection) {
	must := c
	if k.design.Settlement.Basis == OnHeight {
		must = high
	}
	for side := range sideNames {
		if k.open(s, must, side) {
			k.carryOn(s, must, side, k.extend)
		}
		// The allowance on height is figured beside the basis that the design
		// names; ground for that figure alone is carried on level.
		if k.open(s, high, side) && !k.open(s, must, side) {
			k.carryOn(s, high, side, ExtendLevel)
		}
	}
}

// open tells whether the outermost outline is still above the stripped ground
// where the ground ends.
func (k *cutter) open(s *Section, c crossSection, side int) bool {
	h := k.shape(s, c)
	if side == upstream {
		return h.openLeft
	}
	return h.openRight
}

// carryOn lengthens the ground on one side by the rule, or notes a fault.
func (k *cutter) carryOn(s *Section, c crossSection, side int, rule Extend) {
	edge := edgeOf(s.Ground, side)
	grade := 0.0
	if rule == ExtendSlope {
		grade = outwardGrade(s.Ground, side)
	}
	parts := c.up
	if side == downstream {
		parts = c.down
	}
	if grade <= -1/parts[len(parts)-1].Slope {
		k.faults.neverMeets(side, s.Station)
		return
	}
	longer := *s
	by := k.lengthen(&longer, c, side, grade)
	if rule != ExtendLevel && rule != ExtendSlope {
		k.faults.groundShort(side, GroundShortError{Station: s.Station, Side: sideNames[side], By: by, Edge: edge.Offset})
		return
	}
	s.Ground, s.Stripped = longer.Ground, longer.Stripped
	if by > k.extended[side] {
		k.extended[side], k.extendedAt[side] = by, s.Station
	}
}

// doublings bounds the search for the toe on carried-on ground: the grade is
// flatter than the face, so that the toe lies at a finite distance, and 60
// doublings of a metre pass any distance there is.
const doublings = 60

// lengthen carries the ground on at a grade until the outline meets it, and
// returns how far the toe lies beyond the old edge.
func (k *cutter) lengthen(s *Section, c crossSection, side int, grade float64) float64 {
	edge := edgeOf(s.Ground, side)
	ground := s.Ground
	for d, i := 1.0, 0; i < doublings; d, i = 2*d, i+1 {
		s.Ground = withKnot(ground, side, d, edge.Elevation+grade*d)
		s.Stripped = k.strippedOf(s.Ground, s.Station, s.side, c)
		if !k.open(s, c, side) {
			break
		}
	}
	h := k.shape(s, c)
	hull := h.outer.Hull()
	if side == upstream {
		return edge.Offset - hull.From
	}
	return hull.To - edge.Offset
}

// withKnot returns the line with one more knot, d metres beyond its end.
func withKnot(l geometry.Line, side int, d, elevation float64) geometry.Line {
	out := make(geometry.Line, 0, len(l)+1)
	if side == upstream {
		out = append(out, geometry.Knot{Offset: l[0].Offset - d, Elevation: elevation})
		return append(out, l...)
	}
	out = append(out, l...)
	return append(out, geometry.Knot{Offset: l[len(l)-1].Offset + d, Elevation: elevation})
}

func edgeOf(l geometry.Line, side int) geometry.Knot {
	if side == upstream {
		return l[0]
	}
	return l[len(l)-1]
}

// outwardGrade is the rise per metre going outwards over the line's last part
// that is not a vertical step.
func outwardGrade(l geometry.Line, side int) float64 {
	if side == upstream {
		l = l.Mirror()
	}
	for i := len(l) - 1; i > 0; i-- {
		if run := l[i].Offset - l[i-1].Offset; run > 0 {
			return (l[i].Elevation - l[i-1].Elevation) / run
		}
	}
	return math.Inf(-1)
}
