package drawing

import (
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork/soil"
	"github.com/paulmach/orb"
)

// compaction is the laboratory's tests of one material under the line of zero air
// voids.
func (d *set) compaction(s *Sheet, cell orb.Bound, m *plan.Material) {
	u := d.system.Density
	groups := d.labPoints(m)
	low := orb.Point{math.Inf(1), math.Inf(1)}
	high := orb.Point{math.Inf(-1), math.Inf(-1)}
	for _, g := range groups {
		for _, p := range g {
			for k := range 2 {
				low[k], high[k] = min(low[k], p[k]), max(high[k], p[k])
			}
		}
	}
	pad := 0.15 * max(high[1]-low[1], 1)
	c := newChart(s, cell, "Compaction of "+name(m.Row.Name)+d.effortOf(m),
		axis{title: "Water content, %", from: low[0] - 1, to: high[0] + 2}, axis{title: "Dry density, " + u.Name, from: low[1] - pad, to: high[1] + 2*pad})
	if g := m.Row.SpecificGravity; g.Given && g.Value > 0 {
		var line []orb.Point
		for i := range 61 {
			w := c.x0 + (c.x1-c.x0)*float64(i)/60
			line = append(line, orb.Point{w, u.FromSI(soil.ZeroAirVoids(g.Value, w/100))})
		}
		c.curve(pen{width: 0.9, ink: alarm, dash: []float64{6, 3}}, line)
		at := inside(c, line)
		c.name(at[0], at[1], "zero air voids, gravity "+units.Number(g.Value, 2), alarm)
	}
	for i, g := range groups {
		c.curve(pen{width: 1, ink: black}, smooth(g))
		c.dots(i, g)
	}
	d.marks(c, m)
	for i, g := range groups {
		if n := m.Samples[i].Name; n != "" && len(g) > 0 {
			c.name(g[len(g)-1][0], g[len(g)-1][1], "sample "+name(n), black)
		}
	}
	c.finish()
}

// effortOf says of which effort the tests of a material are.
func (d *set) effortOf(m *plan.Material) string {
	for _, p := range d.r.Site.Proctor {
		if p.Material == m.Row.Name && p.Effort != "" {
			return ", " + p.Effort + " effort"
		}
	}
	return ""
}

// marks draws the lab maximum, what is required of it, and the window of water.
func (d *set) marks(c *chart, m *plan.Material) {
	if m.Lab == nil {
		return
	}
	u := d.system.Density
	mark := pen{width: 0.6, ink: dark, dash: []float64{3, 2}}
	c.level(mark, u.FromSI(m.Lab.MaxDry), "lab maximum "+with(u, m.Lab.MaxDry, 1))
	if r := m.Row.RequiredCompaction; r.Given {
		c.level(mark, u.FromSI(r.Value*m.Lab.MaxDry), "required, "+units.Number(100*r.Value, 0)+" % of it")
	}
	c.upright(mark, 100*m.Lab.Optimum, "optimum "+units.Number(100*m.Lab.Optimum, 1)+" %")
	if w := m.Row.WaterLow; w.Given {
		c.upright(dotPen, 100*(m.Lab.Optimum+w.Value), "driest allowed")
	}
	if w := m.Row.WaterHigh; w.Given {
		c.upright(dotPen, 100*(m.Lab.Optimum+w.Value), "wettest allowed")
	}
}

// labPoints are the points of each sample of a material, by rising water content:
// percent, and density in the site's unit.
func (d *set) labPoints(m *plan.Material) [][]orb.Point {
	out := make([][]orb.Point, len(m.Samples))
	for i, sample := range m.Samples {
		for _, p := range d.r.Site.Proctor {
			if p.Material == m.Row.Name && p.Sample == sample.Name {
				out[i] = append(out[i], orb.Point{100 * p.WaterContent, d.system.Density.FromSI(p.DryDensity)})
			}
		}
		slices.SortStableFunc(out[i], func(a, b orb.Point) int {
			switch {
			case a[0] < b[0]:
				return -1
			case a[0] > b[0]:
				return 1
			}
			return 0
		})
	}
	return out
}

// inside is a point of a line near where it enters the chart.
func inside(c *chart, line []orb.Point) orb.Point {
	var in []orb.Point
	for _, p := range line {
		if c.plot.Contains(c.at(p[0], p[1])) {
			in = append(in, p)
		}
	}
	if len(in) == 0 {
		return line[len(line)/2]
	}
	return in[len(in)/6]
}

// smoothSteps is into how many chords a curve between two points is broken.
const smoothSteps = 12

// smooth draws a curve through points that rises and falls no more often than they
// do: cubic pieces with the slopes of the harmonic mean (Fritsch and Butland,
// 1984). It is for the eye; maximum and optimum are read off as package soil says.
func smooth(points []orb.Point) []orb.Point {
	n := len(points)
	if n < 3 {
		return points
	}
	secant := make([]float64, n-1)
	for i := range secant {
		if points[i+1][0] <= points[i][0] {
			return points // the same water content twice
		}
		secant[i] = (points[i+1][1] - points[i][1]) / (points[i+1][0] - points[i][0])
	}
	slope := make([]float64, n)
	slope[0], slope[n-1] = secant[0], secant[n-2]
	for i := 1; i < n-1; i++ {
		if a, b := secant[i-1], secant[i]; a*b > 0 {
			slope[i] = 2 * a * b / (a + b)
		}
	}
	out := []orb.Point{points[0]}
	for i := range secant {
		a, b := points[i], points[i+1]
		h := b[0] - a[0]
		for k := 1; k <= smoothSteps; k++ {
			t := float64(k) / smoothSteps
			y := (1+2*t)*(1-t)*(1-t)*a[1] + t*(1-t)*(1-t)*h*slope[i] + t*t*(3-2*t)*b[1] + t*t*(t-1)*h*slope[i+1]
			out = append(out, orb.Point{a[0] + t*h, y})
		}
	}
	return out
}
