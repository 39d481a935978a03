package report

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

// spread is how sure a material's factors and volumes are; its keys stand among
// those of the material.
type spread struct {
	BankRange      *volumeRange `json:"bank_range_m3,omitempty"`
	LooseRange     *volumeRange `json:"loose_range_m3,omitempty"`
	BankInterval   *interval    `json:"bank_dry_density_interval_kg_m3,omitempty"`
	LooseInterval  *interval    `json:"loose_dry_density_interval_kg_m3,omitempty"`
	FillInterval   *interval    `json:"fill_dry_density_interval_kg_m3,omitempty"`
	ShrinkInterval *interval    `json:"shrink_factor_interval,omitempty"`
	SwellInterval  *interval    `json:"swell_interval,omitempty"`
	LoadInterval   *interval    `json:"load_factor_interval,omitempty"`
	Assumed        []string     `json:"spread_from_practice,omitempty"`
	Drivers        []driver     `json:"bank_drivers,omitempty"`
	Next           *nextTests   `json:"next_tests,omitempty"`
}

type volumeRange struct {
	P10      number `json:"p10"`
	P50      number `json:"p50"`
	P90      number `json:"p90"`
	FirstP10 number `json:"first_order_p10"`
	FirstP90 number `json:"first_order_p90"`
}

type interval struct {
	Low  number `json:"low"`
	High number `json:"high"`
}

type driver struct {
	State string `json:"state"`
	Share number `json:"share"`
}

type nextTests struct {
	State string `json:"state"`
	Pit   string `json:"pit,omitempty"`
	Tests int    `json:"tests"`
	Now   number `json:"half_width_now"`
	Then  number `json:"half_width_then"`
}

type water struct {
	Present      number     `json:"present_content"`
	Tests        int        `json:"tests"`
	Layers       int        `json:"layers,omitempty"`
	Target       number     `json:"target_content"`
	PerBank      number     `json:"per_bank_kg_m3"`
	PerCompacted number     `json:"per_compacted_kg_m3"`
	TooWet       bool       `json:"too_wet"`
	Over         number     `json:"over_most"`
	Days         *number    `json:"drying_days,omitempty"`
	Evaporates   *number    `json:"evaporates_kg_m3,omitempty"`
	Ordered      *number    `json:"to_bring_kg,omitempty"`
	Loads        *number    `json:"truck_loads,omitempty"`
	Pits         []pitWater `json:"pits"`
}

type pitWater struct {
	Pit     string `json:"pit"`
	Present number `json:"present_content"`
	Tests   int    `json:"tests"`
	Layers  int    `json:"layers,omitempty"`
	PerBank number `json:"per_bank_kg_m3"`

	Ordered *number `json:"to_bring_per_compacted_kg_m3,omitempty"`
	TooWet  bool    `json:"too_wet,omitempty"`
	Days    *number `json:"drying_days,omitempty"`
}

type lot struct {
	Material string  `json:"material"`
	Zone     string  `json:"zone"`
	Lift     string  `json:"lift"`
	Done     int     `json:"tests_done"`
	Due      *int    `json:"tests_due,omitempty"`
	Counted  int     `json:"tests_counted"`
	Failed   int     `json:"failed"`
	Mean     number  `json:"mean_pct"`
	SD       number  `json:"standard_deviation_pct"`
	Lowest   number  `json:"lowest_pct"`
	Within   *number `json:"within_limits_pct,omitempty"`
}

// seed is the seed of the draws; nil where nothing was drawn.
func seed(r *plan.Result) *uint64 {
	for i := range r.Materials {
		if s := r.Materials[i].Spread; s != nil && (s.Bank != nil || s.Loose != nil) {
			v := uint64(soil.Seed)
			return &v
		}
	}
	return nil
}

func spreadOf(s *plan.Spread) spread {
	if s == nil {
		return spread{}
	}
	out := spread{
		BankRange: rangeOf(s.Bank), LooseRange: rangeOf(s.Loose),
		BankInterval: intervalOf(s.BankDensity), LooseInterval: intervalOf(s.LooseDensity), FillInterval: intervalOf(s.FillDensity),
		ShrinkInterval: intervalOf(s.Factors.Shrink), SwellInterval: intervalOf(s.Factors.Swell), LoadInterval: intervalOf(s.Factors.LoadFactor),
	}
	for _, a := range s.Assumed {
		out.Assumed = append(out.Assumed, string(a))
	}
	for _, d := range s.Drivers {
		out.Drivers = append(out.Drivers, driver{string(d.State), number(d.Share)})
	}
	if n := s.Next; n != nil {
		out.Next = &nextTests{string(n.State), n.Pit, n.Tests, number(n.Before), number(n.After)}
	}
	return out
}

func rangeOf(r *plan.Range) *volumeRange {
	if r == nil {
		return nil
	}
	return &volumeRange{number(r.Low), number(r.Middle), number(r.High), number(r.FirstLow), number(r.FirstHigh)}
}

func intervalOf(i *soil.Interval) *interval {
	if i == nil {
		return nil
	}
	return &interval{number(i.Low), number(i.High)}
}

// waterOf gives the water between pit and lift, and its mass for the whole dam.
func (b *builder) waterOf(m plan.Material) (mass *number, out *water) {
	w := m.Moisture
	if w == nil {
		return nil, nil
	}
	const noDensity = "no dry density is known in that state"
	name := m.Row.Name
	total := b.value(w.Mass, name+": water to add", noDensity)
	out = &water{
		Present: number(w.Present), Tests: w.Tests, Layers: w.Layers, Target: number(w.Target),
		PerBank:      b.value(w.PerBank, name+": water for each bank volume", noDensity),
		PerCompacted: b.value(w.PerCompacted, name+": water for each compacted volume", noDensity),
		TooWet:       w.TooWet, Over: number(w.Over), Days: measured(w.Days), Pits: []pitWater{},
	}
	out.Evaporates, out.Ordered = measured(w.Evaporates), measured(w.Ordered)
	if w.Truck >= 0 {
		out.Loads = measured(w.Loads)
	}
	for _, p := range w.Pits {
		out.Pits = append(out.Pits, pitWater{p.Pit, number(p.Present), p.Tests, p.Layers, number(p.PerBank), measured(p.Ordered), p.TooWet, measured(p.Days)})
	}
	return &total, out
}

func (b *builder) lot(l plan.Lot) lot {
	out := lot{
		Material: l.Material, Zone: l.Zone, Lift: l.Lift, Done: l.Done, Counted: l.N, Failed: l.Failed,
		Mean: number(100 * l.Mean), SD: number(100 * l.SD), Lowest: number(100 * l.Lowest),
	}
	if l.Due > 0 {
		out.Due = &l.Due
	}
	if !math.IsNaN(l.Within) {
		within := number(100 * l.Within)
		out.Within = &within
	}
	return out
}

// measured returns a pointer to a figure, nil where it was not measured or could
// not be worked out. Zero is a figure.
func measured(v float64) *number {
	n := number(v)
	if !n.finite() {
		return nil
	}
	return &n
}
