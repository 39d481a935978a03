package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// Slice returns the ground under the straight segment from a to b; see Surface.
// Which triangles and edges the segment meets is decided exactly. A knot on an
// edge takes offset and elevation from the same share of that edge, so it is on
// the edge even where the segment runs nearly along it; inside a triangle the
// elevation is taken between the edges behind and ahead, never from the plane of
// a sliver. There is no ground under a segment of no length, or with an end that
// is no number within 100,000,000 m.
func (t *TIN) Slice(c *Cursor, a, b orb.Point) []Line {
	for _, v := range [4]float64{a[0], a[1], b[0], b[1]} {
		if !(math.Abs(v) <= farthest) {
			return nil
		}
	}
	s := slicer{tin: t, ray: newRay(&t.mesh, place(a), place(b))}
	if s.length == 0 {
		return nil
	}
	if c == nil {
		c = &Cursor{}
	}
	start, inside := t.locate(c.hint, s.a)
	c.hint = int(start)
	var next step
	var ok bool
	if inside {
		next, ok = s.begin(start)
	} else {
		next, ok = s.enter()
	}
	for ok && s.advance(next) {
		next, ok = s.onward(next)
	}
	s.endPiece()
	return s.pieces
}

// slicer collects the knots along one ray.
type slicer struct {
	ray
	tin *TIN

	last   Knot // where the ray stands
	before bool // last is behind the ray's start, which lies inside a triangle
	piece  Line
	pieces []Line
}

func (s *slicer) vertexKnot(v int32) Knot {
	return Knot{s.offset(s.m.at[v]), s.tin.elevation[v]}
}

// crossKnot is where the ray's line crosses the edge of corner c, between two
// offsets; see share. It is the same whichever of the edge's two corners is asked.
func (s *slicer) crossKnot(c int32, from, to float64) (k Knot, loose bool) {
	u, w := s.m.ends(c)
	p, q := s.m.at[u], s.m.at[w]
	share, loose := s.share(p, q, from, to)
	return Knot{
		mix(s.offset(p), s.offset(q), share),
		mix(s.tin.elevation[u], s.tin.elevation[w], share),
	}, loose
}

// mix is the value at a share of the way from p to q, exact at both ends.
func mix(p, q, share float64) float64 {
	if share < 0.5 {
		return p + float64(share*(q-p))
	}
	return q - float64((1-share)*(q-p))
}

// ends of a corner's edge, lower number first.
func (m *mesh) ends(c int32) (p, q int32) {
	p, q = m.from(c), m.to(c)
	return min(p, q), max(p, q)
}

// onEdge is the elevation at a place that lies exactly on the edge of corner c.
func (t *TIN) onEdge(c int32, p xy) float64 {
	u, w := t.ends(c)
	a, b := t.at[u], t.at[w]
	share := (p.x - a.x) / (b.x - a.x)
	if math.Abs(b.y-a.y) > math.Abs(b.x-a.x) {
		share = (p.y - a.y) / (b.y - a.y)
	}
	return mix(t.elevation[u], t.elevation[w], share)
}

// knot of the place where a step ends, between two offsets, and whether it lies on
// an edge that runs along the ray.
func (s *slicer) knot(n step, from, to float64) (k Knot, loose bool) {
	if n.vertex != none {
		return s.vertexKnot(n.vertex), false
	}
	return s.crossKnot(n.cross, from, to)
}

// begin starts in, or on the edge of, a triangle and finds the first step.
func (s *slicer) begin(triangle int32) (step, bool) {
	var on [3]int32 // the corners on whose edge the start lies
	n := 0
	for c := 3 * triangle; c < 3*triangle+3; c++ {
		if s.m.leftOf(c, s.a) == 0 {
			on[n] = c
			n++
		}
	}
	switch n {
	case 0:
		s.last, _ = s.knot(s.exit(triangle, -1), math.Inf(-1), 0)
		s.before = true
		return s.exit(triangle, 1), true
	case 1:
		s.last = Knot{0, s.tin.onEdge(on[0], s.a)}
		return s.beginOnEdge(on[0])
	default: // the place where the two edges meet
		c := on[1]
		if s.m.from(c) != s.m.to(on[0]) {
			c = on[0]
		}
		s.last = Knot{0, s.tin.elevation[s.m.from(c)]}
		return s.fromVertex(c)
	}
}

// exit is where the ray, started inside a triangle, leaves it: ahead for a way
// of 1, behind for -1.
func (s *slicer) exit(triangle int32, way int) step {
	out := step{vertex: none, through: triangle, along: none}
	for c := 3 * triangle; c < 3*triangle+3; c++ {
		p, q := s.m.from(c), s.m.to(c)
		sp, sq := float64(way)*s.side(p), float64(way)*s.side(q)
		if sp == 0 && s.order(s.a, s.m.at[p])*way > 0 {
			out.vertex, out.spoke = p, c
			return out
		}
		if sp < 0 && sq > 0 {
			out.cross = c
		}
	}
	return out
}

// beginOnEdge is the first step from a start on the edge of corner c.
func (s *slicer) beginOnEdge(c int32) (step, bool) {
	p, q := s.m.from(c), s.m.to(c)
	switch sp := s.side(p); {
	case sp == 0 && s.order(s.a, s.m.at[p]) > 0:
		return step{vertex: p, spoke: c, through: none, along: c}, true
	case sp == 0:
		return step{vertex: q, spoke: following(c), through: none, along: c}, true
	case sp < 0: // the triangle of c lies behind
		return s.onward(step{vertex: none, cross: c})
	}
	return s.across(c), true
}

// enter looks for the first meeting with the hull, for a start outside of it.
func (s *slicer) enter() (step, bool) {
	first := none
	for _, c := range s.m.hull {
		p, q := s.m.from(c), s.m.to(c)
		sp := s.side(p)
		if sp > 0 && s.side(q) < 0 {
			if s.m.leftOf(c, s.a) >= 0 || s.m.leftOf(c, s.b) <= 0 {
				return step{}, false
			}
			s.last, _ = s.crossKnot(c, 0, s.length)
			return s.across(c), true
		}
		if sp == 0 && (first == none || s.order(s.m.at[p], s.m.at[s.m.from(first)]) > 0) {
			first = c
		}
	}
	if first == none {
		return step{}, false
	}
	v := s.m.from(first)
	if s.order(s.a, s.m.at[v]) <= 0 || s.order(s.m.at[v], s.b) <= 0 {
		return step{}, false
	}
	s.last = s.vertexKnot(v)
	return s.fromVertex(first)
}

// advance walks one step and reports whether the segment goes on after it.
func (s *slicer) advance(n step) bool {
	z, end := s.ended(n)
	low, high := max(s.last.Offset, 0), s.length
	if end {
		low, high = s.length, math.Inf(1)
	}
	k, loose := s.knot(n, low, high)
	if loose && !end {
		k, _ = s.knot(n, low, min(high, s.firmAhead(n)))
	}
	from := s.last
	if s.before {
		from, s.before = Knot{0, level(s.last, k, 0)}, false
	}
	if end {
		if math.IsNaN(z) {
			z = level(s.last, k, s.length)
		}
		k = Knot{s.length, z}
	}
	k.Offset = min(max(k.Offset, from.Offset, 0), s.length)
	from.Offset = min(max(from.Offset, 0), k.Offset)
	if !s.tin.ground(n) {
		s.endPiece()
	} else {
		if len(s.piece) == 0 {
			s.startPiece(from)
		}
		s.put(k)
	}
	s.last = k
	return !end
}

// firmAhead is the offset of the next place or edge after a step that does not run
// along the ray. Crossings before it cannot lie beyond it.
func (s *slicer) firmAhead(n step) float64 {
	for {
		var ok bool
		if n, ok = s.onward(n); !ok {
			return math.Inf(1)
		}
		if k, loose := s.knot(n, math.Inf(-1), math.Inf(1)); !loose {
			return k.Offset
		}
	}
}

// ended reports whether the segment ends at or before the end of step n, and
// the elevation there if the end is on an edge or a place, else NaN: the end
// lies within the triangle.
func (s *slicer) ended(n step) (float64, bool) {
	if n.vertex == none {
		o := s.m.leftOf(n.cross, s.b)
		if o == 0 {
			return s.tin.onEdge(n.cross, s.b), true
		}
		return math.NaN(), o > 0
	}
	switch o := s.order(s.b, s.m.at[n.vertex]); {
	case o == 0:
		return s.tin.elevation[n.vertex], true
	case o > 0 && n.along != none:
		return s.tin.onEdge(n.along, s.b), true
	default:
		return math.NaN(), o > 0
	}
}

// ground reports whether there is ground along a step.
func (t *TIN) ground(n step) bool {
	if n.through != none {
		return !t.empty[n.through]
	}
	o := t.twin[n.along]
	return !t.empty[n.along/3] || o != none && !t.empty[o/3]
}
