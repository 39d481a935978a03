package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// polygonEdge is a side of a polygon, from one corner to the next.
type polygonEdge struct {
	from, to orb.Point
	z0, z1   float64
	side     int
	piece    int32
	length   float64
}

// edge is the side from a polygon's corner k.
func (p *flatPolygon) edge(k int) polygonEdge {
	j := (k + 1) % len(p.at)
	return polygonEdge{
		p.at[k], p.at[j], p.z[k], p.z[j], p.side[k], p.piece,
		math.Hypot(p.at[j][0]-p.at[k][0], p.at[j][1]-p.at[k][1]),
	}
}

// sides visits the polygon's edges that lie on a side.
func (p *flatPolygon) sides(side int, visit func(polygonEdge)) {
	for k, s := range p.side {
		if s == side {
			visit(p.edge(k))
		}
	}
}

// level is the ground at a distance along the edge.
func (e polygonEdge) level(s float64) float64 {
	return mix(e.z0, e.z1, min(max(s/e.length, 0), 1))
}

// along is how far on a point on the edge's line lies.
func (e polygonEdge) along(p orb.Point) float64 {
	return ((p[0]-e.from[0])*(e.to[0]-e.from[0]) + (p[1]-e.from[1])*(e.to[1]-e.from[1])) / e.length
}

// onto turns a distance along e into one along f, which lies on the same line.
func (e polygonEdge) onto(f polygonEdge, s float64) float64 {
	return f.along(e.at(s))
}

// at is the point at a distance along the edge.
func (e polygonEdge) at(s float64) orb.Point { return onChord(e.from, e.to, s/e.length) }

// join links two pieces along the part that two edges on one line share, as far
// as the wall does not stand on it. An edge of piece beyondSurvey is as long as
// e and as high.
func (m *lakeMesh) join(e, f polygonEdge) {
	if e.length <= leak {
		return
	}
	open := geometry.Interval{From: 0, To: e.length}
	if f.piece == beyondSurvey {
		piece := f.piece
		f = e
		f.piece = piece
	} else {
		if f.length <= leak {
			return
		}
		a, b := e.along(f.from), e.along(f.to)
		open = geometry.Interval{From: max(0, min(a, b)), To: min(e.length, max(a, b))}
	}
	for _, part := range m.wall.openings(e, open) {
		level, at := lowestOpening(e, f, part.From, part.To)
		m.links = append(m.links, link{e.piece, f.piece, level, e.at(at)})
	}
}

// openings is what the wall leaves of a part of an edge.
func (w *wall) openings(e polygonEdge, part geometry.Interval) []geometry.Interval {
	var shut []geometry.Interval
	w.onEdge(e, func(_ *chord, s geometry.Interval) { shut = append(shut, s) })
	slices.SortFunc(shut, func(a, b geometry.Interval) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	var out []geometry.Interval
	add := func(from, to float64) {
		if to-from > leak {
			out = append(out, geometry.Interval{From: from, To: to})
		}
	}
	from := part.From
	for _, s := range shut {
		add(from, min(s.From, part.To))
		from = max(from, s.To)
	}
	add(from, part.To)
	return out
}

// onEdge visits the chords that lie along an edge with the part of it that each
// covers.
func (w *wall) onEdge(e polygonEdge, visit func(*chord, geometry.Interval)) {
	for i := range w.chords {
		c := &w.chords[i]
		if !c.holds(e.from, e.to) || e.length <= leak {
			continue
		}
		a, b := e.along(c.from), e.along(c.to)
		s := geometry.Interval{From: max(0, min(a, b)), To: min(e.length, max(a, b))}
		if s.To-s.From > leak {
			visit(c, s)
		}
	}
}

// touch notes where an edge lies on the wall. A piece lies on the left of its
// edges.
func (m *lakeMesh) touch(e polygonEdge) {
	m.wall.onEdge(e, func(c *chord, s geometry.Interval) {
		sameWay := c.along(e.to) > c.along(e.from)
		k := contact{s.To - s.From, e.level(s.From), e.level(s.To), e.piece}
		if sameWay != c.left {
			m.downstream[e.piece] = true
			return
		}
		m.contact = append(m.contact, k)
		l := link{e.piece, upstreamWall, k.z0, e.at(s.From)}
		if k.z1 < k.z0 {
			l.level, l.at = k.z1, e.at(s.To)
		}
		m.links = append(m.links, l)
	})
}
