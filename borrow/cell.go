package borrow

import "github.com/paulmach/orb"

// affine is a function of plan position that is a plane: c + x X + y Y. It
// stands for an elevation, a depth, or a distance from a line, m.
type affine struct{ c, x, y float64 }

// at is the value at a point.
func (f affine) at(p orb.Point) float64 { return f.c + f.x*p[0] + f.y*p[1] }

// minus is the difference of two functions.
func (f affine) minus(g affine) affine { return affine{f.c - g.c, f.x - g.x, f.y - g.y} }

// through returns the function with the given value at a point and gradient.
func through(p orb.Point, value, dx, dy float64) affine {
	return affine{value - dx*p[0] - dy*p[1], dx, dy}
}

// over returns the range of the function over a box.
func (f affine) over(b box) (low, high float64) {
	mid, half := f.at(b.mid), abs(f.x)*b.half[0]+abs(f.y)*b.half[1]
	return mid - half, mid + half
}

// cell is a convex polygon in plan, counter-clockwise, not closed.
type cell []orb.Point

// touch is the distance or difference in elevation, m, below which a cell is
// taken to touch a line or plane and is not cut by it. It is ten times the
// rounding of a distance at the corner of the widest pit, so that a cell once
// cut is not cut again by the same line. What it leaves uncut is worth touch x
// area at most, a cubic millimetre a square metre.
const touch = 1e-9

// split cuts the cell along f = 0 into the part where f is positive and the
// part where it is negative. A part that is not there is nil. Together they are
// the cell.
func (c cell) split(f affine) (above, below cell) {
	low, high := f.span(c)
	switch {
	case low >= -touch:
		return c, nil
	case high <= touch:
		return nil, c
	}
	return c.cut(f, make(cell, 0, len(c)+2), make(cell, 0, len(c)+2))
}

// cut appends the two parts of a cell that f = 0 cuts.
func (c cell) cut(f affine, above, below cell) (cell, cell) {
	for i, p := range c {
		q := c[(i+1)%len(c)]
		vp, vq := f.at(p), f.at(q)
		if vp >= 0 {
			above = append(above, p)
		}
		if vp <= 0 {
			below = append(below, p)
		}
		if (vp < 0) != (vq < 0) && vp != 0 && vq != 0 {
			t := vp / (vp - vq)
			x := orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
			above, below = append(above, x), append(below, x)
		}
	}
	if len(above) == 0 || len(below) == 0 {
		// f is no number at a corner, which Pit.check and NewStrata keep out. A cell
		// without corners would stop the program; prepared.nothing finds a volume or an
		// area that is no number, or ground counted twice.
		return c, nil
	}
	return above, below
}

// span returns the least and greatest value of f on the cell, at its corners.
func (f affine) span(c cell) (low, high float64) {
	low = f.at(c[0])
	high = low
	for _, p := range c[1:] {
		if v := f.at(p); v < low {
			low = v
		} else if v > high {
			high = v
		}
	}
	return low, high
}

// sum is an area, m2, and the integral of a function over it.
type sum struct{ area, volume float64 }

func (s sum) plus(t sum) sum { return sum{s.area + t.area, s.volume + t.volume} }

// integral returns the area of the cell and the integral of f over it, exact
// for a plane: over a triangle it is the area times the mean of the corners.
func (c cell) integral(f affine) sum {
	var s sum
	for i := 2; i < len(c); i++ {
		a := triangleArea(c[0], c[i-1], c[i])
		s.area += a
		s.volume += a * (f.at(c[0]) + f.at(c[i-1]) + f.at(c[i])) / 3
	}
	return s
}

// measure is integral and span in one.
func (c cell) measure(f affine) (s sum, low, high float64) {
	first, last := f.at(c[0]), f.at(c[1])
	low, high = min(first, last), max(first, last)
	for i := 2; i < len(c); i++ {
		v := f.at(c[i])
		if v < low {
			low = v
		} else if v > high {
			high = v
		}
		a := triangleArea(c[0], c[i-1], c[i])
		s.area += a
		s.volume += a * (first + last + v) / 3
		last = v
	}
	return s, low, high
}

// triangleArea is the area of a triangle, positive when counter-clockwise.
func triangleArea(a, b, c orb.Point) float64 {
	return ((b[0]-a[0])*(c[1]-a[1]) - (c[0]-a[0])*(b[1]-a[1])) / 2
}

// box is an upright rectangle by its middle and half its sides.
type box struct {
	mid  orb.Point
	half [2]float64
}

// abs is math.Abs without the import's noise in long formulas.
func abs(v float64) float64 { return max(v, -v) }
