package soil

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestDerive(t *testing.T) {
	nan := math.NaN()
	// Gs 2.70, 15 % water, 90 % saturation: rw / (0.15 / 0.9 + 1 / 2.7) by UFC
	// 3-220-20 equation 3-2.
	dry := WaterDensity / (0.15/0.9 + 1/2.7)
	d := InPlace{Dry: dry, Water: 0.15, MaxDry: 1.9e3, Optimum: 0.14, Gravity: 2.7}.Derive()
	if math.Abs(d.Saturation-0.9) > 1e-12 || math.Abs(d.FromOptimum-0.01) > 1e-15 || math.Abs(d.Compaction-dry/1900) > 1e-15 || d.Impossible {
		t.Errorf("%+v", d)
	}
	for name, c := range map[string]struct {
		in         InPlace
		impossible bool
	}{
		"beyond zero air":     {InPlace{Dry: 1.01 * ZeroAirVoids(2.7, 0.2), Water: 0.2, MaxDry: 1900, Optimum: 0.14, Gravity: 2.7}, true},
		"within the readings": {InPlace{Dry: 1.004 * ZeroAirVoids(2.7, 0.2), Water: 0.2, MaxDry: 1900, Optimum: 0.14, Gravity: 2.7}, false},
		"no gravity":          {InPlace{Dry: 1900, Water: 0.2, MaxDry: 1900, Optimum: 0.14, Gravity: nan}, false},
		"no water":            {InPlace{Dry: 1900, Water: nan, MaxDry: nan, Optimum: nan, Gravity: 2.7}, false},
	} {
		got := c.in.Derive()
		if got.Impossible != c.impossible {
			t.Errorf("%s: %+v", name, got)
		}
		if math.IsNaN(c.in.Gravity) && !(math.IsNaN(got.Saturation) && math.IsNaN(got.AirVoids)) {
			t.Errorf("%s: %+v", name, got)
		}
	}
	if got := (InPlace{Dry: 2.7 * WaterDensity, Water: 0.1, MaxDry: 1900, Optimum: 0.1, Gravity: 2.7}).Derive(); !math.IsNaN(got.Saturation) || !got.Impossible {
		t.Errorf("solid stone with water: %+v", got)
	}
}

// The correction and its inverse; more heavy stones make the whole heavier and
// drier.
func TestOversizeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Oversize{Share: rapid.Float64Range(0.051, 0.4).Draw(t, "share"), Gravity: rapid.Float64Range(2.4, 2.8).Draw(t, "gravity")}
		fine := rapid.Float64Range(1400, 2200).Draw(t, "fine")
		whole := o.WholeDensity(fine)
		if back := o.FineDensity(whole); math.Abs(back-fine) > 1e-9*fine || whole < fine {
			t.Fatalf("%g to %g to %g", fine, whole, back)
		}
		c, err := o.Correct(Curve{MaxDry: fine, Optimum: 0.14, DrySpread: 10, WaterSpread: 0.004, N: 5, Bracketed: true})
		if err != nil || c.MaxDry != whole || c.Optimum != o.WholeWater(0.14) || !(c.Optimum < 0.14) || !(c.DrySpread > 0 && c.WaterSpread < 0.004) || c.N != 5 {
			t.Fatalf("%+v, %v", c, err)
		}
	})
}

func TestOversizeLimits(t *testing.T) {
	curve := Curve{MaxDry: 1900, Optimum: 0.14}
	if got, err := (Oversize{Share: 0.05, Gravity: 2.7}).Correct(curve); err != nil || got != curve {
		t.Errorf("5 %% is not corrected: %+v, %v", got, err)
	}
	for name, o := range map[string]Oversize{
		"too much": {Share: 0.41, Gravity: 2.7}, "all": {Share: 1, Gravity: 2.7}, "negative": {Share: -0.1, Gravity: 2.7},
		"NaN": {Share: math.NaN(), Gravity: 2.7}, "no gravity": {Share: 0.2}, "wet NaN": {Share: 0.2, Gravity: 2.7, Water: math.NaN()},
	} {
		if got, err := o.Correct(curve); !errors.Is(err, ErrOversize) || got != curve {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
}

func TestChains(t *testing.T) {
	tests := []Tested{{"F-1", ""}, {"F-2", ""}, {"F-1R", "F-1"}, {"", ""}, {"F-1RR", "F-1R"}, {"F-2A", "F-2"}, {"F-2B", "F-2"}, {"lost", "nobody"}}
	got, err := Chains(tests)
	if err != nil {
		t.Fatal(err)
	}
	want := []Chain{{[]int{0, 2, 4}, []int{4}}, {[]int{1, 5, 6}, []int{5, 6}}, {[]int{3}, []int{3}}, {[]int{7}, []int{7}}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	for name, ring := range map[string][]Tested{
		"itself": {{"a", "a"}},
		"two":    {{"a", "b"}, {"b", "a"}},
		"tail":   {{"c", "a"}, {"a", "b"}, {"b", "a"}},
	} {
		var cycle *CycleError
		if _, err := Chains(ring); !errors.As(err, &cycle) || cycle.ID == "" || cycle.Error() == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Every test is in one chain, and each chain has a test that stands.
func TestChainsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 12).Draw(t, "n")
		tests := make([]Tested, n)
		for i := range tests {
			tests[i].ID = string(rune('a' + i))
			if i > 0 && rapid.Bool().Draw(t, "retest") {
				tests[i].RetestOf = string(rune('a' + rapid.IntRange(0, i-1).Draw(t, "of")))
			}
		}
		chains, err := Chains(tests)
		if err != nil {
			t.Fatal(err)
		}
		seen := make([]int, n)
		for _, c := range chains {
			if len(c.Last) == 0 {
				t.Fatalf("chain %+v has no end", c)
			}
			for _, i := range c.Tests {
				seen[i]++
			}
		}
		for i, times := range seen {
			if times != 1 {
				t.Fatalf("test %d is in %d chains", i, times)
			}
		}
	})
}
