package borrow

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Keep is ground that must not be dug: what lies within Distance, m, of a ring,
// and the inside of the ring. It stands for the dam with its toes.
type Keep struct {
	Ring     orb.Ring // closed, not crossing itself
	Distance float64  // 0 or more
}

// kept is a convex piece of ground that is not dug. Together such pieces cover
// all ground within the setback of the boundary, and what Pit.Keep says.
type kept struct {
	cell     cell
	low, far orb.Point // corners of its box
	// fronts are the parts of its rim from which the pit's sides may fall, each
	// with the pit on its left.
	fronts []front
}

// front is a straight piece of a line that bounds what is dug, the pit on its left.
type front struct{ from, to orb.Point }

// leastKept is the distance, m, up to which a setback is none: what it takes off
// is within rounding, and its rim within frontSlack of the boundary.
const leastKept = 10 * frontSlack

// newKept makes a piece of its corners, counter-clockwise.
func newKept(c cell, fronts ...front) kept {
	k := kept{cell: c, low: c[0], far: c[0], fronts: fronts}
	for _, p := range c {
		k.low = orb.Point{min(k.low[0], p[0]), min(k.low[1], p[1])}
		k.far = orb.Point{max(k.far[0], p[0]), max(k.far[1], p[1])}
	}
	return k
}

// keepAlong returns what lies within a distance to the left of a closed ring: a
// rectangle on each side, and a sector at each corner that points to the left.
// A sector has facets of at most facetAngle inside its arc, so that its rim is
// off by at most 4 parts in 100,000 of the distance; facets of a wider sector
// lie parallel, so that a larger distance never keeps less.
func keepAlong(ring []orb.Point, distance float64) []kept {
	n := len(ring)
	normals := make([]orb.Point, n)
	for i, a := range ring {
		f := leftOf(a, ring[(i+1)%n])
		normals[i] = orb.Point{f.x, f.y}
	}
	off := func(p, normal orb.Point) orb.Point {
		return orb.Point{p[0] + distance*normal[0], p[1] + distance*normal[1]}
	}
	var out []kept
	for i, a := range ring {
		b, m := ring[(i+1)%n], normals[i]
		from, to := off(a, m), off(b, m)
		out = append(out, newKept(cell{a, b, to, from}, front{from, to}))
		out = append(out, sectors(b, m, normals[(i+1)%n], off)...)
	}
	return out
}

// sectors returns the discs' parts about a corner between the normals of the
// sides before and after it, none where the corner does not point left.
func sectors(corner, before, after orb.Point, off func(p, normal orb.Point) orb.Point) []kept {
	turn := math.Atan2(before[0]*after[1]-before[1]*after[0], before[0]*after[0]+before[1]*after[1])
	if turn > -leastFacet {
		return nil
	}
	facets := int(math.Ceil(-turn / facetAngle))
	rim := make([]orb.Point, facets+1)
	for k := range rim {
		sin, cos := math.Sincos(turn * float64(k) / float64(facets))
		rim[k] = off(corner, orb.Point{cos*before[0] - sin*before[1], sin*before[0] + cos*before[1]})
	}
	rim[0], rim[facets] = off(corner, before), off(corner, after)
	var out []kept
	const quarter = 90 // facets to a piece, so that each piece is convex
	for at := 0; at < facets; at += quarter {
		part := rim[at : min(at+quarter, facets)+1]
		var fronts []front
		for k := 1; k < len(part); k++ {
			fronts = append(fronts, front{part[k-1], part[k]})
		}
		c := append(cell{corner}, part...)
		slices.Reverse(c[1:])
		out = append(out, newKept(c, fronts...))
	}
	return out
}

// keepAll returns all ground about a pit that is not dug. The error is a
// *RingError for a ring of Pit.Keep.
func (p Pit) keepAll(o *outline) ([]kept, error) {
	var out []kept
	if p.Setback > leastKept {
		out = keepAlong(o.ring, p.Setback)
	}
	for _, k := range p.Keep {
		within, err := newOutline(k.Ring)
		if err != nil {
			return nil, err
		}
		local := make([]orb.Point, len(within.ring)) // clockwise: the left is outside
		for i, q := range within.ring {
			g := within.global(q)
			local[len(local)-1-i] = orb.Point{g[0] - o.origin[0], g[1] - o.origin[1]}
		}
		local = slices.Compact(local) // corners that the shift of the origin rounds to one
		for _, s := range within.strips {
			c := make(cell, 0, 4)
			for _, q := range s.cell {
				g := within.global(q)
				if l := (orb.Point{g[0] - o.origin[0], g[1] - o.origin[1]}); len(c) == 0 || c[len(c)-1] != l && c[0] != l {
					c = append(c, l)
				}
			}
			out = append(out, newKept(c))
		}
		if k.Distance > leastKept {
			out = append(out, keepAlong(local, k.Distance)...)
			continue
		}
		last := &out[len(out)-1]
		for i, a := range local {
			last.fronts = append(last.fronts, front{a, local[(i+1)%len(local)]})
		}
	}
	return slices.DeleteFunc(out, func(k kept) bool { return !k.meets(o.box) }), nil
}

// meets tells whether the piece's box or a front touches a box about the origin.
func (k kept) meets(b box) bool {
	if len(k.fronts) > len(k.cell) { // fronts of a whole ring hang on one of its strips
		return true
	}
	return k.far[0] >= -b.half[0] && k.low[0] <= b.half[0] && k.far[1] >= -b.half[1] && k.low[1] <= b.half[1]
}

// outside returns the parts of a cell that no piece covers.
func outside(c cell, pieces []kept) []cell {
	left := []cell{c}
	if len(pieces) == 0 {
		return left
	}
	for _, k := range pieces {
		var next []cell
		for _, c := range left {
			next = append(next, k.leave(c)...)
		}
		if left = next; len(left) == 0 {
			return nil
		}
	}
	return left
}

// leave returns the parts of a cell outside the piece.
func (k kept) leave(c cell) []cell {
	in, out := k.divide(c)
	if in == nil {
		return []cell{c} // not cut into pieces for nothing
	}
	return out
}

// divide returns the part of a cell inside the piece, nil for none, and the
// parts outside.
func (k kept) divide(c cell) (in cell, out []cell) {
	for axis := range 2 {
		low, high := c[0][axis], c[0][axis]
		for _, p := range c[1:] {
			low, high = min(low, p[axis]), max(high, p[axis])
		}
		if low >= k.far[axis] || high <= k.low[axis] {
			return nil, []cell{c}
		}
	}
	in = c
	for i, a := range k.cell {
		b := k.cell[(i+1)%len(k.cell)]
		if a == b {
			continue
		}
		var cut cell
		in, cut = in.split(leftOf(a, b))
		if cut != nil {
			out = append(out, cut)
		}
		if in == nil {
			return nil, []cell{c}
		}
	}
	return in, out
}
