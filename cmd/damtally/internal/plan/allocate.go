package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// way is a route with the road that it takes.
type way struct {
	supply, demand int
	road           HaulRoad
	known          bool // something says how far it is
	haul           HaulRate
	rate           float64 // cost of one bank m3, NaN when not known
}

// feed works out who feeds what, and takes over from it the losses of the pits
// that are used and, where the least cost decided it, the split of zones over
// several materials.
func (j *Job) feed(r *Result) {
	a, err := j.allocate(r)
	if err != nil { // the plan stands without who feeds what
		ref := site.Ref{Table: "pits"}
		var dear *dearError
		if errors.As(err, &dear) {
			ref = dear.ref
		}
		r.Notes = append(r.Notes, site.Note{Level: "look", Ref: ref, Text: fmt.Sprintf(
			"who feeds what is left out, since it could not be worked out: %v", err)})
		return
	}
	r.Allocation = a
	if a != nil {
		r.Materials = j.materialsBy(r.Quantities, a.splits(), a.losses())
	}
}

// dearError says that a haul costs more than any number can tell.
type dearError struct {
	ref  site.Ref
	text string
}

func (e *dearError) Error() string { return e.text }

// inWords turns a question that cannot be into words of the tables. Rows are
// checked before, so that it can only be a product of several of them: a cost.
func (j *Job) inWords(err error, supplies []supply, demands []demand, ways []way) error {
	var wrong *borrow.TransportError
	if !errors.As(err, &wrong) || wrong.Part != "route" {
		return err
	}
	w := &ways[wrong.Index]
	out := &dearError{site.Ref{Table: "fleet"}, fmt.Sprintf(
		"the haul from %s to %s comes to a cost beyond all numbers; look at the costs, speeds and efficiencies in `fleet` and at the length of the road",
		supplies[w.supply].Name, demands[w.demand].Zone)}
	if w.haul.Machine >= 0 {
		out.ref = j.site.Fleet[w.haul.Machine].Ref
	}
	return out
}

// allocate works out who feeds what. It returns nil when there is nothing to
// share out.
func (j *Job) allocate(r *Result) (*Allocation, error) {
	supplies := j.supplies(r)
	if len(supplies) == 0 {
		return nil, nil
	}
	free := j.mayChoose()
	demands := j.demands(r, free)
	ways := j.ways(r, supplies, demands)
	if len(demands) == 0 || len(ways) == 0 {
		return nil, nil
	}
	out := &Allocation{Basis: basisOf(ways)}
	q := j.question(supplies, demands, ways, out.Basis)
	a, err := q.Allocate()
	if err != nil {
		return nil, j.inWords(err, supplies, demands, ways)
	}
	out.Moving, out.Opening, out.Cases = a.Moving, a.Opening, a.Cases
	j.flows(out, a, supplies, demands, ways)
	out.used(a, supplies)
	for i := range out.Supplies {
		out.Supplies[i].Words = j.savingWords(out, &out.Supplies[i])
	}
	out.lacking(a, supplies, demands)
	for _, l := range a.Unheld {
		out.Unheld = append(out.Unheld, l.Name)
	}
	out.Over = a.Over
	for _, d := range demands {
		if len(d.materials) > 1 && !slices.Contains(out.Free, d.Zone) {
			out.Free = append(out.Free, d.Zone)
		}
	}
	return out, nil
}

// mayChoose tells whether the least cost may decide which material fills a zone
// of several: only where haul roads or costs say that somebody weighed them.
func (j *Job) mayChoose() bool {
	if len(j.site.Hauls) > 0 {
		return true
	}
	for _, m := range j.site.Fleet {
		if m.CostPerHour.Given {
			return true
		}
	}
	return false
}

// ways lists which supply may feed which demand, with road and rate.
func (j *Job) ways(r *Result, supplies []supply, demands []demand) []way {
	var out []way
	for i := range supplies {
		s := &supplies[i]
		pit := ""
		if s.Kind == borrow.FromPit {
			pit = s.Name
		}
		loose := j.loosePerBank(s.Material)
		wet := j.wetLoose(s.Material, pit)
		water := j.waterCost(r, s, pit)
		for k := range demands {
			d := &demands[k]
			if !slices.Contains(d.materials, s.Material) {
				continue
			}
			w := way{supply: i, demand: k}
			w.road, w.known = j.haulRoad(s.Name, s.start, s.located && d.located, d.Zone, d.at, d.From, d.To)
			w.haul = HaulRate{Machine: -1, Loader: -1, LoadVolume: math.NaN(), CostPerLoose: math.NaN()}
			if w.known {
				w.haul = j.haulCost(w.road, wet)
			}
			w.rate = w.haul.CostPerLoose*loose + s.extra + water
			if s.dug && w.haul.Loader >= 0 {
				w.rate -= loose * j.loadingCost(&w.haul)
			}
			out = append(out, w)
		}
	}
	return out
}

// loadingCost is what loading one loose m3 costs.
func (j *Job) loadingCost(h *HaulRate) float64 {
	return borrow.Hours(1, h.LoadTime, h.LoadEff) * j.site.Fleet[h.Loader].CostPerHour.Value / h.LoadVolume
}

// waterCost is what the water costs that one bank m3 of a supply needs before it
// can be rolled, brought by the water truck of the fleet; 0 where none is
// needed or no cost is known.
func (j *Job) waterCost(r *Result, s *supply, pit string) float64 {
	one := Flow{
		Source: pit, Kind: s.Kind, Material: s.Material, Bank: 1,
		Loose: j.loosePerBank(s.Material), Compacted: borrow.CompactedFrom(1, s.Shrink, s.Loss),
	}
	stage, ok := j.watering(materialNamed(r, s.Material), &one)
	if !ok || stage.Machine < 0 || !(stage.Each > 0) {
		return 0
	}
	return one.Loose / stage.Each / secondsInHour * j.site.Fleet[stage.Machine].CostPerHour.Value
}

const secondsInHour = 3600

// basisOf is what can be made least: money where it is known on every way, else
// distance where that is, else the volume dug.
func basisOf(ways []way) AllocationBasis {
	basis := ByCost
	for _, w := range ways {
		if math.IsNaN(w.rate) && basis == ByCost {
			basis = ByDistance
		}
		if !w.known {
			return ByVolume
		}
	}
	return basis
}

// in is the cost of one bank m3 on a way in the unit of a basis.
func (w *way) in(basis AllocationBasis) float64 {
	switch basis {
	case ByCost:
		return max(0, w.rate)
	case ByDistance:
		return w.road.Length
	}
	return 1
}

// question puts the parts together. Opening costs count only beside other money.
func (j *Job) question(supplies []supply, demands []demand, ways []way, basis AllocationBasis) *borrow.Transport {
	q := &borrow.Transport{}
	for _, p := range j.pits {
		place := borrow.Place{Name: p.Row.Name, Least: p.Row.LeastUse.Value, Most: p.Row.MostUse.Or(math.Inf(1))}
		if basis == ByCost {
			place.Cost = p.Row.OpeningCost.Value
		}
		q.Places = append(q.Places, place)
	}
	for _, s := range supplies {
		q.Supplies = append(q.Supplies, s.Supply)
	}
	for _, d := range demands {
		q.Demands = append(q.Demands, d.Demand)
	}
	q.Limits = j.reserves(supplies, demands)
	for _, w := range ways {
		q.Routes = append(q.Routes, borrow.Route{Supply: w.supply, Demand: w.demand, Cost: w.in(basis)})
	}
	return q
}

// reserves limits each material that a zone may choose to what leaves its reserve
// in the ground, since there is another to take.
func (j *Job) reserves(supplies []supply, demands []demand) []borrow.Limit {
	var names []string
	for _, d := range demands {
		if len(d.materials) > 1 {
			names = append(names, d.materials...)
		}
	}
	set := j.site.Settings
	var out []borrow.Limit
	for _, name := range unique(names) {
		l := borrow.Limit{Name: name}
		for i, s := range supplies {
			if s.Material != name {
				continue
			}
			l.Supplies = append(l.Supplies, i)
			most := s.Bank / set.ReserveRatio
			if set.ReserveOn != "bank" {
				// The ratio multiplies the compacted volume that comes of it.
				most = borrow.BankFor(most, s.Shrink, s.Loss)
			}
			l.Most += min(s.Bank, most)
		}
		out = append(out, l)
	}
	return out
}

// flows carries the answer's flows into the words of the site.
func (j *Job) flows(out *Allocation, a *borrow.Allocation, supplies []supply, demands []demand, ways []way) {
	for _, f := range a.Flows {
		w := &ways[f.Route]
		s, d := &supplies[w.supply], &demands[w.demand]
		flow := Flow{
			Source: s.Name, Kind: s.Kind, Material: s.Material, Zone: d.Zone, Blanket: d.zone < 0, From: d.From, To: d.To,
			Bank: f.Bank, Loose: f.Bank * j.loosePerBank(s.Material), Compacted: f.Compacted, DryMass: math.NaN(), Loss: s.Loss,
			Haul: math.NaN(), Road: w.road, Rate: w.in(out.Basis), Cost: f.Cost,
		}
		if s.BankDensity > 0 {
			flow.DryMass = f.DryMass
		}
		if w.known {
			flow.Haul = w.road.Length
		}
		flow.Loads = flow.Loose / w.haul.LoadVolume
		out.BankMetres += flow.Bank * flow.Haul
		out.Flows = append(out.Flows, flow)
	}
}

// splits is, by zone and material, how much of it the flows fill, compacted m3,
// for the zones that could choose. What is lacking is not in it.
func (out *Allocation) splits() map[string]map[string]float64 {
	by := map[string]map[string]float64{}
	for _, zone := range out.Free {
		by[zone] = map[string]float64{}
	}
	for _, f := range out.Flows {
		if to := by[f.Zone]; to != nil && !f.Blanket {
			to[f.Material] += f.Compacted
		}
	}
	return by
}

// losses is, by material, the loss of all that is dug of it, each source by what
// it gives. A material that is short is left out, since it is not known what
// would be dug in its place.
func (out *Allocation) losses() map[string]float64 {
	type sums struct {
		bank, kept, one float64
		unlike          bool
	}
	by := map[string]*sums{}
	for _, f := range out.Flows {
		s := by[f.Material]
		if s == nil {
			s = &sums{one: f.Loss}
			by[f.Material] = s
		}
		s.bank += f.Bank
		s.kept += f.Bank * (1 - f.Loss)
		s.unlike = s.unlike || f.Loss != s.one
	}
	loss := map[string]float64{}
	for name, s := range by {
		loss[name] = s.one
		if s.unlike {
			loss[name] = 1 - s.kept/s.bank
		}
	}
	for _, s := range out.Short {
		for _, name := range s.Materials {
			delete(loss, name)
		}
	}
	return loss
}

// resplit parts a zone's dug share over its materials as the flows have it. What
// is lacking falls to the first material, as borrow.Share has it; what only
// rounding leaves over, to the one that gives most.
func resplit(portions []borrow.Portion, by map[string]float64, open func(material string) bool, compacted float64) {
	total, first, most := 0.0, -1, -1
	for i := range portions {
		p := &portions[i]
		if !open(p.Material) {
			continue
		}
		total += p.Compacted
		p.Compacted = by[p.Material]
		if first < 0 {
			first = i
		}
		if most < 0 || p.Compacted > portions[most].Compacted {
			most = i
		}
	}
	if first < 0 {
		return
	}
	for i := range portions {
		if open(portions[i].Material) {
			total -= portions[i].Compacted
		}
	}
	if total <= sumTolerance*compacted {
		first = most
	}
	portions[first].Compacted += total
	for i := range portions {
		if compacted > 0 {
			portions[i].Fraction = portions[i].Compacted / compacted
		}
	}
}

// used adds up what is taken of each supply.
func (out *Allocation) used(a *borrow.Allocation, supplies []supply) {
	for i, s := range supplies {
		u := Supplied{Source: s.Name, Kind: s.Kind, Material: s.Material, Holds: s.Bank, Saving: a.Saving[i]}
		u.Closed = math.IsNaN(u.Saving)
		for _, f := range out.Flows {
			if f.Source == s.Name && f.Kind == s.Kind && f.Material == s.Material {
				u.Used += f.Bank
			}
		}
		u.Used = min(u.Used, u.Holds) // above it by rounding at the most
		out.Supplies = append(out.Supplies, u)
	}
}
