package starter

import (
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/xuri/excelize/v2"
)

// Rows of a table's sheet.
const (
	titleRow  = 1
	helpRow   = 2
	headerRow = 3
	firstRow  = 4
	// lastListRow is how far down a sheet offers its lists of words.
	lastListRow = 500
)

// Widths of columns and height of a line, in the spreadsheet's own measures.
const (
	leastWidth = 14.0
	mostWidth  = 26.0
	lineHeight = 14.5
	// A line of text takes so many letters for each unit of width before it
	// wraps: in the cells' own size, in the small help, in the large title.
	wordsFit, helpFit, titleFit = 1.05, 1.2, 0.8
)

// looks are the styles of a workbook, by what they are for.
type looks struct {
	title, help, heading, cell, text, slope, words, strong int
}

// newLooks makes the styles. They stay readable in black and white.
func newLooks(f *excelize.File) (looks, error) {
	line := []excelize.Border{
		{Type: "left", Color: "BFC7D1", Style: 1},
		{Type: "right", Color: "BFC7D1", Style: 1},
		{Type: "top", Color: "BFC7D1", Style: 1},
		{Type: "bottom", Color: "BFC7D1", Style: 1},
	}
	wrapped := &excelize.Alignment{WrapText: true, Vertical: "top"}
	fill := func(color string) excelize.Fill {
		return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{color}}
	}
	const asText = 49 // the number format "@" (ECMA-376 part 1, 18.8.30)
	font := func(size float64, bold bool) *excelize.Font {
		return &excelize.Font{Family: "Calibri", Size: size, Bold: bold}
	}
	small := font(9, false)
	small.Italic, small.Color = true, "4A4A4A"
	var l looks
	for _, s := range []struct {
		to    *int
		style excelize.Style
	}{
		{&l.title, excelize.Style{Font: font(12, true), Alignment: wrapped}},
		{&l.help, excelize.Style{Font: small, Alignment: wrapped}},
		{&l.heading, excelize.Style{Font: font(11, true), Fill: fill("D6E3E8"), Border: line, Alignment: wrapped}},
		{&l.cell, excelize.Style{Font: font(11, false), Fill: fill("FFFBEB"), Border: line}},
		{&l.text, excelize.Style{Font: font(11, false), Fill: fill("FFFBEB"), Border: line, NumFmt: asText, Alignment: &excelize.Alignment{Horizontal: "left"}}},
		{&l.slope, excelize.Style{Font: font(11, false), Fill: fill("FFFBEB"), Border: line, NumFmt: asText, Alignment: &excelize.Alignment{Horizontal: "right"}}},
		{&l.words, excelize.Style{Font: font(11, false), Alignment: wrapped}},
		{&l.strong, excelize.Style{Font: font(11, true), Alignment: wrapped}},
	} {
		var err error
		if *s.to, err = f.NewStyle(&s.style); err != nil {
			return l, err
		}
	}
	return l, nil
}

// cellOf is the value of an example cell and its style. Stations, dates, slopes
// and names are kept as text, or a spreadsheet makes clock times and dates of
// what is typed there.
func (l looks) cellOf(c site.Column, value string) (any, int) {
	style := l.text
	switch {
	case c.UnitKind == units.Slope:
		style = l.slope
	case c.Kind == site.Numeric:
		style = l.cell
	}
	if value == "" {
		return nil, style
	}
	if c.Kind == site.Numeric {
		if number, err := strconv.ParseFloat(value, 64); err == nil {
			return number, style
		}
	}
	return value, style
}

// widthOf is the width of a column that shows its header and its cells.
func widthOf(t table, i int) float64 {
	longest := len(t.header[i])
	for _, row := range t.rows {
		longest = max(longest, len(row[i]))
	}
	if t.spec.Name == "site" {
		return max(leastWidth, float64(longest)+4)
	}
	return min(max(leastWidth, float64(longest)+3), mostWidth)
}

// linesOf is how many lines a text takes in a column of that width, with fit
// letters for each unit of it.
func linesOf(text string, width, fit float64) int {
	room, lines, used := int(width*fit), 1, 0
	for _, word := range strings.Fields(text) {
		if used > 0 && used+1+len(word) > room {
			lines, used = lines+1, 0
		}
		if used > 0 {
			used++
		}
		used += len(word)
	}
	return lines
}
