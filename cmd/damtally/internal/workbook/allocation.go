package workbook

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// feedSheet is the name of the sheet that says which soil goes where.
const feedSheet = "Who feeds what"

// feedCells are the cells of that sheet while it is laid: by supply, and by flow.
type feedCells struct {
	source []sourceCells
	flow   []flowCells
	cols   []feedColumn
	first  int // row of the first flow
}

// feedColumn is a column of the table of flows that stands only where something
// is known for it.
type feedColumn struct {
	key, head, format string
	sum               bool
}

const rowSources = 6 // headings of the first table

// layFeed lays the rest of who feeds what.
func (b *book) layFeed() {
	a := b.r.Allocation
	if a == nil {
		return
	}
	s, m := b.feed, b.m
	b.fed.cols = b.feedColumns()
	last := 9 + len(b.fed.cols)
	s.opening("Who feeds what: where the soil of each stretch of the dam comes from", max(last, 13), b.feedWords()...)
	s.headings(rowSources, "Source", "Kind", "Material", "Share of this material in the dam", "Loss", "In the dam, "+m.vol("compacted"), "To dig, "+m.vol("bank"),
		"Holds, "+m.vol("bank"), "Left, "+m.vol("bank"), "Enough")
	s.line(rowSources, 11, 3, "What one more there would do, by this plan", lookHead)
	b.layFlows()
	for i := range a.Supplies {
		b.laySource(i)
	}
	row := rowSources + len(a.Supplies) + 1
	s.put(row, 1, text("All sources"), total(""))
	s.blankRow(row, 2, 13, total(""))
	for _, col := range []int{6, 7} {
		s.put(row, col, span{s, col, rowSources + 1, row - 1}.sum(), total(formatVolume))
	}
	b.layAllFed(s.lastRow() + 2)
	s.widths[1], s.widths[2], s.widths[3], s.widths[4], s.widths[5] = 20, 13, 18, 18, 18
	for col := 11; col <= 13; col++ {
		s.widths[col] = 16
	}
	s.freeze = [2]int{0, 1}
}

// feedWords explains the sheet by what was made least.
func (b *book) feedWords() []string {
	first := "Each stretch of each zone is fed so that all hauls and what goes with them cost least: load, haul and water by working hours, rehandling, opening a pit."
	switch b.r.Allocation.Basis {
	case plan.ByDistance:
		first = "Each stretch of each zone is fed so that bank volume x haul distance is least over the whole job. Costs of hauling are not known on every way."
	case plan.ByVolume:
		first = "Each stretch of each zone is fed so that least is dug over the whole job. How far the sources lie from the dam is not known for all."
	}
	return []string{
		first + " No other sharing comes lower: the program proves that each time.",
		"Shares are the plan's. Type your own over the yellow ones: volumes, loads and losses follow, and the table at the foot says whether all is still fed. For the best shares after a change run the plan again.",
		"Bank = compacted / (shrink factor x (1 - loss of the source)). Loss stands here once; what a source holds is before loss.",
	}
}

// feedColumns lists the columns of the flows that depend on what is known.
func (b *book) feedColumns() []feedColumn {
	m, a := b.m, b.r.Allocation
	has := func(known func(f *plan.Flow) bool) bool {
		for i := range a.Flows {
			if known(&a.Flows[i]) {
				return true
			}
		}
		return false
	}
	var out []feedColumn
	add := func(when bool, key, head, format string, sum bool) {
		if when {
			out = append(out, feedColumn{key, head, format, sum})
		}
	}
	loose := has(func(f *plan.Flow) bool { return !math.IsNaN(f.Loose) })
	haul := has(func(f *plan.Flow) bool { return !math.IsNaN(f.Haul) })
	loads := has(func(f *plan.Flow) bool { return !math.IsNaN(f.Loads) })
	add(loose, "loose", "In trucks, "+m.vol("loose"), formatVolume, true)
	add(haul, "haul", in("Haul one way", m.Length), formatWhole, false)
	add(haul, "moved", m.vol("bank")+" x 100 "+m.Length.Name, formatVolume, true)
	add(loads, "load", "One load, "+m.vol("loose"), formatShort, false)
	add(loads, "loads", "Loads", formatVolume, true)
	add(a.Basis == plan.ByCost, "rate", "Cost of a bank "+m.Volume.Name+" ("+m.money+")", formatMoney, false)
	add(a.Basis == plan.ByCost, "cost", "Cost ("+m.money+")", formatVolume, true)
	return out
}
