package report

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

func (b *builder) material(m plan.Material) material {
	f := m.Factors
	out := material{
		Material: m.Row.Name, Bought: m.Bought,
		BankDryDensity: known(f.Bank.Value), LooseDryDensity: known(f.Loose.Value), FillDryDensity: known(f.Fill.Value),
		ShrinkFactor: known(f.Shrink),
		Loss:         number(m.Loss),
		Basis:        basis(f.ShrinkFrom), SwellBasis: basis(f.SwellFrom), FillDensityBasis: basis(f.Fill.From),
		Tests:     counts{tested(f.Bank), tested(f.Loose), tested(f.Fill)},
		Compacted: number(m.Compacted), DryMass: known(m.DryMass),
		Zones: make([]share, 0, len(m.Shares)),
	}
	if f.Shrink > 0 {
		ofBank, ofFill := number(1-f.Shrink), number(1/f.Shrink-1)
		out.ShrinkageOfBank, out.ShrinkageOfFill = &ofBank, &ofFill
	}
	if f.LoadFactor > 0 {
		swell := number(f.Swell)
		out.Swell, out.LoadFactor = &swell, known(f.LoadFactor)
	}
	if m.Lab != nil {
		out.MaxDryDensity, out.OptimumWater = known(m.Lab.MaxDry), known(m.Lab.Optimum)
	}
	for _, s := range m.Shares {
		out.Zones = append(out.Zones, share{b.zone(s.Zone), number(s.Fraction), number(s.Compacted)})
	}
	out.Blankets = b.blanketShares(m)
	b.volumesOf(m, &out)
	out.spread = spreadOf(m.Spread)
	out.WaterToAdd, out.Water = b.waterOf(m)
	return out
}

// volumesOf fills in what is dug and hauled, or what is bought by mass.
func (b *builder) volumesOf(m plan.Material, out *material) {
	if m.Bought {
		mass := b.value(m.Mass, m.Row.Name+": bought mass", "no placed density is known")
		out.BoughtMass = &mass
		return
	}
	bank := b.value(m.Bank, m.Row.Name+": bank volume", "no shrink factor is known")
	loose := b.value(m.Loose, m.Row.Name+": loose volume", "no swell is known, or no bank volume")
	out.Bank, out.Loose = &bank, &loose
}

// basis is where a factor comes from, in one word.
func basis(b soil.Basis) string {
	if b == soil.Unknown {
		return "unknown"
	}
	return string(b)
}

// tested is the number of field tests behind a density.
func tested(d soil.Density) int {
	if d.From != soil.FromTests {
		return 0
	}
	return d.N
}

func (b *builder) test(t plan.Test) test {
	out := test{
		ID: t.Row.ID, Row: t.Row.Ref.Row, State: t.Row.State, Material: t.Row.Material,
		DryDensity: number(t.DryDensity), Water: given(t.Row.WaterContent),
		Pass: t.Pass, Reasons: append([]string{}, t.Reasons...),
		FromOptimum: measured(t.FromOptimum), Saturation: measured(t.Saturation), AirVoids: measured(t.AirVoids),
		ComparedWith: known(t.MaxDry), RetestOf: t.Row.RetestOf, Replaced: t.Replaced,
	}
	if !math.IsNaN(t.Compaction) {
		out.Compaction = known(t.Compaction * 100)
	}
	return out
}

func (b *builder) balance(l plan.Balance) balance {
	const noFactor = "no shrink factor is known"
	out := balance{
		Material: l.Material, Compacted: number(l.Compacted),
		Needed:    b.value(l.Needed, l.Material+": bank volume needed", noFactor),
		Available: number(l.Available),
		Ratio:     b.value(l.Ratio, l.Material+": ratio of available to needed", "the dam takes none of it, or the need is not known"),

		ReserveRatio: number(l.ReserveRatio), ReserveOn: l.ReserveOn,
		ReserveBase: b.value(l.Base, l.Material+": base of the reserve", noFactor),
		Required:    b.value(l.Required, l.Material+": bank volume required", noFactor),
		Enough:      l.Enough,
		Short:       b.value(l.Short, l.Material+": bank volume short", noFactor),
		Pits:        make([]string, 0, len(l.Pits)),
	}
	for _, s := range l.Beside {
		out.Beside = append(out.Beside, beside{s.Source, string(s.Kind), number(s.Bank)})
	}
	for _, i := range l.Pits {
		out.Pits = append(out.Pits, b.r.Pits[i].Row.Name)
	}
	if l.Chance != nil {
		out.Chance, out.ChanceFrom = measured(*l.Chance), l.ChanceBasis
	}
	if l.Enough == nil {
		b.notes = append(b.notes, note{Level: "note", Text: l.Material + ": it cannot be said whether there is enough"})
	}
	return out
}

func (b *builder) check(c plan.Check) check {
	return check{
		Key: c.Key, What: c.What, Unit: c.Unit, Holds: c.Holds,
		Ours:  b.value(c.Ours, "check "+c.Key+": our figure", "its part of the plan has no figure"),
		Other: b.value(c.Other, "check "+c.Key+": the other figure", "its part of the plan has no figure"),
	}
}
