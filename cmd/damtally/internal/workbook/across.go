package workbook

// How small a sheet may be printed, as a share of its size on the screen.
const (
	readable   = 0.7  // below it, columns of words are narrowed
	splitBelow = 0.65 // below it, a sheet that can be parted goes on two pages across
)

// fitted are the widths of the columns. Where the sheet would print too small to
// read, its words break into shorter lines; one that can be parted is parted.
func (s *sheet) fitted(r room) []float64 {
	const step, least = 4, 26 // characters
	widths := make([]float64, s.lastCol)
	for widest := widestText; ; widest -= step {
		for i := range widths {
			if widths[i] = s.widthWithin(i+1, widest); s.hidden[i+1] {
				widths[i] = 0
			}
		}
		if widest-step < least || len(s.splits) > 0 || s.pageWide(widths, 0)*readable <= r.wide {
			return widths
		}
	}
}

// splitAt is the column that begins the second page across, 0 where one page is
// wide enough or the sheet names no column to part it at. It is the one that makes
// the wider of the two pages narrowest.
func (s *sheet) splitAt(r room, widths []float64) int {
	if s.pageWide(widths, 0)*splitBelow <= r.wide {
		return 0
	}
	best := 0
	for _, col := range s.splits {
		if best == 0 || s.pageWide(widths, col) < s.pageWide(widths, best) {
			best = col
		}
	}
	return best
}

// explainBeside moves the lines that explain a sheet which can be parted beside the
// columns that are repeated, where the second page would show their beginnings.
func (s *sheet) explainBeside(from, to, across int) {
	for row := from; row <= to; row++ {
		c := s.at(row, 1)
		if c == nil || c.look != lookExplain {
			continue
		}
		for col := range s.freeze[1] {
			s.rows[row-1][col] = nil
		}
		s.line(row, s.freeze[1]+1, across-s.freeze[1], c.content.val.text, lookExplain)
	}
}

// pageWide is the width in points of the wider page of a sheet parted before a
// column, 0 for one that is not. The columns that stay in view on the screen are
// repeated on the second page.
func (s *sheet) pageWide(widths []float64, apart int) float64 {
	first, second := 0.0, 0.0
	for i, w := range widths {
		if apart == 0 || i+1 < apart {
			first += w * columnPoints
		}
		if apart > 0 && (i+1 >= apart || i < s.freeze[1]) {
			second += w * columnPoints
		}
	}
	return max(first, second)
}
