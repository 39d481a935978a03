package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// chart is a plot with two axes.
type chart struct {
	*Sheet
	cell, plot     orb.Bound
	x0, x1, y0, y1 float64
	names          []chartName
}

// chartName is what is to be written by a point of the chart once all lines are
// drawn.
type chartName struct {
	at     orb.Point
	text   string
	ink    ink
	angle  float64
	places []orb.Point // to look at before those around the point
}

// axis is what stands along one side of a chart.
type axis struct {
	title    string
	from, to float64
	format   func(v float64, decimals int) string // nil writes a plain number
}

// The parts round the plot of a chart, points.
const (
	chartLeft  = 62.0
	chartRight = 18.0
	chartHead  = 34.0
	chartFoot  = 40.0
)

// newChart draws the axes of a chart in a cell. The axes are widened to round
// numbers.
func newChart(s *Sheet, cell orb.Bound, title string, x, y axis) *chart {
	c := &chart{Sheet: s, cell: cell}
	c.plot = orb.Bound{
		Min: orb.Point{cell.Min[0] + chartLeft, cell.Min[1] + chartHead},
		Max: orb.Point{cell.Max[0] - chartRight, cell.Max[1] - chartFoot},
	}
	s.on("chart")
	s.write(words{at: orb.Point{cell.Min[0] + 12, cell.Min[1] + 16}, text: shortened(title, 10, true, cell.Max[0]-cell.Min[0]-24), size: 10, bold: true})
	xs := ticks(&x, int((c.plot.Max[0]-c.plot.Min[0])/60))
	ys := ticks(&y, int((c.plot.Max[1]-c.plot.Min[1])/30))
	c.x0, c.x1, c.y0, c.y1 = x.from, x.to, y.from, y.to
	var grid []orb.LineString
	for _, v := range xs {
		p := c.at(v, c.y0)
		grid = append(grid, orb.LineString{p, {p[0], c.plot.Min[1]}})
		s.write(words{at: orb.Point{p[0], p[1] + 11}, text: x.write(v, xs), size: plainWords, anchor: atMiddle})
	}
	for _, v := range ys {
		p := c.at(c.x0, v)
		grid = append(grid, orb.LineString{p, {c.plot.Max[0], p[1]}})
		s.write(words{at: orb.Point{p[0] - 4, p[1] + 2.5}, text: y.write(v, ys), size: plainWords, anchor: atEnd})
	}
	s.line(gridPen, grid...)
	s.line(thin, rectangle(c.plot.Min[0], c.plot.Min[1], c.plot.Max[0], c.plot.Max[1]))
	m := c.plot.Center()
	s.write(words{at: orb.Point{m[0], c.plot.Max[1] + 26}, text: x.title, size: plainWords, anchor: atMiddle, bold: true})
	s.write(words{at: orb.Point{cell.Min[0] + 18, m[1]}, text: y.title, size: plainWords, anchor: atMiddle, angle: 90, bold: true})
	return c
}

// ticks are round numbers along an axis, which is widened to the outer ones.
func ticks(a *axis, most int) []float64 {
	if !(a.to > a.from) {
		a.to = a.from + 1
	}
	step := niceStep((a.to - a.from) / float64(max(2, most)))
	first, last := math.Floor(a.from/step+1e-9), math.Ceil(a.to/step-1e-9)
	var out []float64
	for k := first; k <= last; k++ {
		out = append(out, roundDigits(k*step))
	}
	a.from, a.to = out[0], out[len(out)-1]
	return out
}

// write writes a number of the axis with as many decimals as its steps need.
func (a axis) write(v float64, all []float64) string {
	decimals := 0
	if len(all) > 1 {
		decimals = decimalsOf(roundDigits(all[1] - all[0]))
	}
	if a.format != nil {
		return a.format(v, decimals)
	}
	return units.Number(v, decimals)
}

func (c *chart) at(x, y float64) orb.Point {
	return orb.Point{
		c.plot.Min[0] + (x-c.x0)/(c.x1-c.x0)*(c.plot.Max[0]-c.plot.Min[0]),
		c.plot.Max[1] - (y-c.y0)/(c.y1-c.y0)*(c.plot.Max[1]-c.plot.Min[1]),
	}
}

// curve draws a line through points of the chart, cut off at its edges.
func (c *chart) curve(p pen, points []orb.Point) {
	l := make(orb.LineString, len(points))
	for i, q := range points {
		l[i] = c.at(q[0], q[1])
	}
	c.guarded(p, clipped(l, c.plot)...)
}

// dots draws points of the chart with a sign.
func (c *chart) dots(sign int, points []orb.Point) {
	const r = 2.4
	for _, q := range points {
		at := c.at(q[0], q[1])
		if !c.plot.Contains(at) {
			continue
		}
		switch sign % 4 {
		case 0:
			c.area(white, medium, circle(at, r))
		case 1:
			c.area(black, pen{}, rectangle(at[0]-r, at[1]-r, at[0]+r, at[1]+r))
		case 2:
			c.area(white, medium, orb.LineString{{at[0], at[1] - r - 1}, {at[0] + r, at[1] + r}, {at[0] - r, at[1] + r}, {at[0], at[1] - r - 1}})
		default:
			c.line(medium, orb.LineString{{at[0] - r, at[1] - r}, {at[0] + r, at[1] + r}}, orb.LineString{{at[0] - r, at[1] + r}, {at[0] + r, at[1] - r}})
		}
		c.guard(rectangle(at[0]-r, at[1]-r, at[0]+r, at[1]+r))
	}
}

// name notes words for a point of the chart.
func (c *chart) name(x, y float64, text string, i ink) {
	c.names = append(c.names, chartName{at: c.at(x, y), text: text, ink: i})
}

// finish writes the words where there is room; it comes last.
func (c *chart) finish() {
	c.on("chart names")
	for _, n := range c.names {
		w := words{text: n.text, size: plainWords, ink: n.ink, angle: n.angle, halo: true}
		if !c.label(w, c.plot, n.places) {
			w.angle = 0
			c.pointed(n.at, w, 4, c.plot)
		}
	}
}

// level draws a line across the chart at a height and names it.
func (c *chart) level(p pen, y float64, text string) {
	if y < c.y0 || y > c.y1 {
		return
	}
	c.curve(p, []orb.Point{{c.x0, y}, {c.x1, y}})
	c.name(c.x0+0.02*(c.x1-c.x0), y, text, p.ink)
	// Just over the line from left to right, else just under it.
	n := &c.names[len(c.names)-1]
	for _, dy := range [2]float64{-(descent*plainWords + 1.5), ascent*plainWords + 1.5} {
		for t := 0.02; t < 0.9; t += 0.02 {
			at := c.at(c.x0+t*(c.x1-c.x0), y)
			n.places = append(n.places, orb.Point{at[0], at[1] + dy})
		}
	}
}

// upright draws a line up the chart and names it.
func (c *chart) upright(p pen, x float64, text string) {
	if x < c.x0 || x > c.x1 {
		return
	}
	c.curve(p, []orb.Point{{x, c.y0}, {x, c.y1}})
	c.name(x, c.y0+0.04*(c.y1-c.y0), text, p.ink)
	// Along the line from the bottom up, on its left, else on its right.
	n := &c.names[len(c.names)-1]
	n.angle = 90
	for _, dx := range [2]float64{-(descent*plainWords + 1.5), ascent*plainWords + 1.5} {
		for t := 0.02; t < 0.9; t += 0.02 {
			at := c.at(x, c.y0+t*(c.y1-c.y0))
			n.places = append(n.places, orb.Point{at[0] + dx, at[1]})
		}
	}
}
