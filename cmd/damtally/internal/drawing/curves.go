package drawing

import (
	"math"
	"slices"
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork/soil"
	"github.com/paulmach/orb"
)

// drawChart draws one chart into a cell.
type drawChart func(s *Sheet, cell orb.Bound)

// chartsDown is how many charts stand over one another on a sheet, chartWidth how
// wide each must be at least, points.
const (
	chartsDown = 2
	chartWidth = 330.0
)

// curves draws the sheets of curves: the lake, the volumes along the dam and by
// elevation, and the laboratory's compaction tests.
func (d *set) curves() {
	var all []drawChart
	if d.r.Lake != nil && len(d.r.Lake.Rows) > 1 {
		all = append(all, d.storage, d.poolArea)
	}
	if len(d.r.Quantities.Reaches) > 0 {
		all = append(all, d.byStation)
	}
	if d.r.Lifts != nil && len(d.r.Lifts.Sets) > 0 {
		all = append(all, d.byElevation)
	}
	for i := range d.r.Materials {
		if m := &d.r.Materials[i]; len(m.Samples) > 0 {
			all = append(all, func(s *Sheet, cell orb.Bound) { d.compaction(s, cell, m) })
		}
	}
	across := max(1, int((d.paper.Width-2*margin)/chartWidth))
	if len(all) <= 2*chartsDown { // larger, since they fit
		across = min(across, 2)
	}
	each := across * chartsDown
	sheets := (len(all) + each - 1) / each
	for k := range sheets {
		name, title := "curves", "Curves"
		if sheets > 1 {
			name += "-" + strconv.Itoa(k+1)
			title += ", " + strconv.Itoa(k+1) + " of " + strconv.Itoa(sheets)
		}
		s := d.sheet(name, title)
		for i, draw := range all[k*each : min(len(all), (k+1)*each)] {
			draw(s, cellOf(s.room(), across, chartsDown, i))
		}
	}
}

// storageUnit is what storage is shown in: acre-ft or m3.
func (d *set) storageUnit() units.Unit {
	name := "m3"
	if d.system.Name == "us" {
		name = "acre-ft"
	}
	u, _ := units.Lookup(name)
	return u
}

var curvePen = pen{width: 1.3, ink: black}

// storage is the storage of the lake by elevation.
func (d *set) storage(s *Sheet, cell orb.Bound) {
	u := d.storageUnit()
	d.lakeChart(s, cell, "Storage of the lake by elevation", "Storage below the elevation, "+u.Name, func(r int) float64 {
		return u.FromSI(d.r.Lake.Rows[r].Volume)
	})
}

// poolArea is the area of water by elevation.
func (d *set) poolArea(s *Sheet, cell orb.Bound) {
	u := d.system.LandArea
	d.lakeChart(s, cell, "Area of water by elevation", "Area of water, "+u.Name, func(r int) float64 {
		return u.FromSI(d.r.Lake.Rows[r].Area)
	})
}

func (d *set) lakeChart(s *Sheet, cell orb.Bound, title, what string, of func(row int) float64) {
	k, u := d.r.Lake, d.system.Length
	var points []orb.Point
	most := 0.0
	for i := range k.Rows {
		points = append(points, orb.Point{of(i), u.FromSI(k.Rows[i].Level)})
		most = max(most, of(i))
	}
	c := newChart(s, cell, title, axis{title: what, to: most},
		axis{title: "Elevation, " + u.Name, from: points[0][1], to: max(points[len(points)-1][1], u.FromSI(k.Crest))})
	c.curve(curvePen, points)
	for _, p := range k.Pools {
		if p.Known {
			c.level(pen{width: 0.7, ink: water, dash: []float64{8, 3}}, u.FromSI(p.Level), p.Name+" "+in(u, p.Level, 2))
		}
	}
	c.level(pen{width: 0.7, ink: dark, dash: []float64{3, 2}}, u.FromSI(k.Crest), "crest "+in(u, k.Crest, 2))
	if !math.IsInf(k.Limit.Level, 1) && k.Limit.Level < k.Crest {
		c.level(pen{width: 0.7, ink: alarm, dash: []float64{2, 2}}, u.FromSI(k.Limit.Level), "known up to "+in(u, k.Limit.Level, 2))
	}
	c.finish()
}

// byStation is the fill added up along the dam.
func (d *set) byStation(s *Sheet, cell orb.Bound) {
	q, u := &d.r.Quantities, d.system
	var points []orb.Point
	sum := 0.0
	points = append(points, orb.Point{u.Length.FromSI(q.Sections[0].Station), 0})
	for _, r := range q.Reaches {
		sum += r.Fill.EndArea + r.Fill.Bend
		points = append(points, orb.Point{u.Length.FromSI(q.Sections[r.To].Station), u.Volume.FromSI(sum)})
	}
	last := points[len(points)-1]
	c := newChart(s, cell, "Mass curve: neat fill added up along the dam, by average end area",
		axis{title: "Station", from: points[0][0], to: last[0], format: func(v float64, _ int) string { return u.Station(u.Length.ToSI(v)) }},
		axis{title: "Compacted " + u.Volume.Name + " from the first station on", to: last[1]})
	c.curve(curvePen, points)
	c.name(last[0], last[1], "in all "+volume(u.Volume, sum, "compacted"), black)
	c.finish()
}

// byElevation is the volume of the lifts added up from the lowest.
func (d *set) byElevation(s *Sheet, cell orb.Bound) {
	u := d.system
	sums := liftSums(d.r.Lifts)
	var points []orb.Point
	for _, p := range sums {
		points = append(points, orb.Point{u.Volume.FromSI(p[0]), u.Length.FromSI(p[1])})
	}
	last := points[len(points)-1]
	c := newChart(s, cell, "Compacted volume by elevation, without the allowance",
		axis{title: "Compacted " + u.Volume.Name + " below the elevation", to: last[0]},
		axis{title: "Elevation, " + u.Length.Name, from: points[0][1], to: last[1]})
	c.curve(curvePen, points)
	c.name(last[0], last[1], "in all "+volume(u.Volume, sums[len(sums)-1][0], "compacted"), black)
	c.finish()
}

// liftSums are the volume below an elevation, and the elevation, at the top of
// each lift of any set, with the lowest bottom before.
func liftSums(l *plan.Lifts) []orb.Point {
	var levels []float64
	for _, set := range l.Sets {
		for _, lift := range set.Lifts {
			levels = append(levels, lift.Bottom, lift.Top)
		}
	}
	slices.Sort(levels)
	levels = slices.Compact(levels)
	out := make([]orb.Point, len(levels))
	for i, z := range levels {
		sum := 0.0
		for _, set := range l.Sets {
			for _, lift := range set.Lifts {
				share := (z - lift.Bottom) / (lift.Top - lift.Bottom)
				sum += lift.Compacted * max(0, min(1, share))
			}
		}
		out[i] = orb.Point{sum, z}
	}
	return out
}

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
		c.name(at[0], at[1], "zero air voids, gravity "+number(g.Value, 2), alarm)
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
		c.level(mark, u.FromSI(r.Value*m.Lab.MaxDry), "required, "+number(100*r.Value, 0)+" % of it")
	}
	c.upright(mark, 100*m.Lab.Optimum, "optimum "+number(100*m.Lab.Optimum, 1)+" %")
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
