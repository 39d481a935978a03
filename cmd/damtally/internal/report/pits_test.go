package report

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// samplePits are a pit with holes, dug for its share, and one without.
func samplePits() []plan.Pit {
	strata, err := borrow.NewStrata([]borrow.Hole{{
		Name: "B-1", Elevation: 95, Water: 2,
		Layers: []borrow.Layer{{Material: "clay", To: 2, Usable: true}, {Name: "lower", Material: "sand", From: 2, To: 4}},
	}})
	if err != nil {
		panic(err)
	}
	full := borrow.Capacity{
		Area: 500, Dug: 1250, Strip: 100, Waste: 150, Bank: 1000, Floor: 300, Deepest: 3, DugTo: 92,
		Layers: []float64{1000, 150}, WaterSeen: true, BelowWater: 200, Far: 250,
	}
	needed := borrow.Capacity{Area: 500, Dug: 600, Strip: 100, Waste: 50, Bank: 450, DugTo: 93}
	return []plan.Pit{
		{
			Row: site.Pit{Name: "north", Material: "clay", Depth: site.Number{Value: 3, Given: true}}, Capacity: full, Loss: 0.05,
			ByMaterial: []plan.PitMaterial{{Material: "clay", Bank: 1000, Loss: 0.05, Unsure: 0.1}},
			Strip:      100, Waste: 150, BelowWater: 200, Holes: 1, ShareBeyond: 0.25, Beyond: 30, Strata: strata,
			FromDam: 40, CutBack: 12,
			Dig: &plan.PitDig{Used: 449.75, By: []plan.PitUse{{Used: 449.75, Over: 0.25}}, Floor: 2, Capacity: needed, Left: 550},
		},
		{
			Row: site.Pit{Name: "south", Material: "till"}, Capacity: borrow.Capacity{Area: 50, Dug: 40, Bank: 40, Deepest: 1, DugTo: 94},
			ByMaterial: []plan.PitMaterial{{Material: "till", Bank: 40, Unsure: math.NaN()}}, ShareBeyond: math.NaN(), FromDam: math.NaN(),
			Dig: &plan.PitDig{By: []plan.PitUse{{}}, Floor: math.NaN(), Left: 40},
		},
	}
}
