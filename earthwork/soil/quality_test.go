package soil

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The share within one limit grows with the index; the two sides of a limit add
// up to the whole; for n = 4 it is the straight line 1/2 + Q/3 (closed form).
func TestWithinLimitProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 60).Draw(t, "n")
		q := rapid.Float64Range(-4, 4).Draw(t, "index")
		more := q + rapid.Float64Range(0, 2).Draw(t, "more")
		a, b := WithinLimit(q, n), WithinLimit(more, n)
		if !(a >= 0 && b <= 1 && a <= b+1e-12) {
			t.Fatalf("%g at %g, %g at %g", a, q, b, more)
		}
		if c := WithinLimit(-q, n); math.Abs(a+c-1) > 1e-9 {
			t.Fatalf("both sides give %g", a+c)
		}
		if line := min(1, max(0, 0.5+q/3)); math.Abs(WithinLimit(q, 4)-line) > 1e-9 {
			t.Fatalf("n = 4 at %g", q)
		}
	})
}

// A looser limit never lowers the share within; a window holds no more than one
// of its sides.
func TestSumUpProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(0.85, 1.05), 3, 12).Draw(t, "values")
		low := rapid.Float64Range(0.85, 1).Draw(t, "low")
		high := low + rapid.Float64Range(0, 0.1).Draw(t, "window")
		looser := low - rapid.Float64Range(0, 0.1).Draw(t, "looser")
		one, window, loose := SumUp(values, &low, nil), SumUp(values, &low, &high), SumUp(values, &looser, nil)
		if window.Within > one.Within+1e-12 || loose.Within < one.Within-1e-12 || window.Within < 0 {
			t.Fatalf("one %g, window %g, looser %g", one.Within, window.Within, loose.Within)
		}
		if one.Lowest > one.Mean+1e-12 || one.Highest < one.Mean-1e-12 {
			t.Fatalf("%+v", one)
		}
	})
}

func TestSumUpFew(t *testing.T) {
	low := 0.95
	for name, c := range map[string]struct {
		values []float64
		within float64
	}{
		"none": {nil, math.NaN()}, "two": {[]float64{0.96, 0.97}, math.NaN()},
		"alike above": {[]float64{0.96, 0.96, 0.96}, 1}, "alike below": {[]float64{0.94, 0.94, 0.94}, 0},
		"alike on it": {[]float64{0.95, 0.95, 0.95}, 1},
	} {
		got := SumUp(c.values, &low, nil)
		if got.N != len(c.values) || !(got.Within == c.within || math.IsNaN(got.Within) && math.IsNaN(c.within)) {
			t.Errorf("%s: %+v", name, got)
		}
	}
	if got := SumUp([]float64{1, 2, 3}, nil, nil); !math.IsNaN(got.Within) {
		t.Errorf("without limits: %+v", got)
	}
}

// The value far away is flagged whatever the unit; values alike have none, and
// nothing is dropped.
func TestFindOutlier(t *testing.T) {
	// ASTM E178, first example (from memory): strengths of ten copper wires with
	// T = (596 - 575.2) / 8.70 = 2.39, above 2.29 (2.5 % on one side), below 2.41 (1 %).
	wires := []float64{568, 570, 570, 570, 572, 572, 572, 578, 584, 596}
	if o, ok := FindOutlier(wires, 0.05); !ok || math.Abs(o.G-2.39) > 0.005 || o.Index != 9 || math.Abs(o.Critical-2.29) > 0.005 {
		t.Errorf("%+v, %v", o, ok)
	}
	if o, ok := FindOutlier(wires, 0.02); ok || math.Abs(o.Critical-2.41) > 0.005 {
		t.Errorf("at 1 %% on one side: %+v, %v", o, ok)
	}
	for _, none := range [][]float64{nil, {1}, {1, 9}, {5, 5, 5, 5}} {
		if _, ok := FindOutlier(none, 0.05); ok {
			t.Errorf("%v has an outlier", none)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(1500, 1600), 4, 12).Draw(t, "values")
		unit := rapid.Float64Range(0.01, 100).Draw(t, "unit")
		at := rapid.IntRange(0, len(values)-1).Draw(t, "at")
		values[at] = 1e6
		scaled := make([]float64, len(values))
		for i, v := range values {
			scaled[i] = v * unit
		}
		a, ok := FindOutlier(values, OutlierLevel)
		b, _ := FindOutlier(scaled, OutlierLevel)
		if !ok || a.Index != at || b.Index != at || math.Abs(a.G-b.G) > 1e-6 {
			t.Fatalf("%+v and %+v", a, b)
		}
	})
}
