package soil

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func ptr(v float64) *float64 { return &v }

// soil/bank-loose-compacted.csv: swell, load factor and both shrinkages, as
// published where printed and as computed.
func TestFactorsPublished(t *testing.T) {
	for _, r := range published.Read(t, "soil/bank-loose-compacted.csv") {
		in := Input{Bank: []float64{r.Number(t, "bank")}}
		if r.Has("loose") {
			in.Loose = []float64{r.Number(t, "loose")}
		}
		if r.Has("compacted") {
			in.Fill = []float64{r.Number(t, "compacted")}
		}
		f, err := Work(in)
		if !r.Has("compacted") != errors.Is(err, ErrNoShrink) {
			t.Fatalf("%s: %v", r["case"], err)
		}
		for column, ours := range map[string]float64{
			"published_swell_pct":      f.Swell * 100,
			"computed_swell_pct":       f.Swell * 100,
			"computed_load_factor":     f.LoadFactor,
			"published_shrink_pct":     ShrinkageOfBank(f.Shrink) * 100,
			"computed_shrink_bank_pct": ShrinkageOfBank(f.Shrink) * 100,
			"computed_shrink_fill_pct": ShrinkageOfFill(f.Shrink) * 100,
		} {
			if r.Has(column) {
				published.Near(t, r["case"]+" "+column, ours, r.Number(t, column), r.Half(t, column))
			}
		}
	}
}

// soil/shrink-swell-definitions.csv: bank 110 and compacted 125 pcf give one
// bank volume per fill volume and two figures called shrinkage.
func TestShrinkageDefinitions(t *testing.T) {
	f, err := Work(Input{Bank: []float64{110}, Fill: []float64{125}})
	if err != nil {
		t.Fatal(err)
	}
	rows := published.Read(t, "soil/shrink-swell-definitions.csv")
	for definition, ours := range map[string]float64{
		"of bank volume": ShrinkageOfBank(f.Shrink),
		"of fill volume": ShrinkageOfFill(f.Shrink),
	} {
		r := published.Find(t, rows, "definition", definition)
		published.Near(t, definition, 100*ours, r.Number(t, "value_for_110_to_125_pct"), r.Half(t, "value_for_110_to_125_pct"))
		published.Near(t, "bank volume", 1/f.Shrink, r.Number(t, "bank_volume_per_unit_fill"), r.Half(t, "bank_volume_per_unit_fill"))
	}
	// FHWA Federal Lands Highway, section 9.4.C: a shrinkage of 25 % is a factor of 0.8.
	published.Near(t, "factor of 25 %", ShrinkFactorOfFill(0.25), 0.8, 1e-15)
	// The course solution's row: bank 2750, compacted 3500 is 27.27 % of fill volume.
	published.Near(t, "course solution", 100*ShrinkageOfFill(2750.0/3500), 27.27, 0.005)
}

// soil/waste-loss-borrow.csv: UFC 3-220-20 (2025) equation 3-10.
func TestShrinkageWithLoss(t *testing.T) {
	for _, r := range published.Read(t, "soil/waste-loss-borrow.csv") {
		shrink := r.Number(t, "gamma_d_borrow_pcf") / r.Number(t, "gamma_d_fill_pcf")
		got := ShrinkageOfFillWithLoss(shrink, r.Number(t, "X_L"))
		published.Near(t, "shrinkage", got, r.Number(t, "shrinkage_of_fill_computed"), r.Half(t, "shrinkage_of_fill_computed"))
	}
}

// soil/tabeaud-dam-1904.csv: fill stands 16 % smaller than the bank and 43 %
// smaller than the wagons, so bank to wagon swells by 47.37 %.
func TestTabeaudDam(t *testing.T) {
	f, err := Work(Input{Bank: []float64{84}, Loose: []float64{57}, Fill: []float64{100}})
	if err != nil {
		t.Fatal(err)
	}
	rows := published.Read(t, "soil/tabeaud-dam-1904.csv")
	want := func(quantity string) float64 { return published.Find(t, rows, "quantity", quantity).Number(t, "value") }
	published.Near(t, "compacted per bank", f.Shrink, want("compacted volume per bank volume"), 1e-12)
	published.Near(t, "compacted per loose", f.Shrink*f.LoadFactor, want("compacted volume per loose volume"), 1e-12)
	published.Near(t, "swell", 100*f.Swell, want("swell bank to wagon"), 0.005)
}

func TestWorkOrderOfSources(t *testing.T) {
	bank, loose, fill := []float64{1600}, []float64{1280}, []float64{1900, 2100}
	for name, c := range map[string]struct {
		in                 Input
		shrink, swell      float64
		from, swellFrom    Basis
		fill               float64
		fillFrom, bankFrom Basis
	}{
		"all tests win over typed": {
			Input{Bank: bank, Loose: loose, Fill: fill, MaxDry: 1900, Expected: 0.97, TypedShrink: ptr(0.7), TypedSwell: ptr(0.5)},
			0.8, 0.25, FromTests, FromTests, 2000, FromTests, FromTests,
		},
		"planned fill": {
			Input{Bank: bank, MaxDry: 2000, Expected: 0.97, TypedShrink: ptr(0.7)},
			1600 / 1940.0, 0, Planned, Unknown, 1940, Planned, FromTests,
		},
		"typed where tests lack": {
			Input{Bank: bank, MaxDry: 2000, TypedShrink: ptr(0.9), TypedSwell: ptr(0.25)},
			0.9, 0.25, Typed, Typed, 0, Unknown, FromTests,
		},
		"typed alone": {
			Input{TypedShrink: ptr(0.9)}, 0.9, 0, Typed, Unknown, 0, Unknown, Unknown,
		},
	} {
		f, err := Work(c.in)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if math.Abs(f.Shrink-c.shrink) > 1e-12 || math.Abs(f.Swell-c.swell) > 1e-12 || f.ShrinkFrom != c.from ||
			f.SwellFrom != c.swellFrom || math.Abs(f.Fill.Value-c.fill) > 1e-9 || f.Fill.From != c.fillFrom || f.Bank.From != c.bankFrom {
			t.Errorf("%s: %+v", name, f)
		}
		if (f.SwellFrom == Unknown) != (f.LoadFactor == 0) {
			t.Errorf("%s: load factor %g with swell from %q", name, f.LoadFactor, f.SwellFrom)
		}
	}
}

func TestWorkSaysWhatIsMissing(t *testing.T) {
	f, err := Work(Input{Bank: []float64{1600}, Loose: []float64{1280}, MaxDry: 1900})
	var no *NoShrinkError
	if !errors.As(err, &no) || !errors.Is(err, ErrNoShrink) {
		t.Fatalf("got %v", err)
	}
	want := []Way{
		{"density tests in bank and fill", []string{"fill tests"}},
		{"bank tests with the laboratory maximum and the required compaction", []string{"required compaction"}},
		{"a typed shrink factor", []string{"shrink factor"}},
	}
	if diff := cmp.Diff(want, no.Ways); diff != "" {
		t.Error(diff)
	}
	// What is known comes back all the same.
	if math.Abs(f.Swell-0.25) > 1e-12 || f.Bank.N != 1 {
		t.Errorf("factors beside the error: %+v", f)
	}
	for _, w := range want {
		if !strings.Contains(err.Error(), w.Name) {
			t.Errorf("%q does not name %q", err, w.Name)
		}
	}
}

func TestWorkRefusesImpossible(t *testing.T) {
	for name, in := range map[string]Input{
		"zero bank":        {Bank: []float64{1600, 0}},
		"NaN loose":        {Loose: []float64{math.NaN()}},
		"infinite fill":    {Fill: []float64{math.Inf(1)}},
		"negative maximum": {MaxDry: -1},
		"NaN expected":     {Expected: math.NaN()},
		"zero shrink":      {TypedShrink: ptr(0)},
		"swell of -1":      {TypedSwell: ptr(-1)},
	} {
		_, err := Work(in)
		var ve *ValueError
		if !errors.As(err, &ve) || ve.Error() == "" {
			t.Errorf("%s: %v, want a ValueError", name, err)
		}
	}
}

// Dry mass is the same in the bank, in trucks and in the fill, whatever the
// three densities are.
func TestFactorsKeepDryMass(t *testing.T) {
	density := rapid.Float64Range(800, 2400)
	rapid.Check(t, func(t *rapid.T) {
		tests := rapid.SliceOfN(density, 1, 6)
		f, err := Work(Input{Bank: tests.Draw(t, "bank"), Loose: tests.Draw(t, "loose"), Fill: tests.Draw(t, "fill")})
		if err != nil {
			t.Fatal(err)
		}
		bank := 1000.0
		mass := bank * f.Bank.Value
		for what, other := range map[string]float64{
			"fill":  bank * f.Shrink * f.Fill.Value,
			"loose": bank * (1 + f.Swell) * f.Loose.Value,
			"load":  bank / f.LoadFactor * f.Loose.Value,
		} {
			if math.Abs(other-mass) > 1e-12*mass {
				t.Fatalf("%s holds %g kg, bank %g kg", what, other, mass)
			}
		}
	})
}

func TestMean(t *testing.T) {
	// NIST Statistical Reference Datasets, NumAcc1: 10000001, 10000003,
	// 10000002 have the mean 10000002 and the standard deviation 1 exactly
	// (certified values from memory; they follow from the definition).
	mean, sd := Mean([]float64{10000001, 10000003, 10000002})
	if mean != 10000002 || sd != 1 {
		t.Errorf("mean %v, sd %v", mean, sd)
	}
	if mean, sd := Mean(nil); mean != 0 || sd != 0 {
		t.Errorf("of none: %v, %v", mean, sd)
	}
	if d := DensityOf([]float64{1700}); d != (Density{Value: 1700, N: 1, From: FromTests}) {
		t.Errorf("of one: %+v", d)
	}
	if d := DensityOf(nil); d != (Density{}) {
		t.Errorf("of none: %+v", d)
	}
	if _, sd := Mean([]float64{110.1, 110.1, 110.1}); sd != 0 {
		t.Errorf("equal values have a deviation of %g", sd)
	}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.SliceOfN(rapid.Float64Range(800, 2400), 2, 20).Draw(t, "values")
		mean, sd := Mean(v)
		// The variance is half the mean squared difference over all pairs.
		var sum, pairs float64
		for i := range v {
			sum += v[i]
			for j := range i {
				pairs += (v[i] - v[j]) * (v[i] - v[j])
			}
		}
		n := float64(len(v))
		if math.Abs(mean-sum/n) > 1e-9 || math.Abs(sd*sd-pairs/(n*(n-1))) > 1e-9*math.Max(1, sd*sd) {
			t.Fatalf("mean %g, sd %g", mean, sd)
		}
	})
}
