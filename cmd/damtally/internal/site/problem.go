package site

import (
	"fmt"
	"strings"
)

// Ref says where something was read: the table, its row as a spreadsheet counts
// rows (the first row of the file or sheet is 1), and for a workbook what it
// takes to name a cell. The zero Ref is "nowhere in particular".
type Ref struct {
	Table string
	Row   int
	sheet *sheetPlace
}

// sheetPlace knows in which spreadsheet column each known column stands; it is
// nil for CSV.
type sheetPlace struct {
	letters map[string]string
}

// Cell returns the cell's address in the workbook ("C7"), or "" for CSV, for
// an unknown column, or when the Ref names no row.
func (r Ref) Cell(column string) string {
	if r.sheet == nil || r.Row == 0 {
		return ""
	}
	letter, ok := r.sheet.letters[column]
	if !ok {
		return ""
	}
	return fmt.Sprintf("%s%d", letter, r.Row)
}

// Problem is one thing wrong with the input: where, what, and how to mend it.
type Problem struct {
	Ref    Ref
	Column string // "" when it is about the row or the table
	What   string // what is wrong, no final stop
	Mend   string // what to do about it, no final stop
}

// String gives `TABLE row N, COLUMN: what is wrong; how to mend it`, in a
// workbook with the cell's address after the row.
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(p.Ref.Table)
	if p.Ref.Row > 0 {
		fmt.Fprintf(&b, " row %d", p.Ref.Row)
		if cell := p.Ref.Cell(p.Column); cell != "" {
			fmt.Fprintf(&b, " (%s)", cell)
		}
	}
	if p.Column != "" {
		if p.Ref.Table != "" {
			b.WriteString(", ")
		}
		b.WriteString(p.Column)
	}
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	b.WriteString(p.What)
	if p.Mend != "" {
		b.WriteString("; ")
		b.WriteString(p.Mend)
	}
	return b.String()
}

// Problems is every problem of a run, in the order of tables, rows and columns.
// It is an error whose text has one line a problem.
type Problems []Problem

// Error implements error.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}
