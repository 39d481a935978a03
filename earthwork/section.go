package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// Extend says what to do where the ground ends before a face meets it.
type Extend string

// The three ways; "" is ExtendNo.
const (
	ExtendNo    Extend = "no"    // an error
	ExtendLevel Extend = "level" // carry it on level
	ExtendSlope Extend = "slope" // carry it on at its last slope
)

// cutter cuts the sections of one dam. It serves one goroutine.
type cutter struct {
	design *Design
	zones  []placedZone
	ground Ground
	extend Extend
	low    float64 // a level that no ground lies below
	faults faults
	// extended is the farthest that the ground was carried on, by side.
	extended   [2]float64
	extendedAt [2]float64
	// outside tells whether any zone lies outside the outline.
	outside bool
	// measured stands in the place of the design's depths, with line to find it by;
	// seen is what of it was asked for last.
	measured Measured
	line     *geometry.Centreline
	seen     seenAt
	// lean is not 0 while the sections of a mitre are cut: how far they run up-station
	// for each metre of offset. The ground is Askew then.
	lean float64

	sweep sweep
	areas []region
	room  arena
	view  view
}

// newCutter places the zones of a design. The error is a ZoneRuleError.
func newCutter(d *Design, at Site) (*cutter, error) {
	k := &cutter{design: d, ground: at.Ground, extend: at.Extend, low: at.Ground.Lowest(), measured: at.Measured, line: at.Centreline}
	for _, s := range at.Measured.Stripped {
		low, _ := s.Range()
		k.low = min(k.low, low)
	}
	zones := d.Zones
	if len(zones) == 0 {
		zones = []Zone{{Name: DefaultZone, Kind: Shell}}
	}
	var err error
	k.zones, err = placed(zones)
	for i := range k.zones {
		k.outside = k.outside || k.zones[i].Outside
	}
	return k, err
}

// reachFactor widens the reach in which ground is asked for beyond the farthest
// toe that the lowest ground allows. It guards rounding; the reach itself is
// a bound, not an estimate.
const reachFactor = 1.001

// reach is how far from the centreline a toe can lie at most, m: down the
// flattest slope from the raised crest to below the lowest stripped ground.
func (k *cutter) reach(c crossSection) float64 {
	a := k.design.Settlement.Allowance
	fall := max(0, c.crest*(1+a)-a*k.low-k.low) + c.strip + 1
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
		deep := t.Level
		if !c.byDepth {
			deep = max(0, c.crest-t.Level)
		}
		most = max(most, math.Abs(t.Offset)+t.BottomWidth/2+t.SideSlope*(fall+deep))
	}
	return (c.width/2 + most + 1) * reachFactor
}

// cut cuts the section at a station. It reports false when there is nothing to
// cut: no ground or no face.
func (k *cutter) cut(station float64, side Side) (Section, bool) {
	s, c, ok := k.begin(station, side)
	if ok {
		k.fill(&s, c)
	}
	return s, ok
}

// middle cuts a section for its neat areas and the trench's alone: what the
// prismoidal formula and the halving of reaches ask for.
func (k *cutter) middle(station float64) (Section, bool) {
	s, neat, ok := k.toed(station)
	if !ok {
		return s, false
	}
	k.zoned(&s, &neat, 0, false)
	s.Neat = k.total()
	s.Zones = make([]ZoneArea, len(k.zones))
	for i := range s.Zones {
		s.Zones[i].Neat = k.sweep.zones[i]
	}
	return s, true
}

// toed is the section at a station with its ground and toes, and nothing else.
func (k *cutter) toed(station float64) (Section, shape, bool) {
	s, c, ok := k.begin(station, JustBefore)
	if !ok {
		return s, shape{}, false
	}
	neat := k.shape(&s, c)
	if neat.openLeft || neat.openRight {
		k.reachToes(&s, c, c)
		neat = k.shape(&s, c)
	}
	k.toes(&s, c, neat.extent)
	return s, neat, true
}

// begin begins the section at a station with its ground.
func (k *cutter) begin(station float64, side Side) (Section, crossSection, bool) {
	k.room.reset()
	c := k.design.at(station, side)
	if t := k.moveOut(c); t != nil {
		c.outer = t
	}
	s := Section{Station: station, At: On, side: side, lean: k.lean, Crest: c.crest, CrestWidth: c.width}
	if !k.hasFaces(c, station) {
		return s, c, false
	}
	reach := c
	if c.outer != nil {
		reach.up, reach.down = c.outer.up, c.outer.down
	}
	s.Ground = s.lineOf(k.ground, k.reach(reach))
	if len(s.Ground) < 2 {
		k.faults.noGround(station)
		return s, c, false
	}
	s.Stripped = k.strippedOf(s.Ground, station, side, c)
	s.GroundLevel, _ = s.Ground.At(0)
	s.StrippedLevel = s.GroundLevel - c.strip
	if len(k.measured.Stripped) > 0 {
		s.StrippedLevel, _ = s.Stripped.At(0)
	}
	return s, c, true
}

// lineOf is a ground's line in the section, within reach of the centreline. Ground
// that cannot be cut askew is cut square.
func (s *Section) lineOf(g Ground, reach float64) geometry.Line {
	if a, ok := g.(Askew); ok && s.lean != 0 {
		return a.SectionAskew(s.Station, s.side, reach, s.lean)
	}
	return g.Section(s.Station, s.side, reach)
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
	added := set.Allowance > 0 && !set.CrestIsBuilt
	high := c
	if added {
		high = c.raised(set.Allowance, s.StrippedLevel)
		s.BuiltCrest = high.crest
	}
	if set.CrestIsBuilt && c.crest > s.StrippedLevel {
		s.SettledCrest = s.StrippedLevel + (c.crest-s.StrippedLevel)/(1+set.Allowance)
	}
	neat := k.shape(s, c)
	built := neat
	if added {
		built = k.shape(s, high)
	}
	if neat.openLeft || neat.openRight || built.openLeft || built.openRight {
		k.reachToes(s, c, high)
		neat = k.shape(s, c)
		built = neat
		if added {
			built = k.shape(s, high)
		}
	}
	k.toes(s, c, neat.extent)
	s.Outline, s.Beyond = neat.outline, neat.extent.Beyond
	s.Zones = make([]ZoneArea, len(k.zones))
	k.neat(s, &neat)
	if added {
		k.allow(s, &neat, &built)
	}
	k.trench(s, c)
	if set.Basis != OnHeight {
		built = neat
	}
	k.overbuild(s, &built)
}

// neat measures the zones of the neat dam, those outside it, and the surfaces
// of its layers.
func (k *cutter) neat(s *Section, neat *shape) {
	v := k.zoned(s, neat, 0, true)
	w := &k.sweep
	s.Shapes = w.stacks()
	if w.uncovered > smallArea {
		k.faults.uncovered(UncoveredError{Station: s.Station, Area: w.uncovered})
	}
	for i := range s.Zones {
		s.Zones[i].Neat, s.Zones[i].CutOff = w.zones[i], w.above[i]
		if k.zones[i].Kind == Core {
			s.CoreOutside += w.above[i]
		}
	}
	s.Neat = k.total()
	// A crest that just touches the ground has no area, yet a top to cover.
	if s.meets() {
		v.surfaces(k.zones, s.Zones)
		k.over(s, neat, v)
	}
}

// total is the sum of the zones that were swept last.
func (k *cutter) total() geometry.Measure {
	var sum geometry.Measure
	for _, m := range k.sweep.zones {
		sum = sum.Plus(m)
	}
	return sum
}

// over measures the layers outside the outline.
func (k *cutter) over(s *Section, neat *shape, v *view) {
	if !k.outside {
		return
	}
	v.up = v.up.toToe(-v.toes.From, v.room)
	v.down = v.down.toToe(v.toes.To, v.room)
	k.draw(v, true)
	w := &k.sweep
	w.start([]geometry.Line{s.Stripped, neat.outline}, nil, k.areas, true)
	for _, p := range neat.outer.Parts {
		w.run(p.From, p.To)
	}
	if len(neat.outer.Parts) == 0 {
		w.run(v.toes.From, v.toes.To)
	}
	s.Over = w.stacks()
	for i := range s.Zones {
		s.Zones[i].Outside = w.zones[i]
	}
	s.Outside = k.total()
}

// allow measures what the settlement allowance adds, in its three ways. The
// share of each zone is that of the basis that the design names.
func (k *cutter) allow(s *Section, neat, built *shape) {
	set := k.design.Settlement
	s.AddToesKept = s.Neat.Times(set.Allowance)
	s.AddVolume = s.AddToesKept
	k.zoned(s, built, set.Allowance, false)
	s.AddHeight = k.total().Plus(s.Neat.Times(-1))
	for i := range s.Zones {
		z := &s.Zones[i]
		if set.Basis == OnHeight {
			z.Settlement = k.sweep.zones[i].Plus(z.Neat.Times(-1))
		} else {
			z.Settlement = z.Neat.Times(set.Allowance)
		}
	}
	switch set.Basis {
	case OnHeight:
		s.Raised = built.outline
	case OnHeightToesKept:
		s.Raised = stretched(s, neat, set.Allowance)
	}
}

// stretched is the outline raised everywhere by the allowance times its height
// over the stripped ground.
func stretched(s *Section, neat *shape, allowance float64) geometry.Line {
	hull := neat.extent.Hull()
	var out geometry.Line
	geometry.Strips([]geometry.Line{s.Stripped, neat.outline}, hull.From, hull.To, func(t geometry.Strip) {
		left := geometry.Knot{Offset: t.From, Elevation: t.Left[1] + allowance*max(0, t.Left[1]-t.Left[0])}
		if n := len(out); n == 0 || out[n-1] != left {
			out = append(out, left)
		}
		out = append(out, geometry.Knot{Offset: t.To, Elevation: t.Right[1] + allowance*max(0, t.Right[1]-t.Right[0])})
	})
	return out
}

// smallArea is an area that is too small to be worth a word, m2. It guards
// slivers from rounding; a sheet of paper is larger.
const smallArea = 1e-4

// shape is the dam's outline over the section's stripped ground.
type shape struct {
	c        crossSection
	up, down faceLine
	outline  geometry.Line
	extent   geometry.Extent
	// outer is the extent with overbuild and the layers outside the outline;
	// openLeft and openRight say that it does not meet the ground.
	outer               geometry.Extent
	openLeft, openRight bool
}

// shape draws the outline of c over the section's ground.
func (k *cutter) shape(s *Section, c crossSection) shape {
	from, to := s.Stripped.Span()
	h := shape{c: c}
	h.up = c.faceOn(k.room.face(2*len(c.up)+1), c.up, -from)
	h.down = c.faceOn(k.room.face(2*len(c.down)+1), c.down, to)
	h.outline = joinedFaces(h.up, h.down)
	h.extent = geometry.Above(s.Stripped, h.outline, from, to, c.crown())
	h.outer = h.extent
	if c.outer != nil {
		out := c
		out.up, out.down = c.outer.up, c.outer.down
		if c.crest != c.outer.crest { // the section was raised since
			out = k.moved(c)
		}
		h.outer = geometry.Above(s.Stripped, k.overLayers(&h, out.overbuilt(from, to), from, to), from, to, c.crown())
	}
	h.openLeft, h.openRight = h.outer.OpenLeft, h.outer.OpenRight
	return h
}

// zoned sweeps the fill between the stripped ground and an outline into zones.
// allowance is what the outline was raised by. The sweep holds the answer until
// the next one.
func (k *cutter) zoned(s *Section, h *shape, allowance float64, keep bool) *view {
	from, to := s.Stripped.Span()
	v := &k.view
	*v = view{
		room: &k.room, c: h.c, up: h.up, down: h.down, stripped: s.Stripped, from: from, to: to,
		floor: lowest(s.Stripped) - 1, toes: h.extent.Hull(), allowance: allowance, ground: s.StrippedLevel,
	}
	k.draw(v, false)
	k.sweep.start([]geometry.Line{s.Stripped}, h.outline, k.areas, keep)
	for _, p := range h.extent.Parts {
		k.sweep.run(p.From, p.To)
	}
	return v
}

// draw draws all zones of a view, inside or outside the outline.
func (k *cutter) draw(v *view, outside bool) {
	k.areas = k.areas[:0]
	for i := range k.zones {
		k.areas = append(k.areas, v.region(&k.zones[i], outside))
	}
}

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
	s.Width = geometry.Measure{Area: hull.Width(), Moment: (hull.To*hull.To - hull.From*hull.From) / 2}
	k.stripping(s, c)
}
