package site

import "testing"

func TestCostsAndMarkUps(t *testing.T) {
	const head = "item,unit,quantity,unit cost,mark-up (%),unit price\n"
	checkWrong(t, []wrongCase{{
		"costs",
		tables{"prices": head + "a,ft,1,,,\nb,ft,1,,15,\nc,ft,1,10,15,12\nd,ft,1,10,-100,\ne,ft,1,-2,,3\nf,ft,1,10,15,11.5\n"},
		[]string{
			"prices row 2, unit price: there is no price; give a unit price, or a unit cost and a mark-up",
			"prices row 3, mark-up: stands without a `unit cost` that it is added to; give the unit cost, or leave the mark-up blank",
			"prices row 4, unit price: is 12, but unit cost and mark-up make 11.5; leave one of the three blank",
			"prices row 5, mark-up: reads as -100 %, which leaves nothing of the cost; write such as 15 under (%), or 0.15 under (-)",
			`prices row 6, unit cost: "-2" is below zero; write zero or more`,
		},
	}})
	s := read(t, plainSite().with(tables{"prices": head + "a,ft,1,10,15,\nb,ft,1,10,,\nc,ft,1,10,,14\n"}).folder(t))
	for i, want := range []PayItem{
		{UnitPrice: 11.5, UnitCost: Number{10, true}, MarkUp: Number{0.15, true}},
		{UnitPrice: 10, UnitCost: Number{10, true}},
		{UnitPrice: 14, UnitCost: Number{10, true}, PriceTyped: true},
	} {
		got := s.Prices[i]
		want.Item, want.Unit, want.Quantity = got.Item, "ft", Number{1, true}
		same(t, got.Item, got, want, butRefs)
	}
}
