package plan

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// HaulRoad is the road from a source of soil to a reach of the dam, one way.
type HaulRoad struct {
	Length         float64 // m
	Grade, Rolling float64 // fractions, as the table says; 0 where it says neither
	By             string  // "truck", "scraper" or "push"
	Typed          bool    // from the table `hauls`, else a straight line with its winding
	Ref            site.Ref

	// Start and End are where the haul begins and where it meets the dam, in the
	// job's coordinates; both known only if Placed. The course between is not.
	Start, End orb.Point
	Placed     bool
}

// haulRoad is the road from a source (pit, cut or stockpile) to a reach of the dam
// between the stations from and to, with at the middle of the reach on the
// centreline: the row of `hauls` that fits, the most narrowly meant first; without
// one the straight line from start times the site's winding, where start is known
// (located). false when nothing says how far it is.
func (j *Job) haulRoad(source string, start orb.Point, located bool, zone string, at orb.Point, from, to float64) (HaulRoad, bool) {
	if row := j.haulRow(source, zone, (from+to)/2); row != nil {
		road := HaulRoad{Length: row.Length, By: row.By, Typed: true, Ref: row.Ref, Grade: row.Grade.Value, Rolling: row.RollingResistance.Value, Start: start, End: at, Placed: located}
		if road.By == "" {
			road.By = "truck"
		}
		if row.Grade.Given && !row.RollingResistance.Given {
			road.Rolling = borrow.RollingOn(0)
		}
		return road, true
	}
	if !located {
		return HaulRoad{}, false
	}
	return HaulRoad{Length: planar.Distance(start, at) * j.site.Settings.HaulWinding.Or(1), By: "truck", Start: start, End: at, Placed: true}, true
}

// haulRow is the row of `hauls` for a source, a zone and a station, nil when none
// fits. A row that names a zone goes before one that names none, then one with
// stations before one without, then the one higher up.
func (j *Job) haulRow(source, zone string, station float64) *site.Haul {
	var best *site.Haul
	narrow := -1
	for i := range j.site.Hauls {
		h := &j.site.Hauls[i]
		if h.Pit != source || h.Zone != "" && h.Zone != zone || station < h.FromStation.Or(math.Inf(-1)) || station > h.ToStation.Or(math.Inf(1)) {
			continue
		}
		n := 0
		if h.Zone != "" {
			n += 2
		}
		if h.FromStation.Given || h.ToStation.Given {
			n++
		}
		if n > narrow {
			best, narrow = h, n
		}
	}
	return best
}

// HaulRate is how one load travels a road, and what that costs.
type HaulRate struct {
	Machine int // index into Site.Fleet of what carries, -1 for none
	Loader  int // index of what loads it, -1 for none or not in the table
	Truck   string
	Buckets int // of the loader in one load, 0 where it was not worked out

	LoadVolume float64 // loose m3, NaN when not known
	BoundBy    borrow.Bound
	Cycle      borrow.Cycle
	// CyclePerLoad is the round trip, s, at full work; NaN when not known.
	CyclePerLoad float64
	Efficiency   float64 // of what carries
	LoadTime     float64 // of the loading place, s at full work; NaN when not known
	LoadEff      float64 // efficiency of what loads
	// CostPerLoose is the cost to load and carry one loose m3 by working hours, NaN
	// when no cost is known.
	CostPerLoose float64
	Lacks        []string // what the cycle lacks, in the table's words
}

// usualEfficiency is an hour of 50 working minutes, common practice and that of
// US Army FM 5-434 (2000).
const usualEfficiency = 50.0 / 60

// EfficiencyOf is the working share of an hour of a machine: its own, else the usual.
func EfficiencyOf(m *site.Machine) float64 { return m.Efficiency.Or(usualEfficiency) }

// haulCost is how soil of a loose density with its water, kg/m3 (NaN when not
// known), travels a road: by the machine of the fleet that costs least for it;
// where costs are not known by the one that needs least time for it; else by the
// first that carries a known load. Machine is -1 when the fleet has none.
func (j *Job) haulCost(road HaulRoad, loose float64) HaulRate {
	best := HaulRate{Machine: -1, Loader: -1, LoadVolume: math.NaN(), CyclePerLoad: math.NaN(), LoadTime: math.NaN(), CostPerLoose: math.NaN()}
	for i := range j.site.Fleet {
		m := &j.site.Fleet[i]
		if m.Kind != carrierOf[road.By] || m.Count.Given && m.Count.Value == 0 {
			continue
		}
		if r := j.carry(i, road, loose); best.Machine < 0 || r.better(best) {
			best = r
		}
	}
	return best
}

// carrierOf is the kind of machine that hauls in a way.
var carrierOf = map[string]string{"truck": "truck", "scraper": "scraper", "push": "dozer"}

// better says that a rate serves better than another.
func (r HaulRate) better(than HaulRate) bool {
	known := func(x float64) int {
		if math.IsNaN(x) {
			return 0
		}
		return 1
	}
	perLoose := func(h HaulRate) float64 { return h.CyclePerLoad / h.Efficiency / h.LoadVolume }
	switch {
	case known(r.CostPerLoose) != known(than.CostPerLoose):
		return known(r.CostPerLoose) > known(than.CostPerLoose)
	case known(r.CostPerLoose) == 1:
		return r.CostPerLoose < than.CostPerLoose
	case known(perLoose(r)) != known(perLoose(than)):
		return known(perLoose(r)) > known(perLoose(than))
	case known(perLoose(r)) == 1:
		return perLoose(r) < perLoose(than)
	}
	return known(r.LoadVolume) > known(than.LoadVolume)
}

// carry works out how one machine of the fleet carries on a road.
func (j *Job) carry(i int, road HaulRoad, loose float64) HaulRate {
	m := &j.site.Fleet[i]
	r := HaulRate{Machine: i, Loader: -1, Truck: m.Name, Efficiency: EfficiencyOf(m), LoadTime: math.NaN(), LoadEff: 1, CostPerLoose: math.NaN()}
	h := haulerOf(m)
	r.LoadVolume, r.BoundBy = h.Load(loose)
	j.loadTime(&r, &h, m, loose)
	if road.By == "push" {
		h.LoadTime, h.DumpTime = m.LoadTime.Value, m.DumpTime.Value // the blade fills while it pushes
	}
	r.Cycle = h.Cycle(borrow.Road{Length: road.Length, Grade: road.Grade, Rolling: road.Rolling}, r.LoadVolume*loose)
	r.CyclePerLoad = r.Cycle.Total()
	r.Lacks = lacksOf(m, h, r.LoadVolume)
	if m.CostPerHour.Given {
		cost := borrow.Hours(1, r.CyclePerLoad, r.Efficiency) * m.CostPerHour.Value
		if r.Loader >= 0 {
			cost += borrow.Hours(1, r.LoadTime, r.LoadEff) * j.site.Fleet[r.Loader].CostPerHour.Value
		}
		r.CostPerLoose = cost / r.LoadVolume
	}
	return r
}

// haulerOf is a machine of the fleet as one that carries; what is blank is NaN or
// 0 as package borrow has it.
func haulerOf(m *site.Machine) borrow.Hauler {
	return borrow.Hauler{
		Body:     bodyOf(m),
		LoadTime: m.LoadTime.Or(math.NaN()), DumpTime: m.DumpTime.Or(math.NaN()),
		Loaded: m.LoadedSpeed.Or(math.NaN()), Empty: m.EmptySpeed.Or(math.NaN()),
		Mass: m.Weight.Value, Power: m.Power.Value,
	}
}

func bodyOf(m *site.Machine) borrow.Body {
	return borrow.Body{Capacity: m.Capacity.Value, Fill: m.BucketFill.Or(1), Payload: m.Payload.Value}
}

// loadTime finds how long a machine stands to be filled: its own time, else that of
// the loader in the fleet that costs least for it.
func (j *Job) loadTime(r *HaulRate, h *borrow.Hauler, m *site.Machine, loose float64) {
	if m.Kind == "truck" {
		j.chooseLoader(r, loose)
	}
	switch {
	case m.Kind != "truck": // it fills itself
	case m.LoadTime.Given: // typed, so measured: it goes before the buckets
		r.LoadTime, r.Buckets = m.LoadTime.Value, 0
	case r.Loader >= 0:
		h.LoadTime = r.LoadTime
	}
}

// chooseLoader picks the machine that loads: of those with a bucket and a time for
// it the one that costs least for this load, or where that is not known needs least
// time; the higher up of those alike.
func (j *Job) chooseLoader(r *HaulRate, loose float64) {
	best := math.Inf(1)
	for i := range j.site.Fleet {
		m := &j.site.Fleet[i]
		bucket, _ := bodyOf(m).Load(loose)
		if m.Kind != "loader" && m.Kind != "excavator" || !m.LoadTime.Given || m.Count.Given && m.Count.Value == 0 || !(bucket > 0 && r.LoadVolume > 0) {
			continue
		}
		seconds, buckets := borrow.FillTime(r.LoadVolume, bucket, m.LoadTime.Value)
		efficiency := EfficiencyOf(m)
		worth := borrow.Hours(1, seconds, efficiency) * m.CostPerHour.Or(1)
		if worth < best {
			best = worth
			r.Loader, r.LoadTime, r.Buckets, r.LoadEff = i, seconds, buckets, efficiency
		}
	}
}

// lacksOf lists what a cycle lacks, in the words of the table.
func lacksOf(m *site.Machine, h borrow.Hauler, load float64) []string {
	var out []string
	for _, c := range []struct {
		missing bool
		words   string
	}{
		{math.IsNaN(load), "`capacity`"},
		{math.IsNaN(h.LoadTime), "`load time`, or a loader with a capacity and a load time"},
		{math.IsNaN(h.DumpTime), "`dump time`"},
		{math.IsNaN(h.Loaded), "`loaded speed`"},
		{math.IsNaN(h.Empty), "`empty speed`"},
	} {
		if c.missing {
			out = append(out, c.words)
		}
	}
	return out
}

// wetLoose is the density of a material in trucks, with its water, kg/m3: its loose
// dry density, or bank dry density / (1 + swell), times 1 + the water content that
// its bank tests in a pit show, in all pits with pit blank or untested. NaN where a
// part is not known.
func (j *Job) wetLoose(material, pit string) float64 {
	s := j.soil(material)
	if s == nil {
		return math.NaN()
	}
	dry := math.NaN()
	f := s.factors
	switch {
	case f.Loose.Value > 0:
		dry = f.Loose.Value
	case f.Bank.Value > 0 && f.LoadFactor > 0:
		dry = f.Bank.Value * f.LoadFactor
	}
	water := j.naturalWater(material, pit)
	if !water.known() && pit != "" {
		water = j.naturalWater(material, "")
	}
	if !water.known() {
		return math.NaN()
	}
	return borrow.WetDensity(dry, water.content)
}
