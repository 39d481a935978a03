package site

import (
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// cell is one cell as it is stored. Cells of CSV are all text.
type cell struct {
	text   string
	kind   xlsx.Type
	format xlsx.Format
}

// blank reports whether the cell holds nothing.
func (c cell) blank() bool { return c.text == "" && c.kind != xlsx.NoValue }

// gridRow is one row of cells, valid until the next one is read.
type gridRow struct {
	number int // as a spreadsheet counts
	hidden bool
	cells  []cell
}

// source is a table's rows, whatever file they come from.
type source interface {
	// each calls yield with every row until it returns false.
	each(yield func(gridRow) bool) error
	// day writes a serial day number as year-month-day.
	day(serial float64) (string, bool)
	// merged reports whether a cell lies in a merged block; known after each.
	merged(row, column int) bool
	// isBook says that cells have addresses.
	isBook() bool
	// size is how many rows to make room for, 0 when it is not known.
	size() int
}

// csvSource is a CSV file.
type csvSource struct {
	text      string
	separator byte
	unclosed  int // row whose quotation mark never closes
}

func (s *csvSource) each(yield func(gridRow) bool) error {
	scan := csvScanner{text: s.text, separator: s.separator}
	for scan.next() {
		if scan.unclosed {
			s.unclosed = scan.row
			return nil
		}
		if !yield(gridRow{number: scan.row, cells: scan.cells}) {
			return nil
		}
	}
	return nil
}

func (s *csvSource) day(float64) (string, bool) { return "", false }
func (s *csvSource) merged(int, int) bool       { return false }
func (s *csvSource) isBook() bool               { return false }

// mostRoom guards against making room for a file of nothing but line ends.
const mostRoom = 1 << 20

func (s *csvSource) size() int {
	return min(strings.Count(s.text, "\n"), len(s.text)/len("1,2,3\n"), mostRoom)
}

// sheetSource is a sheet of a workbook.
type sheetSource struct {
	book   *xlsx.Book
	sheet  *xlsx.Sheet
	blocks []xlsx.Range
}

func (s *sheetSource) each(yield func(gridRow) bool) error {
	var cells []cell
	blocks, err := s.sheet.Rows(func(r xlsx.Row) bool {
		cells = cells[:0]
		for _, c := range r.Cells {
			for len(cells) < c.Column {
				cells = append(cells, cell{kind: xlsx.String})
			}
			cells = append(cells, cell{text: trim(c.Value), kind: c.Type, format: c.Format})
		}
		return yield(gridRow{number: r.Number, hidden: r.Hidden, cells: cells})
	})
	s.blocks = blocks
	return err
}

func (s *sheetSource) day(serial float64) (string, bool) { return s.book.DayText(serial) }
func (s *sheetSource) isBook() bool                      { return true }
func (s *sheetSource) size() int                         { return 0 }

func (s *sheetSource) merged(row, column int) bool {
	for _, b := range s.blocks {
		if row >= b.FirstRow && row <= b.LastRow && column >= b.FirstColumn && column <= b.LastColumn {
			return true
		}
	}
	return false
}

// passedOver reports whether a row is empty or a remark: its first cell that
// holds something begins with #. An error cell such as #REF! is no remark.
func passedOver(cells []cell) bool {
	for _, c := range cells {
		if c.blank() {
			continue
		}
		return c.text != "" && c.text[0] == '#' && !isFailure(c)
	}
	return true
}

// isFailure reports whether a cell holds a spreadsheet's error, as itself or as
// the text that a CSV export leaves of it.
func isFailure(c cell) bool {
	if c.kind == xlsx.Failure {
		return true
	}
	if c.text == "" || c.text[0] != '#' {
		return false
	}
	switch strings.ToUpper(c.text) {
	case "#REF!", "#N/A", "#DIV/0!", "#VALUE!", "#NAME?", "#NUM!", "#NULL!", "#SPILL!", "#CALC!":
		return true
	}
	return false
}

// unreadable is the fault of a cell that no column can read.
func unreadable(c cell) *fault {
	switch {
	case c.kind == xlsx.NoValue:
		return &fault{
			"holds a formula without a stored value",
			"open the workbook in your spreadsheet program, save it and try again",
		}
	case isFailure(c):
		return &fault{"holds the error " + c.text, "mend the formula or write the value"}
	case c.kind == xlsx.Boolean:
		return &fault{"holds the truth value " + c.text, "write the value as a number or a word"}
	}
	return nil
}

// shownText is the text of a cell as its user sees it. Days and clock times are
// faults: the user most likely typed something else, such as 3-1.
func shownText(c cell) (string, *fault) {
	if c.kind != xlsx.Number {
		if c.kind == xlsx.Boolean {
			return c.text, nil
		}
		return c.text, unreadable(c)
	}
	value, err := units.ParseDecimal(c.text)
	switch {
	case err != nil:
		return "", notNumber(c.text)
	case c.format == xlsx.Percent:
		return strconv.FormatFloat(value*100, 'g', shownDigits, 64) + " %", nil
	case c.format == xlsx.Day:
		return "", &fault{"the spreadsheet turned it into a date", "format the cell as text and write it again"}
	case c.format == xlsx.Clock:
		return "", &fault{"the spreadsheet turned it into a clock time", "format the cell as text and write it again"}
	}
	return strconv.FormatFloat(value, 'f', -1, 64), nil
}

// shownDigits is how many digits a spreadsheet keeps of a number.
const shownDigits = 15
