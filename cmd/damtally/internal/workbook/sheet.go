package workbook

import (
	"math"
	"strconv"
	"strings"
)

// cell is a cell of a sheet: where it is, what it holds and how it looks.
type cell struct {
	sheet    *sheet
	row, col int // from 1
	content  expr
	look     look
	name     string // a defined name, "" for none
	tallFor  string // the longest text that its formula may show, for the row's height
	across   int    // columns that it is merged over to the right, itself included; 0 or 1 = none
	taken    bool   // a formula takes it up; known once the formulas are written
}

// ref is the cell in a formula: its defined name, or its address, with the
// sheet's name where the formula stands elsewhere.
func (c *cell) ref() expr {
	return expr{val: c.content.val, prec: precAtom, write: func(home *sheet) string {
		c.taken = true
		if c.name != "" {
			return c.name
		}
		return c.sheet.prefix(home) + address(c.row, c.col)
	}}
}

// choice is a drop-down list in a cell.
type choice struct {
	at    string
	words []string
}

// sheet is the plan of one worksheet.
type sheet struct {
	name    string
	rows    [][]*cell // by row and column, from 0
	lastCol int

	widths  map[int]float64 // typed column widths; others fit what stands in them
	hidden  map[int]bool    // columns out of view, whose figures still count
	heights map[int]float64 // typed row heights, points; others fit too
	heads   [2]int          // rows repeated on every printed page, from and to; 0 = none
	freeze  [2]int          // rows and columns that stay in view
	marks   []mark
	choices []choice
	links   []link
	charts  []chart
	filters [2]int // heading row and last row of the table that can be filtered; 0 = none
	breaks  []int  // rows that begin a printed page, besides those that fit.go finds
	upright bool   // printed upright, for pages of text
	onePage bool   // printed on one page
	splits  []int  // columns at which a second page across may begin, where one page would be too small to read
}

// link leads from a cell to the top of another sheet.
type link struct {
	from *cell
	to   string // the sheet's name
}

func newSheet(name string) *sheet {
	return &sheet{name: name, widths: map[int]float64{}, hidden: map[int]bool{}}
}

// notKnown stands in a cell whose formula gives no number. What is worked out
// from it is not known either, so no NaN can reach the file.
const notKnown = "not known"

// put places content in a cell. A later put at the same place replaces the former.
func (s *sheet) put(row, col int, content expr, l look) *cell {
	if v := content.val; v.kind == isNumber && (math.IsNaN(v.num) || math.IsInf(v.num, 0)) {
		content = text(notKnown)
	}
	for len(s.rows) < row {
		s.rows = append(s.rows, nil)
	}
	for len(s.rows[row-1]) < col {
		s.rows[row-1] = append(s.rows[row-1], nil)
	}
	c := &cell{sheet: s, row: row, col: col, content: content, look: l}
	s.rows[row-1][col-1] = c
	s.lastCol = max(s.lastCol, col)
	return c
}

// line places a text that runs over the columns from col on.
func (s *sheet) line(row, col, across int, words string, l look) *cell {
	c := s.put(row, col, text(words), l)
	c.across = across
	for i := 1; i < across; i++ {
		s.put(row, col+i, blank(), l)
	}
	return c
}

// blankRow places empty cells from one column to another, for their look.
func (s *sheet) blankRow(row, from, to int, l look) {
	for col := from; col <= to; col++ {
		s.put(row, col, blank(), l)
	}
}

// at is the cell at a place, nil when nothing was put there.
func (s *sheet) at(row, col int) *cell {
	if row < 1 || row > len(s.rows) || col < 1 || col > len(s.rows[row-1]) {
		return nil
	}
	return s.rows[row-1][col-1]
}

func (s *sheet) lastRow() int { return len(s.rows) }

// offer gives a cell a drop-down list.
func (s *sheet) offer(c *cell, words ...string) {
	s.choices = append(s.choices, choice{address(c.row, c.col), words})
}

// linkTo makes a cell lead to another sheet.
func (s *sheet) linkTo(c *cell, to string) { s.links = append(s.links, link{c, to}) }

// prefix is what stands before an address of this sheet in a formula on home.
func (s *sheet) prefix(home *sheet) string {
	if s == home {
		return ""
	}
	for _, r := range s.name {
		if (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') {
			return "'" + strings.ReplaceAll(s.name, "'", "''") + "'!"
		}
	}
	return s.name + "!"
}

// address is a cell's name: row 3, column 2 is B3.
func address(row, col int) string { return columnLetters(col) + itoa(row) }

func columnLetters(col int) string {
	letters := ""
	for ; col > 0; col = (col - 1) / 26 {
		letters = string(rune('A'+(col-1)%26)) + letters
	}
	return letters
}

func itoa(n int) string { return strconv.Itoa(n) }
