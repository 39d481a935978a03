package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// GridLayout says where the nodes of a grid lie: Columns from west to east, Rows
// from south to north, StepX and StepY apart, m, both positive.
type GridLayout struct {
	SouthWest     orb.Point // of the first node
	StepX, StepY  float64
	Columns, Rows int
}

// NewGrid makes a surface of elevations at the nodes of a grid, m, row after row
// from the south, each from the west; NaN stands for no elevation. Every cell is
// two triangles, parted from its south-west to its north-east corner; a triangle
// with a node that has no elevation holds no ground. An error is a *TINError,
// its Points numbering the nodes. A layout of another number of nodes than
// there are elevations, or a step that is not positive, is the caller's mistake.
//
// The nodes are joined as they stand, so a grid needs no triangulation; all else
// is as for a TIN.
func NewGrid(g GridLayout, elevations []float64) (*TIN, error) {
	if len(elevations) != g.Columns*g.Rows || !(g.StepX > 0 && g.StepY > 0) {
		panic("geometry: a grid's layout does not fit its elevations")
	}
	if g.Columns < 2 || g.Rows < 2 {
		return nil, &TINError{Rule: TooFewPoints}
	}
	if len(elevations) > mostPoints {
		return nil, &TINError{Rule: TooManyPoints}
	}
	t := &TIN{elevation: append([]float64(nil), elevations...), input: make([]int32, len(elevations))}
	t.at = make([]xy, len(elevations))
	for i, z := range elevations {
		p := orb.Point{
			g.SouthWest[0] + float64(float64(i%g.Columns)*g.StepX),
			g.SouthWest[1] + float64(float64(i/g.Columns)*g.StepY),
		}
		if !(math.Abs(p[0]) <= farthest && math.Abs(p[1]) <= farthest) || math.Abs(z) > farthest {
			return nil, &TINError{Rule: OutOfRange, Points: []int{i}, At: p}
		}
		t.at[i], t.input[i] = place(p), int32(i)
	}
	t.summary.Points = len(elevations)
	t.joinCells(g.Columns, g.Rows)
	if !t.measure() {
		return nil, &TINError{Rule: NoGroundLeft}
	}
	return t, nil
}

// The six corners of a cell, by the edge that starts there: the first triangle
// is south-west, south-east, north-east, the second south-west, north-east,
// north-west.
const (
	cellSouth = iota
	cellEast
	cellBack // the diagonal, seen from the first triangle
	cellDiagonal
	cellNorth
	cellWest
	cellCorners
)

// joinCells makes the two triangles of every cell and joins them.
func (t *TIN) joinCells(columns, rows int) {
	wide, high := columns-1, rows-1
	corner := func(i, j, which int) int32 { return int32(cellCorners*(j*wide+i) + which) }
	t.corner = make([]int32, 0, cellCorners*wide*high)
	t.twin = make([]int32, 0, cellCorners*wide*high)
	t.empty = make([]bool, 0, 2*wide*high)
	for j := range high {
		for i := range wide {
			sw := int32(j*columns + i)
			se, nw := sw+1, sw+int32(columns)
			ne := nw + 1
			t.corner = append(t.corner, sw, se, ne, sw, ne, nw)
			twins := [cellCorners]int32{
				none, none, corner(i, j, cellDiagonal), corner(i, j, cellBack), none, none,
			}
			if j > 0 {
				twins[cellSouth] = corner(i, j-1, cellNorth)
			}
			if i < wide-1 {
				twins[cellEast] = corner(i+1, j, cellWest)
			}
			if j < high-1 {
				twins[cellNorth] = corner(i, j+1, cellSouth)
			}
			if i > 0 {
				twins[cellWest] = corner(i-1, j, cellEast)
			}
			t.twin = append(t.twin, twins[:]...)
			diagonal := math.IsNaN(t.elevation[sw]) || math.IsNaN(t.elevation[ne])
			t.empty = append(t.empty, diagonal || math.IsNaN(t.elevation[se]), diagonal || math.IsNaN(t.elevation[nw]))
		}
	}
	t.joinHull(wide, high, corner)
}

// joinHull lists the outer edges, counter-clockwise from the south-west.
func (t *TIN) joinHull(wide, high int, corner func(i, j, which int) int32) {
	for i := range wide {
		t.hull = append(t.hull, corner(i, 0, cellSouth))
	}
	for j := range high {
		t.hull = append(t.hull, corner(wide-1, j, cellEast))
	}
	for i := range wide {
		t.hull = append(t.hull, corner(wide-1-i, high-1, cellNorth))
	}
	for j := range high {
		t.hull = append(t.hull, corner(0, high-1-j, cellWest))
	}
}
