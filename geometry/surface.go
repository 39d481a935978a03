package geometry

import (
	"iter"

	"github.com/paulmach/orb"
)

// Triangle is one flat piece of a surface, its corners in counter-clockwise
// order in plan.
type Triangle struct {
	At        [3]orb.Point
	Elevation [3]float64 // m
}

// Surface is ground known as flat triangles in plan: a triangulation of survey
// points, a surveyor's own triangles, or a grid (two triangles a cell).
// A surface is immutable and safe to use from several goroutines.
type Surface interface {
	// Bound is the smallest box around all triangles.
	Bound() orb.Bound

	// Range is the lowest and the highest elevation, m.
	Range() (low, high float64)

	// Slice returns the ground under the straight segment from a to b, exactly:
	// one knot where the segment starts, ends or crosses a triangle's edge. The
	// knots' offsets are metres from a. Each Line is one unbroken piece; between
	// pieces, before the first and after the last there is no ground. Pieces
	// come in order and none is shorter than two knots. The cursor remembers
	// where the last slice was found; it may be nil.
	Slice(c *Cursor, a, b orb.Point) []Line

	// Triangles yields every triangle that touches the box, in a fixed order.
	Triangles(box orb.Bound) iter.Seq[Triangle]
}

// Cursor remembers where in a surface the last question was answered, so that
// the next one nearby starts there. The zero value is ready; a cursor serves
// one goroutine at a time. It changes the time an answer takes, never the answer.
type Cursor struct {
	hint int
}
