package plan

import (
	"math"
	"slices"
	"time"

	"github.com/damtally/damtally/borrow"
)

// The working day and week where the site sets none (common practice).
const (
	usualDay  = 8.0
	usualWeek = 5.0
)

// haulage works out the work of hauling and placing what the allocation sends; nil
// without a fleet or flows.
func (j *Job) haulage(r *Result) *Haul {
	if r.Allocation == nil || len(r.Allocation.Flows) == 0 || len(j.site.Fleet) == 0 {
		return nil
	}
	flows := r.Allocation.Flows
	h := &Haul{HoursPerDay: j.site.Settings.HoursPerDay.Or(usualDay)}
	for i, f := range flows {
		mv := Move{Flow: i, Wet: j.wetLoose(f.Material, f.Source), Loads: math.NaN(), Pace: math.NaN(), Hours: math.NaN(), Slow: -1}
		mv.Rate = j.haulCost(f.Road, mv.Wet)
		if !math.IsNaN(f.Haul) {
			mv.Loads = f.Loose / mv.Rate.LoadVolume
			k := slices.IndexFunc(r.Materials, func(m Material) bool { return m.Row.Name == f.Material })
			mv.Stages = j.stages(r, &mv, &f, &r.Materials[k])
			mv.pace(f.Loose)
		}
		h.Moves = append(h.Moves, mv)
	}
	h.keep(flows)
	h.add(flows)
	h.addMachines(j)
	h.addDays(j, r)
	return h
}

// keep gives each machine one number for the whole job, the most that a move takes,
// and sets the pace of each move by it: a machine that is on the job works, and is
// paid, in all the moves in which it has work.
func (h *Haul) keep(flows []Flow) {
	most := map[int]int{}
	for _, mv := range h.Moves {
		for _, s := range mv.Stages {
			most[s.Machine] = max(most[s.Machine], s.Count)
		}
	}
	for i := range h.Moves {
		mv := &h.Moves[i]
		if math.IsNaN(mv.Hours) {
			continue
		}
		for k := range mv.Stages {
			mv.Stages[k].Count = most[mv.Stages[k].Machine]
		}
		mv.pace(flows[i].Loose)
	}
}

// add sums the moves up. What one move lacks, the sum lacks.
func (h *Haul) add(flows []Flow) {
	type load struct {
		source, material string
		machine          int
	}
	loads := map[load]float64{}
	slow := map[string]float64{}
	for i := range h.Moves {
		mv, f := &h.Moves[i], flows[i]
		h.BankMetres += f.Bank * f.Haul
		loads[load{f.Source, f.Material, mv.Rate.Machine}] += mv.Loads
		h.TruckHours += borrow.Hours(mv.Loads, mv.Rate.CyclePerLoad, mv.Rate.Efficiency)
		h.Hours += mv.Hours
		if mv.Slow >= 0 {
			slow[mv.Stages[mv.Slow].Name] += mv.Hours
		}
	}
	for _, n := range loads { // whole numbers: their order does not change the sum
		h.Loads += borrow.Loads(n, 1)
	}
	for _, mv := range h.Moves { // in the order of the moves, not of the map
		if mv.Slow < 0 {
			continue
		}
		if name := mv.Stages[mv.Slow].Name; slow[name] > h.SlowestHours {
			h.Slowest, h.SlowestHours = name, slow[name]
		}
	}
}

// addMachines sums the hours up by machine of the fleet, in the table's order.
func (h *Haul) addMachines(j *Job) {
	work := make([]MachineWork, len(j.site.Fleet))
	for i := range h.Moves {
		for _, s := range h.Moves[i].Stages {
			if s.Machine >= 0 {
				w := &work[s.Machine]
				w.Count = max(w.Count, s.Count)
				w.Hours += s.Hours
				w.Paid += s.Paid
			}
		}
	}
	h.Cost = 0
	priced := false
	for i, w := range work {
		if w.Hours == 0 {
			continue
		}
		cost := j.site.Fleet[i].CostPerHour
		w.Machine = i
		w.Cost = w.Hours * cost.Or(math.NaN())
		w.Standing = max(0, w.Paid-w.Hours) * cost.Or(math.NaN())
		if cost.Given {
			priced = true
			h.Cost += w.Cost
			h.Standing += w.Standing
		}
		h.Machines = append(h.Machines, w)
	}
	if !priced || math.IsNaN(h.Hours) {
		h.Cost, h.Standing = math.NaN(), math.NaN()
	}
}

// addDays turns the hours into days and, with a start, into the day of the finish.
func (h *Haul) addDays(j *Job, r *Result) {
	h.Days = h.Hours / h.HoursPerDay
	h.addDrying(r)
	set := j.site.Settings
	h.Start = set.StartDate
	start, err := time.Parse(time.DateOnly, h.Start)
	work := h.Days + h.Drying
	if err != nil || !(work > 0) {
		return
	}
	calendar := borrow.Calendar{Week: set.WorkDaysAWeek.Or(usualWeek), Lost: set.WeatherDays}
	finish, err := calendar.Finish(start, work)
	if err != nil {
		h.Never = true
		return
	}
	h.Finish = finish.Format(time.DateOnly)
}
