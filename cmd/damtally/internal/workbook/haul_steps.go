package workbook

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

// fillKey names the rate of a machine on the fill: by material, and for water by
// source too, since each pit is as wet as it is.
type fillKey struct {
	material, source string
	machine          int
	water            bool
}

func fillKeyOf(f *plan.Flow, st plan.StageWork) fillKey {
	k := fillKey{material: f.Material, machine: st.Machine, water: st.Name == "watering"}
	if k.water {
		k.source = f.Source
	}
	return k
}

// onFill says that a step is work on the fill.
func onFill(name string) bool { return name != "loading" && name != "hauling" }

// layFill lays what one machine does in an hour on the fill.
func (s *haulSheet) layFill(row int) {
	some := false
	for _, mv := range s.h.Moves {
		for _, st := range mv.Stages {
			some = some || onFill(st.Name)
		}
	}
	if !some {
		return
	}
	b := s.b
	s.put(row, 1, text("On the fill: what one machine does in an hour"), lookPart)
	explain := "Compacted " + b.m.Volume.Name + " an hour = width x speed x compacted lift x share of the hour worked / passes" + s.u.sixteen()
	s.line(row+1, 1, 12, explain+". A water truck: what it brings in an hour / water for one compacted volume. Passes are those of the trial strips where there are some.", lookExplain)
	s.headings(row+2, "Material", "Work", "From", "Machine", in("Compacted lift", s.u.lift), "Passes", "Water, "+s.u.water.Name+" for each "+b.m.vol("compacted"), "One machine, "+b.m.vol("compacted")+" an hour")
	row += 2
	for _, i := range s.order {
		for _, st := range s.h.Moves[i].Stages {
			if k := fillKeyOf(s.flow(i), st); onFill(st.Name) && s.fill[k] == nil {
				row++
				s.fill[k] = s.layRate(row, i, st)
			}
		}
	}
}

func (s *haulSheet) layRate(row, i int, st plan.StageWork) *cell {
	b, f := s.b, s.flow(i)
	m := &s.machine[st.Machine]
	s.put(row, 1, text(clean(f.Material)), lookWord)
	s.put(row, 2, text(st.Name), lookWord)
	s.blankRow(row, 3, 8, lookWord)
	s.put(row, 4, m.name.ref(), lookWord)
	want := number(b.m.Volume.FromSI(st.Each*f.Compacted/f.Loose) * 3600)
	what := st.Name + " of " + clean(f.Material)
	if st.Name == "watering" {
		s.put(row, 3, text(clean(f.Source)), lookWord)
		need := s.put(row, 7, number(s.waterNeed(f)), input(formatTenth))
		trip := add(s.waterFill(m), m.dump.ref())
		brings := mul(mul(m.capacity.ref(), number(s.u.perWater)), m.share.ref())
		rate := div(mul(brings, number(60)), mul(trip, need.ref()))
		return s.put(row, 8, b.live(rate, want, what), figure(formatTenth))
	}
	lift := s.put(row, 5, number(s.u.lift.FromSI(st.Lift)), input(formatTenth))
	passes := s.put(row, 6, number(float64(st.Passes)), input(formatCount))
	over := passes.ref()
	if s.u.over != 1 {
		over = mul(number(s.u.over), over)
	}
	path := mul(mul(mul(number(s.u.rolled), m.width.ref()), m.speed.ref()), lift.ref())
	return s.put(row, 8, b.live(div(mul(path, m.share.ref()), over), want, what), figure(formatTenth))
}

// waterNeed is the water for one compacted volume, in the unit of water.
func (s *haulSheet) waterNeed(f *plan.Flow) float64 {
	k := s.b.materialIndex(f.Material)
	need := s.b.r.Materials[k].WaterFrom(f.Source) / soil.WaterDensity // share of the volume
	return need * s.u.perWater
}

// waterFill is the time to fill a water truck: its own, else by the pump.
func (s *haulSheet) waterFill(m *machineCells) expr {
	if m.load.content.val.kind == isNumber {
		return m.load.ref()
	}
	for i, p := range s.b.r.Site.Fleet {
		if p.Kind == "pump" && p.Capacity.Given && p.LoadTime.Given {
			pump := &s.machine[i]
			return mul(div(m.capacity.ref(), pump.capacity.ref()), pump.load.ref())
		}
	}
	return m.load.ref()
}

// Columns of the table of steps.
const (
	stepFrom = iota + 1
	stepMaterial
	stepInto
	stepReach
	stepWork
	stepNumber
	stepMachine
	stepLoose
	stepEach
	stepCount
	stepAll
	stepHours
	stepPace
	stepSlowest
	stepMove
	stepOnJob
)

// laySteps lays each step of each move, and what the slowest makes of it.
func (s *haulSheet) laySteps() {
	b := s.b
	loose := b.m.vol("loose")
	row := s.pace.opening("Pace: step by step", 12,
		"Each step that the soil of a move passes. The pace of a move is that of its slowest step; hours of the move = loose volume / pace. Working hours = loose volume / what one machine does.",
		"How many there are, and what each does, stands on the sheet Haul; loads and cycles on the sheet Loads and cycle.") + 1
	s.pace.headings(row, "From", "Material", "Into", "Reach", "Step", "No.", "Machine", loose, "One machine, "+loose+" an hour", "How many", "All of them, "+loose+" an hour",
		"Working hours", "Pace of the move, "+loose+" an hour", "Slowest step", "Hours of the move", "Hours on the job")
	s.pace.heads, s.pace.freeze = [2]int{row, row}, [2]int{row, 4}
	first := row + 1
	for _, i := range s.order {
		row = s.layStepsOf(row, i)
	}
	col := func(c int) span { return span{s.pace, c, first, row} }
	s.works, s.numbers, s.hours, s.onJob, s.perMove = col(stepWork), col(stepNumber), col(stepHours), col(stepOnJob), col(stepMove)
}

// layStepsOf lays the steps of one move below a row, and returns the last.
func (s *haulSheet) layStepsOf(row, i int) int {
	mv, f := &s.h.Moves[i], s.flow(i)
	if mv.Slow < 0 {
		return row
	}
	from, to := row+1, row+len(mv.Stages)
	all := span{s.pace, stepAll, from, to}
	for _, st := range mv.Stages {
		row++
		s.pace.put(row, stepFrom, text(clean(f.Source)), lookWord)
		s.pace.put(row, stepMaterial, text(clean(f.Material)), lookWord)
		s.pace.put(row, stepInto, text(clean(f.Zone)), lookWord)
		s.pace.put(row, stepReach, text(s.reach(f)), lookWord)
		s.pace.put(row, stepWork, text(st.Name), lookWord)
		s.pace.blankRow(row, stepNumber, stepOnJob, lookWord)
		s.layStep(row, i, st)
	}
	rate := s.pace.put(from, stepPace, s.b.live(all.least(), number(s.b.m.Volume.FromSI(mv.Pace)*3600), "pace of a move"), figure(formatTenth))
	slowest := call("INDEX", textValue(mv.Stages[mv.Slow].Name), span{s.pace, stepWork, from, to}.expr(),
		call("MATCH", num(float64(mv.Slow+1)), rate.ref(), all.expr(), number(0)))
	s.pace.put(from, stepSlowest, slowest, lookWord)
	hours := s.pace.put(from, stepMove, s.b.live(div(s.move[i].loose.ref(), rate.ref()), number(mv.Hours), "hours of a move"), figure(formatHours))
	for r := from; r <= to; r++ {
		s.pace.put(r, stepOnJob, hours.ref(), figure(formatHours))
	}
	return to
}

func (s *haulSheet) layStep(row, i int, st plan.StageWork) {
	b, f, c := s.b, s.flow(i), &s.move[i]
	rate := &s.h.Moves[i].Rate
	count, share := number(1), number(1)
	if st.Machine >= 0 {
		m := &s.machine[st.Machine]
		s.pace.put(row, stepNumber, number(float64(st.Machine+1)), figure(formatCount))
		s.pace.put(row, stepMachine, m.name.ref(), lookWord)
		count, share = m.count.ref(), m.share.ref()
	} else {
		s.pace.put(row, stepMachine, text("place of loading"), lookWord)
	}
	var each expr
	switch st.Name {
	case "loading":
		each = mul(div(mul(c.oneLoad.ref(), number(60)), s.loadMinutes(i)), share)
	case "hauling":
		each = mul(div(mul(c.oneLoad.ref(), number(60)), c.cycle.ref()), share)
	default:
		each = div(mul(s.fill[fillKeyOf(f, st)].ref(), c.loose.ref()), c.compacted.ref())
	}
	want := number(b.m.Volume.FromSI(st.Each) * 3600)
	loose := s.pace.put(row, stepLoose, c.loose.ref(), figure(formatVolume))
	one := s.pace.put(row, stepEach, b.live(each, want, st.Name+" from "+clean(f.Source)+" by "+clean(rate.Truck)), figure(formatTenth))
	n := s.pace.put(row, stepCount, count, figure(formatCount))
	s.pace.put(row, stepAll, mul(one.ref(), n.ref()), figure(formatTenth))
	s.pace.put(row, stepHours, div(loose.ref(), one.ref()), figure(formatHours))
}

// least is MIN over the span.
func (s span) least() expr {
	least := math.Inf(1)
	for _, x := range s.numbers() {
		least = min(least, x)
	}
	return call("MIN", num(least), s.expr())
}
