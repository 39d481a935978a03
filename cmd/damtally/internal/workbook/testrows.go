package workbook

import (
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// testRows are the rows of some tests on the sheet Tests, for a formula over them.
type testRows struct {
	sheet *sheet
	runs  [][2]int // first and last row of each stretch without a gap
}

// mostRuns is how many stretches of rows a formula may name: programs take 255
// arguments, and a formula longer than this nobody reads.
const mostRuns = 40

// testRows finds the rows of the tests that are wanted.
func (b *book) testRows(wanted func(*plan.Test) bool) testRows {
	out := testRows{sheet: b.tests}
	for i, t := range b.sortedTests() {
		if !wanted(t) {
			continue
		}
		row := rowTestHead + 1 + i
		if n := len(out.runs); n > 0 && out.runs[n-1][1] == row-1 {
			out.runs[n-1][1] = row
		} else {
			out.runs = append(out.runs, [2]int{row, row})
		}
	}
	return out
}

func (r testRows) tooMany() bool { return len(r.runs) > mostRuns }

// spans are stretches of one column that a formula takes together.
type spans []span

// in is the rows in one column.
func (r testRows) in(col int) spans {
	var out spans
	for _, run := range r.runs {
		out = append(out, span{r.sheet, col, run[0], run[1]})
	}
	return out
}

func (s spans) numbers() []float64 {
	var out []float64
	for _, one := range s {
		out = append(out, one.numbers()...)
	}
	return out
}

func (s spans) args() []expr {
	var out []expr
	for _, one := range s {
		out = append(out, one.expr())
	}
	return out
}

// count is how many of the cells hold numbers.
func (s spans) count() expr {
	return call("COUNT", num(float64(len(s.numbers()))), s.args()...)
}

// of is AVERAGE, STDEV or MIN over the cells, nothing where fewer than least hold
// numbers; count is the cell that says how many do.
func (s spans) of(name string, count *cell, least int) expr {
	xs := s.numbers()
	mean, squares := meanAndSquares(xs)
	v := math.NaN()
	switch {
	case len(xs) < least:
	case name == "AVERAGE":
		v = mean
	case name == "STDEV":
		v = math.Sqrt(squares / float64(len(xs)-1))
	case name == "MIN":
		v = slices.Min(xs)
	}
	return when(atLeast(count.ref(), number(float64(least))), call(name, num(v), s.args()...), blank())
}

// countText is how many of the cells show a text.
func (s spans) countText(words string) expr {
	sum := number(0)
	for i, one := range s {
		if i == 0 {
			sum = one.countText(words)
		} else {
			sum = add(sum, one.countText(words))
		}
	}
	return sum
}
