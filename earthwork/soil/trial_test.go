package soil

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Check values of common practice, with no source: 95 % of standard maximum is
// the usual least for a clay dam; loose dozer-spread clay about 79 % and two
// dozer passes about 88 % fail; an empty rubber-tyred hauler near 100 %, a
// vibrating padfoot roller or a heavy excavator's tracks near 102 % pass.
func TestTrialCommonPractice(t *testing.T) {
	for name, c := range map[string]struct {
		compaction float64
		pass       bool
	}{
		"spread": {0.79, false}, "two dozer passes": {0.88, false}, "hauler": {1.00, true}, "padfoot": {1.02, true}, "excavator": {1.02, true},
	} {
		v := Judge(1800*c.compaction, math.NaN(), Requirement{MaxDry: 1800, Compaction: 0.95})
		if !v.Judged || v.Pass != c.pass {
			t.Errorf("%s: %+v", name, v)
		}
	}
}

// Ground pressure by arithmetic (common practice, no source): a dozer of low
// ground pressure 2.7 to 2.9 psi, a wide-track 25 ton dozer about 4.7 psi, a
// person on one foot about 8 psi.
func TestGroundPressure(t *testing.T) {
	const pound, inch, psi = 0.45359237, 0.0254, 6894.757293168361
	for name, c := range map[string]struct{ pounds, squareInches, low, high float64 }{
		"low ground pressure dozer": {20500, 7300, 2.7, 2.9},
		"wide-track 25 ton dozer":   {50000, 10600, 4.65, 4.75},
		"person on one foot":        {180, 22.5, 7.9, 8.1},
	} {
		got := GroundPressure(c.pounds*pound, c.squareInches*inch*inch) / psi
		if math.Abs(got-c.pounds/c.squareInches) > 1e-9 || got < c.low || got > c.high {
			t.Errorf("%s: %.3f psi", name, got)
		}
	}
}

// A known growth curve comes back: its ceiling, and the passes it needs.
func TestGrowthKnownCurve(t *testing.T) {
	curve := func(p int) float64 { return 1.00 - 0.20*math.Exp(-0.5*float64(p)) }
	var tests []Strip
	for _, p := range []int{0, 2, 4, 6} {
		tests = append(tests, Strip{p, curve(p)}, Strip{p, curve(p)})
	}
	g := MeasureGrowth(tests)
	if !g.Fitted || math.Abs(g.Ceiling-1) > 1e-6 || math.Abs(g.Drop-0.2) > 1e-6 || math.Abs(g.Rate-0.5) > 1e-5 {
		t.Fatalf("%+v", g)
	}
	for _, c := range []struct {
		required float64
		passes   int
		reach    Reach
	}{
		{0.80, 0, Tried},
		{curve(2), 2, Tried},
		{0.95, 4, Tried},
		{curve(6), 6, Tried},
		{0.995, 8, Beyond}, // ln(0.2 / 0.005) / 0.5 = 7.38
		{1.01, 0, Never},
		{0.9999, 0, OutReach},
	} {
		if n, how := g.Needed(c.required); n != c.passes || how != c.reach {
			t.Errorf("%g: %d, %s; want %d, %s", c.required, n, how, c.passes, c.reach)
		}
	}
}

// Steps that fall are scatter: they are pooled with those before.
func TestGrowthSmooths(t *testing.T) {
	g := MeasureGrowth([]Strip{{2, 0.90}, {4, 0.97}, {6, 0.95}, {6, 0.95}})
	want := (0.97 + 2*0.95) / 3
	if math.Abs(g.Steps[1].Smooth-want) > 1e-12 || math.Abs(g.Steps[2].Smooth-want) > 1e-12 || g.Steps[2].N != 2 {
		t.Errorf("%+v", g.Steps)
	}
	if n, how := MeasureGrowth([]Strip{{2, 0.88}}).Needed(0.95); n != 0 || how != OutReach {
		t.Errorf("one step: %d, %s", n, how)
	}
	// A straight line shows no bend, so no ceiling.
	if g := MeasureGrowth([]Strip{{0, 0.80}, {1, 0.82}, {2, 0.84}, {3, 0.86}}); g.Fitted {
		t.Errorf("straight: %+v", g)
	}
	if g := MeasureGrowth([]Strip{{0, 0.9}, {2, 0.9}, {4, 0.9}}); g.Fitted {
		t.Errorf("level: %+v", g)
	}
}

// The smoothed steps never fall, keep the weighted mean, and a higher requirement
// never needs fewer passes.
func TestGrowthProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var tests []Strip
		sum := 0.0
		for range rapid.IntRange(1, 12).Draw(t, "n") {
			s := Strip{rapid.IntRange(0, 8).Draw(t, "passes"), rapid.Float64Range(0.75, 1.05).Draw(t, "compaction")}
			tests = append(tests, s)
			sum += s.Compaction
		}
		g := MeasureGrowth(tests)
		smooth := 0.0
		for i, s := range g.Steps {
			if i > 0 && s.Smooth < g.Steps[i-1].Smooth-1e-12 {
				t.Fatalf("falls at %d: %+v", i, g.Steps)
			}
			smooth += s.Smooth * float64(s.N)
		}
		if math.Abs(smooth-sum) > 1e-9 {
			t.Fatalf("mean moved: %g, %g", smooth, sum)
		}
		low := rapid.Float64Range(0.7, 1.1).Draw(t, "required")
		a, how := g.Needed(low)
		b, then := g.Needed(low + 0.01)
		if how == Tried && then == Tried && b < a {
			t.Fatalf("%d passes for %g, %d for more", a, low, b)
		}
	})
}

func TestChoose(t *testing.T) {
	padfoot := Rolling{"padfoot", 2.1, 1.5, 0.15, 0.75, 6, 150}
	tracks := Rolling{"excavator", 0.8, 0.4, 0.15, 0.75, 3, 180}
	got := Choose(10000, []Rolling{tracks, padfoot})
	if got[0].Machine != "padfoot" || got[0].Dearer != 1 || got[0].Longer != 1 {
		t.Fatalf("%+v", got)
	}
	// 2.1 x 1.5 x 0.15 x 0.75 / 6 = 0.0590625 m3/s = 212.625 m3/h.
	if math.Abs(got[0].Hours-10000/212.625) > 1e-9 || math.Abs(got[0].UnitCost-150/212.625) > 1e-12 {
		t.Errorf("%+v", got[0])
	}
	if math.Abs(got[1].Longer-got[1].Hours/got[0].Hours) > 1e-12 || math.Abs(got[1].Dearer-got[1].Cost/got[0].Cost) > 1e-12 {
		t.Errorf("%+v", got[1])
	}
	if len(Choose(1, nil)) != 0 {
		t.Error("no machines, no choice")
	}
}

// The solids of a lift stay: thickness x dry density before and after.
func TestLiftAfter(t *testing.T) {
	if got := LiftAfter(0.2, 1400, 1750); math.Abs(got-0.16) > 1e-15 {
		t.Errorf("%g", got)
	}
}
