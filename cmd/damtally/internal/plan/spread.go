package plan

import (
	"fmt"
	"math"
	"sync"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// Confidence is the confidence of the intervals of densities and factors.
const Confidence = 0.95

// Spread is how sure a soil's factors and volumes are, from its density tests
// alone: layer thickness, survey and loss are not in it.
type Spread struct {
	// BankDensity, LooseDensity and FillDensity are confidence intervals of the
	// mean dry densities, kg/m3, nil where one is not known. Assumed names the
	// states whose spread is stated practice, for want of tests.
	BankDensity, LooseDensity, FillDensity *soil.Interval
	Assumed                                []soil.State
	Factors                                soil.FactorIntervals

	// Bank and Loose are the ranges of the volumes, m3, nil where a factor is
	// typed or not known.
	Bank, Loose *Range
	// Drivers are what drives the bank volume's range, largest first.
	Drivers []soil.VarianceShare
	// Next is what more tests would do to it, nil where they would do little.
	Next *Purchase

	draws map[soil.State]soil.Draws
}

// Range is what a volume may come to: Low is the value that 1 in 10 lies below,
// High the value that 1 in 10 lies above, half lie below Middle. FirstLow and
// FirstHigh are Low and High by first-order propagation, beside the drawn ones.
type Range struct {
	Low, Middle, High   float64
	FirstLow, FirstHigh float64
}

// Purchase is the tests to buy next, and the pit to take bank tests in.
type Purchase struct {
	soil.Purchase
	Pit string
}

// prepareSpread draws what the soils' tests leave open, the soils side by side.
func (j *Job) prepareSpread() {
	var wait sync.WaitGroup
	for i := range j.soils {
		s := &j.soils[i]
		if s.bought {
			continue
		}
		wait.Go(func() { s.spread = spreadOf(s.factors) })
	}
	wait.Wait()
}

// spreadOf is the part of a spread that hangs on the tests alone.
func spreadOf(f soil.Factors) *Spread {
	s := &Spread{Factors: f.Intervals(Confidence), draws: map[soil.State]soil.Draws{}}
	for _, d := range []struct {
		state   soil.State
		density soil.Density
		to      **soil.Interval
	}{{soil.Bank, f.Bank, &s.BankDensity}, {soil.Loose, f.Loose, &s.LooseDensity}, {soil.Fill, f.Fill, &s.FillDensity}} {
		p, ok := d.density.Precision(d.state)
		if !ok {
			continue
		}
		i := p.Interval(d.density.Value, Confidence)
		*d.to = &i
		if p.Assumed {
			s.Assumed = append(s.Assumed, d.state)
		}
	}
	for _, of := range []soil.State{soil.Bank, soil.Loose} {
		if draws, ok := f.Draw(of, soil.DrawCount, soil.Seed); ok {
			s.draws[of] = draws
		}
	}
	return s
}

// rangeOf is the range of a volume, m3; nil where it is not known.
func (s *Spread) rangeOf(of soil.State, f soil.Factors, volume float64) *Range {
	draws, ok := s.draws[of]
	first, known := f.Propagate(of)
	if !ok || !known || !(volume > 0) {
		return nil
	}
	r := first.Range()
	return &Range{
		Low: volume * draws.Quantile(0.1), Middle: volume * draws.Quantile(0.5), High: volume * draws.Quantile(0.9),
		FirstLow: volume * r.Low, FirstHigh: volume * r.High,
	}
}

// spreadFor is a material's spread with the volumes that the dam takes.
func (j *Job) spreadFor(s *soilOf, m *Material) *Spread {
	if s.spread == nil {
		return nil
	}
	out := *s.spread
	out.Bank = out.rangeOf(soil.Bank, s.factors, m.Bank)
	out.Loose = out.rangeOf(soil.Loose, s.factors, m.Loose)
	if first, ok := s.factors.Propagate(soil.Bank); ok && out.Bank != nil {
		out.Drivers = first.Shares
		out.Next = j.nextTests(s)
	}
	return &out
}

const (
	// moreTests is how many tests are offered to buy: a morning's work.
	moreTests = 3
	// worthBefore is the half width of a bank volume's range, relative, from
	// which more tests are offered, and worthGain the least share of it that they
	// must save. Both are judgements that keep the notes short.
	worthBefore = 0.02
	worthGain   = 0.10
)

// nextTests is what three more tests would do, where that is worth saying.
func (j *Job) nextTests(s *soilOf) *Purchase {
	buy, ok := s.factors.NextTests(soil.Bank, moreTests)
	if !ok || buy.Before < worthBefore || buy.After > (1-worthGain)*buy.Before {
		return nil
	}
	p := &Purchase{Purchase: buy}
	if buy.State == soil.Bank {
		p.Pit = j.leastTested(s.row.Name)
	}
	return p
}

// leastTested is the pit that holds the most of a material for each bank test
// made in it, the first of those alike; "" without pits.
func (j *Job) leastTested(material string) string {
	best, most := "", -1.0
	for _, p := range j.pits {
		if !p.has(material) {
			continue
		}
		tests := 0
		for _, t := range j.site.Density {
			if t.State == "bank" && t.Material == material && t.Pit == p.Row.Name {
				tests++
			}
		}
		if share := p.Holds(material) / float64(tests+1); share > most {
			best, most = p.Row.Name, share
		}
	}
	return best
}

// spreadNotes says in words how sure a material's bank volume is.
func (j *Job) spreadNotes(m *Material) []site.Note {
	s := m.Spread
	if s == nil || s.Bank == nil {
		return nil
	}
	const source = "Student's t on the logarithm of each mean density, with stated practice weighed in"
	out := []site.Note{{
		Level: "note", Ref: m.Row.Ref, Source: source,
		Text: "by density tests only, 1 in 10 that the dam takes less of a material than the first volume, and 1 in 10 that it takes more than the second",
		Item: fmt.Sprintf("%s %s and %s, %s of it from the %s density", m.Row.Name, j.volume(s.Bank.Low, "bank"), j.volume(s.Bank.High, "bank"),
			percent(math.Round(100*s.Drivers[0].Share)/100), s.Drivers[0].State),
	}}
	for _, state := range s.Assumed {
		out = append(out, site.Note{Level: "note", Ref: m.Row.Ref, Text: j.assumedText(m, state), Source: practiceSource(state)})
	}
	if b := s.Next; b != nil {
		where := ""
		if b.Pit != "" {
			where = " in pit " + b.Pit
		}
		out = append(out, site.Note{
			Level: "note", Ref: m.Row.Ref,
			Text: "more density tests would narrow the bank volume (1 in 10 lies below, 1 in 10 above)",
			Item: fmt.Sprintf("%s by %d %s tests%s from +-%s to +-%s", m.Row.Name, b.Tests, b.State, where, percent(b.Before), percent(b.After)),
		})
	}
	return out
}

// assumedText says that a spread is stated practice.
func (j *Job) assumedText(m *Material, s soil.State) string {
	if s == soil.Fill && m.Factors.Fill.From == soil.Planned {
		return fmt.Sprintf("%s has no fill tests; how far its planned fill density may be off is taken from practice: lab maxima of one soil spread by %s, crews miss the expected compaction by %s",
			m.Row.Name, percent(soil.LabVariation), percent(soil.CrewVariation))
	}
	return fmt.Sprintf("%s has one %s density test, which shows no spread; single tests are taken to spread by %s, as practice has it", m.Row.Name, s, percent(s.Variation()))
}

// practiceSource is the publication behind a stated spread.
func practiceSource(s soil.State) string {
	if s == soil.Bank {
		return "Duncan, J. Geotech. Geoenviron. Eng. 126 (2000): 3 to 7 % for the unit weight of natural soils (from memory)"
	}
	if s == soil.Loose {
		return "common practice"
	}
	return "Look, Handbook of Geotechnical Investigation and Design Tables (2007), section 10.6 and table 10.7"
}
