package workbook

import (
	"math"
	"strings"
)

// span is a block of cells in one column of one sheet, from a row to a row. Rows
// between may be empty, as rows without a figure are.
type span struct {
	sheet    *sheet
	col      int
	from, to int
}

// numbers lists the numbers in the span in order.
func (s span) numbers() []float64 {
	var out []float64
	for row := s.from; row <= s.to; row++ {
		if c := s.sheet.at(row, s.col); c != nil && c.content.val.kind == isNumber {
			out = append(out, c.content.val.num)
		}
	}
	return out
}

func (s span) expr() expr {
	return expr{prec: precAtom, write: func(home *sheet) string {
		for row := s.from; row <= s.to; row++ {
			if c := s.sheet.at(row, s.col); c != nil {
				c.taken = true
			}
		}
		return s.sheet.prefix(home) + address(s.from, s.col) + ":" + address(s.to, s.col)
	}}
}

func (s span) empty() bool { return s.to < s.from }

// sum is SUM over the span, a plain 0 when the span has no rows.
func (s span) sum() expr {
	if s.empty() {
		return number(0)
	}
	total := 0.0
	for _, x := range s.numbers() {
		total += x
	}
	return call("SUM", num(total), s.expr())
}

// sumKnown is the sum of what is known in the span, nothing where nothing is.
func (s span) sumKnown() expr {
	if s.empty() {
		return blank()
	}
	return when(more(s.count(), number(0)), s.sum(), blank())
}

// count is how many numbers the span holds.
func (s span) count() expr {
	if s.empty() {
		return number(0)
	}
	return call("COUNT", num(float64(len(s.numbers()))), s.expr())
}

// mean is AVERAGE over the span, or other where it holds no number.
func (s span) mean(other expr) expr {
	if s.empty() {
		return other
	}
	xs := s.numbers()
	total := 0.0
	for _, x := range xs {
		total += x
	}
	average := call("AVERAGE", num(total/float64(len(xs))), s.expr())
	return when(more(s.count(), number(0)), average, other)
}

// meanAndSquares is the mean of numbers and the sum of the squares of how far each
// is from it.
func meanAndSquares(xs []float64) (mean, squares float64) {
	for _, x := range xs {
		mean += x / float64(len(xs))
	}
	for _, x := range xs {
		squares += (x - mean) * (x - mean)
	}
	return mean, squares
}

// spread is STDEV (of a sample, n - 1) over the span, nothing for fewer than two.
func (s span) spread() expr {
	if s.empty() {
		return blank()
	}
	xs := s.numbers()
	_, squares := meanAndSquares(xs)
	sd := call("STDEV", num(math.Sqrt(squares/float64(len(xs)-1))), s.expr())
	return when(atLeast(s.count(), number(2)), sd, blank())
}

// countText is how many cells of the span show a text (COUNTIF).
func (s span) countText(words string) expr {
	n := 0
	for row := s.from; row <= s.to; row++ {
		if c := s.sheet.at(row, s.col); c != nil && c.content.val.kind == isText && strings.EqualFold(c.content.val.text, words) {
			n++
		}
	}
	return call("COUNTIF", num(float64(n)), s.expr(), text(words))
}

// moved is the span n rows farther down.
func (s span) moved(n int) span { return span{s.sheet, s.col, s.from + n, s.to + n} }
