package report

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// pit is a borrow pit. What it holds is before loss, dug to its own floor; what is
// used, and how deep it is dug for that, follow from who feeds what.
type pit struct {
	Pit        string     `json:"pit"`
	Area       number     `json:"area_m2"`
	Capacity   number     `json:"capacity_bank_m3"`
	ByMaterial []pitShare `json:"by_material"`
	Strip      number     `json:"strip_m3"`
	Waste      number     `json:"waste_m3"`
	Used       *number    `json:"used_bank_m3,omitempty"`
	DugTo      number     `json:"dug_to_m"`
	Dig        *pitDig    `json:"dig,omitempty"`
	Deepest    number     `json:"deepest_m"`
	FloorArea  number     `json:"floor_area_m2"`
	Loss       number     `json:"loss"`
	Holes      int        `json:"holes"`
	Beyond     *number    `json:"share_beyond,omitempty"`
	BeyondOf   *number    `json:"beyond_m,omitempty"`
	BelowWater *number    `json:"below_water_m3,omitempty"`
	FromDam    *number    `json:"from_dam_m,omitempty"`
	CutBack    *number    `json:"cut_back_m3,omitempty"`
	Strata     []stratum  `json:"layers,omitempty"`
}

// pitShare is what a pit holds of a material.
type pitShare struct {
	Material string  `json:"material"`
	Bank     number  `json:"bank_m3"`
	Used     *number `json:"used_bank_m3,omitempty"`
	Unsure   *number `json:"sd_by_layers,omitempty"`
}

// pitDig is a pit dug no deeper than its share needs.
type pitDig struct {
	Floor   number `json:"floor_m"`
	IsDepth bool   `json:"floor_is_depth"`
	Dug     number `json:"dug_m3"`
	Strip   number `json:"strip_m3"`
	Waste   number `json:"waste_m3"`
	Left    number `json:"left_bank_m3"`
}

// stratum is a layer of a pit, from the ground down.
type stratum struct {
	Layer    string `json:"layer"`
	Material string `json:"material"`
	Usable   bool   `json:"usable"`
	Dug      number `json:"dug_m3"`
}

func (b *builder) pit(p plan.Pit) pit {
	c := p.Capacity
	out := pit{
		Pit: p.Row.Name, Area: number(c.Area), Capacity: number(c.Bank), ByMaterial: []pitShare{},
		Strip: number(c.Strip), Waste: number(c.Waste), DugTo: number(c.DugTo), Deepest: number(c.Deepest), FloorArea: number(c.Floor),
		Loss: number(p.Loss), Holes: p.Holes,
		Beyond: measured(p.ShareBeyond), FromDam: measured(p.FromDam), CutBack: known(p.CutBack),
	}
	if out.Beyond != nil {
		out.BeyondOf = known(p.Beyond)
	}
	if c.WaterSeen {
		out.BelowWater = measured(c.BelowWater)
	}
	for i, m := range p.ByMaterial {
		s := pitShare{Material: m.Material, Bank: number(m.Bank), Unsure: measured(m.Unsure)}
		if p.Dig != nil {
			s.Used = measured(p.Dig.By[i].Used)
		}
		out.ByMaterial = append(out.ByMaterial, s)
	}
	if p.Strata != nil {
		out.Strata = layersOf(p.Strata, c)
	}
	b.dig(p, &out)
	return out
}

// dig fills in how deep the pit is dug for its share.
func (b *builder) dig(p plan.Pit, out *pit) {
	d := p.Dig
	if d == nil {
		return
	}
	out.Used = measured(d.Used)
	if math.IsNaN(d.Floor) {
		return
	}
	out.DugTo = number(d.Capacity.DugTo)
	out.Dig = &pitDig{
		Floor: number(d.Floor), IsDepth: p.Row.Depth.Given,
		Dug: number(d.Capacity.Dug), Strip: number(d.Capacity.Strip), Waste: number(d.Capacity.Waste), Left: number(d.Left),
	}
}

// layersOf lists a pit's layers with what is dug of each.
func layersOf(s *borrow.Strata, c borrow.Capacity) []stratum {
	var out []stratum
	for i, l := range s.Layers {
		out = append(out, stratum{l.Name, l.Material, l.Usable, number(c.Layers[i])})
	}
	return out
}
