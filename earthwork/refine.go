package earthwork

import "math"

// The limits of the search for sections by accuracy. They guard its end: where
// the ground steps, halving never changes less.
const (
	closestSections = 0.05 // m; nobody stakes closer
	mostSections    = 20000
)

// refiner adds sections by accuracy.
type refiner struct {
	k        *cutter
	accuracy float64
	perMetre float64 // change allowed on every metre, m3
	out      []Section
	refined  Refined
}

// refine returns the sections with those that Design.Accuracy asks for between
// them. A reach is halved until halving changes the end area volume of fill and
// trench by no more than half the accuracy, as a share of the reach's own volume
// or of the dam's volume shared out by length. The second lets the search end at
// the tip of a dam, where the share that halving changes stays the same however
// short the reach. The changes of all reaches together are thus at most the
// accuracy times the dam's volume before.
func (k *cutter) refine(sections []Section) ([]Section, Refined) {
	r := refiner{k: k, accuracy: k.design.Accuracy}
	volume, length := 0.0, 0.0
	for i := 1; i < len(sections); i++ {
		a, b := &sections[i-1], &sections[i]
		volume += EndArea(b.Station-a.Station, dugAndFilled(a), dugAndFilled(b))
		length += b.Station - a.Station
	}
	if length > 0 {
		r.perMetre = r.accuracy / 2 * volume / length
	}
	for i := range sections {
		if i > 0 {
			r.between(&sections[i-1], &sections[i])
		}
		r.out = append(r.out, sections[i])
	}
	return r.out, r.refined
}

// dugAndFilled is the area that the accuracy is about.
func dugAndFilled(s *Section) float64 { return s.Neat.Area + s.Trench.Area }

// between adds the sections that the reach from a to b needs.
func (r *refiner) between(a, b *Section) {
	length := b.Station - a.Station
	if length <= sameStation {
		return
	}
	mid, ok := r.k.cut((a.Station+b.Station)/2, JustBefore)
	if !ok {
		return // the fault is noted
	}
	whole := EndArea(length, dugAndFilled(a), dugAndFilled(b))
	halves := EndArea(length/2, dugAndFilled(a), dugAndFilled(&mid)) + EndArea(length/2, dugAndFilled(&mid), dugAndFilled(b))
	change := math.Abs(halves - whole)
	if change <= max(r.accuracy/2*whole, r.perMetre*length) {
		r.refined.Change += change
		return
	}
	if length < 2*closestSections || r.refined.Added >= mostSections {
		r.refined.Change += change
		r.refined.Short++
		return
	}
	r.refined.Added++
	r.between(a, &mid)
	r.out = append(r.out, mid)
	r.between(&mid, b)
}
