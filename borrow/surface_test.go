package borrow

import (
	"iter"
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// triangles is ground for tests: a plain list, searched from end to end.
type triangles []geometry.Triangle

func (s triangles) Bound() orb.Bound {
	b := orb.Bound{Min: s[0].At[0], Max: s[0].At[0]}
	for _, t := range s {
		for _, p := range t.At {
			b = b.Extend(p)
		}
	}
	return b
}

func (s triangles) Range() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, t := range s {
		for _, z := range t.Elevation {
			low, high = min(low, z), max(high, z)
		}
	}
	return low, high
}

func (s triangles) Triangles(box orb.Bound) iter.Seq[geometry.Triangle] {
	return func(yield func(geometry.Triangle) bool) {
		for _, t := range s {
			if orb.MultiPoint(t.At[:]).Bound().Intersects(box) && !yield(t) {
				return
			}
		}
	}
}

// Slice cuts each triangle with the segment and joins the pieces that touch.
func (s triangles) Slice(_ *geometry.Cursor, a, b orb.Point) []geometry.Line {
	length := distance(a, b)
	var pieces []geometry.Line
	for _, t := range s {
		from, to := 0.0, 1.0
		for i, p := range t.At {
			q := t.At[(i+1)%3]
			va, vb := triangleArea(p, q, a), triangleArea(p, q, b)
			switch {
			case va < 0 && vb < 0:
				to = -1
			case va < 0 != (vb < 0):
				cross := va / (va - vb)
				if va < 0 {
					from = max(from, cross)
				} else {
					to = min(to, cross)
				}
			}
		}
		if to-from > 1e-12 {
			at := func(f float64) geometry.Knot {
				return geometry.Knot{Offset: f * length, Elevation: onTriangle(t, along(a, b, f))}
			}
			pieces = append(pieces, geometry.Line{at(from), at(to)})
		}
	}
	slices.SortStableFunc(pieces, func(p, q geometry.Line) int {
		switch {
		case p[0].Offset < q[0].Offset:
			return -1
		case p[0].Offset > q[0].Offset:
			return 1
		}
		return 0
	})
	var out []geometry.Line
	for _, p := range pieces {
		if n := len(out); n > 0 && p[0].Offset <= out[n-1][len(out[n-1])-1].Offset+1e-9 {
			if last := out[n-1][len(out[n-1])-1]; p[1].Offset > last.Offset+1e-9 {
				out[n-1] = append(out[n-1], p[1])
			}
			continue
		}
		out = append(out, p)
	}
	return out
}

// onTriangle is the elevation of a triangle's plane at a point.
func onTriangle(t geometry.Triangle, p orb.Point) float64 {
	whole := triangleArea(t.At[0], t.At[1], t.At[2])
	var z float64
	for i := range 3 {
		z += t.Elevation[i] * triangleArea(p, t.At[(i+1)%3], t.At[(i+2)%3]) / whole
	}
	return z
}

// gridGround is ground z(x, y) sampled on a grid of n by n cells over a square
// of the given side about the origin, two triangles a cell.
func gridGround(n int, side float64, z func(x, y float64) float64) triangles {
	at := func(i, j int) orb.Point {
		return orb.Point{side * (float64(i)/float64(n) - 0.5), side * (float64(j)/float64(n) - 0.5)}
	}
	var out triangles
	add := func(p ...orb.Point) {
		var t geometry.Triangle
		for i, q := range p {
			t.At[i], t.Elevation[i] = q, z(q[0], q[1])
		}
		out = append(out, t)
	}
	for i := range n {
		for j := range n {
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			add(a, b, c)
			add(a, c, d)
		}
	}
	return out
}

// planeGround is a plane as two triangles.
func planeGround(side, level, east, north float64) triangles {
	return gridGround(1, side, func(x, y float64) float64 { return level + east*x + north*y })
}
