package plan_test

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

// stony is the demo site with the silty sand's sample screened of stones.
func stony(t testing.TB, share, gravity string) map[string]string {
	t.Helper()
	base := demoTables(t)
	var lines []string
	for _, line := range strings.Split(base["proctor"], "\n") {
		switch {
		case strings.HasPrefix(line, "material,"):
			line += ",oversize fraction (%),oversize gravity (-)"
		case strings.HasPrefix(line, "silty sand,"):
			line += "," + share + "," + gravity
		case line != "" && !strings.HasPrefix(line, "#"):
			line += ",,"
		}
		lines = append(lines, line)
	}
	return changed(base, "proctor", strings.Join(lines, "\n"))
}

func material(t testing.TB, r *plan.Result, name string) *plan.Material {
	t.Helper()
	for i := range r.Materials {
		if r.Materials[i].Row.Name == name {
			return &r.Materials[i]
		}
	}
	t.Fatalf("no material %s", name)
	return nil
}

// A sample screened of 20 % stones of specific gravity 2.70: the maximum of the
// whole soil is 1 / (0.20 / (2.70 x 998.2) + 0.80 / fine) (UFC 3-220-20, equation
// 3-6), the optimum 0.80 of the fine part's, and tests are compared with those.
func TestOversizeOfALabSample(t *testing.T) {
	r := run(t, tables(t, stony(t, "20", "2.70")))
	s := material(t, r, "silty sand").Samples[0]
	near(t, "maximum", s.Curve.MaxDry, 1/(0.20/(2.70*soil.WaterDensity)+0.80/s.Fine.MaxDry), 1e-9)
	near(t, "optimum", s.Curve.Optimum, 0.80*s.Fine.Optimum, 1e-12)
	if !hasNote(r.Notes, "note", "was corrected for 20 % oversize") {
		t.Errorf("notes: %+v", r.Notes)
	}
	for _, x := range r.Tests {
		if x.Row.Material == "silty sand" && x.Row.State == "fill" {
			near(t, "compared with", x.MaxDry, s.Curve.MaxDry, 1e-9)
		}
	}
	plainRun := run(t, sites+"plain")
	if got := material(t, run(t, tables(t, stony(t, "4", "2.70"))), "silty sand").Lab.MaxDry; got != material(t, plainRun, "silty sand").Lab.MaxDry {
		t.Errorf("4 %% was corrected: %g", got)
	}
}

func TestOversizeMistakes(t *testing.T) {
	for name, c := range map[string]struct {
		tables map[string]string
		words  []string
	}{
		"beyond the limit": {stony(t, "45", "2.7"), []string{"proctor row", "oversize fraction", "45 % oversize is beyond the limit of 40 %"}},
		"unlike rows":      {edited(t, stony(t, "20", "2.7"), "proctor", "9.4,128.3,20", "9.4,128.3,25"), []string{"oversize fraction", "20 %", "25 %", "write the same"}},
	} {
		got := failing(t, c.tables)
		for _, w := range c.words {
			if !strings.Contains(got, w) {
				t.Errorf("%s: %q\nlacks %q", name, got, w)
			}
		}
	}
	r := run(t, tables(t, stony(t, "20", "")))
	if !hasNote(r.Notes, "note", "the stones' specific gravity is not given, so 2.66 is taken") {
		t.Errorf("notes: %+v", r.Notes)
	}
}

// A field test that says how many stones it holds is compared with a maximum for
// as many.
func TestOversizeOfAFieldTest(t *testing.T) {
	base := demoTables(t)
	base = edited(t, base, "density", "sample,retest of", "sample,retest of,oversize fraction (%)")
	base = edited(t, base, "density", "128.5,11.0,nuclear gauge,S-1,", "128.5,11.0,nuclear gauge,S-1,,15")
	r := run(t, tables(t, base))
	s := material(t, r, "silty sand").Samples[0]
	for _, x := range r.Tests {
		if x.Row.ID == "F-6" {
			near(t, "maximum", x.MaxDry, 1/(0.15/(2.66*soil.WaterDensity)+0.85/s.Fine.MaxDry), 1e-9)
			near(t, "optimum", x.Optimum, 0.85*s.Fine.Optimum, 1e-12)
			near(t, "compaction", x.Compaction, x.DryDensity/x.MaxDry, 1e-12)
		}
		if x.Row.ID == "F-7" {
			near(t, "maximum", x.MaxDry, s.Curve.MaxDry, 1e-9)
		}
	}
	if !hasNote(r.Notes, "note", "silty sand: the oversize in test F-6 is taken to be dry stone of specific gravity 2.66; each is compared") {
		t.Errorf("%+v", r.Notes)
	}
}

// A field test that names no sample is compared with stones as heavy as those
// that the laboratory weighed, whatever the grains of the soil weigh.
func TestOversizeOfAnUnnamedTest(t *testing.T) {
	base := demoTables(t)
	base = edited(t, base, "density", "sample,retest of", "sample,retest of,oversize fraction (%)")
	base = edited(t, base, "density", "128.5,11.0,nuclear gauge,S-1,", "128.5,11.0,nuclear gauge,,,15")
	base = edited(t, base, "proctor", "wet density (pcf)", "wet density (pcf),oversize gravity")
	base = edited(t, base, "proctor", "silty sand,S-1,standard,7.4,122.0", "silty sand,S-1,standard,7.4,122.0,2.65")
	r := run(t, tables(t, base))
	s := material(t, r, "silty sand").Samples[0]
	for _, x := range r.Tests {
		if x.Row.ID == "F-6" {
			near(t, "maximum", x.MaxDry, 1/(0.15/(2.65*soil.WaterDensity)+0.85/s.Fine.MaxDry), 1e-9)
		}
	}
}

func TestDoubtfulCurves(t *testing.T) {
	for name, c := range map[string]struct {
		old, new, note string
	}{
		"three points": {"lean clay,C-1,standard,12.8,115.8\nlean clay,C-1,standard,15.1,122.7\n", "", "rests on 3 lab points"},
		"two peaks":    {"12.8,115.8", "12.8,124.0", "rise and fall 2 times"},
	} {
		r := run(t, tables(t, edited(t, demoTables(t), "proctor", c.old, c.new)))
		if !hasNote(r.Notes, "look", c.note) {
			t.Errorf("%s: notes %+v", name, r.Notes)
		}
	}
	if r := run(t, sites+"plain"); hasNote(r.Notes, "look", "sample C-1") {
		t.Error("the demo's curves are sound")
	}
}

// Saturation, air voids and distance from optimum of a demo test: 125.4 pcf wet
// at 18.4 %, specific gravity 2.70, by volumes of solids, water and air.
func TestWhatATestSays(t *testing.T) {
	r := run(t, sites+"plain")
	for _, x := range r.Tests {
		if x.Row.ID != "F-1" {
			continue
		}
		solids, water := x.DryDensity/(2.70*soil.WaterDensity), x.DryDensity*0.184/soil.WaterDensity
		near(t, "saturation", x.Saturation, water/(1-solids), 1e-12)
		near(t, "air voids", x.AirVoids, 1-solids-water, 1e-12)
		near(t, "from optimum", x.FromOptimum, 0.184-material(t, r, "lean clay").Lab.Optimum, 1e-12)
		return
	}
	t.Error("test F-1 is gone")
}

func TestImpossibleTest(t *testing.T) {
	got := failing(t, edited(t, demoTables(t), "density", "125.4,18.4", "145.4,18.4"))
	for _, w := range []string{"density row 19, water content: fill test F-1 has 122.8 pcf dry at 18.4 % water", "more than full of water", "check the density"} {
		if !strings.Contains(got, w) {
			t.Errorf("%q\nlacks %q", got, w)
		}
	}
}

func TestRingOfRetests(t *testing.T) {
	base := edited(t, demoTables(t), "density", "122.1,21.7,nuclear gauge,C-1,", "122.1,21.7,nuclear gauge,C-1,F-3R")
	if got := failing(t, base); !strings.Contains(got, "repeats itself through others") {
		t.Errorf("%q", got)
	}
}

// Trial tests are compared with the laboratory's maximum and neither pass nor fail.
func TestTrialIsNotJudged(t *testing.T) {
	r := run(t, tables(t, edited(t, demoTables(t), "density", "fill,lean clay,F-1,", "trial,lean clay,F-1,")))
	for _, x := range r.Tests {
		if x.Row.ID == "F-1" && (x.Pass != nil || math.IsNaN(x.Compaction)) {
			t.Errorf("%+v", x)
		}
	}
}

// A second full sample, lighter and wetter, makes a family with the first; one
// point half-way between the two curves is read half-way between their peaks.
func TestOnePointOfAFamily(t *testing.T) {
	base := demoTables(t)
	light := "lean clay,C-2,standard,15.0,112.1\nlean clay,C-2,standard,17.2,119.0\nlean clay,C-2,standard,19.4,123.6\nlean clay,C-2,standard,21.6,123.8\nlean clay,C-2,standard,24.0,121.0\n"
	family := strings.TrimRight(base["proctor"], "\n") + "\n" + light
	r := run(t, tables(t, changed(base, "proctor", family+"lean clay,C-3,standard,16.5,121.3\n")))
	s := material(t, r, "lean clay").Samples
	if len(s) != 3 || s[2].Name != "C-3" || s[2].Curve.N != 1 {
		t.Fatalf("%+v", s)
	}
	if d := s[2].Curve.MaxDry; !(d < s[0].Curve.MaxDry && d > s[1].Curve.MaxDry) {
		t.Errorf("%g is not between %g and %g", d, s[0].Curve.MaxDry, s[1].Curve.MaxDry)
	}
	if w := s[2].Curve.Optimum; !(w > s[0].Curve.Optimum && w < s[1].Curve.Optimum) {
		t.Errorf("optimum %g", w)
	}
	if !hasNote(r.Notes, "note", "sample C-3 of lean clay has one point") {
		t.Errorf("%+v", r.Notes)
	}
	for name, c := range map[string][2]string{
		"no family":   {strings.TrimRight(base["proctor"], "\n") + "\nlean clay,C-3,standard,16.5,121.3\n", "it takes two or more"},
		"wet side":    {family + "lean clay,C-3,standard,22.5,123.8\n", "one from 80 to 100 %"},
		"beyond both": {family + "lean clay,C-3,standard,16.5,100\n", "it plots between no two curves"},
	} {
		if got := failing(t, changed(base, "proctor", c[0])); !strings.Contains(got, c[1]) || !strings.Contains(got, "sample C-3 of lean clay gives no compaction curve") {
			t.Errorf("%s: %q", name, got)
		}
	}
}
