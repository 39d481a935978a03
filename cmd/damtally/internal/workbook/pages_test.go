package workbook

import (
	"slices"
	"testing"
)

// TestPageStarts sees that no heading is parted from its table, that a small
// table moves to the next page whole, and that a long one does not leave a page
// empty.
func TestPageStarts(t *testing.T) {
	// A page of 40 plain rows and a little, and a column that fills its width.
	paper := room{wide: 100 * columnPoints, tall: 40.5 * rowHeight / tight}
	lay := func(tables ...int) *sheet {
		s := newSheet("Test")
		row := 1
		for _, rows := range tables {
			s.put(row, 1, text("A table"), lookPart)
			for k := range rows {
				s.put(row+1+k, 1, number(1), figure(formatCount))
			}
			row += rows + 2
		}
		s.widths[1], s.heights = 100, map[int]float64{}
		for r := 1; r <= s.lastRow(); r++ {
			s.heights[r] = rowHeight
		}
		return s
	}
	for name, c := range map[string]struct {
		tables []int
		starts []int
	}{
		"all on one page":                {[]int{10, 10, 10}, nil},
		"the last one moves whole":       {[]int{15, 15, 15}, []int{35}},
		"a long one begins where it is":  {[]int{5, 60}, []int{41}},
		"its heading is not left behind": {[]int{36, 60}, []int{39, 79}},
	} {
		s := lay(c.tables...)
		if got := s.pageStarts(paper, []float64{100}); !slices.Equal(got, c.starts) {
			t.Errorf("%s: pages begin at rows %v, want %v", name, got, c.starts)
		}
	}
	asked := lay(10, 10)
	asked.breaks = []int{13}
	if got := asked.pageStarts(paper, []float64{100}); !slices.Equal(got, []int{13}) {
		t.Errorf("a page that is asked for begins at rows %v", got)
	}
}

func TestUnsigned(t *testing.T) {
	for format, want := range map[string]float64{formatVolume: -0.5, formatArea: -0.05, formatShare: -0.0005, formatFactor: -0.0005, formatLength: -0.005} {
		shown, above, ok := unsigned(format)
		if !ok || above != want {
			t.Errorf("%s loses its sign above %g as %q, want above %g", format, above, shown, want)
		}
	}
	if _, _, ok := unsigned(formatCount); ok {
		t.Error("a format without a sign is taken for one")
	}
}
