package site

import (
	"fmt"
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// value is one cell read by its column. A cell that could not be read is given,
// with NaN for its number: its problem is reported once, and no later check
// takes it for another.
type value struct {
	given bool
	num   float64 // SI
	text  string
	raw   cell
}

// row is a row of a table, read by its columns.
type row struct {
	ref    Ref
	spec   *tableSpec
	values []value // by column of the table
}

func (w *row) at(column string) *value { return &w.values[w.spec.index[column]] }

// number returns what a cell holds, in SI, or nothing.
func (w *row) number(column string) Number {
	v := w.at(column)
	return Number{v.num, v.given}
}

// si returns the number of a cell, 0 when it is blank.
func (w *row) si(column string) float64 { return w.at(column).num }

// text returns the text of a cell, "" when it is blank or could not be read.
func (w *row) text(column string) string { return w.at(column).text }

// tableReader reads one table row by row.
type tableReader struct {
	*reading
	spec    *tableSpec
	from    source
	state   *tableState
	build   func(*row)
	waiting []gridRow // rows read before the header was found
	head    *header
	row     row
	hidden  []int
	strays  map[int]bool // columns without a name that hold something
	blanks  []placed     // needed cells that are blank, to look up in merged blocks
}

// readTable reads a table from its source and builds its part of the model.
func (r *reading) readTable(spec *tableSpec, from source, build func(*row)) error {
	t := &tableReader{reading: r, spec: spec, from: from, state: &tableState{}, build: build, strays: map[int]bool{}}
	t.row = row{spec: spec, values: make([]value, len(spec.Columns))}
	r.tables[spec.Name] = t.state
	if err := from.each(func(g gridRow) bool { t.feed(g); return true }); err != nil {
		return err
	}
	if t.head == nil {
		t.settle()
	}
	t.finish()
	return nil
}

// feed takes the next row of cells.
func (t *tableReader) feed(g gridRow) {
	switch {
	case passedOver(g.cells):
	case t.head != nil:
		t.read(g)
	default:
		g.cells = slices.Clone(g.cells)
		t.waiting = append(t.waiting, g)
		if t.spec.holdsNeeded(g.cells) || len(t.waiting) == headerRows {
			t.settle()
		}
	}
}

// settle picks the header among the rows read so far: the row that holds all
// needed columns, or else the first of those that name the most columns.
func (t *tableReader) settle() {
	if len(t.waiting) == 0 {
		t.wrong(Ref{Table: t.spec.Name}, "", "the table is empty", "write the column names in its first row, or take it out")
		return
	}
	best, most := 0, 0
	for i, g := range t.waiting {
		n := t.spec.recognised(g.cells)
		if t.spec.holdsNeeded(g.cells) {
			best = i
			break
		}
		if n > most {
			best, most = i, n
		}
	}
	t.head = t.readHeader(t.spec, t.waiting[best], t.from.isBook())
	t.state.whole = len(t.head.missing) == 0
	t.state.unit = t.lengthUnit()
	t.state.units = make([]units.Unit, len(t.spec.Columns))
	for _, h := range t.head.columns {
		t.state.units[h.column] = h.unit
	}
	if best > 0 {
		t.noteOf("note", Ref{Table: t.spec.Name}, "what stands above the header is passed over", t.spec.Name)
	}
	for _, i := range t.head.missing {
		t.row.values[i] = value{given: true, num: math.NaN()}
	}
	for _, g := range t.waiting[best+1:] {
		t.read(g)
	}
	t.waiting = nil
}

// lengthUnit is the unit that tells whether the site is in feet or metres.
func (t *tableReader) lengthUnit() units.Unit {
	var unit units.Unit
	for _, h := range t.head.columns {
		if t.spec.Columns[h.column].UnitKind != units.Length || math.IsNaN(h.unit.SI) {
			continue
		}
		if unit.Name == "" || t.spec.Columns[h.column].Name == "elevation" {
			unit = h.unit
		}
	}
	return unit
}

// read reads a row by its columns.
func (t *tableReader) read(g gridRow) {
	t.row.ref = Ref{Table: t.spec.Name, Row: g.number, sheet: t.head.place}
	if g.hidden {
		t.hidden = append(t.hidden, g.number)
	}
	any := false
	for _, h := range t.head.columns {
		v := &t.row.values[h.column]
		*v = value{}
		if h.cell >= len(g.cells) || g.cells[h.cell].blank() {
			continue
		}
		any = true
		t.readCell(v, g.cells[h.cell], h)
	}
	t.findStrays(g)
	if !any {
		return
	}
	for _, h := range t.head.columns {
		if c := &t.spec.Columns[h.column]; c.Needed && !t.row.values[h.column].given {
			t.row.values[h.column] = value{given: true, num: math.NaN()}
			t.add(t.spec, t.row.ref, c.Name, blankFault)
			t.blanks = append(t.blanks, placed{Problem{Ref: t.row.ref, Column: c.Name}, t.spec.order, h.cell})
		}
	}
	t.state.rows++
	t.build(&t.row)
}

var (
	blankFault  = &fault{"is blank", "fill it in"}
	mergedFault = &fault{"is part of merged cells, which hold a value for their first row only", "unmerge them and fill in every row"}
)

// readCell reads a cell by its column.
func (t *tableReader) readCell(v *value, c cell, h headColumn) {
	spec := &t.spec.Columns[h.column]
	v.given, v.raw = true, c
	var f *fault
	switch spec.Kind {
	case Text:
		if t.spec.Name != "site" || spec.Name != "value" { // settings are read by their own kind
			v.text, f = shownText(c)
		}
	case Word:
		if v.text, f = shownText(c); f == nil {
			v.text, f = readWord(v.text, spec.Words)
		}
	case Date:
		v.text, f = readDate(c, t.from)
	case Numeric, Station:
		if v.num, f = t.readNumber(c, spec, h.unit); f == nil {
			f = checkRange(v.num, c.text, spec.UnitKind, spec.Range, t.spec.Name != "faces")
		}
	}
	if f != nil {
		v.text, v.num = "", math.NaN()
		t.add(t.spec, t.row.ref, spec.Name, f)
	}
}

// findStrays looks for cells that stand under no column name.
func (t *tableReader) findStrays(g gridRow) {
	for i, c := range g.cells {
		if c.blank() || t.named(i) {
			continue
		}
		t.strays[i] = true
		if !t.from.isBook() {
			t.add(t.spec, t.row.ref, "", &fault{
				fmt.Sprintf("has something in its cell %d, which has no column name", i+1),
				"put a cell that holds a separator in quotes (a number such as 12,450 is written 12450), or name the column",
			})
			return
		}
	}
}

// named reports whether a cell of the header holds something; when it is no
// known column, that is reported already.
func (t *tableReader) named(i int) bool { return i < len(t.head.names) && t.head.names[i] }

// finish notes what was passed over and tells merged cells from blank ones.
func (t *tableReader) finish() {
	ref := Ref{Table: t.spec.Name}
	if n := len(t.hidden); n > 0 {
		t.note("look", ref, fmt.Sprintf("%s hidden and read all the same: %s", plural(n, "row is", "rows are"), listRows(t.hidden)))
	}
	if t.from.isBook() {
		for _, i := range sortedKeys(t.strays) {
			t.note("look", ref, "column "+xlsx.ColumnName(i)+" has no name, what stands in it is passed over")
		}
	}
	for _, b := range t.blanks {
		if t.from.merged(b.Ref.Row, b.column) {
			t.tellMerged(b)
		}
	}
	if s, ok := t.from.(*csvSource); ok && s.unclosed > 0 {
		t.wrong(Ref{Table: t.spec.Name, Row: s.unclosed}, "", "a quotation mark is opened and never closed", "close it or take it out")
	}
}

// tellMerged turns the problem of a blank cell into that of a merged one.
func (t *tableReader) tellMerged(b placed) {
	for i := range t.found {
		p := &t.found[i].Problem
		if p.Ref.Table == b.Ref.Table && p.Ref.Row == b.Ref.Row && p.Column == b.Column && p.What == blankFault.what {
			p.What, p.Mend = mergedFault.what, mergedFault.mend
		}
	}
}
