package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Outline is the edge of a lake's water in plan, at one level.
type Outline struct {
	// Water is the surface of the water: outer rings counter-clockwise, islands
	// as holes.
	Water orb.MultiPolygon
	// Open are stretches of the edge that close no ring, with the water on their
	// left: at a dam without thickness, or where a face ends upright.
	Open []orb.LineString
}

// Outline draws the edge of the water at a level: where the level cuts the ground
// that the face does not cover, and the face itself. It is exact over the
// triangles of both, as Storage is. A nil face is a dam without thickness, along
// which the edge stays open. The error is an *AboveLimitError.
func (l *Lake) Outline(level float64, face *Face) (Outline, error) {
	if level > l.limit.Level || math.IsNaN(level) {
		return Outline{}, &AboveLimitError{level, l.limit}
	}
	var out Outline
	var rings []orb.Ring
	for _, line := range geometry.Chain(l.edge(level, face)) {
		if len(line) > 3 && line[0] == line[len(line)-1] {
			rings = append(rings, orb.Ring(line))
		} else {
			out.Open = append(out.Open, line)
		}
	}
	out.Water = geometry.Polygons(rings)
	return out, nil
}

// edge lists the pieces of the water's edge, the water on their left.
func (l *Lake) edge(level float64, face *Face) []geometry.Segment {
	var parts []facePart
	if face != nil {
		parts = face.parts
	}
	var out []geometry.Segment
	next := 0
	for i := range l.pieces {
		first := next
		for next < len(parts) && parts[next].piece == i {
			next++
		}
		p := &l.pieces[i]
		if p.joins >= level {
			continue
		}
		if s, ok := p.Contour(level); ok {
			out = append(out, bare(s, parts[first:next])...)
		}
		for k := first; k < next; k++ {
			if s, ok := parts[k].face.Contour(level); ok {
				out = append(out, turned(s))
			}
		}
	}
	return out
}

// turned is a segment the other way round: a contour has the dry ground on its
// left, the edge of a lake the water.
func turned(s geometry.Segment) geometry.Segment { return geometry.Segment{From: s.To, To: s.From} }

// bare is what the parts of a face leave of a contour on the ground under them,
// turned round.
func bare(s geometry.Segment, parts []facePart) []geometry.Segment {
	length := math.Hypot(s.To[0]-s.From[0], s.To[1]-s.From[1])
	if length == 0 {
		return nil
	}
	var covered []geometry.Interval
	for i := range parts {
		if c, ok := overTriangle(s, &parts[i].ground); ok {
			covered = append(covered, c)
		}
	}
	slices.SortFunc(covered, func(a, b geometry.Interval) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	var out []geometry.Segment
	keep := func(a, b float64) {
		if (b-a)*length > leak {
			out = append(out, geometry.Segment{From: onChord(s.From, s.To, b), To: onChord(s.From, s.To, a)})
		}
	}
	from := 0.0
	for _, c := range covered {
		keep(from, min(c.From, 1))
		from = max(from, c.To)
	}
	keep(from, 1)
	return out
}

// onSide is how far outside a side of a triangle a point still counts as in it, m.
// It guards the rounding of a contour that runs along the side.
const onSide = 1e-9

// overTriangle is the part of a segment over a triangle in plan, as shares of its length.
// It reports false where there is none.
func overTriangle(s geometry.Segment, t *geometry.Triangle) (geometry.Interval, bool) {
	part := geometry.Interval{From: 0, To: 1}
	for i, a := range t.At {
		b := t.At[(i+1)%3]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		if length == 0 {
			return part, false
		}
		inside := func(p orb.Point) float64 {
			return ((b[0]-a[0])*(p[1]-a[1])-(b[1]-a[1])*(p[0]-a[0]))/length + onSide
		}
		d, e := inside(s.From), inside(s.To)
		switch {
		case d < 0 && e < 0:
			return part, false
		case d < 0:
			part.From = max(part.From, d/(d-e))
		case e < 0:
			part.To = min(part.To, d/(d-e))
		}
	}
	return part, part.To > part.From
}
