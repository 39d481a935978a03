package site

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// reading is the state of one run of Read: the model as far as it is read, and
// what was found wrong.
type reading struct {
	site   Site
	book   bool
	mark   byte // decimal mark: '.', ',' or 0 when the site sets none
	specs  map[string]*tableSpec
	found  []placed
	alike  map[alike]int
	tables map[string]*tableState

	unknown  []string             // CSV files of the folder that are no tables
	files    map[string]bool      // files that tables name, in small letters
	settings []setting            // rows of the table `site`
	corners  []corner             // rows of the table `outlines`
	owners   map[string][]owner   // names in other tables that have outlines
	names    map[string]nameTable // the names that tables define
}

// tableState is what is known of a table that the site holds.
type tableState struct {
	rows  int
	whole bool         // all its needed columns are there
	unit  units.Unit   // of its elevation column, or else of its first length
	units []units.Unit // by column, without a name where the header says none
}

// placed is a problem with its place in the order of the report.
type placed struct {
	Problem
	table, column int
}

// alike is what problems share when they are folded into one.
type alike struct{ table, column, mend string }

// mostAlike is how many problems of one kind in one column are listed; of the
// rest only the number is told.
const mostAlike = 20

func newReading() *reading {
	r := &reading{
		specs: map[string]*tableSpec{}, alike: map[alike]int{},
		tables: map[string]*tableState{},
		owners: map[string][]owner{}, files: map[string]bool{},
	}
	for i, t := range Schema() {
		r.specs[t.Name] = newSpec(t, i)
	}
	return r
}

// has reports whether the site holds a table with at least one row.
func (r *reading) has(table string) bool {
	t, ok := r.tables[table]
	return ok && t.rows > 0
}

// whole reports whether the site holds a table with all its needed columns, so
// that what is not in it is not there.
func (r *reading) whole(table string) bool {
	t, ok := r.tables[table]
	return ok && t.whole
}

// add reports a problem in a column (or with "" in the row) of a known table.
func (r *reading) add(t *tableSpec, ref Ref, column string, f *fault) {
	at, ok := t.index[column]
	if !ok {
		at = -1
	}
	r.addAt(t, ref, at, Problem{Ref: ref, Column: column, What: f.what, Mend: f.mend})
}

// wrong reports a problem found by a check between rows or tables.
func (r *reading) wrong(ref Ref, column, what, mend string) {
	p := Problem{Ref: ref, Column: column, What: what, Mend: mend}
	if t, ok := r.specs[ref.Table]; ok {
		r.add(t, ref, column, &fault{what, mend})
		return
	}
	order := len(r.specs)
	if ref.Table == "" {
		order = -1
	}
	r.found = append(r.found, placed{p, order, 0})
}

func (r *reading) addAt(t *tableSpec, ref Ref, column int, p Problem) {
	if ref.Row > 0 {
		k := alike{t.Name, p.Column, p.Mend}
		r.alike[k]++
		if r.alike[k] > mostAlike {
			return
		}
	}
	r.found = append(r.found, placed{p, t.order, column})
}

// problems returns what was found wrong, in the order of tables, rows and
// columns, with the number of those that are not listed.
func (r *reading) problems() Problems {
	slices.SortStableFunc(r.found, func(a, b placed) int {
		return cmp.Or(
			cmp.Compare(a.table, b.table), cmp.Compare(a.Ref.Table, b.Ref.Table), cmp.Compare(a.Ref.Row, b.Ref.Row),
			cmp.Compare(a.column, b.column), cmp.Compare(a.What, b.What), cmp.Compare(a.Mend, b.Mend),
		)
	})
	var ps Problems
	last := map[alike]int{}
	for i, p := range r.found {
		last[alike{p.Ref.Table, p.Column, p.Mend}] = i
		ps = append(ps, p.Problem)
	}
	for k, n := range r.alike {
		if n > mostAlike {
			ps[last[k]].What += fmt.Sprintf(" (and %d more rows like it)", n-mostAlike)
		}
	}
	return slices.CompactFunc(ps, func(a, b Problem) bool {
		return a.Ref.Table == b.Ref.Table && a.Ref.Row == b.Ref.Row && a.Column == b.Column && a.What == b.What && a.Mend == b.Mend
	})
}

func (r *reading) note(level string, ref Ref, text string) { r.noteOf(level, ref, text, "") }

func (r *reading) noteOf(level string, ref Ref, text, item string) {
	r.site.Notes = append(r.site.Notes, Note{Level: level, Ref: ref, Text: text, Item: item})
}
