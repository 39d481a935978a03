package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// waterLevel is a level of water that the site names.
type waterLevel struct {
	name  string
	level float64
}

// levels are the levels of water of the site.
func (p *profile) levels() []waterLevel {
	set := &p.d.r.Site.Settings
	var out []waterLevel
	if set.NormalPool.Given {
		out = append(out, waterLevel{"normal pool", set.NormalPool.Value})
	}
	if set.Spillway.Given {
		out = append(out, waterLevel{"spillway", set.Spillway.Value})
	}
	if set.DesignHighWater.Given {
		out = append(out, waterLevel{"design high water", set.DesignHighWater.Value})
	}
	return out
}

// wet is a level of water where the ground on the centreline lies below it.
func (p *profile) wet(level float64) []orb.LineString {
	var out []orb.LineString
	for i := 1; i < len(p.sections); i++ {
		a, b := &p.sections[i-1], &p.sections[i]
		da, db := level-a.GroundLevel, level-b.GroundLevel
		from, to := a.Station, b.Station
		switch {
		case da <= 0 && db <= 0:
			continue
		case da < 0:
			from += (to - from) * da / (da - db)
		case db < 0:
			to = from + (to-from)*da/(da-db)
		}
		q := orb.LineString{p.at(from, level), p.at(to, level)}
		if n := len(out); n > 0 && out[n-1][len(out[n-1])-1] == q[0] {
			out[n-1] = orb.LineString{out[n-1][0], q[1]}
		} else {
			out = append(out, q)
		}
	}
	return out
}

// pipes draws the conduits where they cross the centreline.
func (p *profile) pipes() {
	p.on("conduits")
	for i := range p.d.r.Conduits {
		c := &p.d.r.Conduits[i]
		z, ok := invertAt(c, 0)
		if !ok {
			continue
		}
		at := p.at(c.Row.Station, z+c.Row.Diameter/2)
		var ring orb.LineString
		for _, q := range circle(orb.Point{}, 1) {
			ring = append(ring, orb.Point{at[0] + q[0]*c.Row.Diameter/2*p.across.perMetre, at[1] + q[1]*c.Row.Diameter/2*p.up.perMetre})
		}
		p.area(white, medium, ring)
		p.pointed(at, words{text: name(c.Row.Name), size: plainWords, halo: true}, 8, p.plot)
	}
}

// invertAt is the inside bottom of a pipe at an offset, m; false where it is not
// told or the pipe does not reach there.
func invertAt(c *plan.Conduit, offset float64) (float64, bool) {
	if !c.Row.Invert.Given {
		return 0, false
	}
	inlet := c.Row.Invert.Value
	return geometry.Line{
		{Offset: c.From, Elevation: inlet}, {Offset: c.To, Elevation: c.Row.OutletInvert.Or(inlet)},
	}.At(offset)
}

// band writes the figures under the plot at round stations.
func (p *profile) band() {
	p.on("figures")
	top := p.plot.Max[1] + 4
	settled, built := "Crest", "Crest as built"
	rows := []struct {
		name string
		of   func(*earthwork.Section) float64
	}{
		{"Ground", func(c *earthwork.Section) float64 { return c.GroundLevel }},
		{"Stripped", func(c *earthwork.Section) float64 { return c.StrippedLevel }},
		{settled, func(c *earthwork.Section) float64 { return c.SettledCrest }},
		{built, func(c *earthwork.Section) float64 { return c.BuiltCrest }},
		{"Fill height", func(c *earthwork.Section) float64 { return max(0, c.SettledCrest-c.StrippedLevel) }},
	}
	left := p.room().Min[0] + 4
	var rules []orb.LineString
	for i := range bandRows + 1 {
		y := top + float64(i)*bandRow
		rules = append(rules, orb.LineString{{left, y}, {p.plot.Max[0], y}})
	}
	p.line(hair, rules...)
	p.write(words{at: orb.Point{left + 2, top + bandRow - 4.5}, text: "Station", size: smallWords, bold: true})
	for i, r := range rows {
		p.write(words{at: orb.Point{left + 2, top + bandRow*float64(i+2) - 4.5}, text: r.name, size: smallWords, bold: true})
	}
	for _, s := range p.columns() {
		x := p.at(s, 0)[0]
		p.write(words{at: orb.Point{x, top + bandRow - 4.5}, text: p.d.system.Station(s), size: smallWords, anchor: atMiddle})
		for i, r := range rows {
			v, ok := valueAt(p.sections, s, r.of)
			if ok {
				p.write(words{at: orb.Point{x, top + bandRow*float64(i+2) - 4.5}, text: in(p.d.system.Length, v, 1), size: smallWords, anchor: atMiddle})
			}
		}
	}
}

// valueAt is a figure of the sections at a station, straight between them.
func valueAt(sections []earthwork.Section, station float64, of func(*earthwork.Section) float64) (float64, bool) {
	for i := range sections {
		b := &sections[i]
		if math.Abs(b.Station-station) < sameOffset {
			return of(b), true
		}
		if i > 0 && sections[i-1].Station < station && station < b.Station {
			a := &sections[i-1]
			l := geometry.Line{{Offset: a.Station, Elevation: of(a)}, {Offset: b.Station, Elevation: of(b)}}
			return l.At(station)
		}
	}
	return 0, false
}

// key explains the lines of the profile in a row over it.
func (p *profile) key(at orb.Point) {
	p.on("legend")
	entries := []struct {
		text string
		pen  pen
		show bool
	}{
		{"ground on the centreline", groundPen, true},
		{"stripped ground", strippedPen, len(p.d.r.Design.Stripping) > 0},
		{"bottom of the cutoff trench", bottomPen, len(p.d.r.Design.Trench.Points) > 0},
		{"crest, settled", settledPen, true},
		{"crest as built", builtPen, p.d.r.Design.Settlement.Allowance > 0},
		{"level of water", levelPen, len(p.levels()) > 0},
		{"test hole (sheet Test holes)", pen{width: 5, ink: middle}, len(p.d.holesOnProfile()) > 0},
	}
	x := at[0]
	for _, e := range entries {
		if !e.show {
			continue
		}
		wide := 34 + textWidth(e.text, plainWords, false)
		if x > at[0] && x+wide > p.room().Max[0]-keyPad {
			x, at[1] = at[0], at[1]+12
		}
		p.line(e.pen, orb.LineString{{x, at[1] - 2.5}, {x + 30, at[1] - 2.5}})
		p.write(words{at: orb.Point{x + 34, at[1]}, text: e.text, size: plainWords})
		x += wide + 18
	}
}
