package workbook

import (
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// liveCheck is a check of the plan laid out as formulas.
type liveCheck struct {
	ours, other expr
	holds       expr // a truth
}

// checksLast is how many columns the sheet Checks has.
const checksLast = 7

// checkedCells say on other sheets how many checks want a look.
type checkedCells struct{ look, all *cell }

// layChecks lays the plan's own checks and the figures worked out in two ways.
// Where both sides stand in the workbook they are formulas and go red when a
// change on a sheet breaks them.
func (b *book) layChecks() {
	s := b.checks
	row := s.opening("Checks", checksLast,
		"Every check sets a figure beside another that should be near or equal. Green holds; red wants a look before money is spent.") + 1
	count := row
	row += 3
	s.widths = map[int]float64{1: 56, 2: 14, 3: 14, 4: 17, 5: 11, 6: 11, 7: 62}
	first := row
	if len(b.r.Checks) > 0 {
		s.put(row, 1, text("Checks that catch a costly wrong answer"), lookPart)
		row++
		s.headings(row, "Check", "This plan", "Beside", "Unit", "Differs by", "Answer", "What to look at")
		for _, c := range b.r.Checks {
			row++
			b.layCheck(row, c)
		}
		row += 2
	}
	if len(b.r.Checks) == 0 {
		first = row + 1 // the headings of the next table
	}
	row = b.layTwoWays(row)
	answers := span{s, 6, first + 1, row}
	s.put(count, 1, text("Checks that want a look"), look{role: roleTotal})
	wanting := s.put(count, 2, answers.countText("LOOK"), total(formatCount))
	s.put(count+1, 1, text("Checks in all"), look{role: roleTotal})
	all := s.put(count+1, 2, add(wanting.ref(), answers.countText("holds")), total(formatCount))
	b.checked = checkedCells{wanting, all}
}

// checkWords is what a check says, without figures that a change on the sheets
// could overtake: those stand in the columns beside it.
func checkWords(c plan.Check) string {
	switch c.Key {
	case "highest_section":
		words, _, _ := strings.Cut(c.What, " with h ")
		return words + ", the same height, crest width and mean slopes on level ground"
	case "pit_capacity":
		return "pit " + c.Subject + ": capacity beside mean area x usable depth at its corners"
	}
	return c.What
}

func (b *book) layCheck(row int, c plan.Check) {
	s := b.checks
	unit, format, toUnit := b.checkUnit(c)
	live := liveCheck{ours: toUnit(c.Ours), other: toUnit(c.Other)}
	answer := text("LOOK")
	if c.Holds {
		answer = text("holds")
	}
	if found, ok := b.liveCheckOf(c); ok {
		what := "check: " + clip(clean(c.What), 80)
		live.ours = b.live(found.ours, live.ours, what)
		live.other = b.live(found.other, live.other, what)
		answer = b.live(when(found.holds, text("holds"), text("LOOK")), answer, what)
	}
	s.put(row, 1, text(clean(checkWords(c))), lookWord)
	ours := s.put(row, 2, live.ours, figure(format))
	other := s.put(row, 3, live.other, figure(format))
	s.put(row, 4, text(unit), lookWord)
	if c.Most == 0 { // beside a bound of a range a difference says nothing
		s.put(row, 5, differs(ours.ref(), other.ref()), figure(formatPoints))
	} else {
		s.put(row, 5, blank(), figure(formatPoints))
	}
	a := s.put(row, 6, answer, lookAnswer)
	s.watch(a, "holds", "LOOK")
	mend := clean(c.Mend)
	mended := text(mend)
	if len(mend) <= longestLiteral {
		mended = when(same(a.ref(), "holds"), blank(), text(mend))
	}
	s.put(row, 7, mended, lookWhy).tallFor = mend
}

// longestLiteral is how long a text in a formula may be (xlsx allows 255).
const longestLiteral = 250

// differs is the difference of two figures as a share of the other, rounded so
// that the last bit of a sum is no difference.
func differs(ours, other expr) expr {
	share := rounded(div(sub(ours, other), other), 9)
	return when(known(ours, other), when(more(magnitude(other), number(0)), share, blank()), blank())
}

// checkUnit turns a check's unit in SI into a shown one.
func (b *book) checkUnit(c plan.Check) (name, format string, toUnit func(float64) expr) {
	m := b.m
	switch c.Unit {
	case "m3":
		if c.Key == "pit_capacity" {
			return m.vol("bank"), formatVolume, m.volumeOf
		}
		return m.vol("compacted"), formatVolume, m.volumeOf
	case "kg":
		return "dry " + m.Bulk.Name, formatTons, m.bulkOf
	case "m2":
		return m.Area.Name, formatArea, m.areaOf
	case "m":
		return m.Length.Name, formatShort, m.lengthOf
	}
	return "ratio", formatFactor, number
}

// What the sheet's own checks allow where the plan's check gives no number.
const (
	// leastNear leaves room for the rounding of a spreadsheet, a share.
	leastNear     = 1e-6
	openEndArea   = 1e-4 // m2 at the dam's end that is no dam
	openEndHeight = 0.01 // m of open face that is worth a word
)

// liveCheckOf finds the cells behind a check. It reports false for a check that
// it does not know: that one stands as plain figures.
func (b *book) liveCheckOf(c plan.Check) (liveCheck, bool) {
	near := max(c.Tolerance, leastNear)
	both := func(ours, other expr) (liveCheck, bool) {
		return liveCheck{ours, other, within(ours, other, near)}, true
	}
	switch c.Key {
	case "zones_sum":
		dam := add(add(b.fill.neat.ref(), b.fill.trench.ref()), b.fill.settlement.ref())
		if b.fill.outside != nil {
			dam = add(dam, b.fill.outside.ref())
		}
		return both(b.fill.all.ref(), dam)
	case "end_area":
		return both(b.fill.neat.ref(), b.fill.prismoidal.ref())
	case "highest_section":
		return b.sectionCheck(c)
	case "crest_meets_ground_first":
		return b.endCheck(0)
	case "crest_meets_ground_last":
		return b.endCheck(len(b.r.Quantities.Sections) - 1)
	case "pit_capacity":
		for k := range b.r.Pits {
			if c.Subject == b.r.Pits[k].Row.Name && b.pit[k].quick.content.val.kind == isNumber {
				return both(b.pit[k].bank.ref(), b.pit[k].quick.ref())
			}
		}
	}
	return b.materialCheck(c)
}

// materialCheck finds the cells behind a check of one material.
func (b *book) materialCheck(c plan.Check) (liveCheck, bool) {
	best := slices.IndexFunc(b.r.Materials, func(m plan.Material) bool { return m.Row.Name == c.Subject })
	if best < 0 || b.r.Materials[best].Bought {
		return liveCheck{}, false
	}
	near := max(c.Tolerance, leastNear)
	m := &b.soil[best]
	keep := sub(number(1), m.lossTaken.ref())
	switch c.Key {
	case "dry_mass_pit":
		left := mul(m.inPit.ref(), keep)
		return liveCheck{left, m.inDam.ref(), within(left, m.inDam.ref(), near)}, true
	case "dry_mass_truck":
		left := mul(m.truck.ref(), keep)
		return liveCheck{left, m.inDam.ref(), within(left, m.inDam.ref(), near)}, true
	case "compacted_of_bank":
		return usual(m.shrink.ref(), c.Least, c.Most), true
	case "compacted_of_loose":
		return usual(m.perLoose.ref(), c.Least, c.Most), true
	}
	return liveCheck{}, false
}

// usual holds while a ratio lies within usual bounds; beside it stands the bound
// that is nearer.
func usual(ratio expr, least, most float64) liveCheck {
	low, high := number(least), number(most)
	nearer := when(less(magnitude(sub(ratio, low)), magnitude(sub(ratio, high))), low, high)
	return liveCheck{ratio, nearer, all(atLeast(ratio, low), atMost(ratio, high))}
}

// sectionCheck sets the area of the highest section beside that on level ground,
// h (w + h (z1 + z2) / 2). The plan gives the sum of the slopes within its own
// figure; it is taken out of it here.
func (b *book) sectionCheck(c plan.Check) (liveCheck, bool) {
	k := b.r.Quantities.Highest
	if k < 0 || k >= len(b.areas.neat) {
		return liveCheck{}, false
	}
	sec := &b.r.Quantities.Sections[k]
	h := sec.Crest - sec.StrippedLevel
	if h <= 0 {
		return liveCheck{}, false
	}
	const decimals = 1e10
	slopes := math.Round((c.Other/h-sec.CrestWidth)*2/h*decimals) / decimals
	height := b.sections.at(rowFirst+k, secHeight).ref()
	level := mul(height, add(b.m.lengthOf(sec.CrestWidth), div(mul(height, number(slopes)), number(2))))
	area := b.areas.neat[k].ref()
	return liveCheck{area, level, within(area, level, c.Tolerance)}, true
}

// endCheck shows how high the dam still stands at an end.
func (b *book) endCheck(k int) (liveCheck, bool) {
	if k < 0 || k >= len(b.areas.neat) {
		return liveCheck{}, false
	}
	height := b.sections.at(rowFirst+k, secHeight).ref()
	open := all(more(b.areas.neat[k].ref(), b.m.areaOf(openEndArea)), more(height, b.m.lengthOf(openEndHeight)))
	ours := when(open, height, number(0))
	return liveCheck{ours, number(0), atMost(ours, number(0))}, true
}
