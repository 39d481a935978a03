package workbook

import (
	"cmp"
	"math"
	"slices"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Number formats of the sheet Haul.
const (
	formatTenth   = "#,##0.0"
	formatMinutes = "0.00"
	formatHours   = "#,##0.0"
	formatLoads   = "#,##0"
)

// haulUnits are the units of the sheet Haul that no other sheet has, and the
// factors that its formulas need.
type haulUnits struct {
	speed, lift, water, power units.Unit
	// held is the speed that one unit of power holds with one unit of mass against a
	// grade of 1: share of the power on the ground / force.
	held float64
	// perMinute is how far one unit of speed goes in a minute: 88 ft at 1 mph. slow
	// is its reciprocal where that is the whole number: 0.06 at 1 km/h.
	perMinute, slow float64
	// rolled turns width x speed x lift into volume an hour: over is divided by.
	rolled, over float64
	perWater     float64 // units of water in one volume of a load
}

func newHaulUnits(m measures) haulUnits {
	unit := func(name string) units.Unit {
		u, _ := units.Lookup(name)
		return u
	}
	u := haulUnits{speed: unit("km/h"), lift: unit("cm"), power: unit("kW"), slow: 0.06, rolled: 10, over: 1}
	if m.Name == units.US.Name {
		u = haulUnits{speed: unit("mph"), lift: unit("in"), power: unit("hp"), perMinute: 88, rolled: 5280, over: 324}
	}
	u.water, _ = waterUnits(m.System)
	u.perWater = m.Volume.SI / u.water.SI
	u.held = u.speed.FromSI(borrow.SpeedLimit(u.power.SI, m.Bulk.SI, 1))
	return u
}

// minutes is the time on a road, in minutes.
func (u haulUnits) minutes(road, speed expr) expr {
	if u.slow > 0 {
		return div(mul(road, number(u.slow)), speed)
	}
	return div(road, mul(number(u.perMinute), speed))
}

// machineCells are a machine's cells in the table of the fleet, by its index there.
type machineCells struct {
	name, count, capacity, fill, payload, weight, power, load, dump, loaded, empty, share, width, speed *cell
}

// moveCells are a move's cells, by its index in Haul.Moves.
type moveCells struct {
	loose, compacted, oneLoad, loadTime, cycle, loads, distance *cell
}

// haulSheet is the sheet Haul while it is laid.
type haulSheet struct {
	*sheet
	trips   *sheet // Loads and cycle
	pace    *sheet // Pace
	b       *book
	h       *plan.Haul
	u       haulUnits
	order   []int // moves as they stand on the sheet, those alike together
	machine []machineCells
	move    []moveCells
	fill    map[fillKey]*cell
	// columns of the table of steps
	works, numbers, hours, onJob, perMove span

	groups   []haulGroup
	answerAt int
	moveRow  int // headings of the moves

	loadCells, distances, costs, waits span
	carrying                           expr
}

// haulGroup is the moves of one source, material and carrier: rows on the sheet.
type haulGroup struct {
	source, material string
	machine          int
	from, to         int // positions in haulSheet.order
}

// layHaul lays loads, cycles, hours and cost.
func (b *book) layHaul() {
	if b.r.Haul == nil {
		return
	}
	s := &haulSheet{sheet: b.haul, trips: b.trips, pace: b.pace, b: b, h: b.r.Haul, u: newHaulUnits(b.m), fill: map[fillKey]*cell{}}
	s.move = make([]moveCells, len(s.h.Moves))
	s.sort()
	s.answerAt = s.opening("Haul: loads, hours and cost", 12,
		"Cycle = load + haul + dump + return. Hours = loads x cycle / share of the hour worked. The slowest step sets the pace of a move; the others wait for it. Moves are counted one after the other.",
		"Volumes stay as the plan shared them out. Change a cell in yellow and loads, hours and cost follow; who feeds what and the day of the finish take a new run.") + 1
	work := s.answerAt + 11
	sources := work + len(s.h.Machines) + 4
	machines := sources + len(s.groups) + 4
	s.layMachines(machines)
	s.layMoves()
	s.layFill(machines + len(b.r.Site.Fleet) + 5)
	s.layGroups(sources)
	s.laySteps()
	s.layWork(work)
	s.layAnswer(s.answerAt)
	s.widths[1], s.widths[2] = 20, 16
	s.trips.widths[moveReach], s.pace.widths[stepFrom] = 16, 16
}

// sort puts the moves of one source, material and carrier side by side, in the order
// of the first of each.
func (s *haulSheet) sort() {
	group := func(i int) int {
		mv := s.h.Moves[i]
		f := s.flow(i)
		g := slices.IndexFunc(s.groups, func(g haulGroup) bool {
			return g.source == f.Source && g.material == f.Material && g.machine == mv.Rate.Machine
		})
		if g < 0 {
			s.groups = append(s.groups, haulGroup{source: f.Source, material: f.Material, machine: mv.Rate.Machine})
			g = len(s.groups) - 1
		}
		return g
	}
	of := make([]int, len(s.h.Moves))
	for i := range s.h.Moves {
		of[i] = group(i)
		s.order = append(s.order, i)
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return cmp.Compare(of[a], of[b]) })
	for g := range s.groups {
		s.groups[g].from = slices.IndexFunc(s.order, func(i int) bool { return of[i] == g })
		s.groups[g].to = s.groups[g].from - 1
		for _, i := range s.order {
			if of[i] == g {
				s.groups[g].to++
			}
		}
	}
}

func (s *haulSheet) flow(move int) *plan.Flow {
	return &s.b.r.Allocation.Flows[s.h.Moves[move].Flow]
}

// layAnswer lays what it comes to.
func (s *haulSheet) layAnswer(row int) {
	h, b := s.h, s.b
	s.put(row, 1, text("What it comes to"), lookPart)
	line := func(words string, content expr, l look, why string) *cell {
		row++
		if content.val.kind == isBlank {
			content, why = text(notKnown), "the notes say what is missing"
		}
		s.line(row, 1, 2, words, lookWord)
		c := s.put(row, 3, content, l)
		s.line(row, 4, 7, why, lookWord)
		return c
	}
	loads := number(0)
	if !s.loadCells.empty() {
		loads = s.loadCells.sum()
	}
	line("Loads", s.follows(loads, h.Loads, "loads"), total(formatLoads), "rounded up for each source, material and carrier")
	line("Bank "+b.m.Volume.Name+" x "+b.m.Length.Name, s.follows(s.distances.sum(), b.m.Volume.FromSI(b.m.Length.FromSI(h.BankMetres)), "bank volume x distance"), total(formatLoads), "bank volume times the length of the road, for a haul that is paid by distance")
	line("Hours of what carries", s.follows(s.carrying, h.TruckHours, "hours of what carries"), total(formatHours), "working hours of trucks, scrapers or pushing dozers")
	hours := line("Hours on the job", s.follows(s.perMove.sum(), h.Hours, "hours on the job"), total(formatHours), "one move after the other at its pace")
	perDay := line("Hours in a day", number(h.HoursPerDay), input(formatTenth), "paid hours")
	line("Working days", s.follows(div(hours.ref(), perDay.ref()), h.Days, "working days"), total(formatTenth), s.finish())
	money := look{roleTotal, formatMoney}
	if !math.IsNaN(h.Cost) {
		line("Cost of the work, "+b.m.money, b.live(s.costs.sumKnown(), number(h.Cost), "cost of the haul"), money, "working hours x cost per hour, all machines")
		line("Cost of waiting, "+b.m.money, b.live(s.waits.sumKnown(), number(h.Standing), "cost of waiting"), money, "on the job without work, since another step sets the pace; on top of the above")
	}
	if h.Slowest != "" {
		line("Slowest step", text(h.Slowest), lookAnswer, "sets the pace for most of the hours, as planned")
	}
}

// follows is the formula for a figure of the plan, nothing where the plan has none.
func (s *haulSheet) follows(formula expr, want float64, what string) expr {
	if math.IsNaN(want) {
		return blank()
	}
	return s.b.live(formula, number(want), what)
}

// finish says in words when the work ends.
func (s *haulSheet) finish() string {
	switch h := s.h; {
	case h.Never:
		return "the weather days leave no day to finish on"
	case h.Finish != "" && h.Drying > 0:
		return "from " + h.Start + " to " + h.Finish + ", with the drying of first lots and the weather days, as planned"
	case h.Finish != "":
		return "from " + h.Start + " to " + h.Finish + ", with the weather days, as planned"
	}
	return "set a start date for the day of the finish"
}

// layGroups lays a line a source, material and carrier.
func (s *haulSheet) layGroups(row int) {
	b := s.b
	s.put(row, 1, text("By source"), lookPart)
	s.headings(row+1, "From", "Material", "Carried by", b.m.vol("bank"), b.m.vol("loose"), in("Mean road, one way", b.m.Length), "Loads, rounded up")
	row++
	s.loadCells = span{s.sheet, 7, row + 1, row + len(s.groups)}
	for _, g := range s.groups {
		row++
		from, to := s.moveRow+1+g.from, s.moveRow+1+g.to
		s.put(row, 1, text(clean(g.source)), lookWord)
		s.put(row, 2, text(clean(g.material)), lookWord)
		s.put(row, 3, s.carrier(g.machine), lookWord)
		bank := span{s.trips, moveBank, from, to}
		all := s.put(row, 4, bank.sum(), figure(formatVolume))
		s.put(row, 5, span{s.trips, moveLoose, from, to}.sumKnown(), figure(formatVolume))
		road := span{s.trips, moveRoad, from, to}
		if len(road.numbers()) == to-from+1 {
			s.put(row, 6, div(span{s.trips, moveDistance, from, to}.sum(), all.ref()), figure(formatLoads))
		} else {
			s.put(row, 6, blank(), lookWord)
		}
		loads := span{s.trips, moveLoads, from, to}
		s.put(row, 7, when(more(loads.count(), number(0)), roundedUp(loads.sum()), blank()), figure(formatLoads))
	}
}

// carrier is the name of what carries, a reference to the fleet.
func (s *haulSheet) carrier(machine int) expr {
	if machine < 0 {
		return text(notKnown)
	}
	return s.machine[machine].name.ref()
}

// wholeLoads are the decimals at which a number of loads counts as whole, so that a
// hair above 149 is not 150 loads.
const wholeLoads = 9

// roundedUp is ROUNDUP to a whole number.
func roundedUp(e expr) expr {
	r := rounded(e, wholeLoads)
	return call("ROUNDUP", num(math.Ceil(r.numeric())), r, number(0))
}
