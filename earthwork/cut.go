package earthwork

import (
	"errors"
	"math"

	"github.com/damtally/damtally/geometry"
)

// Site is where a dam stands: its ground, and the centreline in plan when that
// is known (nil = straight).
type Site struct {
	Ground     Ground
	Centreline *geometry.Centreline
	Extend     Extend // what to do where the ground ends before the toe
	Measured   Measured
}

// Cut cuts the dam into sections along the ground and adds them up. Stations of
// ground, centreline and design are the same ones.
//
// The design needs a crest and, at every station, a part of each face; slopes
// above zero; stations in rising order. The error is one of this package's
// error types or several of them joined.
func Cut(d Design, at Site) (Quantities, error) {
	if err := d.Check(); err != nil {
		return Quantities{}, err
	}
	k, err := newCutter(&d, at)
	if err != nil {
		return Quantities{}, err
	}
	from, to, err := d.stretch(at.Ground)
	if err != nil {
		return Quantities{}, err
	}
	var q Quantities
	places := k.places(at.Centreline, from, to)
	cuts := make([]Section, len(places))
	holds := make([]bool, len(places))
	k.each(len(places), func(k *cutter, i int) { cuts[i], holds[i] = k.cut(places[i].station, places[i].side) })
	for i, s := range cuts {
		if !holds[i] {
			continue
		}
		s.At = places[i].place
		if n := len(q.Sections); n > 0 {
			q.Sections = append(q.Sections, k.between(&q.Sections[n-1], &s)...)
		}
		q.Sections = append(q.Sections, s)
	}
	if list := k.faults.list(); len(list) > 0 {
		return Quantities{}, errors.Join(list...)
	}
	if err := aboveGround(q.Sections); err != nil {
		return Quantities{}, err
	}
	if at.Ground.Stations() == nil {
		q.Sections = trimmed(q.Sections)
	}
	plain := len(q.Sections)
	q.Sections = k.withLayerEnds(q.Sections)
	q.LayerEnds = len(q.Sections) - plain
	if d.Accuracy > 0 {
		q.Sections, q.Refined = k.refine(q.Sections)
	}
	q.sum(k, at.Centreline)
	if list := append(k.faults.list(), k.judge(&q)...); len(list) > 0 {
		return Quantities{}, errors.Join(list...)
	}
	q.warn(k, at.Centreline)
	return q, nil
}

// stretch is the stations that ground and crest have in common.
func (d *Design) stretch(g Ground) (from, to float64, err error) {
	from, to = g.Extent()
	if n := len(d.Crest); n > 1 {
		a, b := d.Crest[0].Station, d.Crest[n-1].Station
		if max(from, a) >= min(to, b) {
			return 0, 0, &NoReachError{from, to, a, b}
		}
		from, to = max(from, a), min(to, b)
	}
	return from, to, nil
}

// aboveGround returns a BelowGroundError when no section has any fill.
func aboveGround(sections []Section) error {
	closest := &BelowGroundError{By: math.Inf(1)}
	for _, s := range sections {
		if s.Fill {
			return nil
		}
		if by := s.StrippedLevel - s.Crest; by < closest.By {
			closest.Closest, closest.By = s.Station, by
		}
	}
	return closest
}

// endTolerance is how closely the station is found at which the fill runs out,
// m. It guards the end of the bisection; the volume it leaves open is that of a
// slice thinner than a hair.
const endTolerance = 1e-7

// ends returns the section or sections to stand between two neighbours where
// the dam ends between them: a section with nothing in it on the empty side of
// the end, and on the other side the end section itself unless a or b is it.
// The search is by bisection, since at a step of the ground the height may jump.
func (k *cutter) ends(a, b *Section) []Section {
	if a.meets() == b.meets() || b.Station-a.Station <= sameStation {
		return nil
	}
	bare, full := a.Station, b.Station
	if a.meets() {
		bare, full = full, bare
	}
	for math.Abs(full-bare) > endTolerance {
		mid := (bare + full) / 2
		if k.rises(mid) {
			full = mid
		} else {
			bare = mid
		}
	}
	switch {
	case math.Abs(full-a.Station) <= sameStation:
		a.At = Before
		return []Section{k.emptied(*a, After)}
	case math.Abs(full-b.Station) <= sameStation:
		b.At = After
		return []Section{k.emptied(*b, Before)}
	}
	return k.endSections(full, a.meets())
}

// meets tells whether there is a dam here, or a crest that just touches the
// ground.
func (s *Section) meets() bool { return s.Width.Area > 0 }

// rises tells whether any of the crest's width lies above the stripped ground.
func (k *cutter) rises(station float64) bool {
	c := k.design.at(station, JustBefore)
	line := k.strippedOf(k.ground.Section(station, JustBefore, c.width/2+1), station, JustBefore, c)
	if len(line) < 2 {
		return false
	}
	from, to := line.Span()
	from, to = max(from, -c.width/2), min(to, c.width/2)
	level := geometry.Line{{Offset: from, Elevation: c.crest}, {Offset: to, Elevation: c.crest}}
	return len(geometry.Above(line, level, from, to, c.crown()).Parts) > 0
}

// endSections cuts the section where the fill ends.
func (k *cutter) endSections(station float64, fillBefore bool) []Section {
	s, ok := k.cut(station, JustBefore)
	if !ok {
		return nil
	}
	if fillBefore {
		s.At = Before
		return []Section{s, k.emptied(s, After)}
	}
	s.At = After
	return []Section{k.emptied(s, Before), s}
}

// emptied is the section's ground with no dam on it. A trench that has stations
// of its own stays; one that runs as long as the dam ends with it.
func (k *cutter) emptied(s Section, at Place) Section {
	e := Section{
		Station: s.Station, At: at, Ground: s.Ground, Stripped: s.Stripped, Outline: s.Outline,
		GroundLevel: s.GroundLevel, StrippedLevel: s.StrippedLevel,
		Crest: s.Crest, CrestWidth: s.CrestWidth, BuiltCrest: s.Crest, SettledCrest: s.Crest,
		UpstreamToeZ: s.StrippedLevel, DownstreamToeZ: s.StrippedLevel,
		Zones: make([]ZoneArea, len(s.Zones)),
	}
	if len(k.design.Trench.Points) > 1 || s.DugSeen {
		e.DugSeen = s.DugSeen
		e.Trench, e.TrenchDepth, e.Dug = s.Trench, s.TrenchDepth, s.Dug
		for i, z := range s.Zones {
			e.Zones[i].Trench = z.Trench
		}
	}
	return e
}

// trimmed drops the sections beyond the dam's ends that hold nothing.
func trimmed(sections []Section) []Section {
	holds := func(s *Section) bool { return s.meets() || s.Trench.Area > 0 }
	first, last := 0, len(sections)-1
	for !holds(&sections[first]) {
		first++
	}
	for !holds(&sections[last]) {
		last--
	}
	sections = sections[first : last+1]
	sections[0].At, sections[len(sections)-1].At = On, On
	return sections
}
