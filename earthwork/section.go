package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// Extend says what to do where the ground ends before a face meets it.
type Extend string

// The three ways.
const (
	ExtendNo    Extend = "no"    // an error
	ExtendLevel Extend = "level" // carry it on level
	ExtendSlope Extend = "slope" // carry it on at its last slope
)

// cutter cuts the sections of one dam.
type cutter struct {
	design *Design
	ground Ground
	extend Extend
	faults faults
	// extended is the farthest that the ground was carried on, by side.
	extended   [2]float64
	extendedAt [2]float64
}

// reachFactor widens the reach in which ground is asked for beyond the farthest
// toe that the lowest ground allows. It guards rounding; the reach itself is
// a bound, not an estimate.
const reachFactor = 1.001

// reach is how far from the centreline a toe can lie at most, m: down the
// flattest slope from the raised crest to below the lowest stripped ground.
func (k *cutter) reach(c crossSection) float64 {
	fall := max(0, c.crest*(1+k.design.Settlement.Allowance)-k.design.Settlement.Allowance*k.ground.Lowest()-k.ground.Lowest()) + c.strip + 1
	most := 0.0
	for _, parts := range [][]FacePart{c.up, c.down} {
		x := 0.0
		slope, over := 0.0, 0.0
		for _, p := range parts {
			slope, over = max(slope, p.Slope), max(over, p.Overbuild)
			x += p.Bench
		}
		most = max(most, x+over+slope*fall)
	}
	if t := c.trench; t != nil {
		most = max(most, math.Abs(t.Offset)+t.BottomWidth/2+t.SideSlope*(fall+math.Abs(t.Level)))
	}
	return (c.width/2 + most + 1) * reachFactor
}

// cut cuts the section at a station. It reports false when there is nothing to
// cut: no ground or no face.
func (k *cutter) cut(station float64, side Side) (Section, bool) {
	c := k.design.at(station, side)
	s := Section{Station: station, At: On, Crest: c.crest, CrestWidth: c.width}
	if !k.hasFaces(c, station) {
		return s, false
	}
	s.Ground = k.ground.Section(station, side, k.reach(c))
	if len(s.Ground) < 2 {
		k.faults.noGround(station)
		return s, false
	}
	s.Stripped = s.Ground.Lift(-c.strip)
	s.GroundLevel, _ = s.Ground.At(0)
	s.StrippedLevel = s.GroundLevel - c.strip
	k.fill(&s, c)
	return s, true
}

func (k *cutter) hasFaces(c crossSection, station float64) bool {
	if len(c.up) == 0 {
		k.faults.noFace(upstream, station)
	}
	if len(c.down) == 0 {
		k.faults.noFace(downstream, station)
	}
	return len(c.up) > 0 && len(c.down) > 0
}

// fill measures everything that lies in the section.
func (k *cutter) fill(s *Section, c crossSection) {
	set := k.design.Settlement
	s.BuiltCrest, s.SettledCrest = c.crest, c.crest
	high := c
	if set.Allowance > 0 && !set.CrestIsBuilt {
		high = c.raised(set.Allowance, s.StrippedLevel)
		s.BuiltCrest = high.crest
		if set.Basis == OnHeightToesKept || set.Basis == OnVolume {
			s.BuiltCrest = rise(c.crest, set.Allowance, s.StrippedLevel)
		}
	}
	if set.CrestIsBuilt && c.crest > s.StrippedLevel {
		s.SettledCrest = s.StrippedLevel + (c.crest-s.StrippedLevel)/(1+set.Allowance)
	}
	k.reachToes(s, c, high)
	neat := k.zoned(s, c, 0)
	s.Outline = neat.outline
	s.Shapes = neat.slabs
	s.Beyond = neat.extent.Beyond
	k.toes(s, c, neat.extent)
	k.trench(s, c)
	k.collect(s, c, high, neat)
}

// cutShape is the fill of a section under one outline.
type cutShape struct {
	outline geometry.Line
	extent  geometry.Extent
	slabs   []geometry.Slab
	zones   []geometry.Measure
	total   geometry.Measure
}

// zoned cuts the fill between the stripped ground and the outline of c into
// zones. allowance is what c was raised by.
func (k *cutter) zoned(s *Section, c crossSection, allowance float64) cutShape {
	from, to := s.Stripped.Span()
	var out cutShape
	out.outline = c.outline(from, to)
	out.extent = geometry.Above(s.Stripped, out.outline, from, to, c.crown())
	floor := lowest(s.Stripped) - 1
	zones := k.design.Zones
	if len(zones) == 0 {
		zones = []Zone{{Name: DefaultZone, Kind: Shell}}
	}
	areas := regions(zones, c, allowance, s.StrippedLevel, from, to, floor)
	var bare float64
	out.slabs, bare = zoneStack(s.Stripped, out.outline, out.extent.Parts, areas)
	if bare > smallArea {
		k.faults.uncovered(s.Station, bare)
	}
	out.zones = byZone(out.slabs, len(zones))
	if allowance == 0 {
		s.CoreOutside = outside(out, areas)
	}
	for _, m := range out.zones {
		out.total = out.total.Plus(m)
	}
	return out
}

// outside is the area of zones, as drawn, above the outline between the toes.
func outside(c cutShape, areas []region) float64 {
	sum := 0.0
	for _, r := range areas {
		if r.upper == nil {
			continue
		}
		for _, p := range c.extent.Parts {
			geometry.Strips([]geometry.Line{c.outline, r.upper}, p.From, p.To, func(t geometry.Strip) {
				sum += max(0, t.Measure(0, 1).Area)
			})
		}
	}
	return sum
}

// smallArea is an area that is too small to be worth a word, m2. It guards
// slivers from rounding; a sheet of paper is larger.
const smallArea = 1e-4

// crown is the stretch of the crest's width.
func (c crossSection) crown() geometry.Interval {
	return geometry.Interval{From: -c.width / 2, To: c.width / 2}
}

// toes notes how far the neat dam reaches.
func (k *cutter) toes(s *Section, c crossSection, e geometry.Extent) {
	s.Fill = len(e.Parts) > 0
	hull := e.Hull()
	s.UpstreamToe, s.DownstreamToe = hull.From, hull.To
	s.UpstreamToeZ, _ = s.Stripped.At(hull.From)
	s.DownstreamToeZ, _ = s.Stripped.At(hull.To)
	width := geometry.Measure{Area: hull.Width(), Moment: (hull.To*hull.To - hull.From*hull.From) / 2}
	s.Width = width
	s.Stripping = width.Times(c.strip)
}

// collect works out the allowance in its three ways, the overbuild and each
// zone's share.
func (k *cutter) collect(s *Section, c, high crossSection, neat cutShape) {
	set := k.design.Settlement
	s.Neat = neat.total
	s.Zones = make([]ZoneArea, len(neat.zones))
	built := neat
	added := set.Allowance > 0 && !set.CrestIsBuilt
	if added {
		built = k.zoned(s, high, set.Allowance)
		s.AddHeight = built.total.Plus(neat.total.Times(-1))
		s.AddToesKept = neat.total.Times(set.Allowance)
		s.AddVolume = s.AddToesKept
	}
	for i := range s.Zones {
		s.Zones[i].Neat = neat.zones[i]
		if added && set.Basis == OnHeight {
			s.Zones[i].Settlement = built.zones[i].Plus(neat.zones[i].Times(-1))
		} else if added {
			s.Zones[i].Settlement = neat.zones[i].Times(set.Allowance)
		}
	}
	s.Zones[trenchZone(k.design.Zones)].Trench = s.Trench
	if set.Basis != OnHeight {
		high, built = c, neat
	}
	k.overbuild(s, high, built)
}

// overbuild measures what lies between the built outline and the faces moved
// out by their overbuild.
func (k *cutter) overbuild(s *Section, c crossSection, built cutShape) {
	most := 0.0
	for _, p := range c.up {
		most = max(most, p.Overbuild)
	}
	for _, p := range c.down {
		most = max(most, p.Overbuild)
	}
	if most == 0 || !s.Fill {
		return
	}
	from, to := s.Stripped.Span()
	outer := c.overbuilt(from, to)
	e := geometry.Above(s.Stripped, outer, from, to, c.crown())
	lines := []geometry.Line{s.Stripped, built.outline, outer}
	for _, p := range e.Parts {
		geometry.Strips(lines, p.From, p.To, func(t geometry.Strip) {
			below := 0 // the higher of ground and outline
			if t.Middle(1) > t.Middle(0) {
				below = 1
			}
			// Where the lines are one, rounding may turn them over.
			if m := t.Measure(below, 2); m.Area > 0 {
				s.Overbuild = s.Overbuild.Plus(m)
			}
		})
	}
}

// trench measures the cutoff trench below the stripped ground and adds it to
// the section's shapes.
func (k *cutter) trench(s *Section, c crossSection) {
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
	label := trenchZone(k.design.Zones)
	for _, p := range e.Parts {
		geometry.Strips([]geometry.Line{line, s.Stripped}, p.From, p.To, func(v geometry.Strip) {
			s.Trench = s.Trench.Plus(v.Measure(0, 1))
			s.Dug = append(s.Dug, geometry.Slab{From: v.From, To: v.To, Stack: []geometry.Trapezoid{{
				Label:      label,
				BottomFrom: v.Left[0], BottomTo: v.Right[0],
				TopFrom: v.Left[1], TopTo: v.Right[1],
			}}})
		})
	}
	s.TrenchDepth = ground - bottom
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
