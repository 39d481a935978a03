package earthwork

import (
	"cmp"
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
)

// layerEnd is a place at which a layer begins, ends or stops to grow along the
// dam: where level is 0. By average end area a thin layer is far off without a
// section there, since its area changes from nothing to all of it between two
// sections, or bends in a corner.
type layerEnd struct {
	what  layerEndKind
	side  int     // upstream or downstream
	value float64 // m
}

// layerEndKind says what the value of a layerEnd is.
type layerEndKind int

const (
	toeAtLevel  layerEndKind = iota // the toe lies at an elevation
	toeAtBench                      // the toe lies at the elevation of a bench
	toeAtOffset                     // the toe lies at an offset
	crestDeep                       // the crest stands a depth over the stripped ground
)

// of is how far a section is from the place; its sign changes there.
func (e layerEnd) of(s *Section) float64 {
	toe, z := s.UpstreamToe, s.UpstreamToeZ
	if e.side == downstream {
		toe, z = s.DownstreamToe, s.DownstreamToeZ
	}
	switch e.what {
	case toeAtLevel, toeAtBench:
		return z - e.value
	case toeAtOffset:
		return toe - e.value
	}
	return heightOf(s) - e.value
}

// layerEnds are the places of all layers of the design, each once.
func (k *cutter) layerEnds() []layerEnd {
	var out []layerEnd
	for i := range k.zones {
		z := &k.zones[i]
		switch {
		case z.Kind == Cover && z.Side == CrestSide:
			if !z.Outside {
				out = append(out, layerEnd{what: crestDeep, value: z.Thickness})
			}
		case z.onFace():
			side, parts := upstream, k.design.Upstream
			if z.Side == DownstreamSide {
				side, parts = downstream, k.design.Downstream
			}
			for _, level := range []float64{z.FromElevation, z.ToElevation} {
				out = append(out, layerEnd{toeAtLevel, side, level})
			}
			for _, p := range parts {
				if p.Bench > 0 {
					out = append(out, layerEnd{toeAtBench, side, p.ToElevation})
				}
			}
		case z.Form == Blanket && (z.Kind == Filter || z.Kind == Drain):
			for _, offset := range []float64{z.FromOffset, z.ToOffset} {
				out = append(out, layerEnd{toeAtOffset, upstream, offset}, layerEnd{toeAtOffset, downstream, offset})
			}
		}
	}
	out = slices.DeleteFunc(out, func(e layerEnd) bool { return math.IsInf(e.value, 0) })
	slices.SortFunc(out, func(a, b layerEnd) int {
		return cmp.Or(cmp.Compare(a.what, b.what), cmp.Compare(a.side, b.side), cmp.Compare(a.value, b.value))
	})
	return slices.Compact(out)
}

// withLayerEnds returns the sections with those at the ends of layers between them.
func (k *cutter) withLayerEnds(sections []Section) []Section {
	ends := k.layerEnds()
	if len(ends) == 0 {
		return sections
	}
	out := sections[:1:1]
	for i := 1; i < len(sections); i++ {
		a, b := &sections[i-1], &sections[i]
		for _, station := range k.crossings(ends, a, b) {
			out = append(out, k.atLayerEnd(station)...)
		}
		out = append(out, *b)
	}
	return out
}

// steppedWidth is by how much the dam's width must jump within layerEndTolerance of
// a station to be a step, m: where level ground meets a bench, all of the bench
// begins at once, and what covers it with it.
const steppedWidth = 0.01

// atLayerEnd cuts the section at the end of a layer, or the one before and the one
// after where the dam's width steps.
func (k *cutter) atLayerEnd(station float64) []Section {
	a, okA := k.cut(station-layerEndTolerance, JustBefore)
	b, okB := k.cut(station+layerEndTolerance, JustBefore)
	if okA && okB && math.Abs(a.Width.Area-b.Width.Area) > steppedWidth {
		a.Station, a.At = station, Before
		b.Station, b.At = station, After
		return []Section{a, b}
	}
	s, ok := k.cut(station, JustBefore)
	if !ok {
		return nil // the fault is noted
	}
	return []Section{s}
}

// leastReach is how long a reach must be for a section between its ends, m: nobody
// stakes closer.
const leastReach = closestSections

// crossings are the stations between two sections at which layers end, rising.
func (k *cutter) crossings(ends []layerEnd, a, b *Section) []float64 {
	if b.Station-a.Station < 2*leastReach || !a.meets() || !b.meets() {
		return nil
	}
	var out []float64
	for _, e := range ends {
		fa, fb := e.of(a), e.of(b)
		if fa*fb >= 0 {
			continue
		}
		if s, ok := k.crossing(e, a.Station, b.Station, fa, fb); ok {
			out = append(out, s)
		}
	}
	slices.Sort(out)
	from := a.Station
	return slices.DeleteFunc(out, func(s float64) bool {
		if s-from < leastReach || b.Station-s < leastReach {
			return true
		}
		from = s
		return false
	})
}

// The limits of the search for a layer's end: how closely its station is found, m,
// and after how many trials it is given up. They guard its end where the ground
// steps; elsewhere the search takes fewer than ten.
const (
	layerEndTolerance = 1e-4
	layerEndTrials    = 60
)

// crossing finds where a layer ends between two stations at which it is fa and fb
// away, of unlike sign: by false position, halving the weight of an end that stays
// (the Illinois rule). It reports false where the design has no section.
func (k *cutter) crossing(e layerEnd, a, b, fa, fb float64) (float64, bool) {
	kept := 0
	for range layerEndTrials {
		mid := (a*fb - b*fa) / (fb - fa)
		if !(mid > a && mid < b) {
			mid = (a + b) / 2
		}
		s, _, ok := k.toed(mid)
		if !ok {
			return 0, false
		}
		f := e.of(&s)
		switch {
		case math.Abs(f) < geometry.SameLevel || b-a < layerEndTolerance:
			return mid, true
		case f*fa > 0:
			a, fa = mid, f
			if kept == 1 {
				fb /= 2
			}
			kept = 1
		default:
			b, fb = mid, f
			if kept == -1 {
				fa /= 2
			}
			kept = -1
		}
	}
	return (a + b) / 2, true
}
