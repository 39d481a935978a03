package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// Mitre is the end of a straight part at a bend: the wedge between the section
// square to the part and the plane that halves the bend, which is added on the
// outside of the bend and taken off on the inside. At an offset o the wedge is
// o tan(turn / 2) long, so that its volume is
//
//	tan(turn / 2) x integral over f from 0 to 1 of M(f)
//
// where M(f) is the moment about the centreline of what stands over the line that
// runs f o tan(turn / 2) up-station for each offset o: the square section at
// f = 0, the mitre itself at f = 1. Each of those sections is kept with its own
// line. The crest is taken as level over the wedge.
type Mitre struct {
	Reach int // index into Quantities.Reaches of the reach that ends here
	At    int // index into Quantities.Sections of the square section
	// Fan are the sections from the square one to the mitre, without the first.
	// It is empty where the ground is known by square sections alone, or does not
	// reach far enough; then the square section stands for the whole wedge.
	Fan []Section
	// Turns is what each of the square section and Fan counts for: its moment
	// times it is its share of the volume. Their sum is tan(turn / 2).
	Turns []float64
}

// fanLines is into how many equal parts of its angle's tangent a wedge is cut, an
// even number, for Simpson's rule. On ground of one plane the rule is all but
// exact with two; more are for ground that has edges in the wedge.
const fanLines = 8

// turnsOf shares a wedge's tangent among the lines of its fan by Simpson's rule.
func turnsOf(tangent float64) []float64 {
	out := make([]float64, fanLines+1)
	for i := range out {
		w := 2.0 + 2*float64(i%2)
		if i == 0 || i == fanLines {
			w = 1
		}
		out[i] = tangent * w / (3 * fanLines)
	}
	return out
}

// mitres cuts the wedges at the bends of a centreline, in the order of the bends.
func (q *Quantities) mitres(k *cutter, line *geometry.Centreline) {
	for _, b := range line.Bends() {
		tangent := math.Tan(b.Turn / 2)
		for i, r := range q.Reaches {
			for _, end := range []int{r.To, r.From} {
				if math.Abs(q.Sections[end].Station-b.Station) < sameStation {
					m := Mitre{Reach: i, At: end, Turns: []float64{tangent}}
					q.fan(k, &m, tangent, end == r.To)
					q.Mitres = append(q.Mitres, m)
				}
			}
		}
	}
}

// fan cuts the sections of a wedge. ahead says that the part ends here, so that
// outside the bend its wedge runs on up-station. Where the ground does not reach
// the mitre's toe and may not be carried on, a warning says so.
func (q *Quantities) fan(k *cutter, m *Mitre, tangent float64, ahead bool) {
	s := &q.Sections[m.At]
	if _, ok := k.ground.(Askew); !ok || !(s.meets() || s.Trench.Area > 0) {
		return
	}
	if !ahead {
		tangent = -tangent
	}
	f := k.clone()
	fan := make([]Section, 0, fanLines)
	for i := 1; i <= fanLines; i++ {
		f.lean = tangent * float64(i) / fanLines
		c, ok := f.cut(s.Station, s.side)
		if !ok || len(f.faults.list()) > 0 {
			q.warnBendGround(s.Station)
			return
		}
		fan = append(fan, c)
	}
	k.noteExtended(f)
	m.Fan, m.Turns = fan, turnsOf(math.Abs(tangent)*math.Copysign(1, m.Turns[0]))
}

// warnBendGround adds a warning, one for both parts at a bend.
func (q *Quantities) warnBendGround(station float64) {
	for _, w := range q.Warnings {
		if w.Kind == BendGround && math.Abs(w.Station-station) < sameStation {
			return
		}
	}
	q.Warnings = append(q.Warnings, Warning{Kind: BendGround, Station: station})
}

// section is the i-th section of the mitre: the square one, then those of its fan.
func (m *Mitre) section(q *Quantities, i int) *Section {
	if i == 0 {
		return &q.Sections[m.At]
	}
	return &m.Fan[i-1]
}
