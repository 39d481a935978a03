package workbook

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

// Columns of the sheet Tests.
const (
	testMaterial = iota + 1
	testState
	testID
	testDate
	testWhere
	testWet
	testWater
	testDry
	testCounts
	testCounted
	testMax
	testOptimum
	testCompaction
	testDensity
	testMoisture
	testResult
	testOff
	testSaturation
	testAir
	testRetest
	testRow
)

const rowTestHead = 5

// compareSlack is the room for rounding when a test is held against a
// requirement, a fraction. It is that of the plan's own verdict: far finer than
// any gauge reads, so it hides no shortfall.
const compareSlack = 1e-9

// stateOrder is the order of tests on the sheet.
var stateOrder = []string{"bank", "loose", "fill", "trial"}

// layTests lays the density tests by material and state, so that each mean is
// taken over one block of rows.
func (b *book) layTests() {
	s, m := b.tests, b.m
	if len(b.r.Tests) == 0 {
		return
	}
	s.opening("Density tests", testRow,
		"Dry density = wet density / (1 + water content). Percent compaction = dry density / lab maximum. It is compared unrounded: 94.96 % fails a required 95 %.",
		"Set `counts` to no to leave a test out of the mean on the sheet Materials; all that follows changes.")
	s.headings(rowTestHead, "Material", "State", "Test", "Date", "Where", in("Wet density", m.Density), "Water content",
		in("Dry density", m.Density), "Counts in the mean", in("Dry density that counts", m.Density), in("Lab maximum", m.Density), "Optimum water content", "Percent compaction",
		"Density", "Water content is", "Result", "Points from optimum", "Saturation", "Air voids", "Retest of", "Row in table")
	for i, t := range b.sortedTests() {
		b.layTest(rowTestHead+1+i, t)
	}
	s.heads = [2]int{rowTestHead, rowTestHead}
	s.freeze = [2]int{rowTestHead, 3}
	s.splits = []int{testOptimum, testCompaction} // right of the tables below
	s.explainBeside(2, rowTestHead-1, testCounted)
	s.filters = [2]int{rowTestHead, s.lastRow()}
}

// sortedTests are the tests by material in the order of the table materials,
// then by state, then as they came.
func (b *book) sortedTests() []*plan.Test {
	order := map[string]int{}
	for i := range b.r.Materials {
		order[b.r.Materials[i].Row.Name] = i - len(b.r.Materials) // before unknown ones, which are 0
	}
	tests := make([]*plan.Test, len(b.r.Tests))
	for i := range b.r.Tests {
		tests[i] = &b.r.Tests[i]
	}
	slices.SortStableFunc(tests, func(a, c *plan.Test) int {
		return cmp.Or(
			cmp.Compare(order[a.Row.Material], order[c.Row.Material]),
			strings.Compare(a.Row.Material, c.Row.Material),
			cmp.Compare(slices.Index(stateOrder, a.Row.State), slices.Index(stateOrder, c.Row.State)))
	})
	return tests
}

// testSpan is the block of the counted densities of one material in one state.
func (b *book) testSpan(material, state string) span {
	out := span{b.tests, testCounted, 1, 0}
	for i, t := range b.sortedTests() {
		if t.Row.Material != material || t.Row.State != state {
			continue
		}
		if out.empty() {
			out.from = rowTestHead + 1 + i
		}
		out.to = rowTestHead + 1 + i
	}
	return out
}

func (b *book) layTest(row int, t *plan.Test) {
	s, m := b.tests, b.m
	s.put(row, testMaterial, text(clean(t.Row.Material)), lookWord)
	s.put(row, testState, text(t.Row.State), lookWord)
	s.put(row, testID, text(clean(t.Row.ID)), lookWord)
	s.put(row, testDate, text(clean(t.Row.Date)), lookWord)
	s.put(row, testWhere, text(b.where(t)), lookWord)
	wet := s.put(row, testWet, m.densityOf(t.Row.WetDensity.Or(nan)), input(m.density()))
	water := s.put(row, testWater, given(t.Row.WaterContent), input(formatShare))
	dryContent := exprLook{m.densityOf(t.DryDensity), input(m.density())}
	if t.Row.WetDensity.Given && t.Row.WaterContent.Given && t.Row.DryDerived {
		formula := div(wet.ref(), add(number(1), water.ref()))
		dryContent = exprLook{b.live(formula, dryContent.expr, "dry density of test "+clean(t.Row.ID)), figure(m.density())}
	}
	dry := s.put(row, testDry, dryContent.expr, dryContent.look)
	counts := s.put(row, testCounts, text(countsWord(t)), lookTyped)
	s.offer(counts, "yes", "no")
	s.put(row, testCounted, when(same(counts.ref(), "yes"), dry.ref(), blank()), figure(m.density()))
	s.blankRow(row, testMax, testAir, lookWord)
	if i := b.materialIndex(t.Row.Material); i >= 0 {
		b.layPhases(row, t, i, dry, water)
		if t.Row.State == "fill" || t.Row.State == "trial" {
			b.layVerdict(row, t, i, dry, water)
		}
	}
	s.put(row, testRetest, text(clean(t.Row.RetestOf)), lookWord)
	s.put(row, testRow, number(float64(t.Row.Ref.Row)), figure(formatCount))
}

// layPhases lays how much of a test's voids is water, and of its volume air.
func (b *book) layPhases(row int, t *plan.Test, i int, dry, water *cell) {
	s, m := b.tests, b.m
	gravity := b.r.Materials[i].Row.SpecificGravity
	if !gravity.Given {
		return
	}
	name := clean(t.Row.ID)
	solids := div(dry.ref(), mul(number(gravity.Value), m.densityOf(soil.WaterDensity))) // share of the volume
	wet := div(mul(dry.ref(), water.ref()), m.densityOf(soil.WaterDensity))
	voids := sub(number(1), solids)
	saturation := when(known(dry.ref(), water.ref()), when(more(voids, number(0)), div(wet, voids), blank()), blank())
	s.put(row, testSaturation, b.live(saturation, number(t.Saturation), "saturation of test "+name), figure(formatShare))
	air := ifKnown(sub(voids, wet), dry.ref(), water.ref())
	s.put(row, testAir, b.live(air, number(t.AirVoids), "air voids of test "+name), figure(formatShare))
}

// layVerdict lays what a fill test says, by the plan's own rules; a trial test is
// compared, and neither passes nor fails.
func (b *book) layVerdict(row int, t *plan.Test, i int, dry, water *cell) {
	s, c := b.tests, &b.soil[i]
	what := "verdict on test " + clean(t.Row.ID)
	labMax, labOpt := b.labOf(i, t.Sample)
	if t.Row.OversizeFraction.Given { // compared with a maximum for its own stones
		labMax, labOpt = b.m.densityOf(t.MaxDry), number(t.Optimum)
	}
	if math.IsNaN(t.MaxDry) { // nothing that it can be compared with
		labMax, labOpt = blank(), blank()
	}
	maxDry := s.put(row, testMax, ifKnown(labMax, labMax), figure(b.m.density()))
	optimum := s.put(row, testOptimum, ifKnown(labOpt, labOpt), figure(formatShare))
	offBy := ifKnown(sub(water.ref(), optimum.ref()), water.ref(), optimum.ref())
	s.put(row, testOff, b.live(offBy, number(t.FromOptimum), "points from optimum of test "+clean(t.Row.ID)), figure(formatPoints))
	ratio := ifKnown(div(dry.ref(), maxDry.ref()), dry.ref(), maxDry.ref())
	ratio = b.live(ratio, number(t.Compaction), "percent compaction of test "+clean(t.Row.ID))
	compaction := s.put(row, testCompaction, ratio, figure(formatShare))
	if t.Row.State != "fill" {
		return
	}

	dense := when(atLeast(sub(compaction.ref(), c.required.ref()), number(-compareSlack)), text("ok"), text("low"))
	density := s.put(row, testDensity, ifKnown(dense, compaction.ref(), c.required.ref()), lookWord)
	off := sub(water.ref(), optimum.ref())
	wet := all(known(c.high.ref()), more(sub(off, c.high.ref()), number(compareSlack)))
	dryer := all(known(c.low.ref()), less(sub(off, c.low.ref()), number(-compareSlack)))
	window := call("COUNT", num(count(c.low, c.high)), c.low.ref(), c.high.ref())
	state := when(wet, text("too wet"), when(dryer, text("too dry"), when(more(window, number(0)), text("ok"), blank())))
	moisture := s.put(row, testMoisture, ifKnown(state, water.ref(), optimum.ref()), lookWord)

	bad := func(a, b expr) expr { // neither says ok nor is silent
		low := same(a, "low")
		return call("OR", value{kind: isTruth, truth: low.val.truth || b.val.kind == isText && b.val.text != "ok"},
			low, same(b, "too wet"), same(b, "too dry"))
	}
	verdict := when(all(same(density.ref(), ""), same(moisture.ref(), "")), blank(),
		when(bad(density.ref(), moisture.ref()), text("fail"), text("pass")))
	c2 := s.put(row, testResult, b.live(verdict, passWord(t.Pass), what), lookAnswer)
	s.watch(c2, "pass", "fail")
}

// count is how many of the cells hold numbers.
func count(cells ...*cell) float64 {
	n := 0.0
	for _, c := range cells {
		if c.content.val.kind == isNumber {
			n++
		}
	}
	return n
}

func passWord(pass *bool) expr {
	switch {
	case pass == nil:
		return blank()
	case *pass:
		return text("pass")
	}
	return text("fail")
}

// where says in words where a test was taken.
func (b *book) where(t *plan.Test) string {
	var parts []string
	if t.Row.Pit != "" {
		parts = append(parts, "pit "+clean(t.Row.Pit))
	}
	if t.Row.Zone != "" {
		parts = append(parts, clean(t.Row.Zone))
	}
	if t.Row.Station.Given {
		parts = append(parts, "station "+b.m.Station(t.Row.Station.Value))
	}
	if t.Row.Lift != "" {
		parts = append(parts, "lift "+clean(t.Row.Lift))
	}
	return strings.Join(parts, ", ")
}

func (b *book) materialIndex(name string) int {
	return slices.IndexFunc(b.r.Materials, func(m plan.Material) bool { return m.Row.Name == name })
}

// countsWord says whether a test goes into its mean: a test in one of the three
// states that no retest stands for.
func countsWord(t *plan.Test) string {
	if t.Replaced || t.Row.State == "trial" {
		return "no"
	}
	return "yes"
}
