package site

import (
	"fmt"
	"math"
)

// checkPrices sees that every pay item has one quantity and one price, and fills
// in the price of an item that has a cost alone.
func (r *reading) checkPrices() {
	for i := range r.site.Prices {
		p := &r.site.Prices[i]
		switch {
		case p.QuantityOf != "" && p.Quantity.Given:
			r.wrong(p.Ref, "quantity", "stands beside a `quantity of`", "keep one of the two")
		case p.QuantityOf == "" && !p.Quantity.Given && p.Measured == "lump sum":
			p.Quantity = Number{1, true}
		case p.QuantityOf == "" && !p.Quantity.Given:
			r.wrong(p.Ref, "quantity", "there is no quantity", "give a quantity, or name a result under `quantity of`")
		}
		r.checkPrice(p)
	}
}

// samePrice is how far a typed price may lie from the cost with its mark-up when
// all three are typed, a share of the price. It guards prices rounded to a
// hundredth and mark-ups to a tenth of a percent.
const samePrice = 0.005

// checkPrice sees that an item has a price, typed or made of cost and mark-up.
func (r *reading) checkPrice(p *PayItem) {
	made := p.UnitCost.Value * (1 + p.MarkUp.Value)
	switch {
	case p.MarkUp.Given && p.MarkUp.Value <= -1:
		r.wrong(p.Ref, "mark-up", "reads as "+short(100*p.MarkUp.Value)+" %, which leaves nothing of the cost", "write such as 15 under (%), or 0.15 under (-)")
	case p.MarkUp.Given && !p.UnitCost.Given:
		r.wrong(p.Ref, "mark-up", "stands without a `unit cost` that it is added to", "give the unit cost, or leave the mark-up blank")
	case p.PriceTyped && p.MarkUp.Given && math.Abs(p.UnitPrice-made) > samePrice*math.Abs(made):
		r.wrong(p.Ref, "unit price", fmt.Sprintf("is %s, but unit cost and mark-up make %s", short(p.UnitPrice), short(made)),
			"leave one of the three blank")
	case !p.PriceTyped && !p.UnitCost.Given:
		r.wrong(p.Ref, "unit price", "there is no price", "give a unit price, or a unit cost and a mark-up")
	case !p.PriceTyped:
		p.UnitPrice = made
	}
}
