package geometry

import "math"

// locate walks from a triangle toward the place p and returns the triangle that
// p lies in, or on the edge of. When p is outside the hull it reports false.
// A walk that turns at exact signs ends in a Delaunay triangulation; among
// breaklines it may circle, so that after as many steps as there are triangles
// every triangle is tried.
func (m *mesh) locate(start int, p xy) (triangle int32, inside bool) {
	if start < 0 || start >= m.triangles() {
		start = 0
	}
	c := int32(3 * start) // the edge last crossed, or any edge of the first
	if m.leftOf(c, p) < 0 {
		if m.twin[c] == none {
			return c / 3, false
		}
		c = m.twin[c]
	}
	for range m.triangles() {
		a, b := following(c), preceding(c)
		switch {
		case m.leftOf(a, p) < 0:
			c = a
		case m.leftOf(b, p) < 0:
			c = b
		default:
			return c / 3, true
		}
		if m.twin[c] == none {
			return c / 3, false
		}
		c = m.twin[c]
	}
	return m.search(p)
}

// search is locate by trying every triangle.
func (m *mesh) search(p xy) (triangle int32, inside bool) {
	for i := int32(0); int(i) < m.triangles(); i++ {
		c := 3 * i
		if m.leftOf(c, p) >= 0 && m.leftOf(c+1, p) >= 0 && m.leftOf(c+2, p) >= 0 {
			return i, true
		}
	}
	return 0, false
}

// A ray is a straight walk from a toward b, different places, through a mesh.
type ray struct {
	m      *mesh
	a, b   xy
	ux, uy float64 // direction, of length 1
	length float64 // m
}

func newRay(m *mesh, a, b xy) ray {
	dx, dy := b.x-a.x, b.y-a.y
	length := math.Hypot(dx, dy)
	return ray{m, a, b, dx / length, dy / length, length}
}

// side tells on which side of the ray a place of the mesh lies.
func (r ray) side(v int32) float64 { return sideOf(r.a, r.b, r.m.at[v]) }

// offset of a place along the ray, and its distance to the left of the ray, m.
// Both are measured from the ray's start, which keeps them accurate near it even
// when the ray is short. The sign of aside is not exact; that of side is.
func (r ray) offset(p xy) float64 {
	return float64((p.x-r.a.x)*r.ux) + float64((p.y-r.a.y)*r.uy)
}

func (r ray) aside(p xy) float64 {
	return float64((p.y-r.a.y)*r.ux) - float64((p.x-r.a.x)*r.uy)
}

// asideRounding bounds the rounding of aside, as a share of how far the place lies
// from the ray's start.
const asideRounding = 0x1p-50

// looseOffset is how far along the ray rounding may move a crossing before its edge
// counts as one that runs along the ray, m.
const looseOffset = 1e-7

// share of the way from p to q at which the ray's line crosses between them,
// known to lie between two offsets. loose tells that the edge runs so nearly along
// the ray that the crossing may lie, as far as rounding can tell, anywhere on a
// stretch of it. It is then held to the offsets, so that whatever is taken from the
// edge belongs to a place where the ray is.
func (r ray) share(p, q xy, from, to float64) (share float64, loose bool) {
	dp, dq := math.Abs(r.aside(p)), math.Abs(r.aside(q))
	share = 0.5
	if dp+dq > 0 {
		share = dp / (dp + dq)
	}
	op := r.offset(p)
	along := r.offset(q) - op
	noise := asideRounding * (math.Abs(p.x-r.a.x) + math.Abs(p.y-r.a.y) + math.Abs(q.x-r.a.x) + math.Abs(q.y-r.a.y))
	if noise*math.Abs(along) <= looseOffset*(dp+dq) {
		return share, false
	}
	a, b := (from-op)/along, (to-op)/along
	return min(max(share, min(a, b), 0), max(a, b), 1), true
}

// order compares two places on the ray's line: positive when q is further on
// than p. It is exact, since only one coordinate of each is compared.
func (r ray) order(p, q xy) int {
	dx, dy := r.b.x-r.a.x, r.b.y-r.a.y
	from, to, up := p.x, q.x, dx > 0
	if math.Abs(dy) > math.Abs(dx) {
		from, to, up = p.y, q.y, dy > 0
	}
	switch {
	case from == to:
		return 0
	case (from < to) == up:
		return 1
	}
	return -1
}

// step is where a ray stands: at a place of the mesh when vertex is not none,
// else on the edge of corner cross, whose start lies right of the ray and whose
// end left, with the triangle behind on the edge's left. spoke, at a place, is
// a corner that starts there. through is the triangle just walked, none when
// the ray ran along the edge of corner along.
type step struct {
	vertex, spoke  int32
	cross          int32
	through, along int32
}

// onward is the next step of a ray. It reports false at the hull's outer edge.
func (r ray) onward(s step) (step, bool) {
	if s.vertex != none {
		return r.fromVertex(s.spoke)
	}
	in := r.m.twin[s.cross]
	if in == none {
		return step{}, false
	}
	return r.across(in), true
}

// across leaves a triangle that was entered over the edge of corner in, whose
// start lies left of the ray and whose end right.
func (r ray) across(in int32) step {
	apex := preceding(in)
	out := step{vertex: none, through: in / 3, along: none}
	switch s := r.side(r.m.corner[apex]); {
	case s > 0: // the edge from right to apex
		out.cross = following(in)
	case s < 0: // the edge from apex to left
		out.cross = apex
	default:
		out.vertex, out.spoke = r.m.corner[apex], apex
	}
	return out
}

// fromVertex leaves the place at which corner spoke starts, which lies on the
// ray's line: along an edge, or through the triangle that opens ahead.
func (r ray) fromVertex(spoke int32) (step, bool) {
	var out step
	found := false
	r.m.around(spoke, func(c int32) bool {
		out, found = r.leave(c)
		return !found
	})
	return out, found
}

// leave looks for the ray's way into the triangle of corner c, which starts at
// the place where the ray stands, or along one of the two edges there.
func (r ray) leave(c int32) (step, bool) {
	p, q := r.m.to(c), r.m.apex(c)
	here := r.m.at[r.m.from(c)]
	sp, sq := r.side(p), r.side(q)
	switch {
	case sp == 0 && r.order(here, r.m.at[p]) > 0:
		return step{vertex: p, spoke: following(c), through: none, along: c}, true
	case sq == 0 && r.order(here, r.m.at[q]) > 0:
		return step{vertex: q, spoke: preceding(c), through: none, along: preceding(c)}, true
	case sp < 0 && sq > 0:
		return step{vertex: none, cross: following(c), through: c / 3, along: none}, true
	}
	return step{}, false
}

// around visits the corners that start where corner c does, until visit returns
// false: counter-clockwise, and at the hull from its edge back the other way.
func (m *mesh) around(c int32, visit func(c int32) bool) {
	for d := c; ; {
		if !visit(d) {
			return
		}
		d = m.twin[preceding(d)]
		if d == c {
			return
		}
		if d == none {
			break
		}
	}
	for d := m.twin[c]; d != none; {
		d = following(d)
		if !visit(d) {
			return
		}
		d = m.twin[d]
	}
}
