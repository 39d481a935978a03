package workbook

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// The sheet Charts: columns of a plain width, and charts over all of them.
const (
	chartColumns = 13
	chartRows    = 19
	mostCharts   = 12 // of materials; more would only fill paper
)

// drawn is a chart with the words over it and the names of its series.
type drawn struct {
	title, explain string
	x, y           axis
	columns        bool
	series         []series
	names          []string
}

func (d *drawn) add(name string, n series) {
	d.names = append(d.names, name)
	d.series = append(d.series, n)
}

// layCharts lays the charts of all that the plan knows, each below the words that
// say what it shows and where its figures stand.
func (b *book) layCharts() {
	s := b.charts
	var all []drawn
	for _, some := range [][]drawn{b.stationCharts(), b.balanceCharts(), b.levelCharts(), b.lakeCharts(), b.soilCharts(), b.testCharts(), b.trialCharts()} {
		all = append(all, some...)
	}
	if len(all) == 0 {
		return
	}
	row := s.opening("Charts", chartColumns, "Drawn from the cells of the other sheets: a change there shows here.") + 1
	s.upright, s.heights = true, map[int]float64{}
	for col := 1; col <= chartColumns; col++ {
		s.widths[col] = chartColumn
	}
	for i := range all {
		row = b.layChart(row, &all[i]) + 1
	}
}

func (b *book) layChart(row int, d *drawn) int {
	s := b.charts
	s.put(row, 1, text(d.title), lookPart)
	s.line(row+1, 1, chartColumns, d.explain, lookExplain)
	const names = 6 // side by side in a row, two columns each
	row += 2
	s.put(row, 1, text("Drawn:"), lookExplain)
	for k, name := range d.names {
		at := row + k/names
		c := s.line(at, 2+2*(k%names), 2, clip(name, 60), lookExplain)
		d.series[k].name = c
	}
	row += (len(d.names)-1)/names + 1
	for r := row; r < row+chartRows; r++ {
		s.blankRow(r, 1, chartColumns, lookText)
		s.heights[r] = chartRow
	}
	s.charts = append(s.charts, chart{
		row: row, col: 1, cols: chartColumns, rows: chartRows,
		title: d.title, x: d.x, y: d.y, columns: d.columns, series: d.series,
	})
	return row + chartRows
}

// stationAxis is the axis along the dam, in stations.
func (b *book) stationAxis() axis {
	format, step := `0\+00`, 50.0
	if b.m.Name != units.US.Name {
		format, step = `0\+000`, 20
	}
	secs := b.r.Quantities.Sections
	first, last := b.m.Length.FromSI(secs[0].Station), b.m.Length.FromSI(secs[len(secs)-1].Station)
	return axis{"Station (" + b.m.Length.Name + ")", format, math.Floor(first/step) * step, math.Ceil(last/step) * step}
}

// stationCharts are the volume along the dam and its running total.
func (b *book) stationCharts() []drawn {
	if len(b.along.perLength) == 0 || len(b.r.Quantities.Sections) < 2 {
		return nil
	}
	m, x := b.m, b.along.distance
	per := drawn{
		title:   "Volume by station",
		explain: "How much is compacted in one " + m.Length.Name + " of dam. The area below a line is its volume. From the sheet By station.",
		x:       b.stationAxis(), y: axis{title: "In one " + m.Length.Name + " of dam (" + m.vol("compacted") + ")", format: "#,##0"},
	}
	sum := drawn{
		title:   "Running totals along the dam",
		explain: "All that is compacted from the first station up to each. From the sheet By station.",
		x:       b.stationAxis(), y: axis{title: "Running total (" + m.vol("compacted") + ")", format: "#,##0"},
	}
	for k := range b.along.perLength {
		name := "all zones"
		if k > 0 {
			name = clean(b.r.Quantities.Zones[k-1].Zone)
		}
		if k == 0 || len(b.zone) > 1 {
			per.add(name, series{x: x, y: b.along.perLength[k]})
			sum.add(name, series{x: x, y: b.along.together[k], dash: k > 0})
		}
	}
	return []drawn{per, sum}
}

// balanceCharts sets need beside supply.
func (b *book) balanceCharts() []drawn {
	if len(b.weighed) == 0 || len(b.r.Pits) == 0 {
		return nil
	}
	column := func(c *cell) span { return span{b.balance, c.col, c.row, c.row + len(b.weighed) - 1} }
	c := &b.weighed[0]
	d := drawn{
		title: "Need and supply", columns: true,
		explain: "What must be dug, what should be available with the reserve, and what is available in the pits and beside them. From the sheet Balance.",
		x:       axis{title: "Material"}, y: axis{title: "Volume (" + b.m.vol("bank") + ")", format: "#,##0"},
	}
	d.add("needed", series{x: column(c.name), y: column(c.needed)})
	d.add("to be available, with the reserve", series{x: column(c.name), y: column(c.to)})
	d.add("in the pits", series{x: column(c.name), y: column(c.available)})
	return []drawn{d}
}

// levelCharts are the running totals of the lifts by elevation.
func (b *book) levelCharts() []drawn {
	if b.r.Lifts == nil || len(b.lift.sets) == 0 {
		return nil
	}
	m := b.m
	d := drawn{
		title:   "Volume by elevation",
		explain: "How much is compacted up to each elevation, without the settlement allowance. From the sheets of lifts.",
		x:       axis{title: "Compacted up to this elevation (" + m.vol("compacted") + ")", format: "#,##0"},
		y:       axis{title: "Elevation (" + m.Length.Name + ")", format: "#,##0"},
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i, s := range b.liftSheets {
		lifts := b.r.Lifts.Sets[i].Lifts
		if len(lifts) == 0 {
			continue
		}
		low, high = min(low, lifts[0].Bottom), max(high, lifts[len(lifts)-1].Top)
		last := rowLiftFirst + len(lifts) - 1
		d.add(b.zonesLabel(b.r.Lifts.Sets[i].Zones), series{x: span{s, liftRunning, rowLiftFirst, last}, y: span{s, liftTop, rowLiftFirst, last}})
	}
	if len(d.series) == 0 {
		return nil
	}
	if rows := b.lift.curve; rows[0] > 0 && len(d.series) > 1 {
		d.add("The whole dam", series{x: span{b.lifts, 2, rows[0], rows[1]}, y: span{b.lifts, 1, rows[0], rows[1]}})
	}
	d.y = b.levelAxis(d.y, low, high)
	return []drawn{d}
}

// levelAxis gives an axis of elevations its ends, whole fives outside the range.
func (b *book) levelAxis(a axis, low, high float64) axis {
	const step = 5
	a.low = math.Floor(b.m.Length.FromSI(low)/step) * step
	a.high = math.Ceil(b.m.Length.FromSI(high)/step) * step
	return a
}

// lakeCharts are storage and area of the lake by elevation.
func (b *book) lakeCharts() []drawn {
	if !b.stored() {
		return nil
	}
	m, s, rows := b.m, b.lakeSheet, b.r.Lake.Rows
	level := span{s, lakeLevel, b.storage.from, b.storage.to}
	y := b.levelAxis(axis{title: "Water at (" + m.Length.Name + ")", format: "#,##0"}, rows[0].Level, rows[len(rows)-1].Level)
	storage := drawn{
		title: "Storage of the lake", explain: "Water behind the dam by the level that it stands at. From the sheet Lake.",
		x: axis{title: "Storage (" + b.storageUnit().Name + ")", format: "#,##0"}, y: y,
	}
	storage.add("exact", series{x: span{s, lakeExact, b.storage.from, b.storage.to}, y: level})
	storage.add("by end area", series{x: span{s, lakeEndArea, b.storage.from, b.storage.to}, y: level, dash: true})
	area := drawn{
		title: "Area of the lake", explain: "Water surface by the level that it stands at. From the sheet Lake.",
		x: axis{title: "Area (" + m.LandArea.Name + ")", format: "#,##0.0"}, y: y,
	}
	area.add("water surface", series{x: span{s, lakeLand, b.storage.from, b.storage.to}, y: level})
	return []drawn{storage, area}
}

// soilCharts are the compaction curves, one chart a material.
func (b *book) soilCharts() []drawn {
	var out []drawn
	for i := range b.r.Materials {
		if len(b.r.Materials[i].Samples) > 0 && len(out) < mostCharts {
			out = append(out, b.soilChart(i))
		}
	}
	return out
}

func (b *book) soilChart(i int) drawn {
	m, mat := b.m, &b.r.Materials[i]
	name := clean(mat.Row.Name)
	d := drawn{
		title:   "Compaction of " + clip(name, 60),
		explain: "Laboratory points with the peaks read off them, the line of zero air voids that no point can pass, and the fill tests. From the sheets Lab and Tests.",
		x:       axis{title: "Water content", format: "0%"}, y: axis{title: "Dry density (" + m.Density.Name + ")", format: "#,##0"},
	}
	d.x.low, d.x.high = b.waterRange(i)
	low, high := math.Inf(1), math.Inf(-1)
	see := func(si float64) { low, high = min(low, si), max(high, si) }
	for _, p := range b.r.Site.Proctor {
		if p.Material == mat.Row.Name {
			see(p.DryDensity)
		}
	}
	for _, sample := range mat.Samples {
		if rows := b.pointRows(mat.Row.Name, sample.Name); !rows.empty() {
			y := rows
			y.col = 5
			d.add("sample "+clip(clean(sample.Name), 30), series{x: rows, y: y, marks: "circle", curve: true})
		}
	}
	if c := &b.samples[i]; !c.maxDry.empty() {
		peaks := c.maxDry
		x := peaks
		peaks.col, x.col = sampleMax, sampleOptimum
		d.add("peak read off", series{x: x, y: peaks, marks: "diamond", apart: true, large: true})
	}
	if v := b.voids[i]; !v.empty() {
		y := v
		y.col = 3
		d.add("zero air voids", series{x: v, y: y, dash: true})
	}
	if tests := b.testSpan(mat.Row.Name, "fill"); !tests.empty() {
		for _, t := range b.sortedTests() {
			if t.Row.Material == mat.Row.Name && t.Row.State == "fill" {
				see(t.DryDensity)
				d.x.low, d.x.high = min(d.x.low, math.Floor(t.Row.WaterContent.Or(d.x.low)*100)/100), max(d.x.high, math.Ceil(t.Row.WaterContent.Or(d.x.high)*100)/100)
			}
		}
		x := tests
		tests.col, x.col = testDry, testWater
		d.add("fill tests", series{x: x, y: tests, marks: "square", apart: true})
	}
	const room, step = 40.0, 5.0 // kg/m3 of room; whole fives
	d.y.low = math.Floor(m.Density.FromSI(low-room)/step) * step
	d.y.high = math.Ceil(m.Density.FromSI(high+2*room)/step) * step
	return d
}

// pointRows is the block of one sample's points on the sheet Lab, water contents.
func (b *book) pointRows(material, sample string) span {
	out := span{b.lab, 4, 1, 0}
	for _, p := range b.points {
		if p.material != material || p.sample != sample {
			continue
		}
		if out.empty() {
			out.from = p.row
		}
		out.to = p.row
	}
	return out
}

// testCharts are the fill tests over time, one chart a material.
func (b *book) testCharts() []drawn {
	var out []drawn
	for _, rows := range b.dated {
		if len(out) == mostCharts {
			break
		}
		s := b.tests
		x := span{s, datedDay, rows.from, rows.to}
		y, required := x, x
		y.col, required.col = datedCompaction, datedRequired
		name := clean(b.r.Materials[rows.material].Row.Name)
		d := drawn{
			title: "Fill tests of " + clip(name, 60) + " over time", explain: "Percent compaction by day, beside what is required. From the sheet Tests.",
			x: axis{title: "Date", format: formatDate}, y: axis{title: "Percent compaction", format: "0%"},
		}
		d.add("percent compaction", series{x: x, y: y, marks: "circle", apart: true})
		values := y.numbers()
		if need := required.numbers(); len(need) > 0 {
			d.add("required", series{x: x, y: required, dash: true})
			values = append(values, need...)
		}
		days := x.numbers()
		d.x.low, d.x.high = days[0]-1, days[len(days)-1]+1
		const step = 0.01
		low, high := values[0], values[0]
		for _, v := range values {
			low, high = min(low, v), max(high, v)
		}
		d.y.low, d.y.high = math.Floor(low/step-1)*step, math.Ceil(high/step+1)*step
		out = append(out, d)
	}
	return out
}
