package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
)

// profile is the profile along the centreline in the making.
type profile struct {
	*Sheet
	d        *set
	sections []earthwork.Section
	plot     orb.Bound
	across   scaling
	up       scaling
	s0, z0   float64 // station and elevation at the plot's lower left corner
	s1, z1   float64
}

// The parts round the plot of a profile, points.
const (
	axisWidth  = 52.0
	bandRow    = 15.0
	bandRows   = 6
	keyHeight  = 34.0
	mostSteep  = 10.0 // vertical exaggeration at most
	bandColumn = 44.0 // the least distance between written columns
)

// profile draws the sheet of the profile.
func (d *set) profile() {
	q := &d.r.Quantities
	if len(q.Sections) < 2 {
		return
	}
	p := &profile{Sheet: d.sheet("profile", "Profile along the centreline"), d: d, sections: q.Sections}
	room := p.room()
	p.plot = orb.Bound{
		Min: orb.Point{room.Min[0] + axisWidth, room.Min[1] + keyHeight},
		Max: orb.Point{room.Max[0] - axisWidth, room.Max[1] - bandRow*bandRows - 12},
	}
	p.fit()
	p.axes()
	p.holes()
	p.lines()
	p.band()
	p.pipes()
	p.holeNames()
	p.key(orb.Point{room.Min[0] + axisWidth, room.Min[1] + 15})
}

// fit chooses the scales: the stations fill the sheet, and elevations are drawn
// steeper by a whole number where the standard scales allow it.
func (p *profile) fit() {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range p.sections {
		c := &p.sections[i]
		low = min(low, c.GroundLevel, c.StrippedLevel, trenchBottom(c))
		high = max(high, c.GroundLevel, c.BuiltCrest, c.Crest)
	}
	for _, w := range p.levels() {
		high = max(high, w.level)
	}
	n := len(p.sections)
	long := p.sections[n-1].Station - p.sections[0].Station
	width, height := p.plot.Max[0]-p.plot.Min[0], p.plot.Max[1]-p.plot.Min[1]
	p.across = scaleFor(p.d.system, [2]float64{long, 0}, [2]float64{width, 0})
	rise := (high - low) * 1.12
	most := height / max(rise, 1e-3)
	p.up = scaleUnder(p.d.system, min(most, mostSteep*p.across.perMetre))
	mid := (p.sections[0].Station + p.sections[n-1].Station) / 2
	half := width / p.across.perMetre / 2
	p.s0, p.s1 = mid-half, mid+half
	middle := (low + high) / 2
	tall := height / p.up.perMetre / 2
	p.z0, p.z1 = middle-tall, middle+tall
	text := p.across.text + " across, " + p.up.text + " up"
	if x := p.up.perMetre / p.across.perMetre; math.Abs(x-1) > 1e-9 {
		text += " (" + units.Number(x, decimalsOf(math.Round(10*x)/10)) + " times as steep)"
	}
	p.d.scaled(text)
}

func (p *profile) at(station, z float64) orb.Point {
	return orb.Point{
		p.plot.Min[0] + (station-p.s0)*p.across.perMetre,
		p.plot.Max[1] - (z-p.z0)*p.up.perMetre,
	}
}

// trenchBottom is the lowest point of a section's cutoff trench, +Inf where none
// is dug.
func trenchBottom(c *earthwork.Section) float64 {
	low := math.Inf(1)
	for _, s := range c.Dug {
		for _, t := range s.Stack {
			low = min(low, t.BottomFrom, t.BottomTo)
		}
	}
	return low
}

// stationStep is the distance between written stations: round, and wide enough.
func (p *profile) stationStep() float64 {
	u := p.d.system.Length
	return u.ToSI(niceStep(u.FromSI(bandColumn / p.across.perMetre)))
}

// columns are the stations that are written: round ones over the dam.
func (p *profile) columns() []float64 {
	step := p.stationStep()
	first, last := p.sections[0].Station, p.sections[len(p.sections)-1].Station
	var out []float64
	for k := math.Ceil(first/step - 1e-9); k*step <= last+1e-9; k++ {
		out = append(out, k*step)
	}
	return out
}

// axes draws the grid with elevations at both sides.
func (p *profile) axes() {
	p.on("grid")
	u := p.d.system.Length
	var grid []orb.LineString
	for _, s := range p.columns() {
		x := p.at(s, 0)[0]
		grid = append(grid, orb.LineString{{x, p.plot.Min[1]}, {x, p.plot.Max[1]}})
	}
	step := niceStep(u.FromSI(26 / p.up.perMetre))
	for k := math.Ceil(u.FromSI(p.z0) / step); u.ToSI(k*step) <= p.z1; k++ {
		y := p.at(p.s0, u.ToSI(k*step))[1]
		grid = append(grid, orb.LineString{{p.plot.Min[0], y}, {p.plot.Max[0], y}})
		text := units.Number(k*step, decimalsOf(step))
		p.write(words{at: orb.Point{p.plot.Min[0] - 5, y + 2.5}, text: text, size: plainWords, anchor: atEnd})
		p.write(words{at: orb.Point{p.plot.Max[0] + 5, y + 2.5}, text: text, size: plainWords})
	}
	p.line(gridPen, grid...)
	p.line(thin, rectangle(p.plot.Min[0], p.plot.Min[1], p.plot.Max[0], p.plot.Max[1]))
	p.write(words{
		at: orb.Point{p.plot.Min[0] - 38, (p.plot.Min[1] + p.plot.Max[1]) / 2}, text: "Elevation, " + u.Name,
		size: plainWords, anchor: atMiddle, angle: 90,
	})
}

// The pens of the profile.
var (
	groundPen   = pen{width: 1.1, ink: earth}
	strippedPen = pen{width: 0.7, ink: earth, dash: []float64{5, 2.5}}
	bottomPen   = pen{width: 0.9, ink: dark, dash: []float64{2.5, 2}}
	settledPen  = pen{width: 1.5, ink: black}
	builtPen    = pen{width: 0.8, ink: black, dash: []float64{8, 2.5, 1.5, 2.5}}
	levelPen    = pen{width: 0.8, ink: water, dash: []float64{10, 3}}
)

// lines draws ground, stripped ground, trench, crest and water.
func (p *profile) lines() {
	p.on("water")
	for _, w := range p.levels() {
		p.guarded(levelPen, p.wet(w.level)...)
	}
	p.on("profile")
	p.guarded(groundPen, p.along(func(c *earthwork.Section) (float64, bool) { return c.GroundLevel, true })...)
	p.guarded(strippedPen, p.along(func(c *earthwork.Section) (float64, bool) { return c.StrippedLevel, c.StrippedLevel != c.GroundLevel })...)
	p.guarded(bottomPen, p.along(func(c *earthwork.Section) (float64, bool) {
		z := trenchBottom(c)
		return z, !math.IsInf(z, 1)
	})...)
	p.guarded(builtPen, p.along(func(c *earthwork.Section) (float64, bool) { return c.BuiltCrest, c.BuiltCrest != c.SettledCrest })...)
	p.guarded(settledPen, p.along(func(c *earthwork.Section) (float64, bool) { return c.SettledCrest, true })...)
	p.on("names")
	p.ends()
	for _, w := range p.levels() {
		for _, l := range p.wet(w.level) {
			m := between(l[0], l[len(l)-1], 0.06)
			word := words{text: w.name + " " + p.d.length(w.level, 2), size: plainWords, ink: water, halo: true}
			if p.pointed(m, word, 4, p.plot) {
				break
			}
		}
	}
}

// ends writes where the dam begins and ends.
func (p *profile) ends() {
	first, last := -1, -1
	for i := range p.sections {
		if p.sections[i].Fill {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 {
		return
	}
	for _, e := range []struct {
		index int
		text  string
	}{{first, "dam begins at "}, {last, "dam ends at "}} {
		c := &p.sections[e.index]
		p.pointed(p.at(c.Station, c.SettledCrest), words{text: e.text + p.d.system.Station(c.Station), size: plainWords, halo: true}, 6, p.plot)
	}
}

// along draws a line through the sections, broken where it does not stand.
func (p *profile) along(z func(*earthwork.Section) (float64, bool)) []orb.LineString {
	var out []orb.LineString
	var run orb.LineString
	for i := range p.sections {
		c := &p.sections[i]
		v, ok := z(c)
		if ok {
			run = append(run, p.at(c.Station, v))
		}
		if !ok || i == len(p.sections)-1 {
			if len(run) > 1 {
				out = append(out, run)
			}
			run = nil
		}
	}
	return out
}
