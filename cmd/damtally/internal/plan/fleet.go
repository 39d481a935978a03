package plan

import (
	"math"
	"slices"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// Haul is the work of moving what the allocation sends: loads, hours, cost and
// days. It is nil without a fleet or without an allocation.
type Haul struct {
	Moves    []Move        // one for each flow of the allocation, in its order
	Machines []MachineWork // the machines that work, in the order of the table

	BankMetres float64 // bank volume x road length, m3 m; NaN when a road is not known
	Loads      float64 // rounded up for each source, material and machine; NaN when not known
	TruckHours float64 // working hours of what carries; NaN when a cycle is not known
	Cost       float64 // of the working hours of all machines; NaN when no cost is known
	Standing   float64 // cost of the hours that they wait for each other, on top

	// Hours are the paid hours of the job, each move after the other at its pace; NaN
	// when the pace of a move is not known. Days are those hours in days of HoursPerDay.
	Hours, HoursPerDay, Days float64
	// Dry is the soil that lies too wet, by source and material. Drying is the fair days
	// that the first lots of it dry before they can be rolled, one after the other; they
	// come on top of Days.
	Dry    []DryLot
	Drying float64
	// Start and Finish are year-month-day, "" when the site gives no start. Never says
	// that the calendar leaves no day to finish on.
	Start, Finish string
	Never         bool
	// Slowest is the stage that sets the pace for most hours, SlowestHours.
	Slowest      string
	SlowestHours float64
}

// Move is one flow on its road, with the machines that load, haul and place it.
type Move struct {
	Flow   int     // index into Allocation.Flows, which holds the road
	Wet    float64 // density of the loose soil with its water, kg/m3; NaN when not known
	Rate   HaulRate
	Loads  float64 // not rounded; NaN when not known
	Stages []StageWork
	Pace   float64 // loose m3/s, of the slowest stage; NaN when not known
	Slow   int     // index into Stages
	Hours  float64 // paid hours that it takes
}

// StageWork is one stage of a move.
type StageWork struct {
	Name    string  // "loading", "hauling", "spreading", "discing", "grading", "watering", "rolling"
	Machine int     // index into Site.Fleet, -1 when the machine is not in the table
	Each    float64 // loose m3/s that one machine does, breaks taken off
	Lift    float64 // compacted, m, of a stage on the fill; 0 for the others
	Passes  int     // of a stage on the fill but watering
	Count   int     // that work; before the pace is known 0 for as many as keep up
	Hours   float64 // working hours of all of them together
	Paid    float64 // hours that they are on the job, working or waiting
}

// MachineWork is what one machine of the fleet does on the whole job.
type MachineWork struct {
	Machine  int // index into Site.Fleet
	Count    int // the most that work at a time
	Hours    float64
	Paid     float64
	Cost     float64 // of Hours; NaN without a cost per hour
	Standing float64 // cost of Paid less Hours
}

// placing are the kinds of machine that work on the fill and the name of what they
// do there, in the order of the work.
var placing = []struct{ kind, stage string }{
	{"dozer", "spreading"}, {"disc", "discing"}, {"grader", "grading"}, {"roller", "rolling"},
}

// stages lists what the soil of a move passes: loading, hauling, spreading, discing,
// grading, watering, rolling, as far as the fleet has machines for them whose rate is
// known. A cover without a required compaction is neither disced nor rolled.
func (j *Job) stages(r *Result, mv *Move, f *Flow, m *Material) []StageWork {
	out := j.carrying(mv, f.Road)
	if !(f.Compacted > 0) || math.IsNaN(f.Loose) {
		return out
	}
	for _, p := range placing {
		if p.stage == "rolling" {
			if s, ok := j.watering(m, f); ok {
				out = append(out, s)
			}
		}
		if p.kind == "dozer" && f.Road.By == "push" {
			continue // the dozer that pushes spreads as it goes
		}
		if p.kind != "dozer" && p.kind != "grader" && j.spreadOnly(f, m) {
			continue
		}
		if i, best := j.bestOnFill(r, m, p.kind, f.Compacted); i >= 0 {
			s := j.stage(p.stage, i, best.Production()*f.Loose/f.Compacted)
			s.Lift, s.Passes = best.Lift, best.Passes
			out = append(out, s)
		}
	}
	return out
}

// spreadOnly tells that soil is spread and left so: no compaction is required of it, and
// it was stripped or goes into a cover. Grass wants loose soil (common practice). Any
// other soil counts as rolled, so that hours are not left out of a bid where only the
// requirement was not typed.
func (j *Job) spreadOnly(f *Flow, m *Material) bool {
	if m.Row.RequiredCompaction.Given {
		return false
	}
	return m.Row.Source == "strip" || !f.Blanket && slices.ContainsFunc(j.site.Zones, func(z site.Zone) bool {
		return z.Zone == f.Zone && z.Kind == "cover"
	})
}

// stage is the work of one machine of the fleet.
func (j *Job) stage(name string, i int, each float64) StageWork {
	count := j.site.Fleet[i].Count
	return StageWork{Name: name, Machine: i, Each: each, Count: int(math.Round(count.Value))}
}

// carrying lists loading and hauling.
func (j *Job) carrying(mv *Move, road HaulRoad) []StageWork {
	var out []StageWork
	r := &mv.Rate
	if r.Machine < 0 || math.IsNaN(r.LoadVolume) {
		return nil
	}
	if road.By == "truck" && r.LoadTime > 0 {
		each := r.LoadVolume / r.LoadTime * r.LoadEff
		if r.Loader >= 0 {
			out = append(out, j.stage("loading", r.Loader, each))
		} else {
			out = append(out, StageWork{Name: "loading", Machine: -1, Each: each, Count: 1})
		}
	}
	if r.CyclePerLoad > 0 {
		out = append(out, j.stage("hauling", r.Machine, r.LoadVolume/r.CyclePerLoad*r.Efficiency))
	}
	return out
}

// watering is the water truck's stage: the volume of a flow whose water it brings.
func (j *Job) watering(m *Material, f *Flow) (StageWork, bool) {
	need := m.WaterFrom(f.Source) // kg for each compacted m3
	w := m.Moisture
	if w == nil || w.Truck < 0 || !(need > 0) {
		return StageWork{}, false
	}
	t := &j.site.Fleet[w.Truck]
	cycle := j.waterFill(w.Truck) + t.DumpTime.Or(math.NaN())
	each := t.Capacity.Value * soil.WaterDensity / cycle * EfficiencyOf(t) / need * f.Loose / f.Compacted
	if !(each > 0) {
		return StageWork{}, false
	}
	return j.stage("watering", w.Truck, each), true
}

// waterFill is the time to fill a water truck, s: its own, else by the first pump of
// the fleet; NaN when not known.
func (j *Job) waterFill(truck int) float64 {
	t := &j.site.Fleet[truck]
	if t.LoadTime.Given {
		return t.LoadTime.Value
	}
	for _, p := range j.site.Fleet {
		if p.Kind == "pump" && p.Capacity.Given && p.LoadTime.Given {
			return t.Capacity.Value / p.Capacity.Value * p.LoadTime.Value
		}
	}
	return math.NaN()
}

// WaterFrom is the water to bring, kg for each compacted m3, for soil of a pit, or
// of the material's mean where the pit has no tests; NaN when not known, below zero
// to dry off.
func (m *Material) WaterFrom(pit string) float64 {
	if m.Moisture == nil {
		return math.NaN()
	}
	for _, p := range m.Moisture.Pits {
		if p.Pit == pit {
			return p.Ordered
		}
	}
	if m.Compacted == 0 {
		return math.NaN()
	}
	return m.Moisture.Ordered / m.Compacted
}

// bestOnFill is the machine of a kind that places a material for least money, or
// where costs are not known in least time, and how it works; -1 when none is known.
// For rolling every machine counts whose trial strips in the
// material reached the requirement, whatever its kind.
func (j *Job) bestOnFill(r *Result, m *Material, kind string, compacted float64) (int, soil.Rolling) {
	var rollings []soil.Rolling
	priced := true
	for i := range j.site.Fleet {
		f := &j.site.Fleet[i]
		passes, tried := int(f.Passes.Value), false
		if kind == "roller" {
			passes, tried = r.passesOf(m.Row.Name, i, passes)
		}
		if f.Kind != kind && !tried || f.Count.Given && f.Count.Value == 0 {
			continue
		}
		if work, ok := j.rollingWith(i, m, passes); ok {
			rollings = append(rollings, work)
			priced = priced && f.CostPerHour.Given
		}
	}
	choices := soil.Choose(compacted, rollings)
	if len(choices) == 0 {
		return -1, soil.Rolling{}
	}
	best := choices[0]
	for _, c := range choices {
		if !priced && c.Hours < best.Hours {
			best = c
		}
	}
	return slices.IndexFunc(j.site.Fleet, func(f site.Machine) bool { return f.Name == best.Machine }), best.Rolling
}

// passesOf is the passes that a machine's trial strips in a material show, and that
// there are such strips: 0 where they do not reach what is required. Without strips
// typed stands.
func (r *Result) passesOf(material string, machine, typed int) (passes int, tried bool) {
	for _, t := range r.Trials {
		if t.Material == material && t.Fleet == machine && t.Reach != "" {
			if t.reaches() {
				return t.Passes, true
			}
			return 0, true
		}
	}
	return typed, false
}

// rollingWith is a machine of the fleet at work on the lifts of a material, with a
// number of passes; false when its width, speed or passes are not known.
func (j *Job) rollingWith(i int, m *Material, passes int) (soil.Rolling, bool) {
	f := &j.site.Fleet[i]
	r := soil.Rolling{
		Machine: f.Name, Width: f.Width.Value, Speed: f.Speed.Value, Lift: j.liftOf(m),
		Efficiency: EfficiencyOf(f), Passes: passes, HourCost: f.CostPerHour.Value,
	}
	return r, r.Width > 0 && r.Speed > 0 && r.Passes > 0
}

// pace sets the stages of a move against each other and works out its hours, for a
// loose volume, m3.
func (mv *Move) pace(loose float64) {
	mv.Pace, mv.Hours, mv.Slow = math.NaN(), math.NaN(), -1
	stages := make([]borrow.Stage, len(mv.Stages))
	for i, s := range mv.Stages {
		stages[i] = borrow.Stage{Name: s.Name, Each: s.Each, Machines: s.Count}
	}
	p, err := borrow.PaceOf(stages)
	if err != nil || !mv.complete() {
		return
	}
	mv.Pace, mv.Slow = p.Rate, p.Slowest
	mv.Hours = loose / p.Rate / secondsPerHour
	for i := range mv.Stages {
		s := &mv.Stages[i]
		s.Count = p.Machines[i]
		s.Hours = loose / s.Each / secondsPerHour
		s.Paid = mv.Hours * float64(s.Count)
	}
}

// complete says that the move has a hauling stage; without one the rest says
// nothing of how fast soil comes.
func (mv *Move) complete() bool {
	for _, s := range mv.Stages {
		if s.Name == "hauling" {
			return true
		}
	}
	return false
}

const secondsPerHour = 3600
