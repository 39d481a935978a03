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
	return out
}
