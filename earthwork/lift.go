package earthwork

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/geometry"
)

// LiftPlan is the dam lift by lift. The lifts hold the neat fill, the trench and
// the layers outside the outline; what the settlement allowance adds lies over the whole neat dam and has its
// own lines, since where it is placed depends on how the crew shapes it. So
//
//	lifts + allowance = Quantities.Total
//
// and the same for every zone.
type LiftPlan struct {
	Lifts     []Lift // from the lowest up
	Allowance []LiftPart
	Compacted float64 // of all lifts, m3, without the allowance
	Tests     int     // of all lifts and the allowance
}

// Lift is one compacted layer, level from end to end of the dam.
type Lift struct {
	Bottom, Top float64 // elevations, m

	// Area is the mean plan area of the lift over its thickness, m2: compacted
	// volume / (Top - Bottom), which is the average end area of the sections'
	// widths, averaged over the levels from Bottom to Top.
	Area      float64
	Compacted float64 // m3
	Total     float64 // compacted volume from the lowest lift up to Top, m3

	// Parts are the zones in this lift, in the design's order, each with its fill
	// first, then its share of the trench, then what lies outside the outline.
	// What is not there is left out.
	Parts []LiftPart
	Tests int // due in all parts
}

// LiftPart is one zone's share of a lift, or of the settlement allowance.
type LiftPart struct {
	Zone      int     // index into Quantities.Zones
	Trench    bool    // filled back below the stripped ground
	Outside   bool    // a layer outside the outline
	Area      float64 // mean plan area, m2; 0 for the allowance
	Compacted float64 // m3
	Tests     int
}

// LiftOptions says how the lifts are laid and tested.
type LiftOptions struct {
	Thickness  float64 // compacted, m, above zero
	TestEvery  float64 // compacted m3 for each test; 0 = no test by volume
	LeastTests int     // in each part of a lift, so trench on its own

	// Tested tells which zones are tested for density; nil = all. Stone and
	// topsoil are not.
	Tested func(zone int) bool
}

// mostLifts is the number of lifts beyond which the thickness is a slip: a dam
// of 300 m in lifts of 3 mm.
const mostLifts = 100_000

// LiftError says that a lift's thickness does not fit the dam.
type LiftError struct {
	Thickness, Height float64 // m
}

// Error implements error.
func (e *LiftError) Error() string {
	return fmt.Sprintf("a lift of %g m does not fit a dam of %.3f m: it must be above zero and give at most %d lifts", e.Thickness, e.Height, mostLifts)
}

// Lifts cuts the dam into level lifts from the lowest point of trench or fill
// up to the highest; the last one may be thinner. q comes from Cut, line is the
// centreline that it was cut on (nil = straight). Each section's shapes are cut
// by the levels exactly and summed like the volumes, curves and bends included.
// A dam whose zones are laid in lifts of unlike thickness is cut once for each
// thickness. The error is a *LiftError.
func Lifts(q *Quantities, line *geometry.Centreline, opt LiftOptions) (LiftPlan, error) {
	low, high := q.heights()
	levels, err := liftLevels(low, high, opt.Thickness)
	if err != nil {
		return LiftPlan{}, err
	}
	volumes := q.byLevel(line, levels)
	var out LiftPlan
	for i := range volumes {
		l := Lift{Bottom: levels[i], Top: levels[i+1]}
		for j, v := range volumes[i] {
			part := j % partsOfZone
			l.add(LiftPart{Zone: j / partsOfZone, Trench: part == inTrench, Outside: part == outsideOutline, Compacted: v}, opt)
		}
		l.Area = l.Compacted / (l.Top - l.Bottom)
		out.Compacted += l.Compacted
		out.Tests += l.Tests
		l.Total = out.Compacted
		out.Lifts = append(out.Lifts, l)
	}
	for i, z := range q.Zones {
		if z.Settlement == 0 {
			continue
		}
		p := LiftPart{Zone: i, Compacted: z.Settlement}
		p.Tests = opt.due(p, 0)
		out.Allowance = append(out.Allowance, p)
		out.Tests += p.Tests
	}
	return out, nil
}

// roundOffVolume is what rounding may leave of a zone in a lift that it only
// touches, m3: a cubic millimetre. Such a part is not listed.
const roundOffVolume = 1e-9

// add puts a zone's share on the lift.
func (l *Lift) add(p LiftPart, opt LiftOptions) {
	l.Compacted += p.Compacted
	if math.Abs(p.Compacted) <= roundOffVolume {
		return
	}
	p.Area = p.Compacted / (l.Top - l.Bottom)
	p.Tests = opt.due(p, opt.LeastTests)
	l.Tests += p.Tests
	l.Parts = append(l.Parts, p)
}

// due is the number of tests in one part.
func (o LiftOptions) due(p LiftPart, least int) int {
	if o.Tested != nil && !o.Tested(p.Zone) {
		return 0
	}
	return TestsDue(p.Compacted, o.TestEvery, least)
}

// FillBelow is the cumulative curve: the compacted volume of neat fill, trench
// and layers outside the outline below each of the levels, m3, summed as Lifts
// does. Levels rise.
func FillBelow(q *Quantities, line *geometry.Centreline, levels []float64) []float64 {
	low, _ := q.heights()
	all := append([]float64{math.Inf(-1)}, levels...)
	all[0] = min(low, levels[0]) - 1
	out := make([]float64, len(levels))
	sum := 0.0
	for i, zones := range q.byLevel(line, all) {
		for _, v := range zones {
			sum += v
		}
		out[i] = sum
	}
	return out
}

// The parts of a zone that lifts tell apart, and how many they are.
const (
	inFill = iota
	inTrench
	outsideOutline
	partsOfZone
)

// parts are the section's shapes by part.
func (s *Section) parts() [partsOfZone][]geometry.Slab {
	return [partsOfZone][]geometry.Slab{inFill: s.Shapes, inTrench: s.Dug, outsideOutline: s.Over}
}

// heights is the lowest and the highest elevation of all parts.
func (q *Quantities) heights() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, section := range q.weighed(nil) {
		for _, slabs := range section.parts() {
			for _, s := range slabs {
				for _, t := range s.Stack {
					low = min(low, t.BottomFrom, t.BottomTo)
					high = max(high, t.TopFrom, t.TopTo)
				}
			}
		}
	}
	return low, high
}

// lastLift is the share of a lift that is not worth one of its own: it guards
// a height that is a whole number of lifts.
const lastLift = 1e-9

// liftLevels are the levels from low to high at multiples of the thickness.
func liftLevels(low, high, thickness float64) ([]float64, error) {
	if !(high > low) {
		return nil, nil
	}
	n := math.Ceil((high-low)/thickness - lastLift)
	if !(thickness > 0 && n <= mostLifts) {
		return nil, &LiftError{thickness, high - low}
	}
	out := make([]float64, max(1, int(n))+1)
	for i := range out {
		out[i] = low + float64(i)*thickness
	}
	out[len(out)-1] = high
	return out, nil
}

// byLevel returns the compacted volume between each level and the next, for
// each zone one after the other its parts. What lies below the first or above
// the last level is left out.
func (q *Quantities) byLevel(line *geometry.Centreline, levels []float64) [][]float64 {
	if len(levels) < 2 {
		return nil
	}
	n := partsOfZone * len(q.Zones)
	flat := make([]float64, n*(len(levels)-1))
	out := make([][]float64, len(levels)-1)
	for i := range out {
		out[i] = flat[i*n : (i+1)*n]
	}
	for _, s := range q.weighed(line) {
		for part, slabs := range s.parts() {
			toLifts(slabs, levels, s.weight, out, part)
		}
	}
	return out
}

// toLifts puts the trapezoids of one section on the lifts they reach into. Each
// lift gets the difference of what lies below its two levels, so that a
// trapezoid's lifts add up to it.
func toLifts(slabs []geometry.Slab, levels []float64, w weight, out [][]float64, part int) {
	for _, s := range slabs {
		for i, t := range s.Stack {
			if t.Label < 0 {
				continue
			}
			bottom, top := sidesOf(s, t)
			under := func(level float64) float64 { return bottom.under(level, w) - top.under(level, w) }
			k := firstAbove(levels, min(t.BottomFrom, t.BottomTo))
			highest, whole, done := max(t.TopFrom, t.TopTo), w.of(s.Measure(i)), 0.0
			if k > 0 {
				k--
			} else {
				done = under(levels[0])
			}
			for ; k < len(out) && levels[k] < highest; k++ {
				upTo := whole
				if levels[k+1] < highest {
					upTo = under(levels[k+1])
				}
				out[k][partsOfZone*t.Label+part] += upTo - done
				done = upTo
			}
		}
	}
}

// firstAbove is the index of the first level above z, the number of levels when
// there is none.
func firstAbove(levels []float64, z float64) int {
	lo, hi := 0, len(levels)
	for lo < hi {
		mid := (lo + hi) / 2
		if levels[mid] > z {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo
}
