package site

import (
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// CutoffTrench is the name by which `hauls` may name the cutoff trench as a
// source of soil.
const CutoffTrench = "cutoff trench"

// checkSupplies checks what feeds the dam beside a pit's own shape: stockpiles,
// where roads lead from, and what may be taken from each pit.
func (r *reading) checkSupplies() {
	gather(r, "stockpiles", "stockpile", r.site.Stockpiles, func(s Stockpile) (Ref, string) { return s.Ref, s.Name })
	for i := range r.site.Stockpiles {
		s := &r.site.Stockpiles[i]
		for _, table := range []string{"pits", "cuts"} {
			if first, ok := r.names[table].first[key(s.Name)]; ok {
				r.wrong(s.Ref, "stockpile", units.Quote(s.Name)+" is the name of row "+strconv.Itoa(first.Row)+" of "+table+" too, so loads and roads from them could not be told apart", "give each its own name")
			}
		}
		if s.Material != "" {
			s.Material = r.material(s.Ref, s.Material)
		}
	}
	for i := range r.site.Hauls {
		h := &r.site.Hauls[i]
		if key(h.Pit) == key(CutoffTrench) {
			h.Pit = CutoffTrench
			continue
		}
		h.Pit = r.loadedAt(h.Ref, h.Pit)
	}
	for _, p := range r.site.Pits {
		if p.LeastUse.Given && p.MostUse.Given && p.MostUse.Value < p.LeastUse.Value {
			r.wrong(p.Ref, "most use", "is less than the least use", "look which of the two is wrong")
		}
		switch {
		case p.HaulFromX.Given && !p.HaulFromY.Given:
			r.wrong(p.Ref, "haul from y", "is blank beside `haul from x`", "give both, or neither to haul from the middle of the pit")
		case p.HaulFromY.Given && !p.HaulFromX.Given:
			r.wrong(p.Ref, "haul from x", "is blank beside `haul from y`", "give both, or neither to haul from the middle of the pit")
		}
	}
}
