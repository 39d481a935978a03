package workbook

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// The words of a verdict.
const (
	withinError = "within error"
	beyondError = "BEYOND ERROR"
)

// ways are the ways of measuring in the order of the sheets.
var ways = [4]borrow.Way{borrow.ByTally, borrow.ByScale, borrow.ByPit, borrow.ByFill}

// layFront lays what the ways say beside each other, soil by soil.
func (b *reconBook) layFront() {
	s := b.front
	const across = 9
	row := s.opening(b.siteName()+": loads, pits and fill up to "+b.until(), across,
		"The same soil measured in several ways. All ways are turned into dry weight that left the pits, since solids do not change from pit to truck to dam. A difference counts only where errors of measurement do not explain it.",
		"Figures to look closer with, no accusation and no bill. The work's contract says how quantities are paid.") + 1
	row = b.layAnswers(row)
	for i := range b.rec.Soils {
		row = b.layWays(row, i)
	}
	row = b.layDifferences(row)
	row = b.layFactorsSeen(row)
	b.layOthers(row)
	for i, w := range []float64{17, 24, 17, 12, 13, 16, 16, 13, 12} {
		s.widths[i+1] = w
	}
}

// layAnswers says in a line for each soil what the sheets come to, as worked out.
func (b *reconBook) layAnswers(row int) int {
	s := b.front
	s.put(row, 1, text("At one look, as worked out"), lookPart)
	for i := range b.rec.Soils {
		a := &b.rec.Soils[i]
		beyond := 0
		for _, d := range a.Account.Differences {
			if d.Beyond {
				beyond++
			}
		}
		words, danger := b.soilName(a.Material)+": ", beyond > 0
		switch {
		case len(a.Account.Differences) == 0 && len(a.Account.Accounts) > 1:
			words += "without density tests or factors its ways cannot be set against each other. "
		case len(a.Account.Differences) == 0:
			words += "measured in one way only, so there is nothing to set it against. "
		case beyond == 0:
			words += "all ways agree within the errors of measurement. "
		default:
			words += itoa(beyond) + " of " + itoa(len(a.Account.Differences)) + " comparisons lie beyond the errors of measurement. "
		}
		if a.Design > 0 {
			words += shareWords(math.Round(1000*a.Placed/a.Design)/1000) + " of its part of the dam is built. "
		}
		if a.Left.Need.Known() && a.Capacity > 0 {
			verdict := "The pits still hold enough for the rest."
			if !a.Left.Enough {
				verdict, danger = "The pits do NOT hold enough for the rest.", true
			}
			words += verdict
		}
		row++
		look := lookText
		if danger {
			look = lookDanger
		}
		s.line(row, 1, 9, words, look)
	}
	return row + 2
}

// layWays lays the ways of one soil.
func (b *reconBook) layWays(row, i int) int {
	s, m, a, c := b.front, b.m, &b.rec.Soils[i], &b.soils[i]
	name := b.soilName(a.Material)
	solids := in("Dry weight out of the pits", m.Bulk)
	if a.Relative() {
		solids = "Out of the pits, " + m.vol("bank")
	}
	row = s.table(row, name, "", "Way", "Measured", "", "Dry weight off by (95 %)", solids, m.vol("loose"), m.vol("bank"), m.vol("compacted")+" in the dam", "Weight in the joint figure")
	first := row + 1
	for k, way := range ways {
		row++
		b.layWay(row, i, k, way)
	}
	last := row
	row++
	s.put(row, 1, text("all together"), total(""))
	s.blankRow(row, 2, 9, total(""))
	if a.Account.Best.Solids.Known() {
		b.layBest(row, i, first, last)
	}
	c.name = s.at(row-5, 1)
	return row + 2
}

// solidsOf is the dry weight of a volume at a density, or the bank volume where
// densities are relative.
func (b *reconBook) solidsOf(a *plan.SoilAccount, volume, density expr) expr {
	if a.Relative() {
		return mul(volume, density)
	}
	return b.m.tons(volume, density)
}

// volumeFrom is the volume of solids at a density.
func (b *reconBook) volumeFrom(a *plan.SoilAccount, solids, density expr) expr {
	if a.Relative() {
		return div(solids, density)
	}
	if b.m.perVolume != 1 {
		density = mul(density, number(b.m.perVolume))
	}
	return div(mul(solids, number(b.m.perBulk)), density)
}

// layWay lays one way of measuring a soil.
func (b *reconBook) layWay(row, i, k int, way borrow.Way) {
	s, m, a, c := b.front, b.m, &b.rec.Soils[i], &b.soils[i]
	state := b.states[a.Material]
	s.put(row, 1, text(string(way)), lookWord)
	s.blankRow(row, 2, 9, lookWord)
	account := accountOf(a, way)
	measured, unit, density, off := b.measuredBy(i, way)
	if account == nil || measured == nil {
		s.put(row, 2, text("not measured"), lookWhy)
		return
	}
	format := formatVolume
	if way == borrow.ByScale {
		format = formatTons
	}
	at := s.put(row, 2, measured.ref(), figure(format))
	s.put(row, 3, text(unit), lookWord)
	if density == nil && way != borrow.ByScale {
		return
	}
	var solids expr
	switch way {
	case borrow.ByScale:
		solids = at.ref()
	case borrow.ByFill:
		solids = div(b.solidsOf(a, at.ref(), density.ref()), state.kept.ref())
	default:
		solids = b.solidsOf(a, at.ref(), density.ref())
	}
	want := m.bulkOf(account.Solids.Value)
	if a.Relative() {
		want = m.volumeOf(account.Solids.Value)
	}
	w := &c.ways[k]
	w.errors = off
	w.solids = s.put(row, 5, b.live(solids, want, "solids by "+string(way)), figure(formatTons))
	s.put(row, 4, b.live(half(off), number(account.Solids.Half(plan.Confidence)), "error of "+string(way)), figure("0.0%"))
	b.layStatesOf(row, a, account, w.solids)
}

// layStatesOf lays solids as volumes in the three states.
func (b *reconBook) layStatesOf(row int, a *plan.SoilAccount, account *borrow.Account, solids *cell) {
	s, m, state := b.front, b.m, b.states[a.Material]
	if state.loose != nil && account.Loose.Known() {
		s.put(row, 6, b.live(b.volumeFrom(a, solids.ref(), state.loose.ref()), m.volumeOf(account.Loose.Value), "loose volume"), figure(formatVolume))
	}
	if state.bank != nil && account.Bank.Known() {
		s.put(row, 7, b.live(b.volumeFrom(a, solids.ref(), state.bank.ref()), m.volumeOf(account.Bank.Value), "bank volume"), figure(formatVolume))
	}
	if state.fill != nil && account.Compacted.Known() {
		s.put(row, 8, b.live(mul(b.volumeFrom(a, solids.ref(), state.fill.ref()), state.kept.ref()), m.volumeOf(account.Compacted.Value), "compacted volume"), figure(formatVolume))
	}
}

// accountOf is what a way says of a soil, nil where it was not measured.
func accountOf(a *plan.SoilAccount, way borrow.Way) *borrow.Account {
	for k := range a.Account.Accounts {
		if a.Account.Accounts[k].Way == way {
			return &a.Account.Accounts[k]
		}
	}
	return nil
}

// measuredBy is the cell that a way measured, its unit, the density that turns it
// into solids, and the errors in those solids.
func (b *reconBook) measuredBy(i int, way borrow.Way) (at *cell, unit string, density *cell, off []errorCells) {
	m, a, c := b.m, &b.rec.Soils[i], &b.soils[i]
	state := b.states[a.Material]
	switch way {
	case borrow.ByTally:
		return c.loose, m.vol("loose"), state.loose, present(errorCells{share: c.tallySE}, state.looseSE)
	case borrow.ByScale:
		return c.dryTons, m.Bulk.Name + " dry", nil, present(errorCells{share: c.scaleSE})
	case borrow.ByPit:
		return c.pit, m.vol("bank"), state.bank, present(errorCells{share: c.pitSE}, state.bankSE)
	}
	return c.fill, m.vol("compacted"), state.fill, present(errorCells{share: c.fillSE}, state.fill2, state.keptSE)
}

// layBest lays the joint figure of a soil: the ways weighted by one over their
// variances.
func (b *reconBook) layBest(row, i, first, last int) {
	s, a, c := b.front, &b.rec.Soils[i], &b.soils[i]
	weights, sum := number(0), number(0)
	n := 0
	for k := range c.ways {
		w := &c.ways[k]
		if w.solids == nil || len(w.errors) == 0 {
			continue
		}
		weight := div(number(1), variance(w.errors))
		part := mul(weight, logarithm(w.solids.ref()))
		if n++; n == 1 {
			weights, sum = weight, part
			continue
		}
		weights, sum = add(weights, weight), add(sum, part)
	}
	if n == 0 {
		return
	}
	var off []errorCells
	for k := range c.ways {
		w := &c.ways[k]
		if w.solids == nil || len(w.errors) == 0 {
			continue
		}
		account := accountOf(a, ways[k])
		share := s.put(first+k, 9, b.live(div(div(number(1), variance(w.errors)), weights), number(account.Weight), "weight of "+string(ways[k])), figure("0%"))
		for _, e := range w.errors {
			e.factor = share
			off = append(off, e)
		}
	}
	want := b.m.bulkOf(a.Account.Best.Solids.Value)
	if a.Relative() {
		want = b.m.volumeOf(a.Account.Best.Solids.Value)
	}
	c.bestTons = s.put(row, 5, b.live(power(div(sum, weights)), want, "solids by all ways"), total(formatTons))
	s.put(row, 4, b.live(half(off), number(a.Account.Best.Solids.Half(plan.Confidence)), "error of all ways"), total("0.0%"))
	s.put(row, 9, span{s, 9, first, last}.sum(), total("0%"))
	b.layStatesOf(row, a, &a.Account.Best, c.bestTons)
	for col := 6; col <= 8; col++ {
		if at := s.at(row, col); at != nil && at.content.val.kind == isNumber {
			at.look = total(formatVolume)
		}
	}
}
