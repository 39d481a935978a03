package workbook

import (
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Columns of the sheet Bid items.
const (
	itemName = iota + 1
	itemUnit
	itemMeasured
	itemOf
	itemQuantity
	itemUnitCost
	itemMarkUp
	itemPrice
	itemCost
	itemAmount
	itemLeft
	itemWhy
)

// bidCells are the figures of the bid that other sheets take up; they are nil
// without pay items.
type bidCells struct {
	items, total, cost *cell
	costs              []span // own costs, of items and of unpaid work
}

// layItems lays the bid, when there are prices.
func (b *book) layItems() {
	s := b.items
	if len(b.r.Items) == 0 {
		return
	}
	row := s.opening("Bid items", itemWhy,
		"Amount = quantity x unit price; cost = quantity x your own unit cost. A quantity that the plan figures is a formula and follows the other sheets; one that was typed is yours to change, as are prices, costs and mark-ups. Figures are shown rounded; amounts take them in full.") + 1
	s.headings(row, "Item", "Unit", "Measured", "Quantity of", "Quantity", "Unit cost ("+b.m.money+")", "Mark-up", "Unit price ("+b.m.money+")",
		"Cost ("+b.m.money+")", "Amount ("+b.m.money+")", "Amount less cost ("+b.m.money+")", "Why there is no amount")
	first := row + 1
	for i := range b.r.Items {
		row++
		b.layItem(row, &b.r.Items[i])
	}
	last := row
	row++
	s.blankRow(row, 1, itemWhy, total(""))
	s.put(row, 1, text("All items"), total(""))
	b.bid.items = s.put(row, itemAmount, span{s, itemAmount, first, last}.sum(), total(formatMoney))
	costs := span{s, itemCost, first, last}
	s.put(row, itemCost, costs.sumKnown(), total(formatMoney))
	s.put(row, itemLeft, span{s, itemLeft, first, last}.sumKnown(), total(formatMoney))
	b.bid.costs = []span{costs}
	row = b.layUnpaid(row + 2)
	b.layBottom(row, costs)
	quantities, prices := span{s, itemQuantity, first, last}, span{s, itemPrice, first, last}
	b.bothWays("all bid items", "amounts added up, beside the sum of quantities times prices", b.m.money, formatMoney, b.bid.items.ref(), sumProduct(quantities, prices))
	s.widths[itemName], s.widths[itemWhy] = 38, 24
	s.heads = [2]int{first - 1, first - 1}
	s.freeze = [2]int{first - 1, 1}
	s.filters = [2]int{first - 1, last}
}

func (b *book) layItem(row int, item *plan.Item) {
	s := b.items
	name := clean(item.Row.Item)
	s.put(row, itemName, text(name), lookWord)
	s.put(row, itemUnit, text(clean(item.Row.Unit)), lookWord)
	s.put(row, itemMeasured, text(clean(item.Measured)), lookWord)
	s.put(row, itemOf, text(clean(item.Row.QuantityOf)), lookWord)
	amount := number(item.Amount)
	quantity := number(item.Quantity)
	if item.Unpaid != "" {
		quantity, amount = blank(), blank()
	} else if formula, ok := b.quantityOf(item); ok {
		quantity = b.live(formula, quantity, "quantity of "+name)
	}
	q := s.put(row, itemQuantity, quantity, inputIfPlain(quantity, formatMoney))
	price := b.layPrice(row, item)
	unitCost := s.at(row, itemUnitCost)
	cost := s.put(row, itemCost, b.live(ifKnown(mul(q.ref(), unitCost.ref()), q.ref(), unitCost.ref()), number(item.Cost), "cost of "+name), figure(formatMoney))
	c := s.put(row, itemAmount, b.live(ifKnown(mul(q.ref(), price.ref()), q.ref()), amount, "amount of "+name), figure(formatMoney))
	s.watchNegative(c)
	s.watchNegative(s.put(row, itemLeft, ifKnown(sub(c.ref(), cost.ref()), c.ref(), cost.ref()), figure(formatMoney)))
	s.put(row, itemWhy, text(clean(item.Unpaid)), lookWhy)
}

// layPrice lays unit cost, mark-up and unit price: of the last two one is typed
// and gives the other.
func (b *book) layPrice(row int, item *plan.Item) *cell {
	s, name := b.items, clean(item.Row.Item)
	cost := s.put(row, itemUnitCost, given(item.Row.UnitCost), input(formatMoney))
	price := number(item.Row.UnitPrice)
	if !item.Row.PriceTyped && item.Row.UnitCost.Given {
		markUp := s.put(row, itemMarkUp, number(item.Row.MarkUp.Or(0)), input(formatShare))
		return s.put(row, itemPrice, b.live(mul(cost.ref(), add(number(1), markUp.ref())), price, "price of "+name), figure(formatMoney))
	}
	c := s.put(row, itemPrice, price, input(formatMoney))
	positive := when(more(cost.ref(), number(0)), sub(div(c.ref(), cost.ref()), number(1)), blank())
	s.put(row, itemMarkUp, b.live(when(known(cost.ref()), positive, blank()), number(item.MarkUp), "mark-up of "+name), figure(formatShare))
	return c
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
	if c, unit := b.workNamed(name); c != nil {
		return c, unit
	}
	if c, unit := b.totalNamed(name); c != nil {
		return c, unit
	}
	state, of, _ := strings.Cut(name, " ")
	if state == "zone" || state == "surface" {
		return b.zoneNamed(state, of)
	}
	return b.soilNamed(state, of)
}

// totalNamed is the cell of a total of the dam.
func (b *book) totalNamed(name string) (*cell, units.Unit) {
	m := b.m
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
	case "pit stripping":
		return b.pitStrip, m.Volume
	}
	return nil, units.Unit{}
}

// zoneNamed is the cell of a zone's volume ("zone") or of its surface.
func (b *book) zoneNamed(what, zone string) (*cell, units.Unit) {
	for k, z := range b.r.Quantities.Zones {
		switch {
		case !strings.EqualFold(z.Zone, zone):
		case what == "zone":
			return b.zone[k].compacted, b.m.Volume
		default:
			return b.zone[k].surface, b.m.Area
		}
	}
	return nil, units.Unit{}
}

// soilNamed is the cell of a material's volume in a state, or of what is bought.
func (b *book) soilNamed(state, material string) (*cell, units.Unit) {
	for i := range b.soil {
		c := &b.soil[i]
		if !strings.EqualFold(b.r.Materials[i].Row.Name, material) {
			continue
		}
		switch state {
		case "compacted":
			return c.compacted, b.m.Volume
		case "bank":
			return c.bankVolume, b.m.Volume
		case "loose":
			return c.looseVol, b.m.Volume
		case "bought":
			return c.stone, b.m.Bulk
		}
	}
	return nil, units.Unit{}
}
