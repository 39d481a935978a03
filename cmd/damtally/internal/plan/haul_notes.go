package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// fleetHandbook is the publication behind the usual hour and the dozer's factors.
const fleetHandbook = "US Army FM 5-434 (2000)"

// haulNotes says what was taken for granted of haul and fleet, and what they come to.
func (j *Job) haulNotes(r *Result) []site.Note {
	h := r.Haul
	if h == nil {
		return nil
	}
	w := &noteList{seen: map[string]bool{}}
	j.machineNotes(h, w)
	for i := range h.Moves {
		j.moveNotes(r, &h.Moves[i], w)
	}
	j.placingNotes(r, w)
	j.idleNotes(h, w)
	j.truckNotes(r, w)
	j.paceNotes(r, w)
	return w.notes
}

// noteList gathers notes, each text once.
type noteList struct {
	notes []site.Note
	seen  map[string]bool
}

func (w *noteList) add(level string, ref site.Ref, source, text string) {
	if !w.seen[text] {
		w.seen[text] = true
		w.notes = append(w.notes, site.Note{Level: level, Ref: ref, Source: source, Text: text})
	}
}

// of adds a note that may be said of several things, each thing once.
func (w *noteList) of(level string, ref site.Ref, source, text, item string) {
	if key := text + ": " + item; !w.seen[key] {
		w.seen[key] = true
		w.notes = append(w.notes, site.Note{Level: level, Ref: ref, Source: source, Text: text, Item: item})
	}
}

// machineNotes says what was taken for granted of the machines at work.
func (j *Job) machineNotes(h *Haul, w *noteList) {
	var hour, free, heaped []string
	full := site.Ref{}
	for _, m := range h.Machines {
		f := &j.site.Fleet[m.Machine]
		if !f.Efficiency.Given {
			hour = append(hour, f.Name)
		}
		if !f.CostPerHour.Given {
			free = append(free, f.Name)
		}
		if f.CapacityMeasured == "heaped" && !f.BucketFill.Given && f.Kind != "water truck" {
			if len(heaped) == 0 {
				full = f.Ref
			}
			heaped = append(heaped, f.Name)
		}
	}
	if len(heaped) > 0 {
		w.add("note", full, "common practice", fmt.Sprintf(
			"each load is taken as heaped full for %s, since `bucket fill` is blank; loads seldom come that full", inOneBreath(heaped)))
	}
	if len(hour) > 0 {
		w.add("note", site.Ref{Table: "fleet"}, fleetHandbook, fmt.Sprintf(
			"an hour of 50 working minutes is taken for %s, since `efficiency` is blank", inOneBreath(hour)))
	}
	if len(free) > 0 && !math.IsNaN(h.Cost) {
		w.add("look", site.Ref{Table: "fleet"}, "", fmt.Sprintf("the cost of the haul is without %s, since `cost per hour` is blank", inOneBreath(free)))
	}
}

// moveNotes says what was taken for granted of a road and of the loads on it.
func (j *Job) moveNotes(r *Result, mv *Move, w *noteList) {
	f := &r.Allocation.Flows[mv.Flow]
	if math.IsNaN(f.Haul) {
		w.add("look", site.Ref{Table: "hauls"}, "", fmt.Sprintf("nothing says how far %s is hauled, so it has no loads, hours or cost; add a row to `hauls`", f.Source))
		return
	}
	if mv.Rate.Machine < 0 {
		w.add("look", site.Ref{Table: "fleet"}, "", fmt.Sprintf("the fleet has no %s for the road from %s, so it has no loads, hours or cost", carrierOf[f.Road.By], f.Source))
		return
	}
	m := &j.site.Fleet[mv.Rate.Machine]
	if len(mv.Rate.Lacks) > 0 {
		w.add("look", m.Ref, "", fmt.Sprintf("the cycle of %s is not known; it lacks %s", m.Name, inOneBreath(mv.Rate.Lacks)))
	}
	j.gradeNotes(f, mv, m, w)
	j.loadNotes(f, mv, m, w)
}

// gradeNotes says how a grade was taken.
func (j *Job) gradeNotes(f *Flow, mv *Move, m *site.Machine, w *noteList) {
	there, back := roadOf(f).EffectiveGrade(true), roadOf(f).EffectiveGrade(false)
	if !f.Road.Typed || there == 0 && back == 0 {
		return
	}
	way := fmt.Sprintf("%s works like %s loaded and %s empty", f.Source, percent(there), percent(back))
	const text = "a road works like a grade, rolling resistance and all"
	switch {
	case mv.Rate.Cycle.Slowed:
		w.of("note", f.Road.Ref, fleetHandbook, text+"; an engine may hold less than the typed speed on it", fmt.Sprintf("%s, where %s goes at %s loaded", way, m.Name, j.speed(f.Haul/mv.Rate.Cycle.Haul)))
	case !m.Power.Given || !m.Weight.Given:
		w.of("look", f.Road.Ref, fleetHandbook, text+"; machines without `power` or `weight` keep their typed speeds, which then do not follow the grade", fmt.Sprintf("%s, where %s goes", way, m.Name))
	default:
		w.of("note", f.Road.Ref, fleetHandbook, text+"; these machines keep their typed speeds on it", fmt.Sprintf("%s, where %s goes", way, m.Name))
	}
}

func roadOf(f *Flow) borrow.Road {
	return borrow.Road{Length: f.Road.Length, Grade: f.Road.Grade, Rolling: f.Road.Rolling}
}

// loadNotes says what limits a load, or why that is not known.
func (j *Job) loadNotes(f *Flow, mv *Move, m *site.Machine, w *noteList) {
	switch {
	case m.Payload.Given && math.IsNaN(mv.Wet):
		w.add("look", m.Ref, "", fmt.Sprintf(
			"whether loads of %s are too heavy for %s is not known: that takes its loose density with its water (loose tests or a swell, and water contents of bank tests)", f.Material, m.Name))
	case mv.Rate.BoundBy == borrow.ByWeight && m.Capacity.Given:
		w.add("note", m.Ref, "", fmt.Sprintf("loads of %s in %s are limited by weight: %s of the %s that it holds", f.Material, m.Name,
			j.tenth(mv.Rate.LoadVolume), j.tenth(bodyOf(m).Capacity*bodyOf(m).Fill)))
	}
}

// placingNotes says which materials no machine of the fleet is known to compact.
func (j *Job) placingNotes(r *Result, w *noteList) {
	some := false
	for _, f := range j.site.Fleet {
		some = some || f.Kind == "roller"
	}
	for _, mv := range r.Haul.Moves {
		f := &r.Allocation.Flows[mv.Flow]
		rolled := false
		for _, s := range mv.Stages {
			rolled = rolled || s.Name == "rolling"
		}
		if k := materialIndex(r, f.Material); some && !rolled && k >= 0 && j.spreadOnly(f, &r.Materials[k]) {
			w.add("note", site.Ref{Table: "fleet"}, "", fmt.Sprintf(
				"%s in %s is spread and neither disced nor rolled, as `required compaction` is blank", f.Material, f.Zone))
		} else if some && !rolled && !math.IsNaN(mv.Loads) {
			w.add("look", site.Ref{Table: "fleet"}, "", fmt.Sprintf(
				"no machine is known to compact %s: it takes a width, a speed and passes, typed or from trial strips that reach what is required; rolling it is not in the hours", f.Material))
		}
	}
}

// idleNotes names the machines of the fleet that have no part in the hours, and what
// they lack if that is why.
func (j *Job) idleNotes(h *Haul, w *noteList) {
	var idle []string
	for i := range j.site.Fleet {
		f := &j.site.Fleet[i]
		if slices.ContainsFunc(h.Machines, func(m MachineWork) bool { return m.Machine == i }) || f.Count.Given && f.Count.Value == 0 {
			continue
		}
		var lacks []string
		for _, c := range partOf[f.Kind] {
			if !c.of(f).Given {
				lacks = append(lacks, "`"+c.name+"`")
			}
		}
		words := f.Name
		if len(lacks) > 0 {
			words += " (without " + inOneBreath(lacks) + ")"
		}
		if f.Kind != "pump" || len(lacks) > 0 {
			idle = append(idle, words)
		}
	}
	if len(idle) > 0 && !math.IsNaN(h.Hours) {
		w.add("note", site.Ref{Table: "fleet"}, "", "in the fleet, but with no part in the hours: "+inOneBreath(idle))
	}
}

// partOf is what a machine of each kind must say to have a part in the hours.
var partOf = map[string][]struct {
	name string
	of   func(*site.Machine) site.Number
}{
	"dozer": onFillColumns, "disc": onFillColumns, "grader": onFillColumns, "roller": onFillColumns,
	"water truck": {
		{"capacity", func(m *site.Machine) site.Number { return m.Capacity }},
		{"dump time", func(m *site.Machine) site.Number { return m.DumpTime }},
	},
	"pump": {
		{"capacity", func(m *site.Machine) site.Number { return m.Capacity }},
		{"load time", func(m *site.Machine) site.Number { return m.LoadTime }},
	},
}

// onFillColumns is what a machine that works on the fill must say.
var onFillColumns = []struct {
	name string
	of   func(*site.Machine) site.Number
}{
	{"width", func(m *site.Machine) site.Number { return m.Width }},
	{"speed", func(m *site.Machine) site.Number { return m.Speed }},
	{"passes", func(m *site.Machine) site.Number { return m.Passes }},
}

// truckNotes says where too few or too many machines haul to keep the loader busy,
// once for each source and machine, by the road that takes most of them.
func (j *Job) truckNotes(r *Result, w *noteList) {
	for _, p := range mostTrucks(r) {
		m := &j.site.Fleet[p.machine]
		have := int(m.Count.Value)
		at := fmt.Sprintf("%d at %s", p.most, p.source)
		switch {
		case m.Count.Given && have < p.most:
			w.of("look", m.Ref, "", fmt.Sprintf("more of %s would keep up with the loading than the %d there are, so the loader waits", m.Name, have), at)
		case m.Count.Given && have > p.most:
			w.of("note", m.Ref, "", fmt.Sprintf("fewer of %s keep up with the loading than the %d there are, so some wait", m.Name, have), at)
		case !m.Count.Given:
			w.of("note", m.Ref, "", fmt.Sprintf("as many of %s are taken as keep up with the loading", m.Name), at)
		}
	}
}

// keepUp is how many machines of a kind keep up with the loading at a source.
type keepUp struct {
	source        string
	machine, most int
}

// mostTrucks lists the sources and machines in the order of the moves, each with
// the most machines that any of its roads takes.
func mostTrucks(r *Result) []keepUp {
	var out []keepUp
	for _, mv := range r.Haul.Moves {
		rate := mv.Rate
		if rate.Machine < 0 || rate.Match() == 0 {
			continue
		}
		source := r.Allocation.Flows[mv.Flow].Source
		i := slices.IndexFunc(out, func(k keepUp) bool { return k.source == source && k.machine == rate.Machine })
		if i < 0 {
			i = len(out)
			out = append(out, keepUp{source: source, machine: rate.Machine})
		}
		out[i].most = max(out[i].most, rate.Match())
	}
	return out
}

// Match is how many machines that carry keep up with one place of loading: cycle /
// time to load, each with its own breaks, rounded up. 0 when not known.
func (r HaulRate) Match() int {
	if !(r.LoadTime > 0) || !(r.CyclePerLoad > 0) {
		return 0
	}
	return borrow.MachinesFor(r.LoadEff/r.LoadTime, r.Efficiency/r.CyclePerLoad)
}

// paceNotes says how long it takes and what holds it up.
func (j *Job) paceNotes(r *Result, w *noteList) {
	h := r.Haul
	if math.IsNaN(h.Hours) {
		return
	}
	set := j.site.Settings
	table := site.Ref{Table: "fleet"}
	w.add("note", table, "", fmt.Sprintf("hauling and placing take %s hours, %.1f days of %g hours, one source and reach after the other; %s sets the pace for %s of the hours",
		units.Number(h.Hours, 0), h.Days, h.HoursPerDay, h.Slowest, units.Number(h.SlowestHours, 0)))
	var taken []string
	if !set.HoursPerDay.Given {
		taken = append(taken, fmt.Sprintf("%g hours a day", usualDay))
	}
	if set.StartDate != "" && !set.WorkDaysAWeek.Given {
		taken = append(taken, fmt.Sprintf("%g days a week", usualWeek))
	}
	if len(taken) > 0 {
		w.add("note", site.Ref{Table: "site"}, "common practice", inOneBreath(taken)+" are taken; set `hours per day` and `work days a week` to change that")
	}
	j.finishNotes(h, w)
}

// finishNotes says when the work ends.
func (j *Job) finishNotes(h *Haul, w *noteList) {
	at := j.item("start date")
	j.dryNotes(h, w)
	switch {
	case h.Never:
		w.add("danger", j.item("weather days"), "", "the weather days leave no working days to finish on; check `weather days` and `work days a week`")
	case h.Finish != "" && j.site.Settings.WeatherGiven:
		w.add("note", at, "", fmt.Sprintf("begun on %s, the work ends on %s, the typed weather days spread over the working days of their months", h.Start, h.Finish))
	case h.Finish != "":
		w.add("look", at, "", fmt.Sprintf("begun on %s, the work ends on %s if no day is lost to weather; set `weather days`", h.Start, h.Finish))
	}
}

// tenth writes a loose volume to a tenth.
func (j *Job) tenth(m3 float64) string {
	u := j.system.Volume
	return fmt.Sprintf("%.1f loose %s", u.FromSI(m3), u.Name)
}

// speed writes a speed.
func (j *Job) speed(ms float64) string {
	if j.system.Name == "us" {
		return fmt.Sprintf("%.1f mph", ms*3600/(5280*0.3048))
	}
	return fmt.Sprintf("%.1f km/h", ms*3.6)
}

// inOneBreath joins names: "a, b and c".
func inOneBreath(names []string) string {
	n := len(names) - 1
	if n < 1 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:n], ", ") + " and " + names[n]
}
