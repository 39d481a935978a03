package site

import (
	"fmt"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Limits that guard against percent taken for fractions and the other way
// round: 95 % typed as 0.95 under (%) reads as 0.0095.
const (
	leastCompaction, mostCompaction = 0.5, 1.3
	mostWindow                      = 0.3
	leastShrink, mostShrink         = 0.3, 2
	mostSwell                       = 2
	leastGravity, mostGravity       = 1.5, 5
)

func (r *reading) checkMaterials() {
	for i := range r.site.Zones {
		r.uniqueMaterials(&r.site.Zones[i])
	}
	for i := range r.site.Materials {
		m := &r.site.Materials[i]
		r.checkShares(m)
		r.checkWindow(m)
		if m.Source == "bought" && !m.PlacedDensity.Given {
			r.wrong(m.Ref, "placed density", "bought stone needs it, since it is paid by mass", "fill it in")
		}
		if d := m.PlacedDensity; d.Given && (d.Value < leastDensity || d.Value > mostDensity) {
			r.wrong(m.Ref, "placed density", "is "+r.shown("materials", "placed density", d.Value, "kg/m3")+", which no soil or stone has", "look at the number and at the header's unit")
		}
	}
}

// checkShares checks the ratios of a material against what they can be.
func (r *reading) checkShares(m *Material) {
	within := func(column string, n Number, least, most float64, example string) {
		if n.Given && (n.Value < least || n.Value > most) {
			r.wrong(m.Ref, column, "reads as "+short(100*n.Value)+" %", "look at the header's unit: write such as "+example)
		}
	}
	within("required compaction", m.RequiredCompaction, leastCompaction, mostCompaction, "95 under (%), or 0.95 under (-)")
	within("expected compaction", m.ExpectedCompaction, leastCompaction, mostCompaction, "97 under (%), or 0.97 under (-)")
	within("shrink factor", m.ShrinkFactor, leastShrink, mostShrink, "0.9 under (-), or 90 under (%)")
	within("swell", m.Swell, 0, mostSwell, "25 under (%), or 0.25 under (-)")
	within("liquid limit", m.LiquidLimit, 0, 10, "40 under (%), or 0.4 under (-)")
	within("plasticity index", m.Plasticity, 0, 10, "20 under (%), or 0.2 under (-)")
	within("fines", m.Fines, 0, 1, "60 under (%), or 0.6 under (-)")
	r.checkLoss(m.Ref, "loss", m.Loss)
	r.checkLoss(m.Ref, "waste", m.Waste)
	if g := m.SpecificGravity; g.Given && (g.Value < leastGravity || g.Value > mostGravity) {
		r.wrong(m.Ref, "specific gravity", "is "+short(g.Value)+", which no soil or stone has", "write such as 2.70")
	}
	if m.ExpectedCompaction.Given && m.ExpectedCompaction.Value < m.RequiredCompaction.Value {
		r.note("look", m.Ref, "the expected compaction of "+m.Name+" is below the required one: half the tests would fail")
	}
}

// checkLoss: what is lost is a share of what is dug, less than all of it.
func (r *reading) checkLoss(ref Ref, column string, n Number) {
	if n.Given && n.Value >= 1 {
		r.wrong(ref, column, "is "+short(100*n.Value)+" %, so nothing would reach the dam", "look at the header's unit: write such as 5 under (%)")
	}
}

func (r *reading) checkWindow(m *Material) {
	if m.WaterLow.Given && m.WaterHigh.Given && m.WaterLow.Value > m.WaterHigh.Value {
		r.wrong(m.Ref, "water content low", "is above `water content high`", "swap the two")
	}
	for _, c := range []struct {
		column string
		n      Number
	}{{"water content low", m.WaterLow}, {"water content high", m.WaterHigh}} {
		if c.n.Value > mostWindow || c.n.Value < -mostWindow {
			r.wrong(m.Ref, c.column, "is "+short(100*c.n.Value)+" points from optimum", "write points from optimum under (%), such as -2 or 3")
		}
	}
}

func (r *reading) checkProctor() {
	effort := map[string]LabPoint{}
	for i := range r.site.Proctor {
		p := &r.site.Proctor[i]
		p.Material = r.material(p.Ref, p.Material)
		k := key(p.Sample)
		first, ok := effort[k]
		if !ok || k == "" {
			effort[k] = *p
			continue
		}
		p.Sample = first.Sample
		if key(first.Material) != key(p.Material) && first.Material != "" && p.Material != "" {
			r.wrong(p.Ref, "sample", fmt.Sprintf("%s is of another material in row %d", units.Quote(p.Sample), first.Ref.Row), "give each sample its own name")
		} else if first.Effort != p.Effort && first.Effort != "" && p.Effort != "" {
			r.wrong(p.Ref, "effort", fmt.Sprintf("sample %s has another effort in row %d", units.Quote(p.Sample), first.Ref.Row), "give each compaction test its own sample name")
		}
	}
}

func (r *reading) checkTests() {
	for i := range r.site.Density {
		d := &r.site.Density[i]
		d.Material = r.material(d.Ref, d.Material)
		d.Pit = r.referIn(d.Ref, "pit", d.Pit, "pits", "no pit of the table pits")
		d.Zone = r.referIn(d.Ref, "zone", d.Zone, "zones", "no zone of the table zones")
		d.Sample = r.referIn(d.Ref, "sample", d.Sample, "proctor", "no sample of the table proctor")
		if d.RetestOf == "" {
			continue
		}
		if key(d.RetestOf) == key(d.ID) {
			r.wrong(d.Ref, "retest of", "names the test itself", "name the failed test that this one repeats")
			continue
		}
		d.RetestOf = r.refer(d.Ref, "retest of", d.RetestOf, "density", "no id of the table density")
	}
}
