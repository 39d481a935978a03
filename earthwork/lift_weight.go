package earthwork

import "github.com/damtally/damtally/geometry"

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

// weighed is a section with what it counts for.
type weighed struct {
	*Section
	weight
}

// weighed returns every section with its weight by average end area and the
// correction for curves (Pappus) and mitred bends, as Cut sums them: first those
// of q.Sections, then those of the mitres. line is the centreline that the
// sections were cut on, nil when it is straight.
func (q *Quantities) weighed(line *geometry.Centreline) []weighed {
	out := make([]weighed, len(q.Sections))
	for i := range out {
		out[i].Section = &q.Sections[i]
	}
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
	}
	for i := range q.Mitres {
		m := &q.Mitres[i]
		out[m.At].turn += m.Turns[0]
		for j := range m.Fan {
			out = append(out, weighed{&m.Fan[j], weight{turn: m.Turns[j+1]}})
		}
	}
	return out
}
