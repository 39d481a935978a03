package earthwork

import (
	"iter"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// gathered is a surface that does not know its triangles' neighbours, with what
// was found of them.
type gathered struct {
	geometry.Surface
	triangles []geometry.Triangle
	twin      []int // of each side of each triangle: the same side beyond, or NoSide
}

// netOf gathers a surface's triangles and pairs their sides. Sides are the same
// when their ends are, to the last digit.
func netOf(surface geometry.Surface) *gathered {
	g := &gathered{Surface: surface}
	for t := range surface.Triangles(surface.Bound()) {
		g.triangles = append(g.triangles, t)
	}
	type ends struct{ from, to orb.Point }
	open := map[ends][]int{}
	g.twin = make([]int, 3*len(g.triangles))
	for h := range g.twin {
		t, k := &g.triangles[h/3], h%3
		side := ends{t.At[k], t.At[(k+1)%3]}
		back := ends{side.to, side.from}
		if others := open[back]; len(others) > 0 {
			g.twin[h], g.twin[others[0]] = others[0], h
			open[back] = others[1:]
			continue
		}
		g.twin[h] = geometry.NoSide
		open[side] = append(open[side], h)
	}
	return g
}

func (g *gathered) Numbers() int                     { return len(g.triangles) }
func (g *gathered) Triangle(i int) geometry.Triangle { return g.triangles[i] }
func (g *gathered) Across(side int) int              { return g.twin[side] }
func (g *gathered) Stepped() bool                    { return true }

func (g *gathered) Near(box orb.Bound) iter.Seq[int] {
	return func(yield func(int) bool) {
		for i := range g.triangles {
			if box.Intersects(boxOf(&g.triangles[i])) && !yield(i) {
				return
			}
		}
	}
}
