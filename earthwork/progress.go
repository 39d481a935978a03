package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// Progress is what a survey of the fill shows of a dam that is being built.
// Volumes are compacted m3 as they lie, by average end area as the design's own.
type Progress struct {
	Zones []ZoneProgress // in the design's order

	// Above lies over the neat outline between the toes: settlement allowance,
	// overbuild, or a heap. Beside lies outside the toes on the ground, as far as
	// it hangs together with the fill. Undercut was dug below the design's
	// stripped ground and trench by the survey of the base, and filled again; it
	// is negative where less was dug.
	Above, Beside, Undercut float64

	// Sections has one entry a section of the dam.
	Sections []SectionProgress
}

// ZoneProgress is how much of a zone lies below the surveyed surface: of the neat
// fill with the trench and what lies outside the outline, without the settlement
// allowance.
type ZoneProgress struct {
	Placed, Design float64 // m3
}

// SectionProgress is what of one section is placed, m2.
type SectionProgress struct {
	Zones                   []float64 // by zone
	Design                  []float64 // by zone, the whole of it
	Above, Beside, Undercut float64
	// Covered is the share of the width from toe to toe that the survey covers.
	Covered float64
	// NotBegun says that the survey shows the ground as it was before stripping,
	// so nothing is counted.
	NotBegun bool
	// Surveyed is the surface of the fill.
	Surveyed geometry.Line
}

// Total is all that was placed, m3: the fill within the lines and beyond them.
func (p *Progress) Total() float64 {
	sum := p.Above + p.Beside + p.Undercut
	for _, z := range p.Zones {
		sum += z.Placed
	}
	return sum
}

// notBegun is how near, as a share of the stripping depth, a surveyed surface lies
// to the ground on average where the topsoil is taken not to be off yet. It is a
// judgement: half-way between stripped and not would be 0.5.
const notBegun = 0.25

// besideReach is how far outside the toes fill that was spilled or pushed over is
// looked for, m. It is a judgement: a truck's length.
const besideReach = 10.0

// Surveyed measures the dam against a survey of the fill, cut at the sections of
// q, which comes from Cut at the site. base is a survey of the ground as stripped
// and dug, trench included, nil where that of q is taken. Where fill has no ground it shows
// nothing, which Covered tells.
func Surveyed(q *Quantities, at Site, fill, base Ground) Progress {
	p := Progress{Zones: make([]ZoneProgress, len(q.Zones))}
	for i, w := range q.weighed(at.Centreline) {
		at := surveyedSection(w.Section, len(q.Zones), at.Ground, fill, base)
		for k := range p.Zones {
			p.Zones[k].Placed += w.of(at.zones[k])
			p.Zones[k].Design += w.of(at.design[k])
		}
		p.Above += w.of(at.above)
		p.Beside += w.of(at.beside)
		p.Undercut += w.of(at.undercut)
		if i < len(q.Sections) {
			p.Sections = append(p.Sections, at.SectionProgress())
		}
	}
	return p
}

// placedAt are the measures of one section.
type placedAt struct {
	zones, design           []geometry.Measure
	above, beside, undercut geometry.Measure
	covered                 float64
	notBegun                bool
	line                    geometry.Line
}

// SectionProgress is the areas of the measures.
func (a *placedAt) SectionProgress() SectionProgress {
	out := SectionProgress{
		Above: a.above.Area, Beside: a.beside.Area, Undercut: a.undercut.Area,
		Covered: a.covered, NotBegun: a.notBegun, Surveyed: a.line,
	}
	for k := range a.zones {
		out.Zones = append(out.Zones, a.zones[k].Area)
		out.Design = append(out.Design, a.design[k].Area)
	}
	return out
}

// surveyedSection measures one section.
func surveyedSection(s *Section, zones int, ground, fill, base Ground) placedAt {
	at := placedAt{zones: make([]geometry.Measure, zones), design: make([]geometry.Measure, zones)}
	for _, slabs := range s.parts() {
		for _, slab := range slabs {
			for i, t := range slab.Stack {
				if t.Label >= 0 {
					at.design[t.Label] = at.design[t.Label].Plus(slab.Measure(i))
				}
			}
		}
	}
	reach := besideReach + max(-s.UpstreamToe, s.DownstreamToe)
	at.line = s.lineOf(fill, reach)
	at.covered = coveredShare(at.line, s.UpstreamToe, s.DownstreamToe)
	if len(at.line) < 2 {
		return at
	}
	if at.notBegun = s.asItWas(at.line); at.notBegun {
		return at
	}
	for _, slabs := range s.parts() {
		for _, slab := range slabs {
			at.addBelow(slab)
		}
	}
	at.beyond(s, s.lineOf(ground, reach))
	if base != nil {
		at.dugBelow(s, s.lineOf(base, reach))
	}
	return at
}

// coveredShare is the share of the stretch from toe to toe that a line covers; 1
// where there is no dam.
func coveredShare(l geometry.Line, from, to float64) float64 {
	if !(from < to) {
		return 1
	}
	if len(l) < 2 {
		return 0
	}
	a, b := l.Span()
	return max(0, min(b, to)-max(a, from)) / (to - from)
}

// asItWas tells whether a line is the ground before stripping.
func (s *Section) asItWas(l geometry.Line) bool {
	strip := s.GroundLevel - s.StrippedLevel
	from, to := s.UpstreamToe, s.DownstreamToe
	if a, b := l.Span(); true {
		from, to = max(a, from), min(b, to)
	}
	if !(from < to) || !(strip > 0) {
		return false
	}
	off := 0.0
	geometry.Strips([]geometry.Line{s.Ground, l}, from, to, func(t geometry.Strip) { off += math.Abs(t.Measure(0, 1).Area) })
	return off < notBegun*strip*(to-from)
}

// addBelow adds what of a slab lies below the surveyed line.
func (a *placedAt) addBelow(slab geometry.Slab) {
	from, to := a.line.Span()
	from, to = max(from, slab.From), min(to, slab.To)
	for _, t := range slab.Stack {
		if t.Label < 0 {
			continue
		}
		bottom := geometry.Line{{Offset: slab.From, Elevation: t.BottomFrom}, {Offset: slab.To, Elevation: t.BottomTo}}
		top := geometry.Line{{Offset: slab.From, Elevation: t.TopFrom}, {Offset: slab.To, Elevation: t.TopTo}}
		geometry.Strips([]geometry.Line{bottom, top, a.line}, from, to, func(p geometry.Strip) {
			switch surface := p.Middle(2); {
			case surface >= p.Middle(1):
				a.zones[t.Label] = a.zones[t.Label].Plus(p.Measure(0, 1))
			case surface > p.Middle(0):
				a.zones[t.Label] = a.zones[t.Label].Plus(p.Measure(0, 2))
			}
		})
	}
}

// beyond measures what lies over the outline and beside the toes. What layers
// outside the outline have there is counted with their zones and taken off.
func (a *placedAt) beyond(s *Section, ground geometry.Line) {
	from, to := a.line.Span()
	g0, g1 := ground.Span()
	from, to = max(from, g0), min(to, g1)
	if !(from < to) || !s.Fill {
		return
	}
	toes := geometry.Interval{From: s.UpstreamToe, To: s.DownstreamToe}
	a.aboveLine(s.Outline, max(from, toes.From), min(to, toes.To), &a.above)
	// Outside the toes what hangs together with fill that stands out of the ground.
	for _, part := range geometry.Above(ground, a.line, from, to, toes).Parts {
		a.aboveLine(ground, part.From, min(part.To, toes.From), &a.beside)
		a.aboveLine(ground, max(part.From, toes.To), part.To, &a.beside)
	}
	over := placedAt{zones: make([]geometry.Measure, len(a.zones)), line: a.line}
	for _, slab := range s.Over {
		over.addBelow(slab)
	}
	for _, z := range over.zones {
		a.above = a.above.Plus(z.Times(-1))
	}
}

// aboveLine adds what of the surveyed surface lies over another line.
func (a *placedAt) aboveLine(l geometry.Line, from, to float64, sum *geometry.Measure) {
	l0, l1 := l.Span()
	geometry.Strips([]geometry.Line{l, a.line}, max(from, l0), min(to, l1), func(p geometry.Strip) {
		if p.Middle(1) > p.Middle(0) {
			*sum = sum.Plus(p.Measure(0, 1))
		}
	})
}

// dugBelow measures what was dug deeper than the design by a survey of the base.
func (a *placedAt) dugBelow(s *Section, base geometry.Line) {
	if len(base) < 2 || !s.Fill {
		return
	}
	from, to := base.Span()
	from, to = max(from, s.UpstreamToe), min(to, s.DownstreamToe)
	if !(from < to) {
		return
	}
	var below geometry.Measure
	geometry.Strips([]geometry.Line{base, s.Stripped}, from, to, func(p geometry.Strip) { below = below.Plus(p.Measure(0, 1)) })
	// The trench is dug and filled by design, as far as the survey reaches.
	high := math.Inf(-1)
	for _, k := range s.Stripped {
		high = max(high, k.Elevation)
	}
	trench := placedAt{zones: make([]geometry.Measure, len(a.zones)), line: geometry.Line{{Offset: from, Elevation: high + 1}, {Offset: to, Elevation: high + 1}}}
	for _, slab := range s.Dug {
		trench.addBelow(slab)
	}
	for _, z := range trench.zones {
		below = below.Plus(z.Times(-1))
	}
	a.undercut = below
}
