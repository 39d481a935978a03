package workbook

import (
	"strings"
	"testing"
)

// TestAcross sees that a sheet too wide to read is first narrowed where words can
// break, and then parted where it says, with its first columns on both pages.
func TestAcross(t *testing.T) {
	paper := room{wide: 100 * columnPoints, tall: 40 * rowHeight}
	s := newSheet("Test")
	for col := range 20 {
		s.put(1, col+1, text(strings.Repeat("word ", 12)), lookWord)
	}
	if got, plain := s.fitted(paper)[0], s.width(1); got >= plain {
		t.Errorf("a column of words on a sheet too wide is %g wide, as wide as one that is not: %g", got, plain)
	}

	widths := make([]float64, 20)
	for i := range widths {
		widths[i] = 10
	}
	if got := s.splitAt(paper, widths); got != 0 {
		t.Errorf("a sheet that names no column is parted at %d", got)
	}
	s.splits, s.freeze = []int{5, 11, 17}, [2]int{1, 2}
	if got := s.splitAt(paper, widths); got != 11 {
		t.Errorf("parted at column %d, want 11, which makes the halves most alike", got)
	}
	if got, want := s.pageWide(widths, 11), 120*columnPoints; got != want {
		t.Errorf("the second page with its two repeated columns is %g points wide, want %g", got, want)
	}
	if got := s.splitAt(room{wide: 130 * columnPoints}, widths); got != 0 {
		t.Errorf("a sheet that can be read on one page is parted at %d", got)
	}
}

// TestNearlyFits sees that a few rows too many do not fill a second page alone.
func TestNearlyFits(t *testing.T) {
	paper := room{wide: 100 * columnPoints, tall: 40.5 * rowHeight / tight}
	for rows, want := range map[int]bool{40: false, 44: true, 60: false} {
		s := newSheet("Test")
		for row := range rows {
			s.put(row+1, 1, number(1), figure(formatCount))
		}
		if got := s.nearlyFits(paper, []float64{100}); got != want {
			t.Errorf("%d rows on a page of 40: nearly fit %v, want %v", rows, got, want)
		}
		if starts := s.pageStarts(paper, []float64{100}); (len(starts) == 0) != (rows < 45) {
			t.Errorf("%d rows on a page of 40: pages begin at %v", rows, starts)
		}
	}
}

// TestHeadings sees that a heading stands over the columns after it that have none.
func TestHeadings(t *testing.T) {
	s := newSheet("Test")
	s.headings(1, "", "Zone", "", "", "Volume")
	for col, want := range map[int]int{1: 0, 2: 3, 5: 0} {
		if got := s.at(1, col).across; got != want {
			t.Errorf("the heading of column %d is merged over %d columns, want %d", col, got, want)
		}
	}
}
