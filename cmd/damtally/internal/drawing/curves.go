package drawing

import (
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
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
	down := chartsDown
	if len(all) <= across {
		down = 1
	}
	d.spread("curves", "Curves", len(all), across*down, func(s *Sheet, from, to int) {
		for i, draw := range all[from:to] {
			draw(s, cellOf(s.room(), across, down, i))
		}
	})
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
