package borrow

import (
	"math"

	"github.com/paulmach/orb"
)

// A side is hidden in a cell when all of its plane there lies below what one
// piece of boundary gives. The largest of z(b) - |p - b| / slope over the points b
// of an edge is a concave function of p, so it is above a plane all over a convex
// cell once it is at the corners. A facet of a cone may lie below the cone, by
// facetDip of the depth at most; asking that much more keeps two facets from
// hiding each other. So the side that is highest at a point is never left out.

// facetDip is more than a facet of a cone lies below it, relative to the depth
// below the tip: see facetAngle.
const facetDip = 3e-5

// mostCorners is the number of corners up to which hidden sides are sought. Cells
// with more are rare and may do without.
const mostCorners = 16

// source is a piece of boundary that sides fall from, with what its value at a
// point takes.
type source struct {
	from   orb.Point
	z      float64 // ground at from, m
	length float64
	ahead  orb.Point // direction, of length 1; zero for a corner
	grade  float64   // of the ground along it
	// lean is how far ahead of a point, per distance aside, lies what rules it.
	lean     float64
	invSlope float64
	top      float64 // the highest ground, m
}

// sourceOf is the source of an edge, or of a corner as an edge without length.
func sourceOf(e edge, slope float64) *source {
	s := &source{from: e.from, z: e.zFrom, length: distance(e.from, e.to), invSlope: 1 / slope, top: max(e.zFrom, e.zTo)}
	if s.length == 0 {
		return s
	}
	s.ahead = orb.Point{(e.to[0] - e.from[0]) / s.length, (e.to[1] - e.from[1]) / s.length}
	s.grade = (e.zTo - e.zFrom) / s.length
	if across := s.invSlope*s.invSlope - s.grade*s.grade; across > 0 {
		s.lean = s.grade / math.Sqrt(across)
	} else { // as steep as the sides: the upper end rules all
		s.lean = math.Copysign(s.length, s.grade) / touch
	}
	return s
}

// value is the true side at a point: the largest of z(b) - |p - b| / slope over
// the source, wherever the point lies.
func (s *source) value(p orb.Point) float64 {
	dx, dy := p[0]-s.from[0], p[1]-s.from[1]
	ahead, off := dx*s.ahead[0]+dy*s.ahead[1], 0.0
	if s.length == 0 {
		return s.z - math.Sqrt(dx*dx+dy*dy)*s.invSlope
	}
	off = abs(dy*s.ahead[0] - dx*s.ahead[1])
	b := min(max(ahead+off*s.lean, 0), s.length)
	return s.z + s.grade*b - math.Sqrt((b-ahead)*(b-ahead)+off*off)*s.invSlope
}

// cornerLevels are levels at the corners of a cell, touch below what rules there.
type cornerLevels [mostCorners]float64

// of takes the levels of a plane.
func (l *cornerLevels) of(c cell, f affine) {
	for k, p := range c {
		l[k] = f.at(p) - touch
	}
}

// ofSource takes the levels of the true sides of a piece of boundary.
func (l *cornerLevels) ofSource(c cell, s *source) {
	for k, p := range c {
		l[k] = s.value(p) - touch
	}
}

// unhidden appends to out the sides that are not hidden in a cell, by a plane
// that rules at least or by the piece of boundary that is highest over its middle.
func unhidden(out []*side, c cell, sides []*side, least affine) []*side {
	if len(sides) == 0 || len(c) > mostCorners {
		return append(out, sides...)
	}
	var level cornerLevels
	level.of(c, least)
	base := len(out)
	for _, s := range sides {
		if s.above(c, level[:len(c)]) {
			out = append(out, s)
		}
	}
	left := out[base:]
	if len(left) < 2 {
		return out
	}
	best := highestSource(left, middleOf(c))
	level.ofSource(c, best)
	out = out[:base]
	for _, s := range left {
		if s.source == best || s.rises(c, level[:len(c)], facetDip) {
			out = append(out, s)
		}
	}
	return out
}

// highestSource is the piece of boundary whose sides are highest at a point.
func highestSource(sides []*side, p orb.Point) *source {
	best, most := sides[0].source, math.Inf(-1)
	for i, s := range sides {
		if i > 0 && s.source == sides[i-1].source { // the facets of one cone
			continue
		}
		if v := s.source.value(p); v > most {
			best, most = s.source, v
		}
	}
	return best
}

// above tells whether the side's plane is above the given levels at a corner of the
// cell.
func (s *side) above(c cell, levels []float64) bool {
	for k, p := range c {
		if s.plane.at(p) > levels[k] {
			return true
		}
	}
	return false
}

// rises tells whether the side's plane, and dip of its depth more, is above the
// given levels at a corner of the cell.
func (s *side) rises(c cell, levels []float64, dip float64) bool {
	for k, p := range c {
		z := s.plane.at(p)
		if z+dip*max(0, s.source.top-z) > levels[k] {
			return true
		}
	}
	return false
}

// noFloor is a plane that hides nothing.
var noFloor = affine{c: math.Inf(-1)}
