package workbook

import (
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// Columns of a sheet of lifts; after the last of them each part of a zone has its
// volume and, where it is tested, its tests.
const (
	liftNumber = iota + 1
	liftBottom
	liftTop
	liftThick
	liftArea
	liftVolume
	liftRunning
	liftTests
	liftParts
)

// Rows of a sheet of lifts.
const (
	rowLiftHead  = 4
	rowLiftTotal = 5
	rowLiftFirst = 6
)

// Defined names of the rule of testing.
const (
	nameTestShare  = "TestsPerVolume"
	nameLeastTests = "LeastTestsOfALift"
)

// The same guards as in package earthwork: a volume too small to be tested, m3, and
// the share of a test that rounding may add.
const (
	untested = 1e-3
	tooClose = 1e-9
)

// liftCells are the rule of testing and the totals of each set.
type liftCells struct {
	share, least *cell
	sets         []liftSetCells
	curve        [2]int // rows of the volume by elevation; 0 without
}

type liftSetCells struct{ compacted, tests *cell }

// roundUp is ROUNDUP to whole numbers, away from zero.
func roundUp(a expr) expr {
	up := math.Copysign(math.Ceil(math.Abs(a.numeric())), a.numeric())
	return call("ROUNDUP", num(up), a, number(0))
}

// testsOf is how many tests a volume takes by the rule, and no fewer than least.
func (b *book) testsOf(volume, least expr) expr {
	byVolume := roundUp(sub(mul(volume, b.lift.share.ref()), number(tooClose)))
	return when(more(volume, number(b.m.Volume.FromSI(untested))), largest(byVolume, least), number(0))
}

// layLifts lays the rule of testing, the sets of lifts side by side, and a sheet
// for each set.
func (b *book) layLifts() {
	all := b.r.Lifts
	if all == nil || len(all.Sets) == 0 {
		return
	}
	s := b.lifts
	row := s.opening("Lifts and tests", 6,
		"The dam in level, compacted lifts from the bottom of the trench up, and the density tests that are due: one for each so much, and no fewer than the least in each part of a lift. A trench is a part of its own.",
		"Zones laid in lifts of another thickness have a sheet of their own. Lifts come from the sections as planned: change those and plan again. How often to test is the rule of your contract, not of this program.")
	row = b.layTestRule(row + 1)
	b.lift.sets = make([]liftSetCells, len(all.Sets))
	for i := range all.Sets {
		b.layLiftSet(i)
	}
	row = b.layLiftSets(row + 2)
	b.layCurve(row + 2)
	s.widths[1] = 34
}

// layCurve lays the cumulative curve: what of the dam lies below each elevation.
func (b *book) layCurve(row int) {
	s, m, curve := b.lifts, b.m, b.r.Lifts.Curve
	if len(curve) == 0 {
		return
	}
	s.put(row, 1, text("Volume by elevation, the whole dam"), lookPart)
	s.line(row+1, 1, 6, "How much lies below each elevation, whatever lifts it is laid in: neat fill, trench and layers outside, without the settlement allowance. From the sections as planned.", lookExplain)
	row += 2
	c := m.vol("compacted")
	s.headings(row, in("Up to elevation", m.Length), "Below it, "+c, "In this step, "+c, "Share of the dam", "Still above it, "+c)
	s.heads = [2]int{row, row} // the long table of the sheet
	b.lift.curve = [2]int{row + 1, row + len(curve)}
	for i, v := range curve {
		s.put(row+1+i, 1, m.lengthOf(v.Level), figure(formatLength))
		s.put(row+1+i, 2, m.volumeOf(v.Compacted), input(formatVolume))
	}
	all := s.at(row+len(curve), 2).ref()
	for i := range curve {
		row++
		below, step := s.at(row, 2), blank()
		if i > 0 {
			step = sub(below.ref(), s.at(row-1, 2).ref())
		}
		s.put(row, 3, step, figure(formatVolume))
		s.put(row, 4, when(more(all, number(0)), div(below.ref(), all), blank()), figure(formatShare))
		s.put(row, 5, sub(all, below.ref()), figure(formatVolume))
	}
}

// layTestRule lays the two figures of the rule, and what formulas take of them.
func (b *book) layTestRule(row int) int {
	s, m, all := b.lifts, b.m, b.r.Lifts
	s.headings(row, "Rule of testing", "Value", "Unit")
	every, least := blank(), blank()
	if all.TestEvery > 0 {
		every = m.volumeOf(all.TestEvery)
	}
	if b.r.Site.Settings.LeastTestsALift.Given {
		least = number(float64(all.LeastTests))
	}
	put := func(words string, e expr, l look, unit string) *cell {
		row++
		s.put(row, 1, text(words), lookWord)
		s.put(row, 3, text(unit), lookWord)
		return s.put(row, 2, e, l)
	}
	volume := put("One test for each", every, input(formatVolume), m.vol("compacted"))
	fewest := put("Fewest in a part of a lift", least, input(formatCount), "tests")
	b.lift.share = put("   so tests in one "+m.vol("compacted"), when(known(volume.ref()),
		when(more(volume.ref(), number(0)), div(number(1), volume.ref()), number(0)), number(0)), figure("0.000000"), "tests")
	b.lift.share.name = nameTestShare
	b.lift.least = put("   and fewest", ifKnownElse(fewest.ref(), number(0)), figure(formatCount), "tests")
	b.lift.least.name = nameLeastTests
	if !all.Asked {
		row++
		s.line(row, 1, 6, "The site sets no rule, so no tests are counted. Type your own in the yellow cells, or set `test every` and `least tests a lift` in the table site.", lookExplain)
	}
	return row
}

// ifKnownElse is a where it is a number, else other.
func ifKnownElse(a, other expr) expr { return when(known(a), a, other) }

// layLiftSets lays what the sets and the allowance come to, beside the dam, and
// returns the last row.
func (b *book) layLiftSets(row int) int {
	s, m, all := b.lifts, b.m, b.r.Lifts
	s.headings(row, "Zones laid in these lifts", in("Thickness", thinUnit(m)), "Lifts", "In the dam, "+m.vol("compacted"), "Tests due", "Sheet")
	first := row + 1
	for i := range all.Sets {
		row++
		set := &all.Sets[i]
		s.put(row, 1, text(clean(b.zoneNames(set.Zones))), lookWord)
		s.put(row, 2, number(thinUnit(m).FromSI(set.Thickness)), figure(formatShort))
		s.put(row, 3, number(float64(len(set.Lifts))), figure(formatCount))
		s.put(row, 4, b.lift.sets[i].compacted.ref(), figure(formatVolume))
		s.put(row, 5, b.lift.sets[i].tests.ref(), figure(formatCount))
		s.put(row, 6, text(b.liftSheets[i].name), lookWord)
	}
	for _, p := range all.Allowance {
		row++
		name := clean(b.r.Quantities.Zones[p.Zone].Zone)
		s.put(row, 1, text("settlement allowance of "+name), lookWord)
		s.blankRow(row, 2, 3, lookWord)
		v := s.put(row, 4, b.live(b.zone[p.Zone].settlement.ref(), m.volumeOf(p.Compacted), "settlement of "+name+" in lifts"), figure(formatVolume))
		tests := number(0)
		if p.Tests > 0 || b.tested(p) {
			tests = b.live(b.testsOf(v.ref(), number(0)), number(float64(p.Tests)), "tests of the settlement of "+name)
		}
		s.put(row, 5, tests, figure(formatCount))
		s.put(row, 6, text("placed over the whole dam as it is shaped"), lookWord)
	}
	row++
	s.blankRow(row, 1, 6, total(""))
	s.put(row, 1, text("The dam"), total(""))
	sum := s.put(row, 4, span{s, 4, first, row - 1}.sum(), total(formatVolume))
	b.liftTests = s.put(row, 5, b.live(span{s, 5, first, row - 1}.sum(), number(float64(all.Tests)), "tests due"), total(formatCount))
	row++
	s.put(row, 1, text("as on the sheet Zones"), lookWord)
	s.blankRow(row, 2, 3, lookWord)
	zones := s.put(row, 4, b.fill.all.ref(), figure(formatVolume))
	same := s.put(row, 5, when(within(sum.ref(), zones.ref(), liftsAgree), text("holds"), text("LOOK")), lookAnswer)
	s.watch(same, "holds", "LOOK")
	s.put(row, 6, text("LOOK: areas were changed on the sheets; plan again for new lifts"), lookWhy)
	return row
}

// liftsAgree is the share by which lifts and zones may differ: both sum the same
// sections, and the typed figures of a sheet have 15 digits.
const liftsAgree = 1e-6

// tested tells whether a part is tested where a rule is set: any of its zone's
// lifts has tests, or none is set.
func (b *book) tested(p earthwork.LiftPart) bool {
	return !b.r.Lifts.Asked || b.testedZones()[p.Zone]
}

// testedZones are the zones that have tests due in any lift.
func (b *book) testedZones() map[int]bool {
	out := map[int]bool{}
	for _, set := range b.r.Lifts.Sets {
		for _, l := range set.Lifts {
			for _, p := range l.Parts {
				out[p.Zone] = out[p.Zone] || p.Tests > 0
			}
		}
	}
	return out
}

func (b *book) zoneNames(zones []int) string {
	var names []string
	for _, z := range zones {
		names = append(names, b.r.Quantities.Zones[z].Zone)
	}
	return strings.Join(names, ", ")
}

// zonesLabel names zones in a few words, for the key of a chart.
func (b *book) zonesLabel(zones []int) string {
	const longest = 50
	all := clean(b.zoneNames(zones))
	if len(zones) < 2 || len(all) <= longest {
		return clip(all, longest)
	}
	return clip(clean(b.r.Quantities.Zones[zones[0]].Zone), longest-12) + " and " + itoa(len(zones)-1) + " more"
}

// thinUnit is what a lift's thickness is shown in: inches or centimetres.
func thinUnit(m measures) units.Unit {
	name := "cm"
	if m.Name == units.US.Name {
		name = "in"
	}
	u, _ := units.Lookup(name)
	return u
}
