package geometry

import (
	"iter"
	"math"

	"github.com/paulmach/orb"
)

// A cell is the square between postings (col, row) and (col+1, row+1) of the
// turned grid, with the elevations of its corners: near both (0, 0), along the
// columns (1, 0), far (1, 1), along the rows (0, 1). The lower of its two
// triangles is near, along columns, far; the upper is near, far, along rows.
type cell struct {
	col, row               int
	near, right, far, left float64
}

func (c cell) lower() bool { return !math.IsNaN(c.near + c.right + c.far) }

func (c cell) upper() bool { return !math.IsNaN(c.near + c.far + c.left) }

// cells visits the cells of columns [fromCol, toCol) and rows [fromRow, toRow),
// row by row, those known to have no ground left out, until visit returns false.
func (g *Grid) cells(fromCol, fromRow, toCol, toRow int, visit func(c cell) bool) {
	for row := fromRow; row < toRow; row++ {
		known := -1 // the column whose two elevations are in c.right and c.far
		var c cell
		for col := fromCol; col < toCol; col++ {
			if known == col {
				c.near, c.left = c.right, c.far
			} else {
				c.near, c.left = g.at(col, row), g.at(col, row+1)
			}
			// A cell whose near corner has no elevation has no ground.
			if math.IsNaN(c.near) {
				col += g.skip(col, row)
				continue
			}
			c.col, c.row = col, row
			c.right, c.far, known = g.at(col+1, row), g.at(col+1, row+1), col+1
			if !visit(c) {
				return
			}
		}
	}
}

// skip is how many further postings along the row are known to be blank.
func (g *Grid) skip(col, row int) int {
	if g.blanks == nil {
		return 0
	}
	vc, vr := g.turned.at(col, row)
	fromCol, fromRow, toCol, toRow, ok := g.blanks.Blank(vc, vr)
	if !ok {
		return 0
	}
	switch g.turned.colStep {
	case [2]int{1, 0}:
		return toCol - vc - 1
	case [2]int{-1, 0}:
		return vc - fromCol
	case [2]int{0, 1}:
		return toRow - vr - 1
	}
	return vr - fromRow
}

// measure sets bound, range and counts.
func (g *Grid) measure() error {
	m := gridMeasure{low: math.Inf(1), high: math.Inf(-1), bad: [2]int{-1, -1}}
	m.bound = orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	g.cells(0, 0, g.cols-1, g.rows-1, func(c cell) bool { return m.add(g, c) })
	if m.bad[0] >= 0 {
		col, row := g.turned.at(m.bad[0], m.bad[1])
		return &GridError{BadElevation, col, row}
	}
	m.endRow(g)
	if m.triangles == 0 {
		return &GridError{Rule: NoCells}
	}
	g.bound, g.low, g.high = m.bound, m.low, m.high
	g.summary.Triangles = m.triangles
	g.summary.Gaps = 2*(g.cols-1)*(g.rows-1) - m.triangles
	return nil
}

// gridMeasure gathers what cells say. Of one row of cells it keeps the first and
// the last column with ground, below and above, since along a row the places run
// straight.
type gridMeasure struct {
	bound       orb.Bound
	low, high   float64
	triangles   int
	bad         [2]int // posting whose elevation is none
	row         int
	from, to    [2]int
	below, over bool
}

func (m *gridMeasure) add(g *Grid, c cell) bool {
	if c.row != m.row {
		m.endRow(g)
		m.row = c.row
	}
	lower, upper := c.lower(), c.upper()
	if !lower && !upper {
		return true
	}
	low, high := min(c.near, c.far), max(c.near, c.far)
	m.span(&m.below, 0, c.col, c.col)
	m.span(&m.over, 1, c.col+1, c.col+1)
	if lower {
		low, high = min(low, c.right), max(high, c.right)
		m.span(&m.below, 0, c.col, c.col+1)
		m.triangles++
	}
	if upper {
		low, high = min(low, c.left), max(high, c.left)
		m.span(&m.over, 1, c.col, c.col+1)
		m.triangles++
	}
	m.low, m.high = min(m.low, low), max(m.high, high)
	if low < -farthest || high > farthest {
		m.bad = c.beyond()
		return false
	}
	return true
}

// beyond is the corner of a cell whose elevation is out of range.
func (c cell) beyond() [2]int {
	for i, z := range [4]float64{c.near, c.right, c.far, c.left} {
		if math.Abs(z) > farthest {
			return [4][2]int{{c.col, c.row}, {c.col + 1, c.row}, {c.col + 1, c.row + 1}, {c.col, c.row + 1}}[i]
		}
	}
	return [2]int{c.col, c.row}
}

func (m *gridMeasure) span(begun *bool, side, from, to int) {
	if !*begun {
		*begun, m.from[side], m.to[side] = true, from, to
		return
	}
	m.from[side], m.to[side] = min(m.from[side], from), max(m.to[side], to)
}

// endRow adds the ends of the row in hand to the bound.
func (m *gridMeasure) endRow(g *Grid) {
	for side, begun := range [2]bool{m.below, m.over} {
		if !begun {
			continue
		}
		for _, col := range [2]int{m.from[side], m.to[side]} {
			p := g.place(col, m.row+side)
			m.bound = m.bound.Union(orb.Bound{Min: p, Max: p})
		}
	}
	m.below, m.over = false, false
}

// place of a posting of the turned grid. Its rounding is the same whichever cell
// asks, so that neighbours share their corners to the last digit.
func (g *Grid) place(col, row int) orb.Point { return g.frame.Place(float64(col), float64(row)) }

// boxSlack widens the range of cells that are looked at for a box, in cells. It
// guards the conversion to columns and rows; what touches is decided exactly.
const boxSlack = 1e-6

// Triangles yields every triangle with ground that touches the box, its edges
// included, row by row.
func (g *Grid) Triangles(box orb.Bound) iter.Seq[Triangle] {
	return func(yield func(Triangle) bool) {
		if !box.Intersects(g.bound) {
			return
		}
		fromCol, fromRow, toCol, toRow := g.around(box)
		g.cells(fromCol, fromRow, toCol, toRow, func(c cell) bool {
			corner := [4]orb.Point{
				g.place(c.col, c.row), g.place(c.col+1, c.row),
				g.place(c.col+1, c.row+1), g.place(c.col, c.row+1),
			}
			if c.lower() {
				t := Triangle{[3]orb.Point{corner[0], corner[1], corner[2]}, [3]float64{c.near, c.right, c.far}}
				if t.touches(box) && !yield(t) {
					return false
				}
			}
			if c.upper() {
				t := Triangle{[3]orb.Point{corner[0], corner[2], corner[3]}, [3]float64{c.near, c.far, c.left}}
				if t.touches(box) && !yield(t) {
					return false
				}
			}
			return true
		})
	}
}

// around is the range of cells that may touch a box.
func (g *Grid) around(box orb.Bound) (fromCol, fromRow, toCol, toRow int) {
	box = orb.Bound{
		Min: orb.Point{max(box.Min[0], g.bound.Min[0]), max(box.Min[1], g.bound.Min[1])},
		Max: orb.Point{min(box.Max[0], g.bound.Max[0]), min(box.Max[1], g.bound.Max[1])},
	}
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range [4]orb.Point{box.Min, box.LeftTop(), box.Max, box.RightBottom()} {
		q := g.index(p)
		for k := range 2 {
			low[k], high[k] = min(low[k], q[k]), max(high[k], q[k])
		}
	}
	first := func(v float64) int { return max(0, int(math.Ceil(v-boxSlack))-1) }
	beyond := func(v float64, n int) int { return min(n-1, int(math.Floor(v+boxSlack))+1) }
	return first(low[0]), first(low[1]), beyond(high[0], g.cols), beyond(high[1], g.rows)
}

// index is a place as column and row of the turned grid, with fractions.
func (g *Grid) index(p orb.Point) [2]float64 {
	x, y := p[0]-g.frame.At[0], p[1]-g.frame.At[1]
	return [2]float64{
		float64(x*g.toCol[0]) + float64(y*g.toCol[1]),
		float64(x*g.toRow[0]) + float64(y*g.toRow[1]),
	}
}

// touches reports exactly whether a triangle and a box have a place in common:
// two convex shapes do not when, and only when, a side of one separates them.
func (t Triangle) touches(box orb.Bound) bool {
	for k := range 2 {
		if max(t.At[0][k], t.At[1][k], t.At[2][k]) < box.Min[k] || min(t.At[0][k], t.At[1][k], t.At[2][k]) > box.Max[k] {
			return false
		}
	}
	corners := [4]xy{place(box.Min), place(box.LeftTop()), place(box.Max), place(box.RightBottom())}
	for i := range 3 {
		a, b := place(t.At[i]), place(t.At[(i+1)%3])
		apart := true
		for _, p := range corners {
			apart = apart && sideOf(a, b, p) < 0
		}
		if apart {
			return false
		}
	}
	return true
}
