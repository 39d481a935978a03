package workbook

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// Columns of the table of moves.
const (
	moveFrom = iota + 1
	moveMaterial
	moveZone
	moveReach
	moveBank
	moveLoose
	moveCompacted
	moveRoad
	moveCarrier
	moveWet
	moveOneLoad
	moveLimit
	moveBuckets
	moveGradeOut
	moveGradeBack
	moveSpeedOut
	moveSpeedBack
	moveFill
	moveHaul
	moveDump
	moveReturn
	moveCycle
	moveLoads
	moveMatch
	moveDistance
)

// layMoves lays a line a move: its load, its cycle and its loads.
func (s *haulSheet) layMoves() {
	b := s.b
	row := s.trips.opening("Loads and cycle", 12,
		"A line a move: soil from one source into one reach. One load is the capacity x the share filled, or what may be carried / wet loose density where that is less.",
		"Times are minutes at full work; breaks come in with the hours. Where the power of a machine is known, its speed is no more than "+
			"0.8 x power / (weight x grade), rolling resistance counted as grade. Machines stand on the sheet Haul.") + 1
	s.trips.headings(row, "From", "Material", "Into", "Reach", b.m.vol("bank"), b.m.vol("loose"), b.m.vol("compacted"), in("Road, one way", b.m.Length), "Carried by",
		in("Wet loose density", b.m.Density), "One load, "+b.m.vol("loose"), "Limited by", "Buckets", "Grade and rolling, loaded", "Grade and rolling, empty", in("Speed loaded", s.u.speed), in("Speed empty", s.u.speed), "Fill (min)", "Haul (min)", "Dump (min)", "Return (min)", "Cycle (min)",
		"Loads", "Carriers that keep up with the loading", "Bank "+b.m.Volume.Name+" x "+b.m.Length.Name)
	s.moveRow = row
	for k, i := range s.order {
		s.layMove(s.moveRow+1+k, i)
	}
	s.trips.heads, s.trips.freeze = [2]int{row, row}, [2]int{row, moveReach}
	s.trips.splits = []int{moveLimit, moveBuckets, moveGradeOut}
	s.trips.explainBeside(2, row-1, 12)
	s.distances = span{s.trips, moveDistance, s.moveRow + 1, s.moveRow + len(s.order)}
}

func (s *haulSheet) layMove(row, i int) {
	b, f, mv, c := s.b, s.flow(i), &s.h.Moves[i], &s.move[i]
	s.trips.put(row, moveFrom, text(clean(f.Source)), lookWord)
	s.trips.put(row, moveMaterial, text(clean(f.Material)), lookWord)
	s.trips.put(row, moveZone, text(clean(f.Zone)), lookWord)
	s.trips.put(row, moveReach, text(s.reach(f)), lookWord)
	bank := s.trips.put(row, moveBank, b.m.volumeOf(f.Bank), figure(formatVolume))
	c.loose = s.trips.put(row, moveLoose, s.looseOf(f, bank), figure(formatVolume))
	c.compacted = s.trips.put(row, moveCompacted, b.m.volumeOf(f.Compacted), figure(formatVolume))
	road := s.trips.put(row, moveRoad, b.m.lengthOf(f.Haul), input(formatLoads))
	c.distance = s.trips.put(row, moveDistance, ifKnown(mul(bank.ref(), road.ref()), road.ref()), figure(formatLoads))
	s.trips.put(row, moveCarrier, s.carrier(mv.Rate.Machine), lookWord)
	s.trips.blankRow(row, moveWet, moveMatch, lookWord)
	wet := s.trips.put(row, moveWet, b.m.densityOf(mv.Wet), input(b.m.density()))
	if mv.Rate.Machine >= 0 && !math.IsNaN(mv.Rate.LoadVolume) {
		s.layLoad(row, i, wet)
		s.layCycle(row, i, road)
	}
}

// reach says which stations a flow goes to.
func (s *haulSheet) reach(f *plan.Flow) string {
	if math.IsNaN(f.From) || math.IsNaN(f.To) {
		return ""
	}
	return s.b.m.Station(f.From) + " to " + s.b.m.Station(f.To)
}

// looseOf is the volume in trucks: bank x (1 + swell).
func (s *haulSheet) looseOf(f *plan.Flow, bank *cell) expr {
	want := s.b.m.volumeOf(f.Loose)
	k := s.b.materialIndex(f.Material)
	if k < 0 || s.b.soil[k].swell == nil {
		return want
	}
	swell := s.b.soil[k].swell.ref()
	return s.b.live(ifKnown(mul(bank.ref(), add(number(1), swell)), swell), want, "loose volume from "+clean(f.Source))
}

// full is the volume of a body that is full to its share, and heavy the volume that
// its payload allows at a wet density.
func (s *haulSheet) full(m *machineCells) expr { return mul(m.capacity.ref(), m.fill.ref()) }

func (s *haulSheet) heavy(m *machineCells, wet expr) expr {
	weight := mul(m.payload.ref(), number(s.b.m.perBulk))
	if s.b.m.perVolume != 1 {
		return div(weight, mul(wet, number(s.b.m.perVolume)))
	}
	return div(weight, wet)
}

// held is what a body holds: by volume or by weight, the lesser of those known.
func (s *haulSheet) held(m *machineCells, wet expr) expr {
	full, heavy := s.full(m), s.heavy(m, wet)
	byBoth := call("MIN", num(math.Min(full.numeric(), heavy.numeric())), full, heavy)
	volume, weight := known(m.capacity.ref()), known(m.payload.ref(), wet)
	return when(all(volume, weight), byBoth, when(volume, full, when(weight, heavy, blank())))
}

func (s *haulSheet) layLoad(row, i int, wet *cell) {
	b, rate, c := s.b, &s.h.Moves[i].Rate, &s.move[i]
	m := &s.machine[rate.Machine]
	one := s.held(m, wet.ref())
	c.oneLoad = s.trips.put(row, moveOneLoad, b.live(one, b.m.volumeOf(rate.LoadVolume), "one load of "+clean(rate.Truck)), figure(formatTenth))
	word := text("volume")
	byWeight := when(known(m.payload.ref(), wet.ref()),
		when(known(m.capacity.ref()), when(less(s.heavy(m, wet.ref()), s.full(m)), text("weight"), word), text("weight")), word)
	want := word
	if rate.BoundBy == borrow.ByWeight {
		want = text("weight")
	}
	s.trips.put(row, moveLimit, b.live(byWeight, want, "limit of a load of "+clean(rate.Truck)), lookWord)
}

func (s *haulSheet) layCycle(row, i int, road *cell) {
	b, f, rate, c := s.b, s.flow(i), &s.h.Moves[i].Rate, &s.move[i]
	m := &s.machine[rate.Machine]
	name := clean(rate.Truck)
	fill := s.fillTime(row, i)
	push := f.Road.By == "push"
	minute := func(col int, content expr, seconds float64) *cell {
		return s.trips.put(row, col, b.live(content, number(seconds/60), s.heading(col)+" of "+name), figure(formatMinutes))
	}
	orZero := func(e expr) expr {
		if push { // the blade fills while it pushes
			return when(known(e), e, number(0))
		}
		return ifKnown(e, e)
	}
	load := minute(moveFill, orZero(fill), rate.Cycle.Load)
	c.loadTime = load
	loaded, empty := s.speeds(row, i)
	haul := minute(moveHaul, ifKnown(s.u.minutes(road.ref(), loaded), road.ref(), loaded), rate.Cycle.Haul)
	dump := minute(moveDump, orZero(m.dump.ref()), rate.Cycle.Dump)
	back := minute(moveReturn, ifKnown(s.u.minutes(road.ref(), empty), road.ref(), empty), rate.Cycle.Return)
	parts := []expr{load.ref(), haul.ref(), dump.ref(), back.ref()}
	sum := add(add(add(parts[0], parts[1]), parts[2]), parts[3])
	c.cycle = minute(moveCycle, ifKnown(sum, parts...), rate.CyclePerLoad)
	loads := ifKnown(div(c.loose.ref(), c.oneLoad.ref()), c.loose.ref(), c.oneLoad.ref())
	c.loads = s.trips.put(row, moveLoads, b.live(loads, number(s.h.Moves[i].Loads), "loads of "+name), figure(formatTenth))
	if n := rate.Match(); n > 0 {
		share := number(rate.LoadEff)
		if rate.Loader >= 0 {
			share = s.machine[rate.Loader].share.ref()
		}
		keepUp := div(mul(c.cycle.ref(), share), mul(s.loadMinutes(i), m.share.ref()))
		s.trips.put(row, moveMatch, b.live(roundedUp(keepUp), number(float64(n)), "carriers that keep up"), figure(formatCount))
	}
}

// speeds lays the effective grades of a road and the speeds on it: what is typed, or
// what the engine holds where that is less.
func (s *haulSheet) speeds(row, i int) (out, back expr) {
	f, rate := s.flow(i), &s.h.Moves[i].Rate
	m, c := &s.machine[rate.Machine], &s.move[i]
	road := borrow.Road{Length: f.Haul, Grade: f.Road.Grade, Rolling: f.Road.Rolling}
	wet := s.trips.at(row, moveWet).ref()
	speed := func(gradeCol, speedCol int, loaded bool, typed *cell, mass expr, needs ...expr) expr {
		grade := s.trips.put(row, gradeCol, number(road.EffectiveGrade(loaded)), input(formatPoints))
		limit := div(mul(number(s.u.held), m.power.ref()), mul(mass, grade.ref()))
		lower := call("MIN", num(math.Min(typed.content.numeric(), limit.numeric())), typed.ref(), limit)
		climbs := all(known(append(needs, m.power.ref(), m.weight.ref(), typed.ref())...), more(grade.ref(), number(0)))
		return s.trips.put(row, speedCol, when(climbs, lower, ifKnown(typed.ref(), typed.ref())), figure(formatTenth)).ref()
	}
	full := add(m.weight.ref(), s.b.m.tons(c.oneLoad.ref(), wet))
	return speed(moveGradeOut, moveSpeedOut, true, m.loaded, full, wet), speed(moveGradeBack, moveSpeedBack, false, m.empty, m.weight.ref())
}

// heading is what stands over a column of the moves.
func (s *haulSheet) heading(col int) string { return s.trips.at(s.moveRow, col).content.val.text }

// fillTime is the time to fill a load: the carrier's own, else whole buckets.
func (s *haulSheet) fillTime(row, i int) expr {
	rate := &s.h.Moves[i].Rate
	m := &s.machine[rate.Machine]
	if rate.Loader < 0 || s.b.r.Site.Fleet[rate.Machine].LoadTime.Given {
		return m.load.ref()
	}
	loader := &s.machine[rate.Loader]
	bucket := s.held(loader, s.trips.at(row, moveWet).ref())
	count := roundedUp(div(s.move[i].oneLoad.ref(), bucket))
	buckets := s.trips.put(row, moveBuckets, s.b.live(count, number(float64(rate.Buckets)), "buckets in a load"), figure(formatCount))
	return mul(buckets.ref(), loader.load.ref())
}

// loadMinutes is the time that the place of loading takes for a load.
func (s *haulSheet) loadMinutes(i int) expr { return s.move[i].loadTime.ref() }
