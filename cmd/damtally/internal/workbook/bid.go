package workbook

import "github.com/damtally/damtally/cmd/damtally/internal/plan"

// Defined names of what is added to the bid.
const (
	nameOverhead    = "Overhead"
	nameContingency = "Contingency"
	nameProfit      = "Profit"
)

// layUnpaid lays the soil that must be moved and that no item measures, and
// returns the row after it.
func (b *book) layUnpaid(row int) int {
	s, m := b.items, b.m
	if len(b.r.Unpaid) == 0 {
		return row
	}
	s.put(row, 1, text("Work that no item pays for"), lookPart)
	s.line(row+1, 1, itemWhy, "This soil must be moved and no item above measures it, so its cost must stand in the other prices. Type what it costs you.", lookExplain)
	row += 2
	s.headings(row, "Work", "Unit", "Measured", "", "Volume", "Unit cost ("+m.money+")", "", "", "Cost ("+m.money+")")
	first := row + 1
	for i := range b.r.Unpaid {
		row++
		u := &b.r.Unpaid[i]
		s.blankRow(row, 1, itemCost, lookWord)
		s.put(row, itemName, text(clean(u.What)), lookWord)
		s.put(row, itemUnit, text(m.Volume.Name), lookWord)
		s.put(row, itemMeasured, text(u.State), lookWord)
		volume := m.volumeOf(u.Volume)
		if formula, ok := b.unpaidVolume(u); ok {
			volume = b.live(formula, volume, "volume of "+clean(u.What))
		}
		v := s.put(row, itemQuantity, volume, inputIfPlain(volume, formatMoney))
		cost := s.put(row, itemUnitCost, number(u.UnitCost*m.Volume.SI), input(formatMoney))
		formula := ifKnown(mul(v.ref(), cost.ref()), v.ref(), cost.ref())
		s.put(row, itemCost, b.live(formula, number(u.Cost()), "cost of "+clean(u.What)), figure(formatMoney))
	}
	b.bid.costs = append(b.bid.costs, span{s, itemCost, first, row})
	return row + 2
}

// unpaidVolume is the formula of the volume of unpaid work. It reports false for
// what stands on no sheet.
func (b *book) unpaidVolume(u *plan.UnpaidWork) (expr, bool) {
	switch u.Key {
	case "stripping":
		return b.fill.strip.ref(), true
	case "trench":
		return b.fill.trench.ref(), true
	case "overbuild":
		return b.fill.over.ref(), true
	case "settlement":
		sum := number(0)
		for n, k := range u.Zones {
			if n == 0 {
				sum = b.zone[k].settlement.ref()
			} else {
				sum = add(sum, b.zone[k].settlement.ref())
			}
		}
		return sum, len(u.Zones) > 0
	case "loss":
		if i := b.materialIndex(u.Subject); i >= 0 {
			c := &b.soil[i]
			return ifKnown(mul(c.bankVolume.ref(), c.lossTaken.ref()), c.bankVolume.ref()), true
		}
	case "cut":
		for i, c := range b.r.Cuts {
			if c.Row.Name == u.Subject {
				return b.work.cuts[i].ref(), true
			}
		}
	case "blanket":
		for i, l := range b.r.Blankets {
			if l.Row.Name == u.Subject {
				return b.work.blankets[i].compacted.ref(), true
			}
		}
	case "conduit_trench":
		return b.work.pipeTrench.ref(), true
	case "conduit_backfill":
		return b.work.pipeBackfill.ref(), true
	case "pit_stripping":
		if b.pitStrip != nil {
			return b.pitStrip.ref(), true
		}
	}
	return expr{}, false
}

// layBottom lays the bottom of the bid: what is added to the items, the bid, and
// what it leaves over its own cost.
func (b *book) layBottom(row int, items span) {
	s, set := b.items, &b.r.Site.Settings
	s.put(row, 1, text("The bottom of the bid"), lookPart)
	row++
	s.headings(row, "", "What it is a share of", "", "", "", "", "Share", "", "", "Amount ("+b.m.money+")")
	s.line(row, 2, 5, "What it is a share of", lookHead)
	line := func(words, of string, amount expr, l look) *cell {
		row++
		s.blankRow(row, 1, itemAmount, look{role: l.role})
		s.put(row, 1, text(words), look{role: l.role})
		s.line(row, 2, 5, of, look{role: l.role})
		return s.put(row, itemAmount, amount, l)
	}
	base := line("All items", "", b.bid.items.ref(), figure(formatMoney)).ref()
	sum := base
	share := func(words, of, name string, value float64) {
		c := line(words, of, blank(), figure(formatMoney))
		rate := s.put(row, itemMarkUp, number(value), input(formatShare))
		rate.name = name
		s.put(row, itemAmount, mul(rate.ref(), sum), figure(formatMoney))
		sum = add(sum, s.at(c.row, itemAmount).ref())
	}
	share("Overhead", "all items", nameOverhead, set.Overhead.Value)
	share("Contingency", "items and overhead", nameContingency, set.Contingency.Value)
	share("Profit", "items, overhead and contingency", nameProfit, set.Profit.Value)
	b.bid.total = line("The bid", "", b.live(sum, number(b.r.Bid.Total), "the bid"), total(formatMoney))
	grown := base
	for _, name := range []*cell{s.at(row-3, itemMarkUp), s.at(row-2, itemMarkUp), s.at(row-1, itemMarkUp)} {
		grown = mul(grown, add(number(1), name.ref()))
	}
	b.bothWays("the bid", "its lines added up, beside the items times (1 + overhead) (1 + contingency) (1 + profit)", b.m.money, formatMoney, b.bid.total.ref(), grown)
	b.layOwnCost(row, items)
}

// layOwnCost lays the bidder's own cost under the bid, and what is left.
func (b *book) layOwnCost(row int, items span) {
	s := b.items
	row++
	cost, count := number(0), number(0)
	for i, c := range b.bid.costs {
		if i == 0 {
			cost, count = c.sum(), c.count()
		} else {
			cost, count = add(cost, c.sum()), add(count, c.count())
		}
	}
	s.blankRow(row, 1, itemAmount, lookWord)
	s.put(row, 1, text("Your own cost"), lookWord)
	s.line(row, 2, 5, "of the items and of the work that no item pays for, as far as typed", lookWord)
	want := blank()
	if b.r.Bid.Costed > 0 {
		want = number(b.r.Bid.Cost)
	}
	b.bid.cost = s.put(row, itemAmount, b.live(when(more(count, number(0)), cost, blank()), want, "own cost"), figure(formatMoney))
	row++
	s.blankRow(row, 1, itemAmount, total(""))
	s.put(row, 1, text("Left over your own cost"), total(""))
	s.line(row, 2, 5, "", total(""))
	// Said only once every item with a quantity has a cost: else it flatters.
	whole := compare(items.count(), "=", span{s, itemQuantity, items.from, items.to}.count(), len(items.numbers()) == len(span{s, itemQuantity, items.from, items.to}.numbers()))
	sayable := all(known(b.bid.cost.ref()), whole)
	s.put(row, 2, when(sayable, text("of the cost"), text("not said: some items have no cost")), total("")).across = 5
	left := s.put(row, itemAmount, when(sayable, sub(b.bid.total.ref(), b.bid.cost.ref()), blank()), total(formatMoney))
	s.put(row, itemMarkUp, when(all(sayable, more(largest(b.bid.cost.ref(), number(0)), number(0))), div(left.ref(), b.bid.cost.ref()), blank()), total(formatShare))
	s.watchNegative(left)
}

// sumProduct is SUMPRODUCT of two columns of as many rows; what is blank counts
// as nothing.
func sumProduct(a, c span) expr {
	if a.empty() || a.to-a.from != c.to-c.from {
		return number(0)
	}
	sum := 0.0
	for i := range a.to - a.from + 1 {
		x, y := a.sheet.at(a.from+i, a.col), c.sheet.at(c.from+i, c.col)
		if x != nil && y != nil && x.content.val.kind == isNumber && y.content.val.kind == isNumber {
			sum += x.content.val.num * y.content.val.num
		}
	}
	return call("SUMPRODUCT", num(sum), a.expr(), c.expr())
}
