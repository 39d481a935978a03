package report

import (
	"math"
	"testing"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// sampleAllocation has every kind of part.
func sampleAllocation() *plan.Allocation {
	nan := math.NaN()
	return &plan.Allocation{
		Basis: plan.ByCost, Moving: 900, Opening: 100, BankMetres: 449750, Cases: 2, Free: []string{"shell"},
		Flows: []plan.Flow{
			{Source: "north", Kind: borrow.FromPit, Material: "clay", Zone: "core", From: 0, To: 30, Bank: 400, Loose: 500, Compacted: 330, DryMass: 600000, Loss: 0.05, Haul: 1000, Loads: 50, Rate: 2, Cost: 800},
			{Source: "heap", Kind: borrow.FromStockpile, Material: "clay", Zone: "blanket bay", Blanket: true, From: nan, To: nan, Bank: 49.75, Loose: nan, Compacted: 47, DryMass: nan, Haul: nan, Loads: nan, Cost: 100},
		},
		Supplies: []plan.Supplied{
			{Source: "north", Kind: borrow.FromPit, Material: "clay", Holds: 400, Used: 400, Saving: 1.1, Words: "one more bank m3 would save $1.10"},
			{Source: "far", Kind: borrow.FromPit, Material: "clay", Holds: 900, Saving: nan, Closed: true, Words: "left closed"},
			{Source: "heap", Kind: borrow.FromStockpile, Material: "clay", Holds: 49.75, Used: 49.75, Saving: math.Inf(1), Words: "the dam is short of it"},
		},
		Short:  []plan.ShortOf{{Materials: []string{"clay"}, Zones: []string{"core"}, Sources: []string{"pit north"}, From: 0, To: 30, Needed: 377, Available: 330, Short: 47}},
		Forced: []plan.ForcedUse{{Sources: []string{"north"}, Zones: []string{"core"}, Least: 400, Room: 377, Over: 23}},
	}
}

// Costs stand in the file only where they are money.
func TestAllocationByDistanceHasNoCost(t *testing.T) {
	r := sample()
	r.Allocation.Basis = plan.ByDistance
	d := documentOf(r, "test")
	for _, f := range d.Allocation {
		if f.Cost != nil {
			t.Errorf("%s costs %v", f.Pit, *f.Cost)
		}
	}
	if d.Supply.MadeLeast != "haul distance" || d.Allocation[1].From != nil || d.Supply.Sources[1].Saving != nil || d.Supply.Sources[2].Saving != nil {
		t.Errorf("%+v", d.Supply)
	}
}
