package report

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

type item struct {
	Item      string  `json:"item"`
	Unit      string  `json:"unit"`
	Measured  string  `json:"measured,omitempty"`
	Quantity  number  `json:"quantity"`
	UnitPrice number  `json:"unit_price"`
	Amount    number  `json:"amount"`
	UnitCost  *number `json:"unit_cost,omitempty"`
	Cost      *number `json:"cost,omitempty"`
	MarkUp    *number `json:"mark_up,omitempty"`
}

// bid is the bottom of the bid, in the site's currency.
type bid struct {
	Items       number  `json:"items"`
	Overhead    number  `json:"overhead"`
	Contingency number  `json:"contingency"`
	Profit      number  `json:"profit"`
	Total       number  `json:"total"`
	Cost        *number `json:"cost,omitempty"`
	Costed      int     `json:"costed_lines"`
}

type unpaid struct {
	Key     string  `json:"key"`
	What    string  `json:"what"`
	Subject string  `json:"subject,omitempty"`
	State   string  `json:"state"`
	Volume  number  `json:"volume_m3"`
	Cost    *number `json:"cost,omitempty"`
}

func (b *builder) item(i plan.Item) item {
	out := item{
		Item: i.Row.Item, Unit: i.Row.Unit, Measured: i.Measured,
		Quantity: number(i.Quantity), UnitPrice: number(i.Row.UnitPrice), Amount: number(i.Amount),
	}
	if i.Row.UnitCost.Given {
		out.UnitCost, out.Cost, out.MarkUp = finite(i.Row.UnitCost.Value), finite(i.Cost), finite(i.MarkUp)
	}
	if i.Unpaid != "" {
		out.Quantity, out.Amount = number(math.NaN()), number(math.NaN())
		b.notes = append(b.notes, note{Level: "note", Text: i.Row.Item + ": quantity could not be figured: " + i.Unpaid})
	}
	return out
}

func (b *builder) bid(p *plan.Bid) *bid {
	if p == nil {
		return nil
	}
	out := &bid{
		Items: number(p.Items), Overhead: number(p.Overhead), Contingency: number(p.Contingency),
		Profit: number(p.Profit), Total: number(p.Total), Costed: p.Costed,
	}
	if p.Costed > 0 {
		out.Cost = finite(p.Cost)
	}
	return out
}

func (b *builder) unpaid(u plan.UnpaidWork) unpaid {
	return unpaid{Key: u.Key, What: u.What, Subject: u.Subject, State: u.State, Volume: number(u.Volume), Cost: finite(u.Cost())}
}

// finite is a figure that may be 0, absent where it is not known.
func finite(v float64) *number {
	n := number(v)
	if !n.finite() {
		return nil
	}
	return &n
}
