package borrow

import (
	"math"

	"github.com/paulmach/orb"
)

// DepthMap is the depth dug at the middles of square cells of a grid, m; NaN
// where nothing is dug.
type DepthMap struct {
	Origin     orb.Point // the lower left corner of the grid
	Step       float64   // side of a cell, m
	Cols, Rows int
	Depth      []float64 // row by row from the lowest y
}

// Map returns the depth dug on a grid of at most the given number of cells along
// its longer side, 1 or more.
func (e *Excavation) Map(most int) DepthMap {
	low := orb.Point{math.Inf(1), math.Inf(1)}
	high := orb.Point{math.Inf(-1), math.Inf(-1)}
	e.pieces.upTo(e.floor, nil, func(p piece) {
		k := newKept(p.cell)
		low = orb.Point{min(low[0], k.low[0]), min(low[1], k.low[1])}
		high = orb.Point{max(high[0], k.far[0]), max(high[1], k.far[1])}
	})
	step := max(high[0]-low[0], high[1]-low[1]) / float64(most)
	m := DepthMap{Origin: orb.Point{low[0] + e.origin[0], low[1] + e.origin[1]}, Step: step}
	m.Cols = max(1, int(math.Ceil((high[0]-low[0])/step-gridSlack)))
	m.Rows = max(1, int(math.Ceil((high[1]-low[1])/step-gridSlack)))
	m.Depth = make([]float64, m.Cols*m.Rows)
	for i := range m.Depth {
		m.Depth[i] = math.NaN()
	}
	e.pieces.upTo(e.floor, nil, func(p piece) { m.draw(p, low) })
	return m
}

// gridSlack is the share of a grid's cell that is taken for rounding.
const gridSlack = 1e-9

// draw fills in the cells whose middles lie in a piece.
func (m *DepthMap) draw(p piece, low orb.Point) {
	k, depth := newKept(p.cell), p.depth()
	from := func(axis int) int { return max(0, int(math.Ceil((k.low[axis]-low[axis])/m.Step-0.5))) }
	to := func(axis, n int) int { return min(n-1, int(math.Floor((k.far[axis]-low[axis])/m.Step-0.5))) }
	for row := from(1); row <= to(1, m.Rows); row++ {
		for col := from(0); col <= to(0, m.Cols); col++ {
			q := orb.Point{low[0] + (float64(col)+0.5)*m.Step, low[1] + (float64(row)+0.5)*m.Step}
			if p.cell.holds(q) {
				m.Depth[row*m.Cols+col] = max(0, depth.at(q))
			}
		}
	}
}

// holds tells whether a point lies in the cell or on its rim.
func (c cell) holds(q orb.Point) bool {
	for i, a := range c {
		if triangleArea(a, c[(i+1)%len(c)], q) < -touch {
			return false
		}
	}
	return true
}
