package workbook

import (
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// layItems lays the bid, when there are prices.
func (b *book) layItems() {
	s := b.items
	if len(b.r.Items) == 0 {
		return
	}
	const last = 8
	row := s.opening("Bid items", last,
		"Amount = quantity x unit price. A quantity that the plan figures is a formula and follows the other sheets; a quantity that was typed is yours to change, as is each price.") + 1
	s.headings(row, "Item", "Unit", "Measured", "Quantity of", "Quantity", "Unit price ("+b.m.money+")", "Amount ("+b.m.money+")", "Why there is no amount")
	first := row + 1
	for i := range b.r.Items {
		row++
		b.layItem(row, &b.r.Items[i])
	}
	row++
	s.blankRow(row, 1, last, total(""))
	s.put(row, 1, text("All items"), total(""))
	b.bidTotal = s.put(row, 7, span{s, 7, first, row - 1}.sum(), total(formatMoney))
	s.widths[last] = 24
	s.heads = [2]int{first - 1, first - 1}
	s.freeze = [2]int{first - 1, 1}
}

func (b *book) layItem(row int, item *plan.Item) {
	s := b.items
	name := clean(item.Row.Item)
	s.put(row, 1, text(name), lookWord)
	s.put(row, 2, text(clean(item.Row.Unit)), lookWord)
	s.put(row, 3, text(clean(item.Row.Measured)), lookWord)
	s.put(row, 4, text(clean(item.Row.QuantityOf)), lookWord)
	amount := number(item.Amount)
	quantity := number(item.Quantity)
	if item.Unpaid != "" {
		quantity, amount = blank(), blank()
	} else if formula, ok := b.quantityOf(item); ok {
		quantity = b.live(formula, quantity, "quantity of "+name)
	}
	q := s.put(row, 5, quantity, inputIfPlain(quantity, formatMoney))
	price := s.put(row, 6, number(item.Row.UnitPrice), input(formatMoney))
	c := s.put(row, 7, b.live(ifKnown(mul(q.ref(), price.ref()), q.ref()), amount, "amount of "+name), figure(formatMoney))
	s.watchNegative(c)
	s.put(row, 8, text(clean(item.Unpaid)), lookWhy)
}

// quantityOf is the cell that an item's quantity comes from, in the item's unit.
// It reports false for a typed quantity and for a result that stands on no sheet.
func (b *book) quantityOf(item *plan.Item) (expr, bool) {
	if item.Name == "" {
		return expr{}, false
	}
	c, unit := b.resultNamed(item.Name)
	if c == nil || c.content.val.kind != isNumber {
		return expr{}, false
	}
	wanted, ok := units.Lookup(item.Row.Unit)
	if !ok || wanted.Kind != unit.Kind {
		return expr{}, false
	}
	if wanted.Name == unit.Name {
		return c.ref(), true
	}
	return mul(c.ref(), number(unit.SI/wanted.SI)), true
}

// resultNamed is the cell of a result that an item may name, and its unit; nil
// when it stands on no sheet.
func (b *book) resultNamed(name string) (*cell, units.Unit) {
	m := b.m
	if c, unit := b.workNamed(name); c != nil {
		return c, unit
	}
	switch name {
	case "fill":
		return b.fill.neat, m.Volume
	case "total compacted":
		return b.fill.all, m.Volume
	case "trench":
		return b.fill.trench, m.Volume
	case "settlement":
		return b.fill.settlement, m.Volume
	case "overbuild":
		return b.fill.over, m.Volume
	case "stripping":
		return b.fill.strip, m.Volume
	case "footprint":
		return b.fill.footprint, m.Area
	case "outside":
		return b.fill.outside, m.Volume
	}
	state, of, _ := strings.Cut(name, " ")
	if state == "zone" {
		for k, z := range b.r.Quantities.Zones {
			if strings.EqualFold(z.Zone, of) {
				return b.zone[k].compacted, m.Volume
			}
		}
	}
	if state == "surface" {
		for k, z := range b.r.Quantities.Zones {
			if strings.EqualFold(z.Zone, of) {
				return b.zone[k].surface, m.Area
			}
		}
	}
	for i := range b.soil {
		c := &b.soil[i]
		if !strings.EqualFold(b.r.Materials[i].Row.Name, of) {
			continue
		}
		switch state {
		case "compacted":
			return c.compacted, m.Volume
		case "bank":
			return c.bankVolume, m.Volume
		case "loose":
			return c.looseVol, m.Volume
		case "bought":
			return c.stone, m.Bulk
		}
	}
	return nil, units.Unit{}
}
