package workbook

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// layLeft lays what is still to be done and whether the pits can.
func (b *reconBook) layLeft() {
	s, m := b.left, b.m
	if len(b.rec.Soils) == 0 {
		return
	}
	const across = 12
	row := s.opening("Left to do: does the rest of the borrow suffice?", across,
		"Still to be placed = design with its settlement allowance - placed. To dig = still to be placed / (shrink factor x (1 - loss)). The shrink factor is the one that tests and surveys show together, each weighed by how sure it is.",
		"The pits held what the plan measured before the digging; what is gone is by the pit surveys and the tally. A pit always holds less good soil than it seems to.") + 1
	row = s.table(row, "By soil", "", "Material", "Design, "+m.vol("compacted"), "Placed, "+m.vol("compacted"), "Still to place, "+m.vol("compacted"), "Shrink factor for the rest", "Loss",
		"To dig, "+m.vol("bank"), "The pits held, "+m.vol("bank"), "Gone, "+m.vol("bank"), "Left in the pits, "+m.vol("bank"), "Left / to dig", "Enough?")
	for i := range b.rec.Soils {
		row++
		b.layLeftOf(row, i)
	}
	row += 2
	s.put(row, 1, text("How sure that is, as run"), lookPart)
	for i := range b.rec.Soils {
		a := &b.rec.Soils[i]
		if math.IsNaN(a.Left.Chance) {
			continue
		}
		row++
		s.line(row, 1, across, b.soilName(a.Material)+": the chance that what is left covers what is to be dug is "+plan.ChanceWords(a.Left.Chance)+
			", from errors of measurement and density tests only, as worked out; it does not follow changes. What the pits hold below the surveys is not in it.", lookText)
	}
	s.widths[1] = 22
}

// layLeftOf lays one soil.
func (b *reconBook) layLeftOf(row, i int) {
	s, m, a, c := b.left, b.m, &b.rec.Soils[i], &b.soils[i]
	state := b.states[a.Material]
	name := b.soilName(a.Material)
	s.put(row, 1, text(name), lookWord)
	s.blankRow(row, 2, 12, lookWord)
	design := s.put(row, 2, m.volumeOf(a.Design), input(formatVolume))
	placed := s.put(row, 3, m.volumeOf(a.Placed), input(formatVolume))
	if c.built != nil {
		placed = s.put(row, 3, b.live(c.built.ref(), m.volumeOf(a.Placed), "placed volume of "+name), figure(formatVolume))
	}
	rest := s.put(row, 4, b.live(largest(number(0), sub(design.ref(), placed.ref())), m.volumeOf(a.Left.Compacted), "volume still to place of "+name), figure(formatVolume))
	loss := s.put(row, 6, state.loss.ref(), figure(formatShare))
	var shrink *cell
	switch {
	case c.shrinkBoth != nil:
		shrink = s.put(row, 5, c.shrinkBoth.ref(), figure(formatFactor))
	case state.bank != nil && state.fill != nil:
		shrink = s.put(row, 5, div(state.bank.ref(), state.fill.ref()), figure(formatFactor))
	default:
		s.put(row, 5, text(notKnown), lookWhy)
		return
	}
	need := div(rest.ref(), mul(shrink.ref(), sub(number(1), loss.ref())))
	dig := s.put(row, 7, b.live(need, m.volumeOf(a.Left.Need.Value), "bank volume still to dig of "+name), figure(formatVolume))
	held := s.put(row, 8, m.volumeOf(a.Capacity), input(formatVolume))
	gone := s.put(row, 9, m.volumeOf(a.Lost), figure(formatVolume))
	if c.gone != nil {
		gone = s.put(row, 9, b.live(c.gone.ref(), m.volumeOf(a.Lost), "what is gone of "+name), figure(formatVolume))
	}
	left := s.put(row, 10, b.live(largest(number(0), sub(held.ref(), gone.ref())), m.volumeOf(a.Left.Available.Value), "what is left of "+name), figure(formatVolume))
	s.put(row, 11, when(more(dig.ref(), number(0)), div(left.ref(), dig.ref()), blank()), figure(formatShort))
	word := text("NOT ENOUGH")
	if a.Left.Enough {
		word = text("enough")
	}
	verdict := when(atLeast(left.ref(), dig.ref()), text("enough"), text("NOT ENOUGH"))
	s.watch(s.put(row, 12, b.live(verdict, word, "verdict on the rest of "+name), lookAnswer), "enough", "NOT ENOUGH")
}

// reconciliationWords explain the figures of this workbook.
var reconciliationWords = [][2]string{
	{"Bank, loose, compacted", "The same soil in the pit before it is dug, in the truck, and rolled in the dam. Every volume says which."},
	{"Dry weight", "The weight of the solids without the water. It stays the same from pit to truck to dam, so it is what loads, pits and fill are compared by."},
	{"Truck tally", "Loads x capacity x how full. It is a count of loose soil, as good as the capacity is known and as the trucks are full."},
	{"Pit survey", "The surface of a pit before and after, within its boundary. What lies between is the bank volume that is gone."},
	{"Fill survey", "The surface of the dam as it stands over the ground as stripped and dug. What lies between is compacted volume, wherever the soil came from."},
	{"Error of measurement", "How far off a way of measuring may be though nobody made a mistake. The yellow cells on the sheet Densities and errors say how large it is taken."},
	{"Beyond error", "Errors of measurement explain a difference as large as this one time in twenty at most. Something else is likely: a mistake, another soil, another loss."},
	{"Within error", "The ways may still differ, but these measurements cannot show it."},
	{"All together", "One figure from all ways, each weighted by one over its variance: the surer a way, the more it counts."},
	{"Truck fill seen", "What the trucks carried, by what the pits lost, over what the tally counts."},
	{"Shrink factor seen", "Compacted volume in the dam over the bank volume that the pits lost, after the loss. Fill that has settled since, overbuild, soft ground dug out and filled, and a loss that was guessed wrong are all in it."},
	{"Rejected loads", "Loads that were sent back. They left the pit and never reached the dam, so they are among the loads and part of the loss."},
	{"Percent complete", "What lies below the surveyed surface within a zone of the design, over the whole of that zone."},
}

// layReconciliationWords lays the page that explains each figure.
func (b *reconBook) layReconciliationWords() {
	s := b.words
	s.upright = true
	s.line(1, 1, 2, "Words on these sheets", lookTitle)
	row := 2
	for _, w := range reconciliationWords {
		row++
		s.put(row, 1, text(w[0]), lookAnswer)
		s.put(row, 2, text(w[1]), lookWord)
	}
	s.widths[1], s.widths[2] = 26, 74
}
