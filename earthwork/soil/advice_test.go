package soil

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestTargetWater(t *testing.T) {
	for name, c := range map[string]struct {
		low, high *float64
		want      float64
	}{
		"no window": {nil, nil, 0.15}, "middle": {ptr(-0.01), ptr(0.03), 0.16}, "least only": {ptr(-0.02), nil, 0.15},
		"wet of optimum": {ptr(0.01), nil, 0.16}, "dry of optimum": {nil, ptr(-0.02), 0.13}, "most only": {nil, ptr(0.02), 0.15},
	} {
		if got := TargetWater(0.15, c.low, c.high); math.Abs(got-c.want) > 1e-15 {
			t.Errorf("%s: %g", name, got)
		}
	}
}

// Water per bank and per compacted volume is the same water: the solids are.
func TestWaterIsTheSameInBothStates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bank := rapid.Float64Range(1200, 2000).Draw(t, "bank")
		fill := rapid.Float64Range(1500, 2200).Draw(t, "fill")
		now, then := rapid.Float64Range(0, 0.4).Draw(t, "now"), rapid.Float64Range(0, 0.4).Draw(t, "then")
		perBank, perFill := WaterMass(bank, now, then), WaterMass(fill, now, then)
		if shrink := bank / fill; math.Abs(perFill*shrink-perBank) > 1e-9*math.Max(1, math.Abs(perBank)) {
			t.Fatalf("%g and %g", perBank, perFill)
		}
	})
	if got := WaterVolume(WaterDensity); got != 1 {
		t.Errorf("%g", got)
	}
	// 5 mm off a lift of 0.15 m: 5 kg from each m2, which is 0.15 m3 of fill.
	if got := Evaporated(0.005, 0.15) * 0.15; math.Abs(got-5e-3*WaterDensity) > 1e-9 {
		t.Errorf("%g kg/m2", got)
	}
}

func TestClayPrompts(t *testing.T) {
	nan := math.NaN()
	good := ClayQuality{"CL", 0.38, 0.19, 0.84, "no"}
	if p := good.Prompts(); len(p) != 0 {
		t.Errorf("a good lean clay: %+v", p)
	}
	for name, c := range map[string]struct {
		soil   ClayQuality
		n      int
		danger bool // of the first
	}{
		"dispersive":    {ClayQuality{"CL", 0.38, 0.19, 0.84, "yes"}, 1, true},
		"untested":      {ClayQuality{"CL", 0.38, 0.19, 0.84, "untested"}, 1, true},
		"blank":         {ClayQuality{"CL", 0.38, 0.19, 0.84, ""}, 1, true},
		"very wet clay": {ClayQuality{"CH", 0.85, 0.50, 0.95, "no"}, 1, false},
		"fat clay":      {ClayQuality{"CH", 0.70, 0.40, 0.95, "no"}, 1, false},
		"silt":          {ClayQuality{"ML", 0.30, 0.04, 0.70, "no"}, 2, false},
		"clean sand":    {ClayQuality{"SP", nan, nan, 0.03, "no"}, 2, false},
		"peat":          {ClayQuality{"PT", nan, nan, nan, "no"}, 1, true},
		"nothing known": {ClayQuality{"", nan, nan, nan, "untested"}, 2, true},
	} {
		p := c.soil.Prompts()
		if len(p) != c.n || p[0].Danger != c.danger {
			t.Errorf("%s: %+v", name, p)
		}
		for _, one := range p {
			if one.Text == "" || one.Source == "" {
				t.Errorf("%s: a prompt without text or source", name)
			}
		}
	}
}

func TestTypical(t *testing.T) {
	for _, c := range []struct{ class, name, want string }{
		{"CL", "", "clay"},
		{"SC-SM", "", "loam (common earth)"},
		{"sp", "", "sand or gravel"},
		{"", "silty sand", "sand or gravel"},
		{"", "Sandy Clay", "clay"},
		{"", "blasted rock", "rock (blasted)"},
		{"OH", "peat", ""},
		{"", "fill", ""},
		{"", "", ""},
	} {
		got, ok := Typical(c.class, c.name)
		if ok != (c.want != "") || got.Soil != c.want {
			t.Errorf("%q %q: %+v", c.class, c.name, got)
		}
	}
}
