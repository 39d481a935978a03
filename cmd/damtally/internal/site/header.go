package site

import (
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// headerRows is how many rows from the top may stand above the header, remarks
// and empty rows not counted.
const headerRows = 30

// tableSpec is a Table made quick to look things up in.
type tableSpec struct {
	Table
	order int            // among the tables
	index map[string]int // of a column by its name
	byKey map[string]int // of a column by headKey of its name
}

func newSpec(t Table, order int) *tableSpec {
	s := &tableSpec{Table: t, order: order, index: map[string]int{}, byKey: map[string]int{}}
	for i, c := range t.Columns {
		s.index[c.Name] = i
		s.byKey[headKey(c.Name)] = i
	}
	return s
}

// columnNames lists the names of the columns.
func (t *tableSpec) columnNames() []string {
	names := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		names[i] = c.Name
	}
	return names
}

// find matches a header cell without its brackets to a column. translated says
// that a synonym was read.
func (t *tableSpec) find(name string) (column int, translated, ok bool) {
	if i, ok := t.byKey[headKey(name)]; ok {
		return i, false, true
	}
	if ours, ok := translate(name); ok {
		i, ok := t.byKey[headKey(ours)]
		return i, true, ok
	}
	return 0, false, false
}

// recognised counts the different columns of the table that a row names.
func (t *tableSpec) recognised(cells []cell) int {
	var seen []int
	for _, c := range cells {
		if c.kind != xlsx.String || c.text == "" {
			continue
		}
		name, _, _ := splitHeader(c.text)
		if i, _, ok := t.find(name); ok && !slices.Contains(seen, i) {
			seen = append(seen, i)
		}
	}
	return len(seen)
}

// holdsNeeded reports whether a row names every column that is needed.
func (t *tableSpec) holdsNeeded(cells []cell) bool {
	found := make([]bool, len(t.Columns))
	for _, c := range cells {
		if c.kind == xlsx.String && c.text != "" {
			name, _, _ := splitHeader(c.text)
			if i, _, ok := t.find(name); ok {
				found[i] = true
			}
		}
	}
	for i, c := range t.Columns {
		if c.Needed && !found[i] {
			return false
		}
	}
	return true
}

// splitHeader parts `elevation (ft)` into its name and its unit.
func splitHeader(text string) (name, unit string, bracketed bool) {
	for _, pair := range []string{"()", "[]"} {
		if body, ok := strings.CutSuffix(text, pair[1:]); ok {
			if i := strings.LastIndex(body, pair[:1]); i >= 0 {
				return trim(body[:i]), trim(body[i+1:]), true
			}
		}
	}
	return text, "", false
}

// headColumn is where a column stands and in which unit.
type headColumn struct {
	cell   int // index in the row
	column int // index in the table
	unit   units.Unit
}

// header is what a table's header row says.
type header struct {
	row     int
	names   []bool // which cells of the header row hold something
	columns []headColumn
	missing []int // needed columns that are not there
	place   *sheetPlace
}

// broken is the unit of a column whose unit is wrong: what is read in it is
// NaN, which no later check takes for a fault of its own. It never leaves Read,
// since the wrong unit is a problem already.
var broken = units.Unit{SI: math.NaN()}

// readHeader reads the header row and reports what is wrong with it.
func (r *reading) readHeader(t *tableSpec, row gridRow, book bool) *header {
	h := &header{row: row.number, names: make([]bool, len(row.cells))}
	if book {
		h.place = &sheetPlace{letters: map[string]string{}}
	}
	ref := Ref{Table: t.Name, Row: row.number, sheet: h.place}
	taken := map[int]string{}
	for i, c := range row.cells {
		if c.blank() {
			continue
		}
		h.names[i] = true
		name, unit, bracketed := splitHeader(c.text)
		column, translated, ok := t.find(name)
		if c.kind != xlsx.String || !ok {
			shown := tidy(c.text)
			if h.place != nil {
				h.place.letters[shown] = xlsx.ColumnName(i)
			}
			r.addAt(t, ref, len(t.Columns)+i, Problem{
				Ref: ref, Column: shown, What: "there is no such column in this table", Mend: t.meant(c.text, name),
			})
			continue
		}
		spec := t.Columns[column]
		if h.place != nil {
			h.place.letters[spec.Name] = xlsx.ColumnName(i)
		}
		if first, twice := taken[column]; twice {
			r.add(t, ref, spec.Name, &fault{"the column stands twice, as " + units.Quote(first) + " and " + units.Quote(c.text), "keep one"})
			continue
		}
		taken[column] = c.text
		if translated {
			r.note("note", Ref{Table: t.Name}, "the column "+units.Quote(name)+" is read as "+units.Quote(spec.Name))
		}
		u, f := headerUnit(spec, unit, bracketed)
		if f != nil {
			r.add(t, ref, spec.Name, f)
		}
		h.columns = append(h.columns, headColumn{i, column, u})
	}
	r.reportMissing(t, h, taken)
	return h
}

// meant is the mend of a header cell that names no column: the name with its
// unit put in brackets, or the nearest name.
func (t *tableSpec) meant(text, name string) string {
	for i, c := range text {
		if c != ' ' && c != '_' && c != ',' && c != '-' {
			continue
		}
		unit, known := units.Lookup(strings.Trim(text[i+1:], "()[] "))
		if column, _, ok := t.find(trim(text[:i])); ok && known {
			return "put the unit in brackets: write " + units.Quote(t.Columns[column].Name+" ("+unit.Name+")")
		}
	}
	return suggest(name, t.columnNames())
}

// reportMissing reports the needed columns that the header does not name.
func (r *reading) reportMissing(t *tableSpec, h *header, taken map[int]string) {
	for i, c := range t.Columns {
		if _, ok := taken[i]; c.Needed && !ok {
			h.missing = append(h.missing, i)
			r.add(t, Ref{Table: t.Name}, c.Name, &fault{"the column is missing", "add a column headed " + units.Quote(headerExample(c))})
		}
	}
}

// headerExample is how the header of a column may read.
func headerExample(c Column) string {
	if !c.NeedsUnit() {
		return c.Name
	}
	return c.Name + " (" + exampleUnit(c.UnitKind) + ")"
}

// exampleUnit is the unit that examples are given in.
func exampleUnit(kind units.Kind) string {
	switch kind {
	case units.Length:
		return "ft"
	case units.Volume:
		return "yd3"
	case units.Density:
		return "pcf"
	}
	return units.Of(kind)[0].Name
}

// plainUnit is the unit of a column that takes none: the number stays as it is.
var plainUnit = units.Unit{SI: 1}

// headerUnit finds the unit of a column.
func headerUnit(c Column, name string, bracketed bool) (units.Unit, *fault) {
	unit, known := units.Lookup(name)
	if c.Kind == Text || c.Kind == Word || c.Kind == Date {
		return plainUnit, nil
	}
	if !c.NeedsUnit() {
		if known && unit.Kind != c.UnitKind && unit.Name != "-" {
			return broken, &fault{"is no " + string(unit.Kind) + ", but its header says (" + name + ")", "take the unit out"}
		}
		return plainUnit, nil
	}
	kind := string(c.UnitKind)
	list := kind + " takes " + units.Names(c.UnitKind)
	switch {
	case !bracketed || name == "":
		return broken, &fault{"the header has no unit", "write " + units.Quote(headerExample(c)) + "; " + list}
	case !known && units.Hint(name, c.UnitKind) != "":
		return broken, &fault{"the unit " + units.Quote(name) + " is not known", units.Hint(name, c.UnitKind)}
	case !known:
		return broken, &fault{"the unit " + units.Quote(name) + " is not known", list}
	case unit.Kind != c.UnitKind:
		return broken, &fault{"the unit " + units.Quote(name) + " measures " + string(unit.Kind) + ", not " + kind, list}
	}
	return unit, nil
}
