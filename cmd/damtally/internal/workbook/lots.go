package workbook

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

// layLots lays the fill tests by zone and lift below the tests. What is figured of
// them follows the tests above; which tests are in a lot, and how many are due, is as
// planned.
func (b *book) layLots() {
	s := b.tests
	if len(b.r.Lots) == 0 {
		return
	}
	due := false
	for _, l := range b.r.Lots {
		due = due || l.Due > 0
	}
	row := s.table(s.lastRow()+2, "Percent compaction of the fill, by zone and lift",
		"Of the tests that no retest replaces. Tests due are as planned. Within the limit = the estimated share of the fill at or above the required compaction, by quality index (FHWA T 5080.12); it takes three tests.",
		"Material", "Zone", "Lift", "Tests made", "Tests due", "Tests that count", "Failed without a passing retest", "Mean", "Standard deviation", "Lowest", "Within the limit")
	for i := range b.r.Lots {
		row++
		b.layLot(row, &b.r.Lots[i], due)
	}
}

func (b *book) layLot(row int, l *plan.Lot, due bool) {
	s := b.tests
	lift := clean(l.Lift)
	if lift == "" {
		lift = "all"
	}
	s.put(row, 1, text(clean(l.Material)), lookWord)
	s.put(row, 2, text(clean(l.Zone)), lookWord)
	s.put(row, 3, text(lift), lookWord)
	s.put(row, 4, number(float64(l.Done)), figure(formatCount))
	s.put(row, 5, blank(), figure(formatCount))
	if due && (l.Lift == "" || l.Due > 0) {
		s.put(row, 5, number(float64(l.Due)), figure(formatCount))
	}
	s.blankRow(row, 8, 11, lookWord)
	rows := b.testRows(func(t *plan.Test) bool {
		return t.Row.State == "fill" && !t.Replaced && !math.IsNaN(t.Compaction) &&
			t.Row.Material == l.Material && t.Row.Zone == l.Zone && (l.Lift == "" || t.Row.Lift == l.Lift)
	})
	if rows.tooMany() || l.N == 0 {
		b.layPlannedLot(row, l)
		return
	}
	what := " of " + clean(l.Material) + ", " + clean(l.Zone) + ", lift " + lift
	compaction := rows.in(testCompaction)
	n := s.put(row, 6, b.live(compaction.count(), number(float64(l.N)), "tests"+what), figure(formatCount))
	s.put(row, 7, b.live(rows.in(testResult).countText("fail"), number(float64(l.Failed)), "failed tests"+what), figure(formatCount))
	mean := s.put(row, 8, b.live(compaction.of("AVERAGE", n, 1), number(l.Mean), "mean"+what), figure(formatShare))
	sd := blank()
	if l.N > 1 {
		sd = number(l.SD)
	}
	spread := s.put(row, 9, b.live(compaction.of("STDEV", n, 2), sd, "standard deviation"+what), figure(formatShare))
	s.put(row, 10, b.live(compaction.of("MIN", n, 1), number(l.Lowest), "lowest"+what), figure(formatShare))
	i := b.materialIndex(l.Material)
	if i < 0 || math.IsNaN(l.Within) {
		s.put(row, 11, number(l.Within), figure(formatShare))
		return
	}
	s.put(row, 11, b.live(withinLimit(mean, spread, n, b.soil[i].required), number(l.Within), "share within the limit"+what), figure(formatShare))
}

// layPlannedLot lays a lot as planned, where its tests are too many for a formula or
// there are none.
func (b *book) layPlannedLot(row int, l *plan.Lot) {
	s := b.tests
	s.put(row, 6, number(float64(l.N)), figure(formatCount))
	s.put(row, 7, number(float64(l.Failed)), figure(formatCount))
	if l.N == 0 {
		return
	}
	s.put(row, 8, number(l.Mean), figure(formatShare))
	if l.N > 1 {
		s.put(row, 9, number(l.SD), figure(formatShare))
	}
	s.put(row, 10, number(l.Lowest), figure(formatShare))
	s.put(row, 11, number(l.Within), figure(formatShare))
}

// withinLimit is the estimated share at or above a limit: the beta distribution I_x(a,
// a) with x = 1/2 + index x root of n / (2 (n - 1)) kept within 0 and 1, a = n / 2 - 1
// (see soil.WithinLimit). Tests all alike lie wholly on one side.
func withinLimit(mean, sd, n, least *cell) expr {
	count := n.ref()
	index := div(sub(mean.ref(), least.ref()), sd.ref())
	root := call("SQRT", num(math.Sqrt(count.numeric())), count)
	x := add(number(0.5), div(mul(index, root), mul(number(2), sub(count, number(1)))))
	kept := call("MAX", num(max(0, min(1, x.numeric()))), number(0), call("MIN", num(min(1, x.numeric())), number(1), x))
	a := sub(div(count, number(2)), number(1))
	share := call("BETADIST", num(soil.WithinLimit(index.numeric(), int(count.numeric()))), kept, a, a)
	alike := when(atLeast(mean.ref(), least.ref()), number(1), number(0))
	return when(all(known(least.ref()), atLeast(count, number(3))), when(more(sd.ref(), number(0)), share, alike), blank())
}
