package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// sectionCell is one section in its cell.
type sectionCell struct {
	*Sheet
	t     *sectionSheets
	c     *earthwork.Section
	room  orb.Bound
	plot  orb.Bound
	x0    float64 // offset at the plot's left
	z0    float64 // elevation at its foot
	x, z  geometry.Interval
	scale float64
}

// cell draws one section.
func (t *sectionSheets) cell(s *Sheet, c *earthwork.Section, room orb.Bound) {
	k := &sectionCell{Sheet: s, t: t, c: c, room: room, scale: t.scale.perMetre}
	k.x, k.z = extentOf(c)
	wide, tall := (k.x.To-k.x.From)*k.scale, (k.z.To-k.z.From)*k.scale
	left := room.Min[0] + cellAxis
	mid := (left + room.Max[0] - cellGap) / 2
	foot := room.Max[1] - cellFoot
	free := (foot - (room.Min[1] + cellHead) - tall) / 2
	k.plot = orb.Bound{Min: orb.Point{mid - wide/2, foot - free - tall}, Max: orb.Point{mid + wide/2, foot - free}}
	k.x0, k.z0 = k.x.From, k.z.From
	k.grid()
	k.zones()
	k.lines()
	k.head()
	k.marks()
}

func (k *sectionCell) at(x, z float64) orb.Point {
	return orb.Point{k.plot.Min[0] + (x-k.x0)*k.scale, k.plot.Max[1] - (z-k.z0)*k.scale}
}

func (k *sectionCell) placed(l geometry.Line) orb.LineString {
	out := make(orb.LineString, len(l))
	for i, n := range l {
		out[i] = k.at(n.Offset, n.Elevation)
	}
	return out
}

// grid draws elevations and offsets.
func (k *sectionCell) grid() {
	k.on("grid")
	u := k.t.d.system.Length
	var lines []orb.LineString
	step := niceStep(u.FromSI(18 / k.scale))
	for n := math.Ceil(u.FromSI(k.z.From) / step); u.ToSI(n*step) <= k.z.To; n++ {
		p, q := k.at(k.x.From, u.ToSI(n*step)), k.at(k.x.To, u.ToSI(n*step))
		lines = append(lines, orb.LineString{p, q})
		k.write(words{at: orb.Point{p[0] - 3, p[1] + 2}, text: units.Number(n*step, decimalsOf(step)), size: 6, ink: dark, anchor: atEnd})
	}
	step = niceStep(u.FromSI(34 / k.scale))
	for n := math.Ceil(u.FromSI(k.x.From) / step); u.ToSI(n*step) <= k.x.To; n++ {
		p, q := k.at(u.ToSI(n*step), k.z.From), k.at(u.ToSI(n*step), k.z.To)
		lines = append(lines, orb.LineString{p, q})
		k.write(words{at: orb.Point{p[0], k.plot.Max[1] + 9}, text: units.Number(n*step, decimalsOf(step)), size: 6, ink: dark, anchor: atMiddle})
	}
	k.line(gridPen, lines...)
}

// zones fills the zones of the dam, of the trench and of the layers outside.
func (k *sectionCell) zones() {
	k.on("zones")
	var edges []orb.LineString
	for i, p := range k.t.patterns {
		for _, slabs := range [][]geometry.Slab{k.c.Dug, k.c.Shapes, k.c.Over} {
			var rings []orb.LineString
			for _, r := range zoneRings(slabs, i) {
				ring := make(orb.LineString, len(r))
				for n, q := range r {
					ring[n] = k.at(q[0], q[1])
				}
				rings = append(rings, ring)
			}
			if len(rings) > 0 {
				k.fillWith(p, rings)
				edges = append(edges, rings...)
			}
		}
	}
	k.outline(thin, edges...)
}

// lines draws ground, stripped ground, the outline as built and the centreline.
func (k *sectionCell) lines() {
	k.on("section")
	k.line(strippedPen, k.placed(within(k.c.Stripped, k.x)))
	k.guarded(groundPen, k.placed(within(k.c.Ground, k.x)))
	if built := k.built(); len(built) > 1 {
		k.guarded(builtPen, k.placed(built))
	}
	k.guarded(medium, k.placed(within(k.c.Outline, geometry.Interval{From: k.c.UpstreamToe, To: k.c.DownstreamToe})))
	if u := plan.UnderTrench(k.c); len(u) > 1 {
		k.guarded(thin, k.placed(u))
	}
	top := k.at(0, k.z.To)
	k.guarded(pen{width: 0.5, ink: dark, dash: []float64{8, 2, 1.5, 2}}, orb.LineString{{top[0], k.plot.Min[1] - 3}, {top[0], k.plot.Max[1]}})
}

// built is the outline as built, as far as it lies above the stripped ground.
func (k *sectionCell) built() geometry.Line {
	if len(k.c.Raised) < 2 {
		return nil
	}
	from, to := k.c.Raised.Span()
	a, b := k.c.Stripped.Span()
	crown := geometry.Interval{From: -k.c.CrestWidth / 2, To: k.c.CrestWidth / 2}
	hull := geometry.Above(k.c.Stripped, k.c.Raised, max(from, a), min(to, b), crown).Hull()
	if !(hull.To > hull.From) {
		return nil
	}
	return within(k.c.Raised, hull)
}

// head writes station and areas over the section.
func (k *sectionCell) head() {
	k.on("names")
	u := k.t.d.system
	at := orb.Point{k.room.Min[0] + 8, k.room.Min[1] + 11}
	title := "Station " + u.Station(k.c.Station)
	if k.c.At != earthwork.On {
		title += " (" + string(k.c.At) + ")"
	}
	k.write(words{at: at, text: title, size: loudWords, bold: true})
	decimals := 0
	if u.Name != "us" {
		decimals = 1
	}
	area := func(m2 float64) string { return with(u.Area, m2, decimals) }
	text := "fill " + area(k.c.Neat.Area)
	if k.c.Trench.Area > 0 {
		text += ", trench " + area(k.c.Trench.Area)
	}
	if k.c.Outside.Area > 0 {
		text += ", outside the outline " + area(k.c.Outside.Area)
	}
	if k.t.d.betweenSurveyed(k.c.Station) {
		text += "; its ground lies between surveyed stations"
	}
	width := k.room.Max[0] - k.room.Min[0] - 16
	x := at[0] + textWidth(title, loudWords, true) + 10
	k.write(words{at: orb.Point{x, at[1]}, text: shortened(text, smallWords, false, k.room.Max[0]-8-x), size: smallWords})
	zones := ""
	for i, z := range k.t.d.r.Quantities.Zones {
		if i >= len(k.c.Zones) {
			break
		}
		a := k.c.Zones[i]
		if sum := a.Neat.Area + a.Trench.Area + a.Outside.Area; sum > 0 {
			if zones != "" {
				zones += ", "
			}
			zones += name(z.Zone) + " " + area(sum)
		}
	}
	k.write(words{at: orb.Point{at[0], at[1] + 9}, text: shortened(zones, smallWords, false, width), size: smallWords})
	rule := k.room.Max[1] - 2
	k.line(gridPen, orb.LineString{{k.room.Min[0] + 6, rule}, {k.room.Max[0] - 6, rule}})
}

// marks writes the crest, the toes and the slopes where there is room.
func (k *sectionCell) marks() {
	k.on("figures")
	u := k.t.d.system.Length
	room := orb.Bound{Min: orb.Point{k.room.Min[0] + 2, k.room.Min[1] + 22}, Max: orb.Point{k.room.Max[0] - 2, k.plot.Max[1] + 1}}
	crest := "crest " + in(u, k.c.SettledCrest, 2)
	if k.c.BuiltCrest != k.c.SettledCrest {
		crest += ", built " + in(u, k.c.BuiltCrest, 2)
	}
	k.pointed(k.at(k.c.CrestWidth/2, k.c.BuiltCrest), words{text: crest, size: smallWords, halo: true}, 4, room)
	for _, toe := range [2][2]float64{{k.c.UpstreamToe, k.c.UpstreamToeZ}, {k.c.DownstreamToe, k.c.DownstreamToeZ}} {
		text := "toe " + in(u, toe[0], 1) + ", " + in(u, toe[1], 1)
		k.pointed(k.at(toe[0], toe[1]), words{text: text, size: 6, halo: true}, 4, room)
	}
	for _, f := range slopeMarks(k.c, leastSlope/k.scale) {
		k.pointed(k.at(f.x, f.z), words{text: f.text, size: 6, halo: true}, 4, room)
	}
}

// slopeMark is a slope with where it is written.
type slopeMark struct {
	x, z float64
	text string
}

// leastSlope is the width on the paper under which a slope is not written, points.
const leastSlope = 24.0

// slopeMarks are the slopes of the faces that are at least so many metres wide, each
// at its middle.
func slopeMarks(c *earthwork.Section, least float64) []slopeMark {
	var out []slopeMark
	for _, side := range [2]float64{-1, 1} {
		corners := faceOffsets(c, side)
		for i := 1; i < len(corners); i++ {
			a, b := corners[i-1], corners[i]
			z0, _ := c.Outline.At(a)
			z1, _ := c.Outline.At(b)
			if z0-z1 < sameOffset || math.Abs(b-a) < least {
				continue
			}
			slope := math.Abs(b-a) / (z0 - z1)
			out = append(out, slopeMark{(a + b) / 2, (z0 + z1) / 2, units.Number(slope, decimalsOf(math.Round(slope*100)/100)) + ":1"})
		}
	}
	return out
}
