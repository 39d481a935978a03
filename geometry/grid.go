package geometry

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Values are the elevations of a grid's postings, columns and rows counted from
// 0. They never change and may be asked for from several goroutines.
type Values interface {
	// Size is how many columns and rows there are.
	Size() (cols, rows int)

	// At is the elevation of a posting, m, NaN where there is none. It is asked
	// only for postings within Size.
	At(col, row int) float64
}

// Blanks may be implemented by Values that know of large parts without any
// elevation, so that these are passed over without a look at each posting.
type Blanks interface {
	// Blank returns a box of columns [fromCol, toCol) and rows [fromRow, toRow)
	// that holds the posting and no elevation. It reports false when it knows none.
	Blank(col, row int) (fromCol, fromRow, toCol, toRow int, ok bool)
}

// GridFrame places a grid in plan: posting (col, row) stands at
// At + col Column + row Row, all in metres. The two steps may be turned against
// the axes, of unlike length and even not quite square to each other.
type GridFrame struct {
	At, Column, Row orb.Point
}

// Place is the place in plan of a posting, or with fractions of one between.
func (f GridFrame) Place(col, row float64) orb.Point {
	return orb.Point{
		f.At[0] + float64(col*f.Column[0]) + float64(row*f.Row[0]),
		f.At[1] + float64(col*f.Column[1]) + float64(row*f.Row[1]),
	}
}

// GridRule names what a grid broke. The list is closed.
type GridRule int

// The rules of a grid.
const (
	// TooFewPostings: a cell needs two columns and two rows.
	TooFewPostings GridRule = iota + 1
	// BadFrame: the steps are no numbers, zero or along one line, or the grid
	// reaches beyond 100,000,000 m.
	BadFrame
	// BadElevation: an elevation is infinite or beyond 100,000,000 m.
	BadElevation
	// NoCells: nowhere do three postings of a triangle have an elevation.
	NoCells
)

var gridRules = map[GridRule]string{
	TooFewPostings: "a grid needs at least two columns and two rows",
	BadFrame:       "the grid's place and steps are not numbers within 100,000,000 m that span an area",
	BadElevation:   "an elevation is not within 100,000,000 m",
	NoCells:        "no triangle of the grid has an elevation at all its corners",
}

func (r GridRule) String() string { return gridRules[r] }

// GridError says why values are no grid. Col and Row name the posting for
// BadElevation, as the caller numbers them.
type GridError struct {
	Rule     GridRule
	Col, Row int
}

// Error states the rule and the posting.
func (e *GridError) Error() string {
	if e.Rule == BadElevation {
		return fmt.Sprintf("%s (column %d, row %d, counted from 0)", e.Rule, e.Col, e.Row)
	}
	return e.Rule.String()
}

// Grid is ground known at regular postings. Each cell between four postings is
// two flat triangles, cut by one rule: the cut runs from the cell's south-west
// to its north-east corner. Where the grid is turned against the axes it is the
// diagonal that runs nearest to north-east. A triangle with a corner that has no
// elevation is a gap; the other half of its cell may still be ground.
//
// A grid is immutable and safe to use from several goroutines.
type Grid struct {
	values Values
	blanks Blanks // nil where the values know of none
	turned renumbering
	frame  GridFrame // of the turned grid: its cells are cut from (0, 0) to (1, 1)
	cols   int
	rows   int

	// A place (x, y) from frame.At is column x*toCol[0] + y*toCol[1], row alike.
	toCol, toRow [2]float64

	bound     orb.Bound
	low, high float64
	summary   GridSummary
}

// GridSummary counts the pieces of a grid, for a reader's notes.
type GridSummary struct {
	Cols, Rows int // of postings, as the caller numbers them
	Triangles  int // that hold ground
	Gaps       int // triangles without ground
}

// renumbering counts postings so that columns run to one hand, rows to the other and
// the cut of every cell from (0, 0) to (1, 1).
type renumbering struct {
	col, row, colStep, rowStep [2]int // at (0, 0), and what a step adds
}

func (t renumbering) at(col, row int) (int, int) {
	return t.col[0] + col*t.colStep[0] + row*t.rowStep[0], t.row[0] + col*t.colStep[1] + row*t.rowStep[1]
}

// NewGrid makes a surface of values. It looks at every one of them once, for the
// bound and the range. An error is a *GridError.
func NewGrid(values Values, frame GridFrame) (*Grid, error) {
	cols, rows := values.Size()
	if cols < 2 || rows < 2 {
		return nil, &GridError{Rule: TooFewPostings}
	}
	g := &Grid{values: values, summary: GridSummary{Cols: cols, Rows: rows}}
	g.blanks, _ = values.(Blanks)
	if !frame.sound(cols, rows) {
		return nil, &GridError{Rule: BadFrame}
	}
	g.turnTo(frame, cols, rows)
	u, v := g.frame.Column, g.frame.Row
	area := float64(u[0]*v[1]) - float64(u[1]*v[0])
	g.toCol = [2]float64{v[1] / area, -v[0] / area}
	g.toRow = [2]float64{-u[1] / area, u[0] / area}
	if err := g.measure(); err != nil {
		return nil, err
	}
	return g, nil
}

// flatCell is the least sine of the angle between a frame's two steps. It guards
// against a frame without area; true grids are square to within a thousandth.
const flatCell = 1e-3

// sound tells whether a frame places a grid of this size.
func (f GridFrame) sound(cols, rows int) bool {
	for _, c := range [2]float64{0, float64(cols - 1)} {
		for _, r := range [2]float64{0, float64(rows - 1)} {
			p := f.Place(c, r)
			if !(math.Abs(p[0]) <= farthest && math.Abs(p[1]) <= farthest) {
				return false
			}
		}
	}
	u, v := math.Hypot(f.Column[0], f.Column[1]), math.Hypot(f.Row[0], f.Row[1])
	area := math.Abs(f.Column[0]*f.Row[1] - f.Column[1]*f.Row[0])
	return u >= shortestStep && v >= shortestStep && area >= flatCell*u*v
}

// shortestStep is the least distance between postings, m. It guards the walk
// against steps that rounding would lose; no survey is that fine.
const shortestStep = 1e-6

// turnTo chooses how postings are renumbered: of the two diagonals and the two
// directions of each, the one nearest to north-east runs from (0, 0) to (1, 1),
// and rows lie to the left of columns.
func (g *Grid) turnTo(f GridFrame, cols, rows int) {
	best := math.Inf(-1)
	var sc, sr float64
	for _, s := range [4][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		dx := s[0]*f.Column[0] + s[1]*f.Row[0]
		dy := s[0]*f.Column[1] + s[1]*f.Row[1]
		if to := (dx + dy) / math.Hypot(dx, dy); to > best {
			best, sc, sr = to, s[0], s[1]
		}
	}
	var t renumbering
	t.colStep, t.rowStep = [2]int{int(sc), 0}, [2]int{0, int(sr)}
	if sc < 0 {
		t.col[0] = cols - 1
	}
	if sr < 0 {
		t.row[0] = rows - 1
	}
	g.frame = GridFrame{f.Place(float64(t.col[0]), float64(t.row[0])), times(f.Column, sc), times(f.Row, sr)}
	if u, v := g.frame.Column, g.frame.Row; u[0]*v[1] < u[1]*v[0] {
		g.frame.Column, g.frame.Row = v, u
		t.colStep, t.rowStep = t.rowStep, t.colStep
		cols, rows = rows, cols
	}
	g.turned, g.cols, g.rows = t, cols, rows
}

func times(p orb.Point, f float64) orb.Point { return orb.Point{f * p[0], f * p[1]} }

// at is the elevation of a posting of the turned grid.
func (g *Grid) at(col, row int) float64 { return g.values.At(g.turned.at(col, row)) }

// Bound is the smallest box around the ground.
func (g *Grid) Bound() orb.Bound { return g.bound }

// Range is the lowest and the highest elevation of the ground, m.
func (g *Grid) Range() (low, high float64) { return g.low, g.high }

// Summary counts the pieces of the grid.
func (g *Grid) Summary() GridSummary { return g.summary }

// Posting is the place of a posting and its elevation, m, NaN where there is
// none. Columns and rows are those of the values.
func (g *Grid) Posting(col, row int) (at orb.Point, elevation float64) {
	t := g.turned
	dc, dr := col-t.col[0], row-t.row[0]
	u := dc*t.colStep[0] + dr*t.colStep[1] // a turn is undone by its transpose
	v := dc*t.rowStep[0] + dr*t.rowStep[1]
	return g.place(u, v), g.values.At(col, row)
}
