package xlsx

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Type is how a cell is stored.
type Type int

// The types of cell.
const (
	Number  Type = iota // Value is the stored number as text, such as 612.347
	String              // Value is the text
	Boolean             // Value is TRUE or FALSE
	Failure             // Value is an error such as #REF!
	NoValue             // a formula whose value is not stored
)

// Cell is one cell that holds something.
type Cell struct {
	Column int // from 0
	Type   Type
	Format Format
	Value  string
}

// Row is one row of a sheet that holds something. Its cells are valid until the
// next row is read.
type Row struct {
	Number int // from 1
	Hidden bool
	Cells  []Cell // by rising column
}

// Range is a block of cells, rows from 1 and columns from 0, both ends included.
type Range struct {
	FirstRow, LastRow, FirstColumn, LastColumn int
}

// Rows calls yield with each row that holds something, from the top, until
// yield returns false. It returns the merged blocks of the sheet, which stand
// behind the rows, and ErrDamaged or ErrTooBig.
func (s *Sheet) Rows(yield func(Row) bool) ([]Range, error) {
	part, err := s.book.open(s.part, maxPart)
	if err != nil {
		return nil, err
	}
	defer part.Close()
	r := rowReader{book: s.book, xml: xml.NewDecoder(part)}
	for {
		token, err := r.xml.Token()
		if errors.Is(err, io.EOF) {
			return r.merged, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrDamaged, err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch start.Name.Local {
		case "row":
			if err := r.readRow(start); err != nil {
				return nil, err
			}
			if len(r.row.Cells) > 0 && !yield(r.row) {
				return nil, nil
			}
		case "mergeCell":
			if m, ok := parseRange(attribute(start, "ref")); ok {
				r.merged = append(r.merged, m)
			}
		}
	}
}

// rowReader reads rows into one buffer.
type rowReader struct {
	book   *Book
	xml    *xml.Decoder
	row    Row
	merged []Range
}

func (r *rowReader) readRow(start xml.StartElement) error {
	number := r.row.Number + 1
	if text := attribute(start, "r"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < number {
			return fmt.Errorf("%w: its rows are out of order", ErrDamaged)
		}
		number = n
	}
	if number > maxRow {
		return fmt.Errorf("%w: it has too many rows", ErrDamaged)
	}
	r.row = Row{Number: number, Hidden: isTrue(attribute(start, "hidden")), Cells: r.row.Cells[:0]}
	next := 0
	for {
		token, err := r.xml.Token()
		if err != nil {
			return fmt.Errorf("%w: %w", ErrDamaged, err)
		}
		switch t := token.(type) {
		case xml.EndElement:
			if t.Name.Local == "row" {
				return nil
			}
		case xml.StartElement:
			if t.Name.Local != "c" {
				if err := r.xml.Skip(); err != nil {
					return fmt.Errorf("%w: %w", ErrDamaged, err)
				}
				continue
			}
			column, err := r.readCell(t, next)
			if err != nil {
				return err
			}
			next = column + 1
		}
	}
}

// readCell reads a cell; next is its column when it does not say.
func (r *rowReader) readCell(start xml.StartElement, next int) (int, error) {
	cell := Cell{Column: next}
	kind := ""
	for _, a := range start.Attr {
		switch a.Name.Local {
		case "r":
			column, _, ok := parseAddress(a.Value)
			if !ok || column < next {
				return 0, fmt.Errorf("%w: its cells are out of order", ErrDamaged)
			}
			cell.Column = column
		case "s":
			if n, err := strconv.Atoi(a.Value); err == nil && n >= 0 && n < len(r.book.formats) {
				cell.Format = r.book.formats[n]
			}
		case "t":
			kind = a.Value
		}
	}
	if cell.Column >= maxColumn {
		return 0, fmt.Errorf("%w: it has too many columns", ErrDamaged)
	}
	value, found, formula, err := r.readContent()
	if err != nil {
		return 0, err
	}
	if !found || value == "" && kind != "str" && kind != "inlineStr" {
		if formula {
			cell.Type = NoValue
			r.row.Cells = append(r.row.Cells, cell)
		}
		return cell.Column, nil
	}
	if err := r.settle(&cell, kind, value); err != nil {
		return 0, err
	}
	if cell.Value != "" {
		r.row.Cells = append(r.row.Cells, cell)
	}
	return cell.Column, nil
}

// readContent reads what is inside a cell: its value, whether there was one,
// and whether there is a formula.
func (r *rowReader) readContent() (value string, found, formula bool, err error) {
	for {
		token, err := r.xml.Token()
		if err != nil {
			return "", false, false, fmt.Errorf("%w: %w", ErrDamaged, err)
		}
		switch t := token.(type) {
		case xml.EndElement:
			if t.Name.Local == "c" {
				return value, found, formula, nil
			}
		case xml.StartElement:
			switch t.Name.Local {
			case "v":
				value, err = r.readText()
				found = true
			case "is":
				var rich richText
				err = r.xml.DecodeElement(&rich, &t)
				value, found = rich.String(), true
			default:
				formula = formula || t.Name.Local == "f"
				err = r.xml.Skip()
			}
			if err != nil {
				return "", false, false, fmt.Errorf("%w: %w", ErrDamaged, err)
			}
		}
	}
}

// readText reads the text up to the end of the element.
func (r *rowReader) readText() (string, error) {
	text := ""
	for {
		token, err := r.xml.Token()
		if err != nil {
			return "", err
		}
		switch t := token.(type) {
		case xml.CharData:
			text += string(t)
		case xml.StartElement:
			if err := r.xml.Skip(); err != nil {
				return "", err
			}
		case xml.EndElement:
			return text, nil
		}
	}
}

// settle turns a stored value into the cell's type and value.
func (r *rowReader) settle(cell *Cell, kind, value string) error {
	cell.Value = value
	switch kind {
	case "", "n":
		cell.Value = strings.TrimSpace(value)
	case "s":
		n, err := strconv.Atoi(strings.TrimSpace(value))
		if err != nil || n < 0 || n >= len(r.book.strings) {
			return fmt.Errorf("%w: a cell names a text that is not there", ErrDamaged)
		}
		cell.Type, cell.Value = String, r.book.strings[n]
	case "b":
		cell.Type, cell.Value = Boolean, "FALSE"
		if isTrue(strings.TrimSpace(value)) {
			cell.Value = "TRUE"
		}
	case "e":
		cell.Type = Failure
	case "d": // a day or time written out, as in 2026-05-01T00:00:00
		cell.Type, cell.Format = String, Day
		cell.Value, _, _ = strings.Cut(value, "T")
	case "inlineStr": // unescaped already
		cell.Type = String
	default:
		cell.Type, cell.Value = String, unescape(value)
	}
	return nil
}

func attribute(start xml.StartElement, name string) string {
	for _, a := range start.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}
