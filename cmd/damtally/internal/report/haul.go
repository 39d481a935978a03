package report

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// haul is the work of hauling and placing.
type haul struct {
	BankMetres number    `json:"bank_m3_m"`
	Loads      number    `json:"loads"`
	TruckHours number    `json:"truck_hours"`
	Cost       number    `json:"cost"`
	Standing   *number   `json:"standing_cost,omitempty"`
	Hours      *number   `json:"hours,omitempty"`
	Days       *number   `json:"days,omitempty"`
	DayHours   number    `json:"hours_per_day"`
	Drying     *number   `json:"drying_days,omitempty"`
	Dry        []dryLot  `json:"drying,omitempty"`
	Start      string    `json:"start,omitempty"`
	Finish     string    `json:"finish,omitempty"`
	Slowest    string    `json:"slowest,omitempty"`
	Machines   []machine `json:"machines"`
	Moves      []move    `json:"moves"`
}

// dryLot is soil of one source that dries before it can be rolled.
type dryLot struct {
	From     string  `json:"from"`
	Material string  `json:"material"`
	Days     number  `json:"days"`
	Room     *number `json:"room_m2,omitempty"`
}

// machine is what one machine of the fleet does on the whole job.
type machine struct {
	Machine  string  `json:"machine"`
	Count    int     `json:"count"`
	Hours    number  `json:"hours"`
	Paid     number  `json:"paid_hours"`
	Cost     *number `json:"cost,omitempty"`
	Standing *number `json:"standing_cost,omitempty"`
}

// move is one flow of the allocation on its road.
type move struct {
	From     string  `json:"from"`
	Material string  `json:"material"`
	Zone     string  `json:"zone"`
	Machine  string  `json:"machine,omitempty"`
	Wet      *number `json:"wet_loose_density_kg_m3,omitempty"`
	Load     *number `json:"load_loose_m3,omitempty"`
	Bound    string  `json:"load_limited_by,omitempty"`
	LoadTime *number `json:"load_s,omitempty"`
	Haul     *number `json:"haul_s,omitempty"`
	Dump     *number `json:"dump_s,omitempty"`
	Return   *number `json:"return_s,omitempty"`
	Cycle    *number `json:"cycle_s,omitempty"`
	Slowed   bool    `json:"slowed_by_engine,omitempty"`
	Match    *int    `json:"machines_to_match,omitempty"`
	Loads    *number `json:"loads,omitempty"`
	Hours    *number `json:"hours,omitempty"`
	Slowest  string  `json:"slowest,omitempty"`
	Stages   []stage `json:"stages"`
}

// stage is a step that all the soil of a move passes.
type stage struct {
	Stage   string `json:"stage"`
	Machine string `json:"machine,omitempty"`
	Each    number `json:"each_loose_m3_per_hour"`
	Count   int    `json:"count"`
	Hours   number `json:"hours"`
}

// haul gives the haul, nil without one.
func (b *builder) haul() *haul {
	h := b.r.Haul
	if h == nil {
		return nil
	}
	const lacks = "the sheet Haul and the notes say what is missing"
	out := &haul{
		BankMetres: b.value(h.BankMetres, "haul: bank volume times distance", "a road is not known"),
		Loads:      b.value(h.Loads, "haul: loads", lacks),
		TruckHours: b.value(h.TruckHours, "haul: hours of what carries", lacks),
		Cost:       b.value(h.Cost, "haul: cost", "no cost per hour is given, or the hours are not known"),
		Standing:   measured(h.Standing), Hours: measured(h.Hours), Days: measured(h.Days), DayHours: number(h.HoursPerDay),
		Drying: known(h.Drying), Start: h.Start, Finish: h.Finish, Slowest: h.Slowest,
		Machines: each(h.Machines, b.machine), Moves: each(h.Moves, b.move),
	}
	for _, l := range h.Dry {
		out.Dry = append(out.Dry, dryLot{l.Source, l.Material, number(l.Days), measured(l.Room)})
	}
	return out
}

func (b *builder) machine(m plan.MachineWork) machine {
	return machine{
		b.r.Site.Fleet[m.Machine].Name, m.Count, number(m.Hours), number(m.Paid), measured(m.Cost), measured(m.Standing),
	}
}

func (b *builder) move(mv plan.Move) move {
	f, rate := &b.r.Allocation.Flows[mv.Flow], &mv.Rate
	out := move{
		From: f.Source, Material: f.Material, Zone: f.Zone, Machine: rate.Truck, Wet: measured(mv.Wet),
		Loads: measured(mv.Loads), Hours: measured(mv.Hours), Stages: make([]stage, 0, len(mv.Stages)),
	}
	if rate.Machine >= 0 {
		out.Load = measured(rate.LoadVolume)
		if !math.IsNaN(rate.LoadVolume) {
			out.Bound = string(rate.BoundBy)
		}
		c := &rate.Cycle
		out.LoadTime, out.Haul, out.Dump, out.Return = measured(c.Load), measured(c.Haul), measured(c.Dump), measured(c.Return)
		out.Cycle, out.Slowed = measured(rate.CyclePerLoad), c.Slowed
		if n := rate.Match(); n > 0 {
			out.Match = &n
		}
	}
	for _, s := range mv.Stages {
		st := stage{Stage: s.Name, Each: number(3600 * s.Each), Count: s.Count, Hours: number(s.Hours)}
		if s.Machine >= 0 {
			st.Machine = b.r.Site.Fleet[s.Machine].Name
		}
		out.Stages = append(out.Stages, st)
	}
	if mv.Slow >= 0 {
		out.Slowest = mv.Stages[mv.Slow].Name
	}
	return out
}
