package report

import "github.com/damtally/damtally/cmd/damtally/internal/plan"

// conduit is a pipe through the dam. The soil beside it above the stripped ground
// is part of the dam's volumes; what fills its trench again is not.
type conduit struct {
	Conduit  string `json:"conduit"`
	Station  number `json:"station_m"`
	From     number `json:"from_offset_m"`
	To       number `json:"to_offset_m"`
	Length   number `json:"length_m"`
	Dug      number `json:"trench_m3"`
	Deepest  number `json:"trench_deepest_m"`
	Backfill number `json:"trench_backfill_m3"`
	ByHand   number `json:"hand_compacted_m3"`
	Pipe     number `json:"pipe_m3"`
	Lifts    int    `json:"hand_lifts"`
	Tests    int    `json:"tests_due"`

	FilledWith   string  `json:"trench_backfill_material,omitempty"`
	BackfillBank *number `json:"trench_backfill_bank_m3,omitempty"`
}

func conduitOf(c plan.Conduit) conduit {
	return conduit{
		c.Row.Name, number(c.Row.Station), number(c.From), number(c.To), number(c.Length),
		number(c.Dug), number(c.Deepest), number(c.Backfill), number(c.ByHand), number(c.Pipe), c.Lifts, c.Tests,
		c.FilledWith, known(c.BackfillBank),
	}
}

// cut is a required excavation. Volumes are in the bank unless they say loose.
type cut struct {
	Cut       string  `json:"cut"`
	Material  string  `json:"material,omitempty"`
	Usable    bool    `json:"usable"`
	Area      number  `json:"area_m2"`
	FloorArea number  `json:"floor_area_m2"`
	Bank      number  `json:"bank_m3"`
	Loose     *number `json:"loose_m3,omitempty"`
	Deepest   number  `json:"deepest_m"`
	DugTo     number  `json:"dug_to_m"`
}

func cutOf(c plan.Cut) cut {
	k := c.Capacity
	return cut{
		c.Row.Name, c.Row.Material, c.Usable, number(k.Area), number(k.Floor), number(k.Bank),
		known(c.Loose), number(k.Deepest), number(k.DugTo),
	}
}

// blanket is a lining of the lake bed, beside the dam's own volumes.
type blanket struct {
	Blanket   string `json:"blanket"`
	Material  string `json:"material"`
	Plan      number `json:"plan_area_m2"`
	Surface   number `json:"surface_m2"`
	Thickness number `json:"thickness_m"`
	Compacted number `json:"compacted_m3"`
	Lift      number `json:"lift_m"`
	Lifts     int    `json:"lifts"`
	Tests     int    `json:"tests_due"`
}

func blanketOf(b plan.Blanket) blanket {
	return blanket{
		b.Row.Name, b.Row.Material, number(b.Plan), number(b.Surface), number(b.Row.Thickness),
		number(b.Compacted), number(b.Lift), b.Lifts, b.Tests,
	}
}

// blanketShare is what one blanket takes of a material.
type blanketShare struct {
	Blanket   string `json:"blanket"`
	Compacted number `json:"compacted_m3"`
}

func (b *builder) blanketShares(m plan.Material) []blanketShare {
	var out []blanketShare
	for _, s := range m.Blankets {
		out = append(out, blanketShare{b.r.Blankets[s.Blanket].Row.Name, number(s.Compacted)})
	}
	return out
}
