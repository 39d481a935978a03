package plan_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// Units of the checks: NIST SP 811, Appendix B.
const (
	footLong = 0.3048
	mph      = 5280 * footLong / 3600
	cubicYd  = 27 * footLong * footLong * footLong
	shortTon = 2000 * 0.45359237
)

const (
	fleetHead = "machine,kind,count,capacity (yd3),capacity measured,bucket fill (%),payload (ton),weight (lb),power (hp),load time (s),dump time (s),loaded speed (mph),empty speed (mph),efficiency (%),cost per hour,width (ft),speed (mph),passes\n"
	hauler    = "Hauler,truck,,16,struck,95,,,,,90,12,18,80,95,,,\n"
	excavator = "Excavator,excavator,1,2.4,heaped,100,,,,22,,,,75,165,,,\n"
	padfoot   = "Padfoot,roller,1,,,,,,,,,,,75,110,7,4,8\n"
	roads     = "pit,length (ft),grade (%),rolling resistance (%)\nWest hill,1500,,\nEast terrace,900,,\nLow meadow,700,,\n"
)

// hauled is the demo site with a fleet and haul roads, both invented.
func hauled(t testing.TB, fleet, hauls string) *plan.Result {
	t.Helper()
	return run(t, tables(t, changed(changed(demoTables(t), "fleet", fleetHead+fleet), "hauls", hauls)))
}

// moveFrom is the first move of a source.
func moveFrom(t testing.TB, r *plan.Result, source string) (*plan.Move, *plan.Flow) {
	t.Helper()
	for i := range r.Haul.Moves {
		if f := &r.Allocation.Flows[r.Haul.Moves[i].Flow]; f.Source == source {
			return &r.Haul.Moves[i], f
		}
	}
	t.Fatalf("nothing moves from %s", source)
	return nil, nil
}

// A load of 15.2 loose yd3 takes 7 buckets of 2.4 yd3, 154 s; 1,500 ft take 1,500 /
// (88 x 12) min at 12 mph (88 ft/min a mph: soil/travel-time-and-resistance.csv).
func TestCycleOfAMove(t *testing.T) {
	r := hauled(t, hauler+excavator, roads)
	mv, f := moveFrom(t, r, "West hill")
	near(t, "load", mv.Rate.LoadVolume/cubicYd, 16*0.95, 1e-9)
	if mv.Rate.Buckets != 7 || mv.Rate.BoundBy != borrow.ByVolume {
		t.Errorf("%+v", mv.Rate)
	}
	c := mv.Rate.Cycle
	near(t, "load time", c.Load, 154, 1e-9)
	near(t, "haul", c.Haul, 1500/(88*12.0)*60, 1e-9)
	near(t, "return", c.Return, 1500/(88*18.0)*60, 1e-9)
	near(t, "cycle", mv.Rate.CyclePerLoad, 154+90+c.Haul+c.Return, 1e-9)
	near(t, "loads", mv.Loads, f.Loose/cubicYd/15.2, 1e-9*mv.Loads)
	// The loader's breaks are longer than the trucks': 386 x 0.75 / (154 x 0.80) = 2.4.
	if n := mv.Rate.Match(); n != int(math.Ceil(mv.Rate.CyclePerLoad*0.75/(154*0.80))) || n != 3 {
		t.Errorf("%d trucks", n)
	}
	perLoad := mv.Rate.CyclePerLoad/0.80/3600*95 + 154/0.75/3600*165
	near(t, "cost of a load", mv.Rate.CostPerLoose*15.2*cubicYd, perLoad, 1e-9)
}

// Loads, hours and costs of the whole are the sums of the moves, and the money is
// that by which soil was shared out.
func TestHaulAddsUp(t *testing.T) {
	r := hauled(t, hauler+excavator, roads)
	h := r.Haul
	loads, hours, loading, onJob, metres := 0.0, 0.0, 0.0, 0.0, 0.0
	for _, mv := range h.Moves {
		f := r.Allocation.Flows[mv.Flow]
		loads += mv.Loads
		hours += mv.Loads * mv.Rate.CyclePerLoad / 0.80 / 3600
		loading += mv.Loads * mv.Rate.LoadTime / 0.75 / 3600
		onJob += mv.Hours
		metres += f.Bank * f.Haul
	}
	near(t, "hours of what carries", h.TruckHours, hours, 1e-9*hours)
	near(t, "cost", h.Cost, hours*95+loading*165, 1e-9*h.Cost)
	near(t, "bank x distance", h.BankMetres, metres, 1e-9*metres)
	near(t, "hours on the job", h.Hours, onJob, 1e-9*onJob)
	near(t, "days of 8 hours", h.Days, onJob/8, 1e-9*onJob)
	if h.Loads < loads || h.Loads > loads+4 || h.Loads != math.Trunc(h.Loads) {
		t.Errorf("%g loads, %g before rounding", h.Loads, loads)
	}
	if r.Allocation.Basis != plan.ByCost {
		t.Fatalf("shared out by %s", r.Allocation.Basis)
	}
	near(t, "the money that was made least", r.Allocation.Moving, h.Cost, 1e-6*h.Cost)
	// One excavator, as many trucks as keep up: the loader is never idle.
	if h.Slowest != "loading" || h.Machines[1].Paid > h.Machines[1].Hours*(1+1e-9) {
		t.Errorf("%+v", h.Machines)
	}
}

// With one truck the trucks set the pace, and the loader waits.
func TestPaceOfTheHaul(t *testing.T) {
	r := hauled(t, strings.Replace(hauler, "truck,,", "truck,1,", 1)+excavator+padfoot, roads)
	if r.Haul.Slowest != "hauling" || !hasNote(r.Notes, "look", "more of Hauler would keep up with the loading than the 1 there are, so the loader waits: ") {
		t.Errorf("%s: %+v", r.Haul.Slowest, r.Notes)
	}
	mv, f := moveFrom(t, r, "West hill")
	near(t, "pace", mv.Pace, mv.Rate.LoadVolume/mv.Rate.CyclePerLoad*0.80, 1e-12)
	// The roller by 16.3 W S L E / P (soil/roller-production.csv), in loose volume.
	st := mv.Stages[len(mv.Stages)-1]
	near(t, "rolling", st.Each*f.Compacted/f.Loose*3600/cubicYd, 5280.0/324*7*4*st.Lift/0.0254*0.75/8, 1e-6)
	if st.Name != "rolling" || st.Passes != 8 {
		t.Errorf("%+v", st)
	}
}

// A payload of 9 tons is reached before 15.2 yd3 are: wet loose soil of w kg/m3 fills
// 9 x 907.18474 / w m3.
func TestLoadByWeight(t *testing.T) {
	r := hauled(t, strings.Replace(hauler, "struck,95,,", "struck,95,9,", 1)+excavator, roads)
	mv, _ := moveFrom(t, r, "West hill")
	clay := material(t, r, "lean clay")
	near(t, "wet loose density", mv.Wet, clay.Factors.Loose.Value*(1+clay.Moisture.Present), 1e-9)
	near(t, "load", mv.Rate.LoadVolume*mv.Wet, 9*shortTon, 1e-6)
	if mv.Rate.BoundBy != borrow.ByWeight || !hasNote(r.Notes, "note", "loads of lean clay in Hauler are limited by weight") {
		t.Errorf("%+v", mv.Rate)
	}
}

// 150 hp on 30,000 lb of truck and its load against 8 %: speed = 0.8 x power / force.
// Without power the typed speeds stand, and a note says so.
func TestGradeSlowsTheTruck(t *testing.T) {
	steep := strings.Replace(roads, "West hill,1500,,", "West hill,1500,5,3", 1)
	r := hauled(t, strings.Replace(hauler, "95,,,,,90,", "95,,30000,150,,90,", 1)+excavator, steep)
	mv, _ := moveFrom(t, r, "West hill")
	force := (30000*0.45359237 + mv.Rate.LoadVolume*mv.Wet) * 9.80665 * 0.08
	near(t, "haul", mv.Rate.Cycle.Haul, 1500*footLong*force/(0.8*150*745.69987158227), 1e-6)
	near(t, "return", mv.Rate.Cycle.Return, 1500*footLong/(18*mph), 1e-9)
	if !mv.Rate.Cycle.Slowed || !hasNote(r.Notes, "note", "West hill works like 8 % loaded and -2 % empty, where Hauler goes at ") {
		t.Errorf("%+v", mv.Rate.Cycle)
	}
	r = hauled(t, hauler+excavator, steep)
	if mv, _ = moveFrom(t, r, "West hill"); mv.Rate.Cycle.Slowed || !hasNote(r.Notes, "look", "keep their typed speeds, which then do not follow the grade: West hill") {
		t.Errorf("%+v", mv.Rate.Cycle)
	}
}

// What is missing is named; nothing is guessed.
func TestHaulLacks(t *testing.T) {
	r := hauled(t, strings.Replace(hauler, ",90,", ",,", 1)+excavator, roads)
	if !hasNote(r.Notes, "look", "the cycle of Hauler is not known; it lacks `dump time`") || !math.IsNaN(r.Haul.TruckHours) || math.IsNaN(r.Haul.Loads) {
		t.Errorf("%+v", r.Haul)
	}
	r = hauled(t, excavator, roads)
	if !hasNote(r.Notes, "look", "the fleet has no truck for the road from West hill") || !math.IsNaN(r.Haul.Loads) {
		t.Errorf("%+v", r.Haul)
	}
}

// Topsoil for a cover is spread and left loose, and a note says so once; the soil of
// the core is rolled as ever.
func TestCoverIsNotRolled(t *testing.T) {
	stagesOf := func(r *plan.Result, material string) string {
		var names []string
		for _, mv := range r.Haul.Moves {
			if r.Allocation.Flows[mv.Flow].Material == material {
				for _, s := range mv.Stages {
					names = append(names, s.Name)
				}
				break
			}
		}
		return strings.Join(names, " ")
	}
	r := run(t, sites+"demo")
	if got := stagesOf(r, "topsoil"); got != "loading hauling spreading" {
		t.Errorf("topsoil: %s", got)
	}
	if got := stagesOf(r, "lean clay"); got != "loading hauling spreading discing rolling" {
		t.Errorf("lean clay: %s", got)
	}
	said := 0
	for _, n := range r.Notes {
		if strings.HasPrefix(n.Text, "topsoil in topsoil cover is spread and neither disced nor rolled") {
			said++
		}
	}
	if said != 1 {
		t.Errorf("said %d times", said)
	}
}

// A scraper fills itself; a dozer pushes with its blade, and its cycle is no more
// than the two ways where it gives no other times.
func TestOtherCarriers(t *testing.T) {
	by := "pit,length (ft),by\nWest hill,1500,scraper\nEast terrace,150,push\nLow meadow,700,\n"
	r := hauled(t, hauler+excavator+
		"Pan,scraper,2,21,heaped,100,,,,60,45,12,18,80,210,,,\n"+
		"Blade,dozer,1,5,as loaded,100,,,,,,2.5,3.5,75,150,,,\n", by)
	pan, _ := moveFrom(t, r, "West hill")
	if pan.Rate.Truck != "Pan" || pan.Rate.Match() != 0 || pan.Stages[0].Name != "hauling" {
		t.Errorf("%+v", pan)
	}
	near(t, "cycle", pan.Rate.CyclePerLoad, 60+45+1500*footLong*(1/(12*mph)+1/(18*mph)), 1e-9)
	near(t, "two of them", pan.Pace, 2*21*cubicYd/pan.Rate.CyclePerLoad*0.8, 1e-12)
	blade, _ := moveFrom(t, r, "East terrace")
	near(t, "push", blade.Rate.CyclePerLoad, 150*footLong*(1/(2.5*mph)+1/(3.5*mph)), 1e-9)
	if blade.Rate.Truck != "Blade" {
		t.Errorf("%+v", blade.Rate)
	}
}

// The narrower row of `hauls` goes first: zone before stations before neither.
func TestNarrowestRoad(t *testing.T) {
	rows := "pit,length (ft),from station (ft),to station (ft),zone\nWest hill,1500,,,\nWest hill,1100,0,4+00,\nWest hill,800,,,core\nEast terrace,900,,,\nEast terrace,950,0,4+00,\nLow meadow,700,,,\n"
	r := hauled(t, hauler+excavator, rows)
	seen := map[float64]bool{}
	for _, f := range r.Allocation.Flows {
		want := 800.0
		if f.Source == "East terrace" {
			want = 900
			if (f.From+f.To)/2 < 400*footLong {
				want = 950
			}
		}
		if f.Source != "Low meadow" {
			near(t, "road", f.Haul/footLong, want, 1e-9)
			seen[want] = true
		}
	}
	if len(seen) != 3 {
		t.Errorf("%v", seen)
	}
}

// 5 days a week, 4 of June's 22 working days lost to weather: 18 of 22 of each day.
// 1 June 2026 is a Monday.
func TestFinishOfTheHaul(t *testing.T) {
	base := changed(changed(demoTables(t), "fleet", fleetHead+hauler+excavator), "hauls", roads)
	r := run(t, tables(t, changed(base, "site", base["site"]+"start date,2026-06-01\nwork days a week,5\nhours per day,14\nweather days,Jun 4\n")))
	h := r.Haul
	days := int(math.Ceil(h.Hours / 14 / (18.0 / 22)))
	if days > 22 {
		t.Fatalf("%d days run out of June", days)
	}
	if want := fmt.Sprintf("2026-06-%02d", days+2*((days-1)/5)); h.Finish != want {
		t.Errorf("%g hours end on %s, want %s", h.Hours, h.Finish, want)
	}
	r = run(t, tables(t, changed(base, "site", base["site"]+"start date,2026-06-01\n")))
	if !hasNote(r.Notes, "look", "if no day is lost to weather") || !hasNote(r.Notes, "note", "8 hours a day and 5 days a week are taken") {
		t.Errorf("%+v", r.Notes)
	}
}
