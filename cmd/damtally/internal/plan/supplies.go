package plan

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// supply is soil of one material in one place, with where its haul begins.
type supply struct {
	borrow.Supply
	start   orb.Point
	located bool
	pit     int     // index into Job.pits, -1 for other places
	extra   float64 // money for one bank m3 beside load and haul: rehandling
	dug     bool    // it is dug in any case, so that loading it costs nothing more
}

// supplies lists all soil that may go into the dam and whose factors are known:
// the pits by material, usable cuts, stockpiles, the trench and topsoil.
func (j *Job) supplies(r *Result) []supply {
	var out []supply
	for i := range r.Pits {
		p := &r.Pits[i]
		start, located := j.haulStart(p)
		for _, m := range p.ByMaterial {
			if s, ok := j.supplyOf(p.Row.Name, borrow.FromPit, m.Material, m.Bank); ok {
				s.Loss, s.start, s.located, s.pit = m.Loss, start, located, i
				s.Place = i
				out = append(out, s)
			}
		}
	}
	for i := range r.Cuts {
		c := &r.Cuts[i]
		if !c.Usable {
			continue
		}
		if s, ok := j.supplyOf(c.Row.Name, borrow.FromCut, c.Row.Material, c.Capacity.Bank); ok {
			s.start, _ = planar.CentroidArea(j.local(c.Row.Ring))
			s.located, s.dug = true, true
			out = append(out, s)
		}
	}
	out = append(out, j.heaps()...)
	if name := j.trenchMaterial(); name != "" {
		if s, ok := j.supplyOf(trenchName, borrow.FromTrench, name, r.Quantities.Trench); ok {
			s.dug = true
			s.start, s.located = j.middleOfDam(r)
			out = append(out, s)
		}
	}
	return append(out, j.topsoilSupplies(r)...)
}

// middleOfDam is the middle of the dam on the centreline; false without one.
func (j *Job) middleOfDam(r *Result) (orb.Point, bool) {
	n := len(r.Quantities.Sections)
	if n == 0 {
		return orb.Point{}, false
	}
	return j.onCentreline((r.Quantities.Sections[0].Station + r.Quantities.Sections[n-1].Station) / 2)
}

// trenchName names the cutoff trench as a source of soil.
const trenchName = site.CutoffTrench

// supplyOf is soil of a material; false when its factors are not known.
func (j *Job) supplyOf(name string, kind borrow.SupplyKind, material string, bank float64) (supply, bool) {
	m := j.soil(material)
	if m == nil || m.bought || !m.known || !(bank > 0) {
		return supply{}, false
	}
	return supply{
		Supply: borrow.Supply{
			Name: name, Kind: kind, Material: material, Bank: bank, Place: -1,
			Shrink: m.factors.Shrink, Loss: m.row.Loss.Value, BankDensity: m.factors.Bank.Value,
		},
		pit: -1,
	}, true
}

// isDug tells whether a material is dug for the dam and its factors are known.
func (j *Job) isDug(material string) bool {
	s := j.soil(material)
	return s != nil && !s.bought && s.known
}

// haulStart is where the haul from a pit begins: the point that its row gives,
// else the middle of its outline.
func (j *Job) haulStart(p *Pit) (orb.Point, bool) {
	if p.Row.HaulFromX.Given && p.Row.HaulFromY.Given {
		return j.here(orb.Point{p.Row.HaulFromX.Value, p.Row.HaulFromY.Value}), true
	}
	if len(p.Row.Ring) == 0 {
		return orb.Point{}, false
	}
	at, _ := planar.CentroidArea(j.local(p.Row.Ring))
	return at, j.place.Centreline != nil
}

// heaps lists the stockpiles. What lies in one is loose; it counts by the bank
// volume that it was.
func (j *Job) heaps() []supply {
	var out []supply
	for _, row := range j.site.Stockpiles {
		m := j.soil(row.Material)
		if m == nil || !row.Volume.Given || !(m.factors.LoadFactor > 0) {
			continue
		}
		s, ok := j.supplyOf(row.Name, borrow.FromStockpile, row.Material, borrow.BankInLoose(row.Volume.Value, m.factors.LoadFactor))
		if !ok {
			continue
		}
		s.start, s.located = j.here(row.At), j.place.Centreline != nil
		s.dug = row.RehandleCost.Given // which is the loading
		// The cost is for one loose yd3 or m3, whichever the results are in.
		s.extra = row.RehandleCost.Value / j.system.Volume.SI / m.factors.LoadFactor
		out = append(out, s)
	}
	return out
}

// noteStockpiles tells of heaps that cannot be counted, and why. It is called
// once, when the job is prepared.
func (j *Job) noteStockpiles() {
	for _, row := range j.site.Stockpiles {
		m := j.soil(row.Material)
		why := ""
		switch {
		case !row.Volume.Given:
			why = "its volume is blank"
		case m == nil:
			why = "no zone or blanket takes " + row.Material
		case m.bought:
			why = row.Material + " is bought, which is ordered whole"
		case !m.known:
			why = "no factors of " + row.Material + " are known"
		case !(m.factors.LoadFactor > 0):
			why = "no swell of " + row.Material + " is known, which turns a heap into bank volume"
		default:
			j.note("note", row.Ref, fmt.Sprintf("stockpile %s: %s count as %s of %s, by its swell; a heap that has settled holds more",
				row.Name, j.volume(row.Volume.Value, "loose"), j.volume(borrow.BankInLoose(row.Volume.Value, m.factors.LoadFactor), "bank"), row.Material), "")
			continue
		}
		j.note("look", row.Ref, fmt.Sprintf("stockpile %s is not counted: %s", row.Name, why), "")
	}
}

// BesidePits is soil for the dam that is in no pit, bank m3 before loss.
type BesidePits struct {
	Source string
	Kind   borrow.SupplyKind
	Bank   float64
}

// Holders names in words what holds the material: "the pits", or also what lies
// beside them.
func (b *Balance) Holders() string {
	switch {
	case len(b.Beside) == 0:
		return "the pits"
	case len(b.Pits) == 0:
		return "the sources beside the pits"
	}
	return "the pits and the sources beside them"
}

// besidePits lists what there is of a material beside the pits.
func (j *Job) besidePits(r *Result, material string) []BesidePits {
	var out []BesidePits
	for _, s := range j.supplies(r) {
		if s.pit < 0 && s.Material == material {
			out = append(out, BesidePits{s.Name, s.Kind, s.Bank})
		}
	}
	return out
}

// loosePerBank is the loose volume of one bank m3; NaN when no swell is known.
func (j *Job) loosePerBank(material string) float64 {
	s := j.soil(material)
	if s == nil || !(s.factors.LoadFactor > 0) {
		return math.NaN()
	}
	return borrow.LooseFor(1, s.factors.Swell)
}
