package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// warnOverlaps tells where sections overlap on the inside of a curve or a bend.
// There the same ground is counted twice and the correction of the volume takes
// off what it should, but the sections no longer show the dam that is built.
func (q *Quantities) warnOverlaps(line *geometry.Centreline) {
	q.warnCurves(line)
	for _, b := range line.Bends() {
		q.warnBend(line, b)
	}
}

// warnCurves tells where a toe lies beyond the centre of a curve: where
// 1 + curvature x offset falls below zero, squares to the centreline have met.
func (q *Quantities) warnCurves(line *geometry.Centreline) {
	var worst [2]Warning
	for i := range q.Sections {
		s := &q.Sections[i]
		if !s.Fill {
			continue
		}
		for _, after := range []bool{false, true} {
			curvature := line.Curvature(s.Station, after)
			for side, toe := range []float64{s.UpstreamToe, s.DownstreamToe} {
				if curvature*toe >= 0 {
					continue // the outside of the curve, or none
				}
				if by := math.Abs(toe) - 1/math.Abs(curvature); by > cutLength && by > worst[side].Value {
					worst[side] = Warning{Kind: CurveOverlap, Station: s.Station, Value: by, Side: sideNames[side]}
				}
			}
		}
	}
	for _, w := range worst {
		if w.Value > 0 {
			q.Warnings = append(q.Warnings, w)
		}
	}
}

// warnBend tells whether the mitre at a bend, which starts at the inside toe and
// runs back along both parts by toe x tan(turn / 2), is longer than a part. The
// mitre of the part's other end takes its share when it lies on the same side.
func (q *Quantities) warnBend(line *geometry.Centreline, b geometry.Bend) {
	side, inside := upstream, q.toeAt(b.Station, upstream)
	if b.Turn < 0 {
		side, inside = downstream, q.toeAt(b.Station, downstream)
	}
	mitre := inside * math.Tan(math.Abs(b.Turn)/2)
	if mitre == 0 {
		return
	}
	before, after := line.Start(), line.End()
	for _, s := range line.Changes() {
		if s < b.Station-sameStation {
			before = s
		}
		if s > b.Station+sameStation {
			after = s
			break
		}
	}
	// The dam may end before the part does; what is not built does not overlap.
	before = max(before, q.Sections[0].Station)
	after = min(after, q.Sections[len(q.Sections)-1].Station)
	by := 0.0
	for _, end := range []float64{before, after} {
		room := math.Abs(end - b.Station)
		for _, o := range line.Bends() {
			if math.Abs(o.Station-end) < sameStation && o.Turn*b.Turn > 0 {
				room -= q.toeAt(o.Station, side) * math.Tan(math.Abs(o.Turn)/2)
			}
		}
		by = max(by, mitre-room)
	}
	if by > cutLength {
		q.Warnings = append(q.Warnings, Warning{Kind: BendOverlap, Station: b.Station, Value: by, Side: sideNames[side]})
	}
}

// toeAt is how far out the toe lies on a side at a station, 0 without fill.
func (q *Quantities) toeAt(station float64, side int) float64 {
	out := 0.0
	for i := range q.Sections {
		s := &q.Sections[i]
		if s.Fill && math.Abs(s.Station-station) < sameStation {
			if side == upstream {
				out = max(out, -s.UpstreamToe)
			} else {
				out = max(out, s.DownstreamToe)
			}
		}
	}
	return out
}
