package geometry

import (
	"iter"

	"github.com/paulmach/orb"
)

// Net is a surface whose triangles are numbered and know their neighbours, so
// that water or a walk can go from one to the next without a search.
//
// Side 3i+k is the side of triangle i from its corner k to the next one. A net
// is immutable and safe to use from several goroutines.
type Net interface {
	Surface

	// Numbers is one more than the greatest number of a triangle. Some numbers
	// may stand for no ground.
	Numbers() int

	// Triangle is the triangle of a number that Near or Across gave.
	Triangle(i int) Triangle

	// Across is the same side of the triangle beyond, or NoSide where the ground
	// ends. Both triangles have the side's ends at the same places in plan;
	// Stepped tells whether their elevations may differ.
	Across(side int) int

	// Near yields the number of every triangle with ground that touches the box,
	// its edges included, in a fixed order.
	Near(box orb.Bound) iter.Seq[int]

	// Stepped tells whether the ground may have a step along a side.
	Stepped() bool
}

// NoSide is what Across gives where there is no triangle beyond.
const NoSide = -1

var (
	_ Net = (*TIN)(nil)
	_ Net = (*Grid)(nil)
	_ Net = (*Faces)(nil)
)

// Numbers counts the triangles, those without ground too.
func (t *TIN) Numbers() int { return t.triangles() }

// Triangle is the triangle of a number.
func (t *TIN) Triangle(i int) Triangle { return t.triangle(i) }

// Across is the side beyond a side.
func (t *TIN) Across(side int) int {
	c := t.twin[side]
	if c == none || t.empty[c/3] {
		return NoSide
	}
	return int(c)
}

// Stepped is false: triangles share their corners.
func (t *TIN) Stepped() bool { return false }

// Near yields the triangles that touch a box.
func (t *TIN) Near(box orb.Bound) iter.Seq[int] {
	return func(yield func(int) bool) {
		t.buildOnce.Do(func() { t.boxes = newBoxTree(&t.mesh, t.bound, t.empty) })
		t.boxes.visit(len(t.boxes.levels)-1, 0, box, func(i int32) bool {
			return !t.touches(int(i), box) || yield(int(i))
		})
	}
}
