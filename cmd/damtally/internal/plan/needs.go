package plan

import (
	"math"
	"slices"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/earthwork"
)

// materials works out what the dam takes of each material, in all three states.
func (j *Job) materials(d earthwork.Design, q earthwork.Quantities) []Material {
	return j.materialsBy(q, nil, nil)
}

// materialsBy is materials with the split of some zones over their materials
// given, by zone and material in compacted m3, and the loss of some materials.
func (j *Job) materialsBy(q earthwork.Quantities, splits map[string]map[string]float64, losses map[string]float64) []Material {
	out := make([]Material, len(j.soils))
	index := map[string]int{}
	pits := j.pitsBeside(&q)
	for i := range j.soils {
		s := &j.soils[i]
		index[s.row.Name] = i
		out[i] = Material{
			Row: s.row, Bought: s.bought, Lab: s.lab, Samples: s.samples,
			Factors: s.factors, Known: s.known, Loss: j.loss(s, pits),
		}
		if loss, ok := losses[s.row.Name]; ok {
			out[i].Loss = loss
		}
	}
	left := j.withReserve(q, pits)
	j.blanketNeeds(out, index, left)
	for zone, z := range q.Zones {
		portions := j.shares(zone, z.Compacted, left, pits)
		if by := splits[z.Zone]; by != nil {
			resplit(portions, by, j.isDug, z.Compacted)
		}
		for _, p := range portions {
			m := &out[index[p.Material]]
			m.Shares = append(m.Shares, Share{Zone: zone, Fraction: p.Fraction, Compacted: p.Compacted})
			m.Compacted += p.Compacted
			left[p.Material] -= p.Bank
		}
	}
	for i := range out {
		out[i].states()
		out[i].Spread = j.spreadFor(&j.soils[i], &out[i])
		out[i].Moisture = j.moisture(&j.soils[i], &out[i])
	}
	return out
}

// states carries a material's compacted volume to the bank, the truck and the
// scale.
func (m *Material) states() {
	m.Bank, m.Loose = math.NaN(), math.NaN()
	if m.Bought {
		// Waste is a share of what is bought, as loss is of what is dug.
		m.Mass = borrow.DryMass(m.Compacted, m.Row.PlacedDensity.Value) / (1 - m.Row.Waste.Value)
		return
	}
	m.DryMass = borrow.DryMass(m.Compacted, m.Factors.Fill.Value)
	if !m.Known {
		return
	}
	m.Bank = borrow.BankFor(m.Compacted, m.Factors.Shrink, m.Loss)
	if m.Factors.LoadFactor > 0 {
		m.Loose = borrow.LooseFor(m.Bank, m.Factors.Swell)
	}
}

// shares divides a zone over its materials, in the order in which the table
// names them, by what is left in the pits.
func (j *Job) shares(zone int, compacted float64, left map[string]float64, pits []Pit) []borrow.Portion {
	names := j.zoneMaterials(zone)
	sources := make([]borrow.Source, 0, len(names))
	for _, name := range names {
		s := j.soil(name)
		if s == nil {
			continue
		}
		source := borrow.Source{Material: name, Shrink: s.factors.Shrink, Loss: j.loss(s, pits), Bank: left[name]}
		if s.bought {
			source.Bank = math.Inf(1)
		}
		if !s.known || s.bought {
			source.Shrink = 1 // carries no meaning: nothing is dug for it
		}
		sources = append(sources, source)
	}
	portions, err := borrow.Share(compacted, sources)
	if err != nil { // the factors were checked when the job was prepared
		return nil
	}
	return portions
}

// withReserve is how much of each material may be dug, bank m3, so that the
// reserve is left of all that there is of it: in its pits, and beside them in cuts,
// heaps and the trench.
func (j *Job) withReserve(q earthwork.Quantities, pits []Pit) map[string]float64 {
	out := map[string]float64{}
	for i := range pits {
		for _, m := range pits[i].ByMaterial {
			out[m.Material] += m.Bank
		}
	}
	for _, s := range j.supplies(&Result{Quantities: q, Pits: pits, Cuts: j.cuts}) {
		if s.pit < 0 {
			out[s.Material] += s.Bank
		}
	}
	set := j.site.Settings
	for name, held := range out {
		share := held / set.ReserveRatio
		s := j.soil(name)
		if set.ReserveOn != "bank" && s != nil && s.known {
			// The ratio multiplies the compacted volume that comes of it.
			share = borrow.BankFor(share, s.factors.Shrink, j.loss(s, pits))
		}
		out[name] = min(held, share)
	}
	return out
}

// loss is the share of what is dug that never reaches the dam. Pits that state
// a loss of their own stand for the material's, each by the share of the
// material that it holds.
func (j *Job) loss(s *soilOf, pits []Pit) float64 {
	held, lost := 0.0, 0.0
	alike := true
	for i := range pits {
		for _, m := range pits[i].ByMaterial {
			if m.Material == s.row.Name {
				held += m.Bank
				lost += m.Bank * m.Loss
				alike = alike && m.Loss == s.row.Loss.Value
			}
		}
	}
	if held == 0 || alike {
		return s.row.Loss.Value
	}
	return lost / held
}

// balance sets need against supply for every material that is dug.
func (j *Job) balance(r *Result) []Balance {
	set := j.site.Settings
	var out []Balance
	for _, m := range r.Materials {
		if m.Bought || (!m.used() && !j.inPits(m.Row.Name) && m.Row.Source != "strip") {
			continue
		}
		b := Balance{
			Material: m.Row.Name, Compacted: m.Compacted, Needed: m.Bank,
			ReserveOn: set.ReserveOn, ReserveRatio: set.ReserveRatio,
		}
		for i, p := range r.Pits {
			if p.has(m.Row.Name) {
				b.Pits = append(b.Pits, i)
				b.Available += p.Holds(m.Row.Name)
			}
		}
		beside := 0.0
		b.Beside = j.besidePits(r, m.Row.Name)
		for _, s := range b.Beside {
			beside += s.Bank
		}
		b.Available += beside
		said := len(j.site.Pits) > 0 || beside > 0 // of what is available
		reserve := borrow.Reserve{Ratio: set.ReserveRatio, OnBank: set.ReserveOn == "bank"}
		w := borrow.Weigh(borrow.Need{Material: m.Row.Name, Compacted: m.Compacted, Bank: m.Bank}, b.Available, reserve)
		b.Base, b.Required, b.Ratio, b.Short = w.Base, w.Required, w.Ratio, w.Short
		if !w.Known && !reserve.OnBank {
			// Without a bank need the reserve on the compacted volume still
			// says what must be available at the least.
			b.Required = reserve.Ratio * m.Compacted
		}
		if w.Known && said {
			enough := w.Enough
			b.Enough = &enough
		} else {
			b.Short = 0
		}
		if !said {
			b.Ratio = math.NaN()
		}
		b.chanceEnough(&m, r.Pits, beside)
		out = append(out, b)
	}
	return out
}

// inPits tells whether a pit holds the material.
func (j *Job) inPits(name string) bool {
	return slices.ContainsFunc(j.pits, func(p Pit) bool { return p.has(name) })
}
