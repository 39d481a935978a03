package report

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// sampleFleet are the machines of the sample.
func sampleFleet() []site.Machine {
	return []site.Machine{{Name: "hauler", Kind: "truck"}, {Name: "padfoot roller", Kind: "roller"}}
}

// sampleHaul is a haul of one flow, invented, with every part filled in.
func sampleHaul() *plan.Haul {
	return &plan.Haul{
		BankMetres: 450e3, Loads: 50, TruckHours: 12, Cost: 1100, Standing: 90, Hours: 14, HoursPerDay: 8, Days: 1.75, Drying: 0.5, Dry: []plan.DryLot{{Source: "north", Material: "clay", Days: 0.5, Room: 900}},
		Start: "2026-06-01", Finish: "2026-06-03", Slowest: "hauling",
		Machines: []plan.MachineWork{{Machine: 0, Count: 1, Hours: 12, Paid: 14, Cost: 1100, Standing: 90}, {Machine: 1, Count: 1, Hours: 8, Paid: 14, Cost: math.NaN(), Standing: math.NaN()}},
		Moves: []plan.Move{{
			Wet: 1500, Loads: 49.2, Pace: 0.01, Hours: 14, Slow: 1,
			Rate: plan.HaulRate{
				Machine: 0, Loader: -1, Truck: "hauler", LoadVolume: 11, BoundBy: borrow.ByWeight, LoadTime: 240, LoadEff: 1, Efficiency: 0.8, CyclePerLoad: 720,
				Cycle: borrow.Cycle{Load: 240, Haul: 240, Dump: 60, Return: 180, Slowed: true},
			},
			Stages: []plan.StageWork{
				{Name: "loading", Machine: -1, Each: 0.045, Count: 1, Hours: 3.3},
				{Name: "hauling", Machine: 0, Each: 0.012, Count: 1, Hours: 12},
				{Name: "rolling", Machine: 1, Each: 0.02, Count: 1, Hours: 8},
			},
		}},
	}
}

// sampleWork is what a roller takes for all of a material.
func sampleWork() *soil.Choice {
	return &soil.Choice{
		Rolling: soil.Rolling{Machine: "padfoot roller", Width: 2, Speed: 1.5, Lift: 0.15, Efficiency: 0.8, Passes: 5, HourCost: 100},
		Hours:   8, Cost: 800, UnitCost: 2.1, Longer: 1, Dearer: 1,
	}
}
