package workbook

// Room on a printed page, in points, between the margins that save.go sets.
type room struct{ wide, tall float64 }

// room is that of a page, upright or on its side.
func (p printing) room(upright bool) room {
	const inch = 72.0
	wide, tall := 11*inch, 8.5*inch
	if p.paper == paperA4 {
		wide, tall = 11.69*inch, 8.27*inch
	}
	if upright {
		wide, tall = tall, wide
	}
	return room{wide - 2*marginSide*inch, tall - 2*marginTop*inch}
}

// Margins, inches.
const marginSide, marginTop, marginEdge = 0.5, 0.6, 0.3

const (
	rowHeight = 13.5 // points, of a row that sets none: enough for the workbook's letters
	// columnPoints turns a column's width in characters into points: seven pixels
	// a character, 96 to the inch.
	columnPoints = 7 * 0.75
	// tight is how much of a page the estimate fills. Programs differ by some
	// percent in how tall they print a row.
	tight = 0.95
	// mostBreaks is how many breaks a sheet may carry (1,026 in common programs).
	mostBreaks = 1000
)

// pageStarts lists the rows that begin a printed page: those that the sheet asks
// for, each table that would be parted from its heading or that is small and fits
// on the next page whole, and the first row that a page has no room for. All are
// set, since a program that breaks a page elsewhere would part what is kept
// together here.
func (s *sheet) pageStarts(r room, widths []float64) []int {
	if s.onePage || s.nearlyFits(r, widths) {
		return nil
	}
	page := s.pageTall(r, widths)
	tall := s.rowsTall(widths)
	asked := map[int]bool{}
	for _, row := range s.breaks {
		asked[row] = true
	}
	return s.startsWithin(page, tall, asked)
}

// repeats tells whether the headings of the sheet's table should stand on every
// page: not where the table ends on the first one and others follow it.
func (s *sheet) repeats(r room, widths []float64) bool {
	if s.heads[0] == 0 {
		return false
	}
	tall, last := 0.0, 1
	for last = 1; last <= s.lastRow() && (last <= s.heads[1] || !s.empty(last)); last++ {
		tall += max(s.height(last, widths), rowHeight)
	}
	more := false
	for row := last; row <= s.lastRow(); row++ {
		more = more || !s.empty(row)
	}
	return !more || tall > s.pageTall(r, widths)
}

// rowsTall is the height of each row in points, from row 1 at place 1.
func (s *sheet) rowsTall(widths []float64) []float64 {
	tall := make([]float64, s.lastRow()+2)
	for row := 1; row <= s.lastRow(); row++ {
		if tall[row] = s.height(row, widths); tall[row] == 0 {
			tall[row] = rowHeight
		}
	}
	return tall
}

// pageTall is how much of the sheet's height goes on a page, in the sheet's own
// points: a wide sheet is printed smaller, so more of it does.
func (s *sheet) pageTall(r room, widths []float64) float64 {
	return r.tall * max(1, s.pageWide(widths, s.splitAt(r, widths))/r.wide) * tight
}

// nearlyFits tells whether the sheet is so little taller than a page that it is
// printed somewhat smaller, rather than with a few rows alone on a second one.
func (s *sheet) nearlyFits(r room, widths []float64) bool {
	const over = 1.15 // of a page
	all := 0.0
	for _, tall := range s.rowsTall(widths) {
		all += tall
	}
	page := s.pageTall(r, widths)
	return len(s.breaks) == 0 && all > page && all <= over*page
}

func (s *sheet) startsWithin(page float64, tall []float64, asked map[int]bool) []int {
	repeated := 0.0
	for row := s.heads[0]; row > 0 && row <= s.heads[1]; row++ {
		repeated += tall[row]
	}
	var out []int
	used, fresh := 0.0, true // fresh: nothing but repeated headings on this page yet
	begin := func() { used, fresh = repeated, true }
	for row := 1; row <= s.lastRow(); row++ {
		whole := 0.0
		if s.startsTable(row) {
			whole = s.together(row, page-repeated, tall)
		}
		full := !fresh && used+max(whole, tall[row]) > page
		if asked[row] || full {
			out = append(out, row)
			begin()
		}
		used += tall[row]
		fresh = false
	}
	return out[:min(len(out), mostBreaks)]
}

// startsTable tells whether a row is the heading over a table.
func (s *sheet) startsTable(row int) bool {
	c := s.at(row, 1)
	return c != nil && c.look.role == rolePart
}

// together is the height of the rows from a table's heading on that should stand
// on one page: the whole table where it is small, else its heading with the first
// rows, so that no page is left nearly empty for it.
func (s *sheet) together(row int, page float64, tall []float64) float64 {
	const (
		firstRows = 6    // heading, line that explains, column headings, some rows
		small     = 0.55 // of a page
	)
	whole, first := 0.0, 0.0
	for n, r := 0, row; r <= s.lastRow() && (r == row || !s.startsTable(r)); n, r = n+1, r+1 {
		if !s.empty(r) {
			whole = whole + tall[r]
		}
		if n < firstRows {
			first = whole
		}
	}
	if whole <= small*page {
		return whole
	}
	return first
}

// empty tells whether nothing stands in a row.
func (s *sheet) empty(row int) bool {
	for _, c := range s.rows[row-1] {
		if c != nil {
			return false
		}
	}
	return true
}
