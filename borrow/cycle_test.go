package borrow

import (
	"math"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"pgregory.net/rapid"
)

// A truck of 12 yd3 on a road of 7 miles, published in
// testdata/published/soil/truck-cycle.csv part by part.
func TestCyclePublished(t *testing.T) {
	rows := published.Read(t, "soil/truck-cycle.csv")
	truck := Hauler{
		LoadTime: 12.0 / 95 * hour, DumpTime: 3 * minute,
		Loaded: 30 * miles / hour, Empty: 40 * miles / hour,
	}
	c := truck.Cycle(Road{Length: 7 * miles}, math.NaN())
	for quantity, seconds := range map[string]float64{
		"load_h": c.Load, "haul_h": c.Haul, "dump_h": c.Dump, "return_h": c.Return, "cycle_h": c.Total(),
	} {
		r := published.Find(t, rows, "quantity", quantity)
		slack := r.Half(t, "published")
		if quantity == "cycle_h" { // the source adds four parts that it rounded
			slack *= 4
		}
		published.Near(t, quantity, seconds/hour, r.Number(t, "published"), slack)
		published.Near(t, quantity, seconds/hour, r.Number(t, "computed"), r.Half(t, "computed"))
	}
	exact := published.Find(t, rows, "quantity", "trucks_exact")
	published.Near(t, "trucks", c.Total()/c.Load, exact.Number(t, "computed"), exact.Half(t, "computed"))
	// Five trucks keep the loader busy; with four they govern.
	rate := 12 * cubicYd
	p, err := PaceOf([]Stage{{"loading", rate / c.Load, 1}, {"hauling", rate / c.Total(), 0}})
	if err != nil || p.Machines[1] != 5 || p.Slowest != 0 {
		t.Errorf("%+v, %v", p, err)
	}
	if p, _ = PaceOf([]Stage{{"loading", rate / c.Load, 1}, {"hauling", rate / c.Total(), 4}}); p.Slowest != 1 {
		t.Errorf("%+v", p)
	}
}

// 18 loose yd3 at 20 % swell are 15 bank yd3; at a cycle of 15 min a truck carries
// 60 bank yd3 an hour (testdata/published/soil/truck-cycle.csv).
func TestCycleVault(t *testing.T) {
	rows := published.Read(t, "soil/truck-cycle.csv")
	bank := BankInLoose(18, 1/(1+0.20))
	want := published.Find(t, rows, "quantity", "bank_yd3_per_load").Number(t, "published")
	published.Near(t, "bank yd3 a load", bank, want, 1e-12)
	want = published.Find(t, rows, "quantity", "bank_yd3_per_h_per_truck").Number(t, "published")
	published.Near(t, "bank yd3 an hour", bank/(15*minute)*hour, want, 1e-9)
	published.Near(t, "hours", Hours(100, 15*minute, 1), 25, 1e-12)
	published.Near(t, "hours of 50 minutes", Hours(100, 15*minute, 50.0/60), 30, 1e-12)
}

// Travel times and resistances in testdata/published/soil/travel-time-and-resistance.csv.
func TestRoadPublished(t *testing.T) {
	rows := published.Read(t, "soil/travel-time-and-resistance.csv")
	lbPerTon := func(share float64) float64 { return 2000 * share }
	for _, c := range []struct {
		kind, input string
		got         float64
	}{
		{"travel_min", "3100 ft", Hauler{Loaded: 19 * miles / hour}.Cycle(Road{Length: 3100 * feet}, 0).Haul / minute},
		{"travel_min", "0.56 mi", Hauler{Loaded: 21 * miles / hour}.Cycle(Road{Length: 0.56 * miles}, 0).Haul / minute},
		{"grade_lb_per_ton", "2 %", lbPerTon(Road{Grade: 0.02}.EffectiveGrade(true))},
		{"grade_lb_per_ton", "4 %", lbPerTon(Road{Grade: 0.04}.EffectiveGrade(true))},
		{"grade_lb_per_ton", "-2 %", lbPerTon(Road{Grade: -0.02}.EffectiveGrade(true))},
		{"rolling_lb_per_ton", "0 in penetration", lbPerTon(RollingOn(0))},
		{"rolling_lb_per_ton", "1 in penetration", lbPerTon(RollingOn(0.0254))},
		{"rolling_lb_per_ton", "2 in penetration", lbPerTon(RollingOn(2 * 0.0254))},
		{"effective_grade_pct", "rolling 80 lb/ton", 100 * Road{Grade: 0.04, Rolling: 80.0 / 2000}.EffectiveGrade(true)},
		{"effective_grade_pct", "rolling 50 kg/t", 100 * Road{Grade: 0.05, Rolling: 50.0 / 1000}.EffectiveGrade(true)},
	} {
		row := published.Row{}
		for _, r := range rows {
			if r["kind"] == c.kind && r["input_1"] == c.input {
				row = r
			}
		}
		for _, column := range []string{"published", "computed"} {
			if row.Has(column) {
				published.Near(t, c.kind+" "+c.input+" "+column, c.got, row.Number(t, column), row.Half(t, column))
			}
		}
	}
	if got := (Road{Grade: 0.05, Rolling: 0.02}).EffectiveGrade(false); math.Abs(got+0.03) > 1e-15 {
		t.Errorf("on the way back: %g", got)
	}
}

// An engine of 200 kW with 20 t on an effective grade of 8 % holds
// 0.8 x 200,000 / (20,000 x 9.80665 x 0.08) = 10.197 m/s, by power = force x speed.
func TestSpeedLimit(t *testing.T) {
	if got := SpeedLimit(200e3, 20e3, 0.08); math.Abs(got*20e3*9.80665*0.08-0.8*200e3) > 1e-6 {
		t.Errorf("%g m/s", got)
	}
	if got := SpeedLimit(200e3, 20e3, -0.01); !math.IsInf(got, 1) {
		t.Errorf("downhill: %g", got)
	}
	truck := Hauler{Loaded: 15, Empty: 18, Mass: 12e3, Power: 200e3}
	up := truck.Cycle(Road{Length: 600, Grade: 0.06, Rolling: 0.02}, 8e3)
	if !up.Slowed || math.Abs(up.Haul-600/SpeedLimit(200e3, 20e3, 0.08)) > 1e-9 || math.Abs(up.Return-600.0/18) > 1e-9 {
		t.Errorf("%+v", up)
	}
	if flat := truck.Cycle(Road{Length: 600, Rolling: 0.02}, 8e3); flat.Slowed || flat.Haul != 40 {
		t.Errorf("%+v", flat)
	}
}

// The speed given is never exceeded, and a longer or a steeper road never takes
// less time.
func TestCycleProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := Hauler{Loaded: rapid.Float64Range(2, 20).Draw(t, "loaded"), Empty: rapid.Float64Range(2, 20).Draw(t, "empty"), Mass: 15e3, Power: rapid.Float64Range(5e4, 5e5).Draw(t, "power")}
		r := Road{rapid.Float64Range(50, 3000).Draw(t, "length"), rapid.Float64Range(-0.1, 0.1).Draw(t, "grade"), rapid.Float64Range(0.01, 0.1).Draw(t, "rolling")}
		c := h.Cycle(r, 12e3)
		if r.Length/c.Haul > h.Loaded*(1+1e-12) || r.Length/c.Return > h.Empty*(1+1e-12) {
			t.Fatalf("%+v on %+v: %+v", h, r, c)
		}
		longer, softer := r, r
		longer.Length *= 1.1
		softer.Rolling += 0.02
		if h.Cycle(longer, 12e3).Total() < c.Total() || h.Cycle(softer, 12e3).Total() < c.Total()*(1-1e-12) {
			t.Fatalf("%+v on %+v", h, r)
		}
	})
}

// A dozer's ideal rate times its factors, and the hours and machines that follow,
// published in testdata/published/soil/dozer-production.csv.
func TestDozerPublished(t *testing.T) {
	r := published.Read(t, "soil/dozer-production.csv")[0]
	factors := make([]float64, 0, 7)
	for _, f := range []string{"f_weight", "f_operator", "f_material", "f_technique", "f_visibility", "f_efficiency", "f_grade"} {
		factors = append(factors, r.Number(t, f))
	}
	published.Near(t, "factor", Factored(1, factors...), r.Number(t, "published_total_factor"), r.Half(t, "published_total_factor"))
	rate := Factored(r.Number(t, "ideal_lcy_h"), factors...)
	published.Near(t, "rate", rate, r.Number(t, "computed_lcy_h"), r.Half(t, "computed_lcy_h"))
	published.Near(t, "rate", rate, r.Number(t, "published_lcy_h"), 0.5) // printed to a whole yd3
	published.Near(t, "hours", 3000/r.Number(t, "published_lcy_h"), 15.79, 0.005)
	if n := MachinesFor(3000.0/7, r.Number(t, "published_lcy_h")); n != 3 {
		t.Errorf("%d machines", n)
	}
}
