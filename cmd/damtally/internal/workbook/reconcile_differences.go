package workbook

import (
	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// layDifferences lays each way against each other.
func (b *reconBook) layDifferences(row int) int {
	s := b.front
	some := false
	for i := range b.rec.Soils {
		some = some || len(b.rec.Soils[i].Account.Differences) > 0
	}
	if !some {
		return row
	}
	row = s.table(row, "Where the ways differ", "More by = the first way over the second, by dry weight. Errors explain = what measuring alone may make of it, 95 of 100 times. Of twenty comparisons of ways that agree, one is beyond that by chance.",
		"Material", "The first", "against the second", "More by", "Errors explain", "Verdict", "Where it is beyond error, look for", "", "")
	s.at(row, 7).across = 3
	for i := range b.rec.Soils {
		a, c := &b.rec.Soils[i], &b.soils[i]
		for k := range a.Account.Differences {
			d := &a.Account.Differences[k]
			first, second := &c.ways[wayIndex(d.First)], &c.ways[wayIndex(d.Second)]
			if first.solids == nil || second.solids == nil {
				continue
			}
			row++
			s.put(row, 1, text(b.soilName(a.Material)), lookWord)
			s.put(row, 2, text(string(d.First)), lookWord)
			s.put(row, 3, text(string(d.Second)), lookWord)
			by := s.put(row, 4, b.live(sub(div(first.solids.ref(), second.solids.ref()), number(1)), number(d.Ratio.Value-1), "difference"), figure("+0.0%;-0.0%;0.0%"))
			all := append(append([]errorCells{}, first.errors...), second.errors...)
			explain := s.put(row, 5, b.live(half(all), number(d.Ratio.Half(plan.Confidence)), "error of a difference"), figure("0.0%"))
			verdict := s.put(row, 6, blank(), lookAnswer)
			verdict = b.layVerdict(verdict, add(number(1), by.ref()), explain.ref(), d.Beyond, "a difference")
			over, under := *d, *d
			over.Ratio, under.Ratio = borrow.Exact(2), borrow.Exact(0.5)
			look := when(same(verdict.ref(), beyondError), when(more(by.ref(), number(0)), text(plan.DifferenceCauses(&over)), text(plan.DifferenceCauses(&under))), blank())
			s.put(row, 7, look, lookWhy).across = 3
			s.blankRow(row, 8, 9, lookWhy)
		}
	}
	return row + 2
}

// layVerdict lays whether a ratio is beyond what errors explain in a cell that is
// placed already.
func (b *reconBook) layVerdict(at *cell, ratio, half expr, want bool, what string) *cell {
	word := text(withinError)
	if want {
		word = text(beyondError)
	}
	formula := when(more(magnitude(logarithm(ratio)), half), text(beyondError), text(withinError))
	c := at.sheet.put(at.row, at.col, b.live(formula, word, "verdict on "+what), lookAnswer)
	at.sheet.watch(c, withinError, beyondError)
	return c
}

func wayIndex(way borrow.Way) int {
	for k, w := range ways {
		if w == way {
			return k
		}
	}
	return 0
}

// beyondOf tells whether the tally lies beyond error of the survey.
func beyondOf(list []borrow.Difference) bool {
	for _, d := range list {
		if d.First == borrow.ByTally && d.Second == borrow.ByPit {
			return d.Beyond
		}
	}
	return false
}

// layFactorsSeen lays the factors that the work shows.
func (b *reconBook) layFactorsSeen(row int) int {
	s := b.front
	row = s.table(row, "Factors that the work shows", "From surveys and weights, beside what tests and tally had them at. Settled fill, overbuild, soft spots dug out and another loss look like another shrink factor: look at them before you blame the soil.",
		"Material", "Figure", "Assumed", "Seen", "from", "to", "Verdict", "Both, weighed by how sure each is")
	for i := range b.rec.Soils {
		a, c := &b.rec.Soils[i], &b.soils[i]
		state := b.states[a.Material]
		if a.Account.Shrink.Seen.Known() && c.pit != nil && c.fill != nil {
			row++
			b.layShrinkSeen(row, i)
		}
		if f := a.Account.TruckFill; f.Seen.Known() && c.pit != nil && c.loose != nil {
			row++
			seen := div(div(mul(c.pit.ref(), state.bank.ref()), state.loose.ref()), c.loose.ref())
			b.layFactor(row, a, "truck fill against the tally", number(1), present(errorCells{share: c.tallySE}), seen, present(errorCells{share: c.pitSE}, state.bankSE, state.looseSE), &f, "0.0%")
		}
		if f := a.Account.LooseDry; f.Seen.Known() && !a.Relative() && c.dryTons != nil && state.loose != nil {
			row++
			cubic := c.loose.ref()
			if b.m.perVolume != 1 {
				cubic = mul(cubic, number(b.m.perVolume))
			}
			seen := div(mul(c.dryTons.ref(), number(b.m.perBulk)), cubic)
			f.Seen.Value, f.Assumed.Value, f.Blend.Value = b.m.Density.FromSI(f.Seen.Value), b.m.Density.FromSI(f.Assumed.Value), b.m.Density.FromSI(f.Blend.Value)
			f.Interval.Low, f.Interval.High = b.m.Density.FromSI(f.Interval.Low), b.m.Density.FromSI(f.Interval.High)
			b.layFactor(row, a, in("dry density in the trucks", b.m.Density), state.loose.ref(), present(state.looseSE), seen, present(errorCells{share: c.scaleSE}, errorCells{share: c.tallySE}), &f, b.m.density())
		}
	}
	return row + 2
}

// layShrinkSeen lays the shrink factor that surveys show.
func (b *reconBook) layShrinkSeen(row, i int) {
	a, c := &b.rec.Soils[i], &b.soils[i]
	state := b.states[a.Material]
	seen := div(c.fill.ref(), mul(c.pit.ref(), state.kept.ref()))
	assumed := blank()
	if state.bank != nil && state.fill != nil {
		assumed = div(state.bank.ref(), state.fill.ref())
	}
	both, typed := b.layFactor(row, a, "shrink factor", assumed, present(state.bankSE, state.fill2), seen,
		present(errorCells{share: c.fillSE}, errorCells{share: c.pitSE}, state.keptSE), &a.Account.Shrink, formatFactor)
	c.shrinkBoth, c.shrinkAssumed = both, typed
}

// layFactor lays one factor seen beside the one assumed, and returns the cells of
// both joined and of the assumed.
func (b *reconBook) layFactor(row int, a *plan.SoilAccount, name string, assumed expr, assumedOff []errorCells, seen expr, off []errorCells, f *borrow.Seen, format string) (both, typed *cell) {
	s := b.front
	what := name + " of " + b.soilName(a.Material)
	s.put(row, 1, text(b.soilName(a.Material)), lookWord)
	s.put(row, 2, text(name), lookWord)
	typed = s.put(row, 3, assumed, figure(format))
	at := s.put(row, 4, b.live(seen, number(f.Seen.Value), what), figure(format))
	wide := half(off)
	s.put(row, 5, b.live(mul(at.ref(), power(sub(number(0), wide))), number(f.Interval.Low), "low "+what), figure(format))
	s.put(row, 6, b.live(mul(at.ref(), power(wide)), number(f.Interval.High), "high "+what), figure(format))
	if !f.Assumed.Known() || assumed.val.kind != isNumber {
		s.put(row, 7, text("nothing to compare with"), lookWhy)
		return s.put(row, 8, at.ref(), figure(format)), typed
	}
	ratio := div(at.ref(), typed.ref())
	b.layVerdict(s.put(row, 7, blank(), lookAnswer), ratio, half(append(append([]errorCells{}, off...), assumedOff...)), f.Differs, what)
	joint := at.ref()
	if len(assumedOff) > 0 && len(off) > 0 {
		own, other := div(number(1), variance(off)), div(number(1), variance(assumedOff))
		joint = power(div(add(mul(own, logarithm(at.ref())), mul(other, logarithm(typed.ref()))), add(own, other)))
	}
	return s.put(row, 8, b.live(joint, number(f.Blend.Value), what+", both"), figure(format)), typed
}

// layOthers lays in words what the tables above show.
func (b *reconBook) layOthers(row int) {
	s := b.front
	words := 0
	for _, n := range b.rec.Said {
		if n.Level == "note" || words == mostOnFront {
			continue
		}
		if words++; words == 1 {
			s.put(row, 1, text("Worth a look"), lookPart)
		}
		row++
		s.line(row, 1, 9, clean(n.Text), lookText)
	}
}

// mostOnFront is how many notes stand on the first sheet; all stand on the last.
const mostOnFront = 8
