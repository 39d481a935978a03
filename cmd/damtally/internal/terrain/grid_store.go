package terrain

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
)

// A store keeps the elevations of a window of a raster, in pages made only once
// they hold an elevation: large parts without any take no memory, whatever size
// a file claims. It implements geometry.Values and geometry.Blanks.
type store[T float32 | float64] struct {
	cols, rows  int
	across      int // pages in a row of pages
	pages       []*page[T]
	scale, base float64 // elevation = value x scale + base, m
}

// A page is a square of side pageSide, row by row, NaN where there is no value.
// It is small, so that a file of thin stripes cannot make it take much more
// memory than its cells.
type page[T float32 | float64] [pageSide * pageSide]T

const (
	pageBits = 3
	pageSide = 1 << pageBits
	pageMask = pageSide - 1
)

// mostCells is the largest window that is read, in cells: sixteen thousand a
// side, a gigabyte as float32. It also bounds the table of pages.
const mostCells = 1 << 28

func newStore[T float32 | float64](cols, rows int, scale, base float64) *store[T] {
	across, down := (cols+pageMask)>>pageBits, (rows+pageMask)>>pageBits
	return &store[T]{cols: cols, rows: rows, across: across, pages: make([]*page[T], across*down), scale: scale, base: base}
}

// blank tells that no cell holds a value.
func (s *store[T]) blank() bool {
	return !slices.ContainsFunc(s.pages, func(p *page[T]) bool { return p != nil })
}

// Size is how many columns and rows there are.
func (s *store[T]) Size() (cols, rows int) { return s.cols, s.rows }

// At is the elevation of a cell, m, NaN where there is none.
func (s *store[T]) At(col, row int) float64 {
	p := s.pages[(row>>pageBits)*s.across+col>>pageBits]
	if p == nil {
		return math.NaN()
	}
	return float64(float64(p[(row&pageMask)<<pageBits|col&pageMask])*s.scale) + s.base
}

// Blank returns the page of a cell when it holds no elevation at all.
func (s *store[T]) Blank(col, row int) (fromCol, fromRow, toCol, toRow int, ok bool) {
	if s.pages[(row>>pageBits)*s.across+col>>pageBits] != nil {
		return 0, 0, 0, 0, false
	}
	fromCol, fromRow = col&^pageMask, row&^pageMask
	return fromCol, fromRow, min(fromCol+pageSide, s.cols), min(fromRow+pageSide, s.rows), true
}

// putRow keeps the values of cells of one row, from a column on; NaN is none.
func (s *store[T]) putRow(col, row int, values []float64) {
	for len(values) > 0 {
		n := min(len(values), pageSide-col&pageMask)
		s.putRun(col, row, values[:n])
		col, values = col+n, values[n:]
	}
}

// putRun is putRow within one page.
func (s *store[T]) putRun(col, row int, values []float64) {
	at := (row>>pageBits)*s.across + col>>pageBits
	p := s.pages[at]
	if p == nil {
		if !slices.ContainsFunc(values, isNumber) {
			return
		}
		p = new(page[T])
		for i := range p {
			p[i] = T(math.NaN())
		}
		s.pages[at] = p
	}
	to := p[(row&pageMask)<<pageBits|col&pageMask:]
	for i, v := range values {
		to[i] = T(v)
	}
}

// sink is a store of either kind.
type sink interface {
	geometry.Values
	blank() bool
	putRow(col, row int, values []float64)
}

// newSink makes the store that loses nothing of the samples.
func newSink(w rectangle, wide bool, scale, base float64) sink {
	if wide {
		return newStore[float64](w.cols(), w.rows(), scale, base)
	}
	return newStore[float32](w.cols(), w.rows(), scale, base)
}

func isNumber(v float64) bool { return !math.IsNaN(v) }
