package report

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

type trial struct {
	Material string      `json:"material"`
	Machine  string      `json:"machine"`
	Steps    []trialStep `json:"steps"`
	Ceiling  *number     `json:"ceiling_pct,omitempty"`
	Required *number     `json:"required_pct,omitempty"`
	Passes   *int        `json:"passes_needed,omitempty"`
	Known    string      `json:"known,omitempty"`
	Pressure *number     `json:"ground_pressure_pa,omitempty"`
	Loose    *number     `json:"lift_loose_m,omitempty"`
	Rolled   *number     `json:"lift_compacted_m,omitempty"`
	Work     *trialWork  `json:"work,omitempty"`
}

// trialWork is what the machine takes for all of the material.
type trialWork struct {
	Lift       number  `json:"lift_m"`
	Production number  `json:"compacted_m3_per_hour"`
	Hours      number  `json:"hours"`
	Longer     number  `json:"times_as_long"`
	Cost       *number `json:"cost,omitempty"`
	UnitCost   *number `json:"cost_per_compacted_m3,omitempty"`
	Dearer     *number `json:"times_as_dear,omitempty"`
}

type trialStep struct {
	Passes int    `json:"passes"`
	Tests  int    `json:"tests"`
	Mean   number `json:"mean_pct"`
	Smooth number `json:"smoothed_pct"`
}

func (b *builder) trial(t plan.Trial) trial {
	out := trial{Material: t.Material, Machine: t.Machine, Steps: []trialStep{}, Known: string(t.Reach)}
	for _, s := range t.Growth.Steps {
		out.Steps = append(out.Steps, trialStep{s.Passes, s.N, number(100 * s.Compaction), number(100 * s.Smooth)})
	}
	if t.Growth.Fitted {
		out.Ceiling = measured(100 * t.Growth.Ceiling)
	}
	if !math.IsNaN(t.Required) {
		out.Required = measured(100 * t.Required)
	}
	if t.Reach == soil.Tried || t.Reach == soil.Beyond {
		out.Passes = &t.Passes
	}
	out.Pressure, out.Loose, out.Rolled = measured(t.Pressure), measured(t.Loose), measured(t.Compacted)
	if w := t.Work; w != nil {
		out.Work = &trialWork{Lift: number(w.Lift), Production: number(3600 * w.Production()), Hours: number(w.Hours), Longer: number(w.Longer)}
		if w.Cost > 0 {
			out.Work.Cost, out.Work.UnitCost, out.Work.Dearer = known(w.Cost), known(w.UnitCost), known(w.Dearer)
		}
	}
	return out
}
