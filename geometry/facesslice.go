package geometry

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Slice returns the ground under the straight segment from a to b; see Surface.
// Which triangles the segment meets is decided exactly, and a knot on an edge is
// figured from the edge alone, so that both triangles beside it give the same.
func (f *Faces) Slice(_ *Cursor, a, b orb.Point) []Line {
	for _, v := range [4]float64{a[0], a[1], b[0], b[1]} {
		if !(math.Abs(v) <= farthest) {
			return nil
		}
	}
	s := slicer{ray: newRay(&f.mesh, place(a), place(b)), tin: &TIN{mesh: f.mesh, elevation: f.elevation}}
	if s.length == 0 {
		return nil
	}
	var spans []span
	f.boxes.visitLine(len(f.boxes.levels)-1, 0, s.ray, func(i int32) {
		if under, ok := s.under(i); ok {
			spans = append(spans, under)
		}
	})
	slices.SortFunc(spans, func(p, q span) int {
		return cmp.Or(
			cmp.Compare(p.from.Offset, q.from.Offset), cmp.Compare(p.to.Offset, q.to.Offset),
			cmp.Compare(p.triangle, q.triangle),
		)
	})
	return join(spans)
}

// span is the ground of one triangle under a segment.
type span struct {
	from, to Knot
	triangle int32
}

// under is what of triangle i lies under the segment. It reports false where
// that is nothing or a single place.
func (s *slicer) under(i int32) (span, bool) {
	var side [3]float64
	for k := range side {
		side[k] = s.side(s.m.corner[3*i+int32(k)])
	}
	var met [3]Knot
	n := 0
	for k := range int32(3) {
		switch here, next := side[k], side[(k+1)%3]; {
		case here == 0:
			met[n] = s.vertexKnot(s.m.corner[3*i+k])
			n++
		case here > 0 && next < 0 || here < 0 && next > 0:
			met[n], _ = s.crossKnot(3*i+k, math.Inf(-1), math.Inf(1))
			n++
		}
	}
	if n != 2 {
		return span{}, false
	}
	from, to := met[0], met[1]
	if from.Offset > to.Offset {
		from, to = to, from
	}
	from.Offset, to.Offset = s.snap(from.Offset), s.snap(to.Offset)
	if !(to.Offset > 0 && from.Offset < s.length && to.Offset > from.Offset) {
		return span{}, false
	}
	if to.Offset > s.length {
		to = Knot{s.length, level(from, to, s.length)}
	}
	if from.Offset < 0 {
		from = Knot{0, level(from, to, 0)}
	}
	return span{from, to, i}, true
}

// snap takes an offset that rounding has put beside an end of the segment as
// that end.
func (s *slicer) snap(offset float64) float64 {
	switch {
	case math.Abs(offset) <= noGap:
		return 0
	case math.Abs(offset-s.length) <= noGap:
		return s.length
	}
	return offset
}

// join makes unbroken lines of spans in order. What a seam parts is joined.
func join(spans []span) []Line {
	var pieces []Line
	var last Knot
	for i, s := range spans {
		if i == 0 || s.from.Offset > last.Offset+seam {
			pieces = append(pieces, Line{s.from, s.to})
			last = s.to
			continue
		}
		if s.to.Offset <= last.Offset {
			continue
		}
		piece := &pieces[len(pieces)-1]
		step := math.Abs(s.from.Elevation-last.Elevation) > sameKnot
		if s.from.Offset > last.Offset || s.from.Offset == last.Offset && step {
			*piece = append(*piece, s.from) // across a seam, or a step
		}
		*piece = append(*piece, s.to)
		last = s.to
	}
	return pieces
}
