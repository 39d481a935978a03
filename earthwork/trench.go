package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// trench measures the cutoff trench below the stripped ground and adds it to
// the section's shapes.
func (k *cutter) trench(s *Section, c crossSection) {
	if len(k.measured.Dug) > 0 && k.measuredTrench(s, c) {
		return
	}
	t := c.trench
	if t == nil || (len(k.design.Trench.Points) == 1 && !s.meets()) {
		return
	}
	from, to := s.Stripped.Span()
	ground, ok := s.Stripped.At(t.Offset)
	if !ok {
		return
	}
	bottom := t.Level
	if c.byDepth {
		bottom = ground - t.Level
	}
	line := trenchLine(*t, bottom, highestOf(s.Stripped)+1, from, to)
	core := geometry.Interval{From: t.Offset - t.BottomWidth/2, To: t.Offset + t.BottomWidth/2}
	e := geometry.Above(line, s.Stripped, from, to, core)
	if side, open := openSide(e); open {
		edge := edgeOf(s.Ground, side).Offset
		k.faults.groundShort(side, GroundShortError{Station: s.Station, Side: sideNames[side], Trench: true, By: t.SideSlope * (ground - bottom), Edge: edge})
	}
	label := TrenchZone(k.design.Zones)
	for _, p := range e.Parts {
		k.dig(s, line, p, label)
	}
	s.TrenchDepth = ground - bottom
	s.Zones[label].Trench = s.Trench
}

// dig adds the part of the trench over a stretch of offsets, between its line and
// the stripped ground.
func (k *cutter) dig(s *Section, line geometry.Line, over geometry.Interval, label int) {
	geometry.Strips([]geometry.Line{line, s.Stripped}, over.From, over.To, func(v geometry.Strip) {
		s.Trench = s.Trench.Plus(v.Measure(0, 1))
		s.Dug = append(s.Dug, geometry.Slab{From: v.From, To: v.To, Stack: []geometry.Trapezoid{{
			Label:      label,
			BottomFrom: v.Left[0], BottomTo: v.Right[0],
			TopFrom: v.Left[1], TopTo: v.Right[1],
		}}})
	})
}

// openSide tells on which side a trench is still below the ground where the
// ground ends.
func openSide(e geometry.Extent) (int, bool) {
	switch {
	case e.OpenLeft:
		return upstream, true
	case e.OpenRight:
		return downstream, true
	}
	return 0, false
}

// trenchLine is the trench's bottom and sides up to a level above all ground.
func trenchLine(t TrenchPoint, bottom, top, from, to float64) geometry.Line {
	half := t.BottomWidth / 2
	rise := max(0, top-bottom)
	l := geometry.Line{
		{Offset: t.Offset - half - t.SideSlope*rise, Elevation: bottom + rise},
		{Offset: t.Offset - half, Elevation: bottom},
		{Offset: t.Offset + half, Elevation: bottom},
		{Offset: t.Offset + half + t.SideSlope*rise, Elevation: bottom + rise},
	}
	return spanning(l, from, to, bottom+rise)
}

func highestOf(l geometry.Line) float64 {
	high := math.Inf(-1)
	for _, k := range l {
		high = max(high, k.Elevation)
	}
	return high
}

// spanning carries a line on to from and to at a level, with vertical steps.
func spanning(l geometry.Line, from, to, level float64) geometry.Line {
	first, last := l.Span()
	out := make(geometry.Line, 0, len(l)+4)
	if from < first {
		out = append(out, geometry.Knot{Offset: from, Elevation: level}, geometry.Knot{Offset: first, Elevation: level})
	}
	out = append(out, l...)
	if to > last {
		out = append(out, geometry.Knot{Offset: last, Elevation: level}, geometry.Knot{Offset: to, Elevation: level})
	}
	return out
}
