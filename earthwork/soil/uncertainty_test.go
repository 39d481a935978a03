package soil

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// worked is a soil with tests in all three states.
func worked(t testing.TB, in Input) Factors {
	t.Helper()
	f, err := Work(in)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func fewTests() Input {
	return Input{Bank: []float64{1600, 1620, 1700}, Loose: []float64{1280, 1300}, Fill: []float64{1900, 1950, 1910, 1930}}
}

// One uncertain density alone: the quantiles of the draws are those of Student's
// t, in closed form. The slack is three standard errors of a quantile of the draws.
func TestDrawsAgainstStudentT(t *testing.T) {
	const n = DrawCount
	for _, df := range []float64{4, 5, 9, 30} {
		one := term{Bank, 0.02, df}
		d := Draws{one.draw(n, source(Seed, Bank))}
		slices.Sort(d.logs)
		dist := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
		for _, p := range []float64{0.1, 0.5, 0.9} {
			want := dist.Quantile(p)
			slack := 3 * math.Sqrt(p*(1-p)/n) / dist.Prob(want)
			if got := math.Log(d.Quantile(p)) / one.scale; math.Abs(got-want) > slack {
				t.Errorf("df %g, %g: %.4f, want %.4f within %.4f", df, p, got, want, slack)
			}
			if got := d.Below(d.Quantile(p)); math.Abs(got-p) > 2.0/n {
				t.Errorf("below the %g quantile lie %g", p, got)
			}
		}
	}
}

// With many tests Student's t is normal, and the logarithm of a quotient of two
// means is normal with the sum of their variances: draws, first order and closed
// form agree. This is the ratio of normals to first order.
func TestDrawsAgainstNormalQuotient(t *testing.T) {
	const n = 400
	spread := func(mean, sd float64) []float64 {
		var v []float64
		for i := range n {
			v = append(v, mean+sd*math.Sqrt(float64(n-1)/n)*float64(2*(i%2)-1))
		}
		return v
	}
	f := worked(t, Input{Bank: spread(1600, 80), Fill: spread(1900, 38)})
	deviation := math.Sqrt((0.05*0.05 + 0.02*0.02) / n)
	first, ok := f.Propagate(Bank)
	if !ok || math.Abs(first.Deviation/deviation-1) > 0.01 {
		t.Errorf("first order %g, closed form %g", first.Deviation, deviation)
	}
	draws, ok := f.Draw(Bank, DrawCount, Seed)
	if !ok {
		t.Fatal("no draws")
	}
	want := first.Range()
	const slack = 3e-5 // three standard errors of the quantiles at this spread
	for p, w := range map[float64]float64{0.1: want.Low, 0.5: 1, 0.9: want.High} {
		if got := draws.Quantile(p); math.Abs(got-w) > slack {
			t.Errorf("%g: %.6f, want %.6f", p, got, w)
		}
	}
	if first.Shares[0].State != Bank || math.Abs(first.Shares[0].Share-25.0/29) > 0.01 {
		t.Errorf("shares %+v", first.Shares)
	}
}

// Two tests that happen to agree do not make a mean certain, and two that differ
// much do not make the range absurd.
func TestRangeOfTwoTests(t *testing.T) {
	for name, bank := range map[string][]float64{"alike": {1600, 1600}, "one": {1600}, "far apart": {1450, 1750}} {
		f := worked(t, Input{Bank: bank, Fill: []float64{1900, 1930, 1910}})
		d, ok := f.Draw(Bank, DrawCount, Seed)
		if !ok {
			t.Fatal("no draws")
		}
		width := d.Quantile(0.9) - d.Quantile(0.1)
		if width < 0.05 || width > 0.30 || d.Quantile(0.999) > 2 {
			t.Errorf("%s: width %.3f, 1 in 1000 above %.2f", name, width, d.Quantile(0.999))
		}
	}
}

func TestDrawIsFixed(t *testing.T) {
	f := worked(t, fewTests())
	a, _ := f.Draw(Bank, 1000, Seed)
	b, _ := f.Draw(Bank, 1000, Seed)
	c, _ := f.Draw(Bank, 1000, Seed+1)
	if a.Quantile(0.3) != b.Quantile(0.3) || a.Quantile(0.3) == c.Quantile(0.3) {
		t.Error("the same seed must give the same draws, another seed others")
	}
	loose, ok := f.Draw(Loose, 1000, Seed)
	if !ok || loose.Quantile(0.3) == a.Quantile(0.3) {
		t.Error("loose draws are those of the bank")
	}
	if a.Below(1e-300) != 0 || a.Below(1e300) != 1 || a.Quantile(0) > a.Quantile(1) {
		t.Error("ends of the draws")
	}
}

// A typed factor says nothing of how sure it is.
func TestNoRangeOfTypedFactors(t *testing.T) {
	f := worked(t, Input{Fill: []float64{1900}, TypedShrink: ptr(0.9), TypedSwell: ptr(0.2)})
	if _, ok := f.Draw(Bank, 100, Seed); ok {
		t.Error("draws of a typed shrink factor")
	}
	if _, ok := f.Propagate(Loose); ok {
		t.Error("first order of a typed swell")
	}
	if _, ok := f.NextTests(Bank, 3); ok {
		t.Error("next tests of a typed factor")
	}
	if i := f.Intervals(0.95); i.Shrink != nil || i.Swell != nil || i.LoadFactor != nil {
		t.Errorf("intervals %+v", i)
	}
}

// The state that drives the variance is the one to test next, and what is
// foretold is what comes about when the new tests spread like the old.
func TestNextTests(t *testing.T) {
	bank, fill := []float64{1500, 1700}, []float64{1900, 1910, 1920, 1890, 1905, 1915}
	f := worked(t, Input{Bank: bank, Fill: fill})
	buy, ok := f.NextTests(Bank, 3)
	if !ok || buy.State != Bank || !(buy.After < buy.Before) {
		t.Fatalf("%+v, %v", buy, ok)
	}
	first, _ := f.Propagate(Bank)
	if buy.Before != first.Half() || first.Shares[0].State != Bank {
		t.Errorf("%+v beside %+v", buy, first)
	}
	planned := worked(t, Input{Bank: []float64{1600, 1610, 1590, 1620, 1600, 1580, 1605, 1595}, MaxDry: 1900, Expected: 0.97})
	if buy, ok = planned.NextTests(Bank, 4); !ok || buy.State != Fill {
		t.Errorf("a planned fill density: %+v", buy)
	}
}

// More laboratory samples make a planned fill density surer.
func TestPlannedPrecision(t *testing.T) {
	one := worked(t, Input{Bank: []float64{1600}, MaxDry: 1900, Expected: 0.97, Samples: 1})
	four := worked(t, Input{Bank: []float64{1600}, MaxDry: 1900, Expected: 0.97, Samples: 4})
	p1, _ := one.Fill.Precision(Fill)
	p4, _ := four.Fill.Precision(Fill)
	if math.Abs(p1.Variation-math.Hypot(0.03, 0.01)) > 1e-15 || math.Abs(p4.Variation-math.Hypot(0.015, 0.01)) > 1e-15 || !p1.Assumed {
		t.Errorf("%+v and %+v", p1, p4)
	}
}

// Factors, their intervals and ranges do not change with the unit of density.
func TestIntervalsInAnyUnit(t *testing.T) {
	density := rapid.SliceOfN(rapid.Float64Range(1000, 2200), 1, 6)
	rapid.Check(t, func(t *rapid.T) {
		in := Input{Bank: density.Draw(t, "bank"), Loose: density.Draw(t, "loose"), Fill: density.Draw(t, "fill")}
		unit := rapid.Float64Range(0.01, 100).Draw(t, "unit")
		scale := func(v []float64) (out []float64) {
			for _, x := range v {
				out = append(out, x*unit)
			}
			return out
		}
		a, err := Work(in)
		b, err2 := Work(Input{Bank: scale(in.Bank), Loose: scale(in.Loose), Fill: scale(in.Fill)})
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		same := func(what string, x, y float64) {
			if math.Abs(x-y) > 1e-9*math.Max(1, math.Abs(x)) {
				t.Fatalf("%s: %g and %g", what, x, y)
			}
		}
		i, k := a.Intervals(0.9), b.Intervals(0.9)
		same("shrink", a.Shrink, b.Shrink)
		same("shrink low", math.Log(i.Shrink.Low), math.Log(k.Shrink.Low))
		same("swell high", math.Log1p(i.Swell.High), math.Log1p(k.Swell.High))
		x, _ := a.Propagate(Bank)
		y, _ := b.Propagate(Bank)
		same("first order", x.Deviation, y.Deviation)
		if !(i.Shrink.Low <= a.Shrink && a.Shrink <= i.Shrink.High && i.LoadFactor.Low <= a.LoadFactor && a.LoadFactor <= i.LoadFactor.High) {
			t.Fatalf("intervals %+v do not hold the factors %+v", i, a)
		}
	})
}

// A test equal to the mean never widens an interval, of a density, of a factor or
// of the bank volume.
func TestTestAtMeanNeverWidens(t *testing.T) {
	density := rapid.SliceOfN(rapid.Float64Range(1000, 2200), 1, 8)
	rapid.Check(t, func(t *rapid.T) {
		in := Input{Bank: density.Draw(t, "bank"), Loose: density.Draw(t, "loose"), Fill: density.Draw(t, "fill")}
		before, err := Work(in)
		if err != nil {
			t.Fatal(err)
		}
		in.Bank = append(in.Bank, before.Bank.Value)
		after, err := Work(in)
		if err != nil {
			t.Fatal(err)
		}
		narrower := func(what string, b, a float64) {
			if a > b*(1+1e-9)+1e-12 {
				t.Fatalf("%s: %g became %g", what, b, a)
			}
		}
		for _, level := range []float64{0.8, 0.95} {
			p, _ := before.Bank.Precision(Bank)
			q, _ := after.Bank.Precision(Bank)
			narrower("bank density", p.Half(level), q.Half(level))
			i, k := before.Intervals(level), after.Intervals(level)
			narrower("shrink", i.Shrink.High/i.Shrink.Low, k.Shrink.High/k.Shrink.Low)
			narrower("load factor", i.LoadFactor.High/i.LoadFactor.Low, k.LoadFactor.High/k.LoadFactor.Low)
		}
		x, _ := before.Propagate(Bank)
		y, _ := after.Propagate(Bank)
		narrower("bank volume", x.Deviation, y.Deviation)
	})
}

// A hundred thousand draws are to take at most 50 ms.
func BenchmarkDraw(b *testing.B) {
	f := worked(b, fewTests())
	for b.Loop() {
		f.Draw(Bank, DrawCount, Seed)
	}
}
