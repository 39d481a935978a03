package borrow

import (
	"slices"
	"sort"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// edge is a straight piece of boundary over which the ground is straight too.
type edge struct {
	from, to   orb.Point // local
	zFrom, zTo float64   // ground, m
}

// gapSlack is the distance, m, over which ground may be missing and is carried
// on: a boundary drawn along the edge of a survey misses it by rounding.
const gapSlack = 1e-6

// groundAlong returns the boundary, cut wherever the ground under it bends. The
// error is a *GroundError for the first stretch without ground.
func (p Pit) groundAlong(o *outline) ([]edge, error) {
	var out []edge
	for i, a := range o.ring {
		edges, err := p.groundUnder(o, a, o.ring[(i+1)%len(o.ring)])
		if err != nil {
			return nil, err
		}
		out = append(out, edges...)
	}
	return out, nil
}

// groundUnder returns a line, the pit on its left, cut wherever the ground under
// it bends. The error is a *GroundError.
func (p Pit) groundUnder(o *outline, a, b orb.Point) ([]edge, error) {
	if p.Surface == nil {
		return []edge{{a, b, p.Level, p.Level}}, nil
	}
	length := distance(a, b)
	pieces := p.Surface.Slice(nil, o.global(a), o.global(b))
	if _, gap := widestGap(pieces, length); gap > gapSlack {
		pieces = p.Surface.Slice(nil, o.global(inward(a, a, b)), o.global(inward(b, a, b)))
	}
	if at, gap := widestGap(pieces, length); gap > gapSlack || len(pieces) == 0 {
		return nil, &GroundError{o.global(along(a, b, at/length)), gap, true}
	}
	return edgesOn(a, b, length, slices.Concat(pieces...)), nil
}

// inward is a point moved off the edge from a to b by gapSlack, to the inside.
func inward(p, a, b orb.Point) orb.Point {
	f := leftOf(a, b)
	return orb.Point{p[0] + f.x*gapSlack, p[1] + f.y*gapSlack}
}

// edgesOn returns the pieces of the boundary from a to b under which the line
// has no bend. The line covers it but for gapSlack.
func edgesOn(a, b orb.Point, length float64, line geometry.Line) []edge {
	var out []edge
	last, start := line[0], a
	for i, k := range line[1:] {
		if i == len(line)-2 {
			out = append(out, edge{start, b, last.Elevation, k.Elevation})
			break
		}
		if k.Offset-last.Offset <= gapSlack || length-k.Offset <= gapSlack || straight(last, k, line[i+2]) {
			continue
		}
		end := along(a, b, k.Offset/length)
		out = append(out, edge{start, end, last.Elevation, k.Elevation})
		start, last = end, k
	}
	return out
}

// straightSlack is the height, m, within which a knot lies on the straight line
// between its neighbours. It joins the many short pieces into which triangles
// of one plane cut a boundary.
const straightSlack = 1e-9

// straight tells whether b lies on the line from a to c.
func straight(a, b, c geometry.Knot) bool {
	span := c.Offset - a.Offset
	return abs((c.Elevation-a.Elevation)*(b.Offset-a.Offset)-(b.Elevation-a.Elevation)*span) <= straightSlack*span
}

// widestGap returns the middle and the length of the longest stretch of
// [0, length] that no piece covers.
func widestGap(pieces []geometry.Line, length float64) (middle, gap float64) {
	reached := 0.0
	look := func(next float64) {
		if next-reached > gap {
			middle, gap = (next+reached)/2, next-reached
		}
	}
	for _, l := range pieces {
		from, to := l.Span()
		look(from)
		reached = max(reached, to)
	}
	look(length)
	return middle, gap
}

// eachGround calls use for convex cells that together are the inside of the
// boundary, each under one plane of ground; the cell is the callback's until it
// returns. The error is a *GroundError when
// ground is missing inside, or ErrOverlap.
func (p Pit) eachGround(o *outline, use func(cell, affine)) error {
	if p.Surface == nil {
		for _, s := range o.strips {
			use(s.cell, affine{c: p.Level})
		}
		return nil
	}
	covered := make([]float64, len(o.strips))
	var at [3]orb.Point // serves every triangle
	for tri := range p.Surface.Triangles(o.bound()) {
		at = o.local(&tri)
		plane, ok := planeOver(at, tri.Elevation)
		if !ok {
			continue
		}
		t := cell(at[:])
		low, high := affine{x: 1}.span(t)
		first := sort.Search(len(o.strips), func(i int) bool { return o.strips[i].to > low })
		for i := first; i < len(o.strips) && o.strips[i].from < high; i++ {
			c := t
			if !o.strips[i].holds(t, low, high) {
				c = o.strips[i].cell.within(t)
			}
			if c != nil {
				covered[i] += c.integral(affine{}).area
				use(c, plane)
			}
		}
	}
	return p.uncovered(o, covered)
}

// holds tells whether a cell that reaches from x low to high lies in the strip.
func (s *strip) holds(c cell, low, high float64) bool {
	if low < s.from || high > s.to {
		return false
	}
	bottom, _ := s.bottom.span(c)
	_, top := s.top.span(c)
	return bottom >= 0 && top <= 0
}

// local is a ground triangle's corners about the outline's origin.
func (o *outline) local(tri *geometry.Triangle) [3]orb.Point {
	var t [3]orb.Point
	for i, q := range tri.At {
		t[i] = orb.Point{q[0] - o.origin[0], q[1] - o.origin[1]}
	}
	return t
}

// planeOver returns the plane through a triangle's elevations. It reports false for
// a triangle without area in plan.
func planeOver(t [3]orb.Point, z [3]float64) (affine, bool) {
	twice := 2 * triangleArea(t[0], t[1], t[2])
	if !(twice > 0) {
		return affine{}, false
	}
	ux, uy, uz := t[1][0]-t[0][0], t[1][1]-t[0][1], z[1]-z[0]
	vx, vy, vz := t[2][0]-t[0][0], t[2][1]-t[0][1], z[2]-z[0]
	return through(t[0], z[0], (uz*vy-vz*uy)/twice, (ux*vz-vx*uz)/twice), true
}

// within returns the part of the cell that lies in a triangle, nil for none.
func (c cell) within(triangle cell) cell {
	for i, a := range triangle {
		if c, _ = c.split(leftOf(a, triangle[(i+1)%3])); c == nil {
			return nil
		}
	}
	return c
}

// leftOf is the distance to the left of the line from a to b, m.
func leftOf(a, b orb.Point) affine {
	d := distance(a, b)
	return through(a, 0, -(b[1]-a[1])/d, (b[0]-a[0])/d)
}

// uncovered returns an error for a strip that the ground covers too little or
// too much.
func (p Pit) uncovered(o *outline, covered []float64) error {
	for i, s := range o.strips {
		// Ground may miss the strip's rim by gapSlack all round.
		slack := gapSlack*2*(s.to-s.from+o.box.half[1]) + crossSlack*s.area
		switch missing := s.area - covered[i]; {
		case missing < -slack:
			return ErrOverlap
		case missing > slack:
			return p.hole(o, s, missing)
		}
	}
	return nil
}

// hole finds a stretch without ground in a strip from which an area is missing,
// on one of some upright lines through it.
func (p Pit) hole(o *outline, s strip, missing float64) error {
	const lines = 64
	worst := &GroundError{At: o.global(middleOf(s.cell)), Gap: missing / (s.to - s.from)}
	found := 0.0
	for k := range lines {
		t := (float64(k) + 0.5) / lines
		a, b := along(s.cell[0], s.cell[1], t), along(s.cell[3], s.cell[2], t)
		length := distance(a, b)
		at, gap := widestGap(p.Surface.Slice(nil, o.global(a), o.global(b)), length)
		if gap > found+gapSlack {
			found = gap
			worst = &GroundError{At: o.global(along(a, b, at/length)), Gap: gap}
		}
	}
	return worst
}

// middleOf is the mean of a cell's corners.
func middleOf(c cell) orb.Point {
	var m orb.Point
	for _, p := range c {
		m[0] += p[0] / float64(len(c))
		m[1] += p[1] / float64(len(c))
	}
	return m
}

// along is the point a share t of the way from a to b.
func along(a, b orb.Point, t float64) orb.Point {
	return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
}
