package workbook

import "github.com/xuri/excelize/v2"

// role is what a cell is for; it decides the colours and the borders.
type role uint8

const (
	roleText    role = iota // a word beside a figure
	roleTitle               // the sheet's name at its top
	roleExplain             // a line that explains
	rolePart                // a heading over a table
	roleHead                // a column heading
	roleFigure              // a figure worked out by a formula
	roleInput               // "you may change this"
	roleTotal               // a sum that people look for
	roleDanger              // a warning of danger
	roleWhy                 // a word that says why a figure is missing
	roleAnswer              // enough or not, holds or not
	roleLink                // leads to another sheet
)

// look is a role with a number format; the zero format is "as typed".
type look struct {
	role   role
	format string
}

// The colours are few and calm, and every coloured word says the same in words,
// so that a print in black and white loses nothing.
const (
	inkDark   = "1F2D33"
	inkSoft   = "5B6B73"
	inkHead   = "FFFFFF"
	fillHead  = "3E5A66"
	fillInput = "FFF6DA"
	fillTotal = "E7EEF1"
	fillGood  = "DDEEDD"
	inkGood   = "1E5631"
	fillBad   = "F9D9D6"
	inkBad    = "9C1C13"
	inkLink   = "2B5D8A"
	lineSoft  = "C3CED3"
	lineHard  = "3E5A66"
)

const fontName, fontSize = "Calibri", 10

func solid(color string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{color}}
}

func box(color string, sides ...string) []excelize.Border {
	var out []excelize.Border
	for _, side := range sides {
		out = append(out, excelize.Border{Type: side, Color: color, Style: 1})
	}
	return out
}

var allSides = []string{"left", "right", "top", "bottom"}

// style is the look in the library's terms.
func (l look) style() *excelize.Style {
	st := &excelize.Style{
		Font:      &excelize.Font{Family: fontName, Size: fontSize, Color: inkDark},
		Alignment: &excelize.Alignment{Vertical: "top"},
	}
	if l.format != "" {
		st.CustomNumFmt = &l.format
	}
	switch l.role {
	case roleTitle:
		st.Font.Size, st.Font.Bold = 16, true
	case roleExplain:
		st.Font.Color = inkSoft
	case rolePart:
		st.Font.Size, st.Font.Bold = 12, true
	case roleHead:
		st.Font.Bold, st.Font.Color = true, inkHead
		st.Fill = solid(fillHead)
		st.Border = box(lineSoft, allSides...)
		st.Alignment = &excelize.Alignment{Vertical: "center", Horizontal: "center"}
	case roleFigure:
		st.Border = box(lineSoft, allSides...)
	case roleInput:
		st.Fill = solid(fillInput)
		st.Border = box(lineSoft, allSides...)
	case roleTotal:
		st.Font.Bold = true
		st.Fill = solid(fillTotal)
		st.Border = box(lineHard, "top", "bottom")
	case roleDanger:
		st.Font.Bold, st.Font.Color = true, inkBad
		st.Fill = solid(fillBad)
	case roleWhy:
		st.Font.Italic, st.Font.Color = true, inkSoft
		st.Border = box(lineSoft, allSides...)
	case roleAnswer:
		st.Font.Bold = true
		st.Border = box(lineSoft, allSides...)
	case roleLink:
		st.Font.Underline, st.Font.Color = "single", inkLink
	}
	st.Alignment.WrapText = l.wraps()
	if l.format == "" && l.role > roleHead && l.role != roleLink {
		// Words stand off the figure on their left.
		st.Alignment.Horizontal, st.Alignment.Indent = "left", 1
	}
	return st
}

// wraps says whether a text in this look breaks into lines: all but headings of
// tables and inputs, and but figures with a number format.
func (l look) wraps() bool {
	switch l.role {
	case rolePart, roleInput, roleLink:
		return false
	case roleFigure, roleTotal:
		return l.format == ""
	}
	return true
}

// styles hands out the library's number for each look, making each look once.
type styles struct {
	file      *excelize.File
	numbers   map[look]int
	good, bad int // conditional
	unsigned  map[string]int
}

func newStyles(f *excelize.File) (*styles, error) {
	good, err := f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: inkGood, Bold: true}, Fill: solid(fillGood)})
	if err != nil {
		return nil, err
	}
	bad, err := f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: inkBad, Bold: true}, Fill: solid(fillBad)})
	if err != nil {
		return nil, err
	}
	return &styles{f, map[look]int{}, good, bad, map[string]int{}}, nil
}

// shown is the library's number for a conditional number format.
func (s *styles) shown(format string) (int, error) {
	if n, ok := s.unsigned[format]; ok {
		return n, nil
	}
	n, err := s.file.NewConditionalStyle(&excelize.Style{CustomNumFmt: &format})
	if err != nil {
		return 0, err
	}
	s.unsigned[format] = n
	return n, nil
}

func (s *styles) of(l look) (int, error) {
	if n, ok := s.numbers[l]; ok {
		return n, nil
	}
	n, err := s.file.NewStyle(l.style())
	if err != nil {
		return 0, err
	}
	s.numbers[l] = n
	return n, nil
}
