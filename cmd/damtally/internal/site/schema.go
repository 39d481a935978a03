package site

import "github.com/damtally/damtally/cmd/damtally/internal/units"

// ColumnKind is how the cells of a column are read.
type ColumnKind string

// The kinds of column.
const (
	Text    ColumnKind = "text"    // any text, a name
	Word    ColumnKind = "word"    // one of Column.Words
	Numeric ColumnKind = "number"  // a number, in the header's unit when UnitKind is set
	Station ColumnKind = "station" // 12+50 or a plain number
	Date    ColumnKind = "date"    // year-month-day
)

// Range is what numbers a column takes.
type Range int

// The ranges of numbers.
const (
	Any Range = iota
	NotNegative
	Positive
	// SteepToo is for slopes that may be steeper than earth stands by itself,
	// or lean: a thin core's sides between two shells.
	SteepToo
)

// Table is one table of the data model.
type Table struct {
	Name    string
	Purpose string // one plain sentence: what a row is, what the table adds
	Needed  bool   // no site without it
	Columns []Column
}

// Column is one column of a table.
type Column struct {
	Name     string
	Kind     ColumnKind
	UnitKind units.Kind // of the unit in the header, "" when it takes none
	Needed   bool
	Words    []string // of a Word column
	Range    Range
	Help     string // plain words for the person who fills it in
}

// NeedsUnit reports whether the header must carry a unit in brackets. Slopes
// have one unit, and money and counts need none: there the brackets are free.
func (c Column) NeedsUnit() bool { return needsUnit(c.UnitKind) }

func needsUnit(kind units.Kind) bool {
	switch kind {
	case "", units.Slope, units.Money, units.Count:
		return false
	}
	return true
}

// Item is one setting of the table `site`.
type Item struct {
	Name     string
	Kind     ColumnKind
	UnitKind units.Kind // of the unit that the value carries, "" when it takes none
	Words    []string
	Range    Range
	Default  string // what is taken when it is left out, "" for nothing
	Help     string
}

// Column returns the column of that name.
func (t Table) Column(name string) (Column, bool) {
	for _, c := range t.Columns {
		if c.Name == name {
			return c, true
		}
	}
	return Column{}, false
}

// The functions below make the data model short to read.

func text(name, help string) Column { return Column{Name: name, Kind: Text, Help: help} }

func word(name, help string, words ...string) Column {
	return Column{Name: name, Kind: Word, Words: words, Help: help}
}

func date(name, help string) Column { return Column{Name: name, Kind: Date, Help: help} }

func station(name, help string) Column {
	return Column{Name: name, Kind: Station, UnitKind: units.Length, Help: help}
}

func measure(kind units.Kind, name, help string) Column {
	return Column{Name: name, Kind: Numeric, UnitKind: kind, Help: help}
}

func length(name, help string) Column { return measure(units.Length, name, help) }
func slope(name, help string) Column  { return measure(units.Slope, name, help) }
func ratio(name, help string) Column  { return measure(units.Ratio, name, help) }
func money(name, help string) Column  { return measure(units.Money, name, help) }
func count(name, help string) Column  { return measure(units.Count, name, help) }

func (c Column) need() Column     { c.Needed = true; return c }
func (c Column) steepToo() Column { c.Range = SteepToo; return c }
func (c Column) positive() Column { c.Range = Positive; return c }
func (c Column) notNegative() Column {
	c.Range = NotNegative
	return c
}
