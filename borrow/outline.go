package borrow

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// outline is a pit's boundary made ready: counter-clockwise, about a local
// origin so that large coordinates cost no digits, and cut into convex strips.
type outline struct {
	origin orb.Point   // in the pit's coordinates
	ring   []orb.Point // local, not closed, counter-clockwise
	area   float64
	box    box
	strips []strip // by rising from
}

// strip is the part of the inside between two neighbouring corners' x, below
// one edge and above the next: a trapezoid with upright sides.
type strip struct {
	from, to float64
	cell     cell
	area     float64
	// Distance above its lower edge and above its upper one, m.
	bottom, top affine
}

// widestPit is the greatest width of a boundary, m. Beyond it a coordinate is in
// another unit, and touch would drown in rounding.
const widestPit = 1e5

// newOutline checks a ring and cuts it into strips. The error is a *RingError.
func newOutline(ring orb.Ring) (*outline, error) {
	if len(ring) == 0 {
		return nil, &RingError{What: "it has no points"}
	}
	for _, p := range ring {
		if s := p[0] + p[1]; math.IsNaN(s) || math.IsInf(s, 0) {
			return nil, &RingError{p, "a coordinate is not a number"}
		}
	}
	bound := orb.MultiPoint(ring).Bound()
	o := &outline{origin: bound.Center()}
	o.box.half = [2]float64{(bound.Max[0] - bound.Min[0]) / 2, (bound.Max[1] - bound.Min[1]) / 2}
	if max(o.box.half[0], o.box.half[1]) > widestPit/2 {
		return nil, &RingError{ring[0], "it is more than 100 km wide"}
	}
	for _, p := range ring {
		local := orb.Point{p[0] - o.origin[0], p[1] - o.origin[1]}
		if n := len(o.ring); n == 0 || o.ring[n-1] != local {
			o.ring = append(o.ring, local)
		}
	}
	if n := len(o.ring); n > 1 && o.ring[0] == o.ring[n-1] {
		o.ring = o.ring[:n-1]
	}
	if len(o.ring) < 3 {
		return nil, &RingError{ring[0], "it needs three or more different points"}
	}
	for i := range o.ring {
		o.area += triangleArea(orb.Point{}, o.ring[i], o.ring[(i+1)%len(o.ring)])
	}
	if o.area < 0 {
		slices.Reverse(o.ring)
		o.area = -o.area
	}
	if err := o.cut(); err != nil {
		return nil, err
	}
	return o, nil
}

// crossSlack is the share of the box's area by which the strips may differ from
// the ring's own area through rounding. A ring that crosses itself differs by
// twice the smaller of its loops.
const crossSlack = 1e-9

// cut fills strips. Between two neighbouring x of corners the edges do not end,
// so from the bottom up they are by turns a lower and an upper side.
func (o *outline) cut() error {
	xs := make([]float64, len(o.ring))
	for i, p := range o.ring {
		xs[i] = p[0]
	}
	slices.Sort(xs)
	xs = slices.Compact(xs)
	slack := crossSlack * 4 * o.box.half[0] * o.box.half[1]
	var total float64
	for i := 1; i < len(xs); i++ {
		edges := o.edgesOver(xs[i-1], xs[i])
		for k := 0; k+1 < len(edges); k += 2 {
			low, high := edges[k], edges[k+1]
			s := strip{from: xs[i-1], to: xs[i]}
			s.cell = cell{{s.from, low[0]}, {s.to, low[1]}, {s.to, high[1]}, {s.from, high[0]}}
			s.area = s.cell.integral(affine{}).area
			s.bottom, s.top = leftOf(s.cell[0], s.cell[1]), leftOf(s.cell[3], s.cell[2])
			width := s.to - s.from
			if (low[0]-high[0])*width > slack || (low[1]-high[1])*width > slack {
				return o.wrong(s.cell[0], "its sides cross one another")
			}
			total += s.area
			o.strips = append(o.strips, s)
		}
	}
	if !(o.area > slack) {
		return o.wrong(o.ring[0], "it encloses no area, or its sides cross one another")
	}
	if abs(total-o.area) > slack {
		return o.wrong(o.ring[0], "its sides cross one another")
	}
	return nil
}

// edgesOver returns the elevation in plan (y) at x0 and x1 of every edge that
// runs over both, from the bottom up.
func (o *outline) edgesOver(x0, x1 float64) [][2]float64 {
	var out [][2]float64
	for i, a := range o.ring {
		b := o.ring[(i+1)%len(o.ring)]
		if a[0] > b[0] {
			a, b = b, a
		}
		if a[0] <= x0 && b[0] >= x1 {
			out = append(out, [2]float64{yAt(a, b, x0), yAt(a, b, x1)})
		}
	}
	slices.SortFunc(out, func(p, q [2]float64) int { return cmp.Compare(p[0]+p[1], q[0]+q[1]) })
	return out
}

// yAt is y on the line from a to b, a[0] < b[0], exact at both ends.
func yAt(a, b orb.Point, x float64) float64 {
	if x == b[0] {
		return b[1]
	}
	return a[1] + (x-a[0])/(b[0]-a[0])*(b[1]-a[1])
}

// wrong is a *RingError near a local point.
func (o *outline) wrong(local orb.Point, what string) error {
	return &RingError{o.global(local), what}
}

// global is a local point in the pit's own coordinates.
func (o *outline) global(p orb.Point) orb.Point {
	return orb.Point{p[0] + o.origin[0], p[1] + o.origin[1]}
}

// bound is the ring's box in the pit's own coordinates.
func (o *outline) bound() orb.Bound {
	h := orb.Point{o.box.half[0], o.box.half[1]}
	return orb.Bound{Min: o.global(orb.Point{-h[0], -h[1]}), Max: o.global(h)}
}
