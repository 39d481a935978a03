package geometry

import (
	"iter"
	"math"

	"github.com/paulmach/orb"
)

// Cell (col, row) has the triangles 2 (row (columns - 1) + col), its lower one,
// and the next number, its upper one.

// Numbers counts two triangles for each cell, those without ground too.
func (g *Grid) Numbers() int { return 2 * (g.cols - 1) * (g.rows - 1) }

// Triangle is the triangle of a number.
func (g *Grid) Triangle(i int) Triangle {
	col, row := g.cellOf(i)
	near, far := g.place(col, row), g.place(col+1, row+1)
	if i%2 == 0 {
		return Triangle{
			[3]orb.Point{near, g.place(col+1, row), far},
			[3]float64{g.at(col, row), g.at(col+1, row), g.at(col+1, row+1)},
		}
	}
	return Triangle{
		[3]orb.Point{near, far, g.place(col, row+1)},
		[3]float64{g.at(col, row), g.at(col+1, row+1), g.at(col, row+1)},
	}
}

// cellOf is the cell of a triangle.
func (g *Grid) cellOf(i int) (col, row int) { return i / 2 % (g.cols - 1), i / 2 / (g.cols - 1) }

// number is the lower triangle of a cell.
func (g *Grid) number(col, row int) int { return 2 * (row*(g.cols-1) + col) }

// Across is the side beyond a side. A lower triangle has its sides toward the
// row before, the column after and its own upper one; an upper triangle toward
// its own lower one, the row after and the column before.
func (g *Grid) Across(side int) int {
	i, k := side/3, side%3
	col, row := g.cellOf(i)
	upper, beyond := i%2 == 1, 0
	switch {
	case !upper && k == 0:
		row, beyond = row-1, 1
	case !upper && k == 1:
		col, beyond = col+1, 2
	case !upper:
		beyond = 0
	case k == 0:
		beyond = 2
	case k == 1:
		row, beyond = row+1, 0
	default:
		col, beyond = col-1, 1
	}
	if upper && g.hasLower(col, row) {
		return 3*g.number(col, row) + beyond
	}
	if !upper && g.hasUpper(col, row) {
		return 3*(g.number(col, row)+1) + beyond
	}
	return NoSide
}

// Stepped is false: cells share their postings.
func (g *Grid) Stepped() bool { return false }

// Near yields the triangles that touch a box, row by row.
func (g *Grid) Near(box orb.Bound) iter.Seq[int] {
	return func(yield func(int) bool) {
		if !box.Intersects(g.bound) {
			return
		}
		fromCol, fromRow, toCol, toRow := g.around(box)
		g.cells(fromCol, fromRow, toCol, toRow, func(c cell) bool {
			for i := g.number(c.col, c.row); i <= g.number(c.col, c.row)+1; i++ {
				t := g.Triangle(i)
				if !math.IsNaN(t.Elevation[0]+t.Elevation[1]+t.Elevation[2]) && t.touches(box) && !yield(i) {
					return false
				}
			}
			return true
		})
	}
}
