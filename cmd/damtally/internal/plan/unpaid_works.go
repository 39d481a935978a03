package plan

import "math"

// unpaidWorks lists what is dug and built beside the dam and measured by no pay
// item: cuts, the trenches of pipes, linings.
func unpaidWorks(r *Result, paid map[string]bool) []UnpaidWork {
	nan := math.NaN()
	var out []UnpaidWork
	for _, c := range r.Cuts {
		material := itemKey(c.Row.Material)
		if paid[itemKey("cut "+c.Row.Name)] || c.Usable && (paid["bank "+material] || paid["loose "+material]) {
			continue
		}
		out = append(out, UnpaidWork{Key: "cut", Subject: c.Row.Name, What: "digging of cut " + c.Row.Name, State: "bank", Volume: c.Capacity.Bank, UnitCost: nan})
	}
	if !paid["conduit trench"] {
		dug := conduitSum(r.Conduits, func(c Conduit) float64 { return c.Dug })
		out = append(out, UnpaidWork{Key: "conduit_trench", What: "digging the trenches of pipes", State: "bank", Volume: dug, UnitCost: nan})
	}
	if !paid["conduit backfill"] {
		filled := conduitSum(r.Conduits, func(c Conduit) float64 { return c.Backfill })
		out = append(out, UnpaidWork{Key: "conduit_backfill", What: "filling the trenches of pipes again", State: "compacted", Volume: filled, UnitCost: nan})
	}
	for _, b := range r.Blankets {
		material := itemKey(b.Row.Material)
		if paid[itemKey("blanket "+b.Row.Name)] || paid[itemKey("surface of blanket "+b.Row.Name)] ||
			paid["compacted "+material] || paid["bank "+material] || paid["loose "+material] || paid["bought "+material] {
			continue
		}
		out = append(out, UnpaidWork{Key: "blanket", Subject: b.Row.Name, What: "building blanket " + b.Row.Name, State: "compacted", Volume: b.Compacted, UnitCost: nan})
	}
	return out
}
