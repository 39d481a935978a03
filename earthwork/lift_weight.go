package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// weight is what a section counts for in the volume: a measure m of the section
// adds length x m.Area + turn x m.Moment. Volumes are linear in the sections, so
// any part of a section (a lift, what lies below a level) is summed with the
// same weights as the whole, and parts add up to it.
type weight struct {
	length float64 // m: half of the reaches on either side
	turn   float64 // curvature x half length, and the mitres: no unit
}

// of is the volume that a measure of the section stands for, m3.
func (w weight) of(m geometry.Measure) float64 {
	return w.length*m.Area + w.turn*m.Moment
}

// weights returns the weight of every section by average end area with the
// correction for curves (Pappus) and mitred bends, as Cut sums them. line is
// the centreline that the sections were cut on, nil when it is straight.
func (q *Quantities) weights(line *geometry.Centreline) []weight {
	out := make([]weight, len(q.Sections))
	for _, r := range q.Reaches {
		out[r.From].length += r.Length / 2
		out[r.To].length += r.Length / 2
		if line == nil {
			continue
		}
		a, b := q.Sections[r.From].Station, q.Sections[r.To].Station
		c := line.Curvature((a+b)/2, false) * r.Length / 2
		out[r.From].turn += c
		out[r.To].turn += c
		for _, bend := range line.Bends() {
			if math.Abs(a-bend.Station) < sameStation {
				out[r.From].turn += math.Tan(bend.Turn / 2)
			}
			if math.Abs(b-bend.Station) < sameStation {
				out[r.To].turn += math.Tan(bend.Turn / 2)
			}
		}
	}
	return out
}
