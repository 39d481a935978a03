package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// region is a zone in one section: what lies below upper and above lower.
// A nil line is no limit on its side.
type region struct {
	lower, upper geometry.Line
}

// regions returns the zones of a section in order of priority, over from..to.
// floor lies below everything that is cut. With allowance a the zones' own tops
// rise by a times their height over the level g.
func regions(zones []Zone, c crossSection, a, g, from, to, floor float64) []region {
	out := make([]region, len(zones))
	for i, z := range zones {
		if z.Kind == Core {
			out[i] = z.coreRegion(coreTop(z, c.crest, a, g), from, to, floor)
		}
	}
	return out
}

// coreTop is the elevation of a core's top. crest is the crest as cut, which
// already holds the allowance.
func coreTop(z Zone, crest, a, g float64) float64 {
	if z.ByElevation {
		return rise(z.TopElevation, a, g)
	}
	// The depth below the crest is the settled dam's; in the raised section it
	// grows with the height like everything else.
	settled := crest
	if crest > g {
		settled = g + (crest-g)/(1+a)
	}
	return rise(settled-z.TopBelowCrest, a, g)
}

// coreRegion is a core with its top at a level, cut off at the floor. A slope
// of zero is an upright side. A negative slope leans inwards as it goes down,
// so that there is ground of another zone below that side.
func (z Zone) coreRegion(top, from, to, floor float64) region {
	var r region
	up := side(z.TopWidth/2, z.UpstreamSlope, top, floor)
	down := side(z.TopWidth/2, z.DownstreamSlope, top, floor)
	for i := range up {
		up[i].Offset = -up[i].Offset
	}
	// Offsets rise from the upstream foot over the top to the downstream foot.
	for i := len(up) - 1; i >= 0; i-- {
		r.upper = append(r.upper, up[i])
	}
	r.upper = append(r.upper, down...)
	r.upper = spanning(r.upper, from, to, floor)
	r.lower = under(z, top, from, to, floor)
	return r
}

// side is a core's side from its top edge down to the floor, offsets positive
// outwards; only what is seen from above, so an overhanging side is upright.
func side(half, slope, top, floor float64) geometry.Line {
	foot := half + max(0, slope)*(top-floor)
	return geometry.Line{{Offset: half, Elevation: top}, {Offset: foot, Elevation: floor}}
}

// under is the line below which an overhanging core is no longer core; nil
// when neither side overhangs.
func under(z Zone, top, from, to, floor float64) geometry.Line {
	if z.UpstreamSlope >= 0 && z.DownstreamSlope >= 0 {
		return nil
	}
	below := floor - 1
	var lines []geometry.Line
	add := func(slope, sign float64) {
		if slope >= 0 {
			return
		}
		inner := z.TopWidth/2 + slope*(top-floor) // may lie beyond the middle
		l := geometry.Line{{Offset: inner, Elevation: floor}, {Offset: z.TopWidth / 2, Elevation: top}}
		if sign < 0 {
			l = l.Mirror()
		}
		lines = append(lines, spanning(l, from, to, below))
	}
	add(z.UpstreamSlope, -1)
	add(z.DownstreamSlope, 1)
	return highest(lines, from, to)
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

// trenchZone is the zone whose material fills the cutoff trench: the first
// core, or without one the zone of highest priority.
func trenchZone(zones []Zone) int {
	for i, z := range zones {
		if z.Kind == Core {
			return i
		}
	}
	return 0
}

// zoneStack cuts the fill of a section into labelled trapezoids. It lies between
// the lines lower and upper over each part; each point of it belongs to the
// first zone that covers it. uncovered receives the area that no zone covers.
func zoneStack(lower, upper geometry.Line, parts []geometry.Interval, regions []region) (slabs []geometry.Slab, uncovered float64) {
	lines := []geometry.Line{lower, upper}
	index := make([][2]int, len(regions)) // each region's lower and upper line, 0 = none
	for i, r := range regions {
		if r.lower != nil {
			index[i][0] = len(lines)
			lines = append(lines, r.lower)
		}
		if r.upper != nil {
			index[i][1] = len(lines)
			lines = append(lines, r.upper)
		}
	}
	s := stacker{index: index, order: make([]int, len(lines))}
	for _, p := range parts {
		geometry.Strips(lines, p.From, p.To, s.add)
	}
	return s.slabs, s.uncovered
}

// stacker turns strips into slabs.
type stacker struct {
	index     [][2]int
	order     []int
	slabs     []geometry.Slab
	uncovered float64
}

// add stacks one strip: the lines between the fill's bottom (line 0) and top
// (line 1) cut it into layers, and each layer takes the zone at its middle.
func (s *stacker) add(strip geometry.Strip) {
	bottom, top := strip.Middle(0), strip.Middle(1)
	if !(top > bottom) {
		return
	}
	order := s.order[:0]
	for i := range strip.Left {
		if m := strip.Middle(i); i > 1 && m > bottom && m < top {
			order = append(order, i)
		}
	}
	sortByMiddle(order, strip)
	order = append(order, 1)
	slab := geometry.Slab{From: strip.From, To: strip.To, Stack: make([]geometry.Trapezoid, 0, len(order))}
	below := 0
	for _, above := range order {
		label := s.label(strip, (strip.Middle(below)+strip.Middle(above))/2)
		slab.Stack = appendLayer(slab.Stack, geometry.Trapezoid{
			Label:      label,
			BottomFrom: strip.Left[below], BottomTo: strip.Right[below],
			TopFrom: strip.Left[above], TopTo: strip.Right[above],
		})
		if label < 0 {
			s.uncovered += strip.Measure(below, above).Area
		}
		below = above
	}
	s.slabs = append(s.slabs, slab)
}

// label is the first zone that covers the elevation z at the strip's middle,
// -1 when none does.
func (s *stacker) label(strip geometry.Strip, z float64) int {
	for i, at := range s.index {
		if (at[0] == 0 || z > strip.Middle(at[0])) && (at[1] == 0 || z < strip.Middle(at[1])) {
			return i
		}
	}
	return -1
}

// appendLayer adds a layer, joined with the one below when both are of one zone.
func appendLayer(stack []geometry.Trapezoid, t geometry.Trapezoid) []geometry.Trapezoid {
	if n := len(stack); n > 0 && stack[n-1].Label == t.Label {
		stack[n-1].TopFrom, stack[n-1].TopTo = t.TopFrom, t.TopTo
		return stack
	}
	return append(stack, t)
}

// sortByMiddle sorts a few line numbers by their height in the strip, ties by
// number; insertion sort, since there are rarely more than a handful.
func sortByMiddle(order []int, strip geometry.Strip) {
	for i := 1; i < len(order); i++ {
		for j := i; j > 0 && strip.Middle(order[j]) < strip.Middle(order[j-1]); j-- {
			order[j], order[j-1] = order[j-1], order[j]
		}
	}
}

// byZone sums the slabs' measures by label.
func byZone(slabs []geometry.Slab, zones int) []geometry.Measure {
	out := make([]geometry.Measure, zones)
	for _, s := range slabs {
		for i, t := range s.Stack {
			if t.Label >= 0 {
				out[t.Label] = out[t.Label].Plus(s.Measure(i))
			}
		}
	}
	return out
}

// lowest is the lowest elevation of a line.
func lowest(l geometry.Line) float64 {
	low := math.Inf(1)
	for _, k := range l {
		low = min(low, k.Elevation)
	}
	return low
}
