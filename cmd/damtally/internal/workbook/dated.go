package workbook

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// dayZero is the day that a spreadsheet counts dates from.
var dayZero = time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)

// day is a date, year-month-day, as a spreadsheet counts it. It reports false for
// a text that is no date.
func day(date string) (float64, bool) {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return 0, false
	}
	return t.Sub(dayZero).Hours() / 24, true
}

// datedRows are the fill tests of one material in order of date.
type datedRows struct {
	material int
	from, to int // rows of the table
}

// Columns of the table of fill tests by date, each below the like one of the table
// of all tests, so that none is wider than what stands in it.
const (
	datedMaterial = iota + 1
	datedState
	datedTest
	datedDay
	datedWhere
	datedCompaction
	datedRequired
	datedResult
)

// layDated lays the fill tests in order of date below all else on the sheet
// Tests: what the chart over time is drawn from.
func (b *book) layDated() {
	s := b.tests
	type dated struct {
		test *plan.Test
		row  int // of the test above
		day  float64
	}
	by := make([][]dated, len(b.r.Materials))
	some := false
	for i, t := range b.sortedTests() {
		at := rowTestHead + 1 + i
		d, ok := day(t.Row.Date)
		k := b.materialIndex(t.Row.Material)
		if c := s.at(at, testCompaction); !ok || k < 0 || t.Row.State != "fill" || c == nil || c.content.val.kind != isNumber {
			continue
		}
		by[k] = append(by[k], dated{t, at, d})
		some = true
	}
	if !some {
		return
	}
	row := s.table(s.lastRow()+2, "Fill tests in order of date", "Percent compaction as it stands above, for the chart over time.",
		"Material", "State", "Test", "Date", "Where", "Percent compaction", "Required", "Result")
	for k, tests := range by {
		slices.SortStableFunc(tests, func(x, y dated) int { return cmp.Compare(x.day, y.day) })
		rows := datedRows{material: k, from: row + 1}
		for _, t := range tests {
			row++
			s.put(row, datedMaterial, s.at(t.row, testMaterial).ref(), lookWord)
			s.put(row, datedState, text(t.test.Row.State), lookWord)
			s.put(row, datedDay, number(t.day), figure(formatDate))
			s.put(row, datedTest, text(clean(t.test.Row.ID)), lookWord)
			s.put(row, datedWhere, text(b.where(t.test)), lookWord)
			s.put(row, datedCompaction, s.at(t.row, testCompaction).ref(), figure(formatShare))
			required := b.soil[k].required.ref()
			s.put(row, datedRequired, ifKnown(required, required), figure(formatShare))
			result := blank()
			if c := s.at(t.row, testResult); c != nil {
				result = c.ref()
			}
			s.watch(s.put(row, datedResult, result, lookAnswer), "pass", "fail")
		}
		rows.to = row
		if rows.to >= rows.from {
			b.dated = append(b.dated, rows)
		}
	}
}

// dataWords says from when the data are: the first and last date that the tables
// give, "" without any.
func (b *book) dataWords() string {
	first, last := "", ""
	see := func(date string) {
		if _, ok := day(date); !ok {
			return
		}
		if first == "" || date < first {
			first = date
		}
		last = max(last, date)
	}
	in := &b.r.Site
	for _, t := range in.Density {
		see(t.Date)
	}
	for _, f := range in.Surfaces {
		see(f.Date)
	}
	for _, h := range in.Borings {
		see(h.WaterDate)
	}
	for _, l := range in.Loads {
		see(l.Date)
	}
	switch {
	case first == "":
		return ""
	case first == last:
		return "Data of " + first
	}
	return "Data from " + first + " to " + last
}

// dataDates is dataWords for the cover, with a word when there are none.
func (b *book) dataDates() string {
	if words := strings.TrimPrefix(b.dataWords(), "Data "); words != "" {
		return words
	}
	return "no date stands in the tables"
}
