package workbook

import (
	"strings"

	"github.com/xuri/excelize/v2"
)

// chart is a drawing of cells of the workbook: it follows them.
type chart struct {
	row, col   int // of the cell at its upper left corner
	cols, rows int // that it covers, of the widths and heights below
	title      string
	x, y       axis
	columns    bool // upright bars by words; else points by two numbers
	series     []series
}

// What the cells under charts measure, and what the library takes them for when it
// works out where a chart ends: eight pixels a character and 4 / 3.4 a point.
const (
	chartColumn       = 64.0 / 7 // characters
	chartRow          = rowHeight
	chartColumnPixels = 73
	chartRowPixels    = 16
)

// axis is one side of a chart. low and high are where it begins and ends; both 0
// lets the program choose.
type axis struct {
	title, format string
	low, high     float64
}

// series is one row of figures in a chart: y against x, named by a cell.
type series struct {
	name  *cell
	x, y  span
	marks string // a mark at each figure: "circle", "square", ... ; "" = a line alone
	apart bool   // marks alone, no line between them
	dash  bool
	curve bool // a smooth line through the figures
	large bool // marks that stand out from others
}

// inks are the colours of the series of a chart in order. They differ in lightness
// too, and lines take dashes in turn, so that a print in black and white reads.
var inks = []string{"1F4E5F", "C2692C", "6B8E4E", "8A4B7A", "B59B2E", "5B6B73"}

func (n series) paint(k int) (ink string, line excelize.LineOptions, mark excelize.ChartMarker) {
	ink = inks[k%len(inks)]
	line = excelize.LineOptions{Type: excelize.LineSolid, Width: 2} // in the colour of the series
	switch {
	case n.apart:
		line = excelize.LineOptions{Type: excelize.LineNone}
	case n.dash:
		line.Dash = excelize.LineDashDash
	case k/len(inks)%2 == 1:
		line.Dash = excelize.LineDashSysDot
	}
	line.Smooth = n.curve
	mark = excelize.ChartMarker{Symbol: "none"}
	if n.marks != "" {
		size := 6
		if n.large {
			size = 11
		}
		mark = excelize.ChartMarker{Symbol: n.marks, Size: size, Fill: solid(ink), Border: excelize.LineOptions{Type: excelize.LineSolid, Width: 0.75, Fill: solid(inkDark)}}
	}
	return ink, line, mark
}

// fixed is a span as a chart names it: with its sheet and fixed rows and columns.
func (s span) fixed() string {
	letters := columnLetters(s.col)
	return "'" + strings.ReplaceAll(s.sheet.name, "'", "''") + "'!$" + letters + "$" + itoa(s.from) + ":$" + letters + "$" + itoa(s.to)
}

func (c *cell) fixed() string {
	return "'" + strings.ReplaceAll(c.sheet.name, "'", "''") + "'!$" + columnLetters(c.col) + "$" + itoa(c.row)
}

func chartWords(words string, size float64, bold bool) excelize.ChartTitle {
	if words == "" {
		return excelize.ChartTitle{}
	}
	return excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: words, Font: &excelize.Font{Family: fontName, Size: size, Bold: bold, Color: inkDark}}}}
}

func (a axis) options() excelize.ChartAxis {
	out := excelize.ChartAxis{
		Title:          chartWords(a.title, 10, false),
		Font:           excelize.Font{Family: fontName, Size: 9, Color: inkDark},
		MajorGridLines: true,
		NumFmt:         excelize.ChartNumFmt{CustomNumFmt: a.format},
		// Below the plot, not along the line of zero, which negative figures cross.
		TickLabelPosition: excelize.ChartTickLabelLow,
	}
	if a.high > a.low {
		out.Minimum, out.Maximum = &a.low, &a.high
	}
	return out
}

// saveCharts writes the sheet's charts.
func (s *sheet) saveCharts(f *excelize.File) error {
	for _, c := range s.charts {
		options := &excelize.Chart{
			Type: excelize.Scatter, Title: chartWords(c.title, 12, true), XAxis: c.x.options(), YAxis: c.y.options(),
			Dimension:    excelize.ChartDimension{Width: uint(c.cols*chartColumnPixels - 12), Height: uint(c.rows*chartRowPixels - 4)},
			Legend:       excelize.ChartLegend{Position: "bottom", Font: &excelize.Font{Family: fontName, Size: 9, Color: inkDark}},
			Format:       excelize.GraphicOptions{AltText: c.title},
			ShowBlanksAs: "span",
			Border:       excelize.LineOptions{Type: excelize.LineSolid, Width: 0.75, Fill: solid(lineSoft)},
		}
		if c.columns {
			options.Type, options.XAxis.MajorGridLines = excelize.Col, false
		}
		for k, n := range c.series {
			ink, line, mark := n.paint(k)
			one := excelize.ChartSeries{Name: n.name.fixed(), Categories: n.x.fixed(), Values: n.y.fixed(), Fill: solid(ink), Line: line, Marker: mark}
			if c.columns {
				one.Line = excelize.LineOptions{}
			}
			options.Series = append(options.Series, one)
		}
		if err := f.AddChart(s.name, address(c.row, c.col), options); err != nil {
			return err
		}
	}
	return nil
}
