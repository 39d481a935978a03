package borrow

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"pgregory.net/rapid"
)

// dam/ah590-fill-to-borrow-chain.csv: US Department of Agriculture Handbook 590
// multiplies the compacted total by 1.5.
func TestReserveOfHandbook(t *testing.T) {
	rows := published.Read(t, "dam/ah590-fill-to-borrow-chain.csv")
	value := func(step string) float64 { return published.Find(t, rows, "step", step).Number(t, "quantity") }
	need := Need{Material: "fill", Compacted: value("required_compacted_total"), Bank: 9000}
	want := value("available_in_borrow_and_required_excavation")
	got := Weigh(need, 12000, Reserve{Ratio: value("availability_factor")})
	// 8,099 x 1.5 = 12,148.5, printed 12,148.
	published.Near(t, "required", got.Required, want, 0.5)
	if got.Enough || math.Abs(got.Short-(got.Required-12000)) > 1e-9 || got.Base != 8099 {
		t.Errorf("12,000 available: %+v", got)
	}
	if got := Weigh(need, 12148.5, Reserve{Ratio: 1.5}); !got.Enough || got.Short != 0 {
		t.Errorf("just enough: %+v", got)
	}
}

func TestWeigh(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		need      Need
		available float64
		reserve   Reserve
		want      Weighed
	}{
		"on bank": {
			Need{"clay", 1000, 1250},
			1800,
			Reserve{1.5, true},
			Weighed{1250, 1875, 1.44, true, false, 75},
		},
		"on compacted": {
			Need{"clay", 1000, 1250},
			1800,
			Reserve{1.5, false},
			Weighed{1000, 1500, 1.8, true, true, 0},
		},
		"never below the need itself": {
			Need{"peaty clay", 1000, 1700},
			1600,
			Reserve{1.5, false},
			Weighed{1000, 1700, 1.6, true, false, 100},
		},
		"no reserve": {
			Need{"clay", 1000, 1250},
			1250,
			Reserve{1, true},
			Weighed{1250, 1250, 1, true, true, 0},
		},
		"need not known": {
			Need{"clay", 1000, nan},
			5000,
			Reserve{1.5, false},
			Weighed{1000, nan, 5, false, false, 0},
		},
		"nothing needed": {
			Need{"clay", 0, 0},
			500,
			Reserve{1.5, false},
			Weighed{0, 0, nan, true, true, 0},
		},
	} {
		got := Weigh(c.need, c.available, c.reserve)
		same := func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) < 1e-9 }
		if !same(got.Base, c.want.Base) || !same(got.Required, c.want.Required) || !same(got.Ratio, c.want.Ratio) ||
			got.Known != c.want.Known || got.Enough != c.want.Enough || !same(got.Short, c.want.Short) {
			t.Errorf("%s: %+v, want %+v", name, got, c.want)
		}
	}
}

func TestShareInOrder(t *testing.T) {
	clay := Source{Material: "clay", Shrink: 0.8, Loss: 0.1, Bank: 1000} // 720 compacted
	loam := Source{Material: "loam", Shrink: 0.9, Bank: 500}             // 450 compacted
	for name, c := range map[string]struct {
		compacted float64
		sources   []Source
		want      []float64
	}{
		"first is enough":       {700, []Source{clay, loam}, []float64{700, 0}},
		"second takes the rest": {1000, []Source{clay, loam}, []float64{720, 280}},
		"order is the user's":   {1000, []Source{loam, clay}, []float64{450, 550}},
		"lack is the first's":   {1500, []Source{clay, loam}, []float64{1050, 450}},
		"bought without limit":  {1500, []Source{clay, {Material: "stone", Shrink: 1, Bank: math.Inf(1)}}, []float64{720, 780}},
		"nothing to fill":       {0, []Source{clay, loam}, []float64{0, 0}},
		"overdrawn pits":        {100, []Source{{Material: "clay", Shrink: 1, Bank: -5}, loam}, []float64{0, 100}},
	} {
		got, err := Share(c.compacted, c.sources)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for i, w := range c.want {
			published.Near(t, name, got[i].Compacted, w, 1e-9)
			published.Near(t, name+" bank", got[i].Bank, w/(c.sources[i].Shrink*(1-c.sources[i].Loss)), 1e-9)
		}
	}
}

func TestShareErrors(t *testing.T) {
	if _, err := Share(100, nil); !errors.Is(err, ErrNoSources) {
		t.Errorf("no sources: %v", err)
	}
	for name, s := range map[string]Source{
		"no shrink factor": {Material: "clay"},
		"NaN shrink":       {Shrink: math.NaN()},
		"all lost":         {Shrink: 1, Loss: 1},
		"negative loss":    {Shrink: 1, Loss: -0.1},
		"NaN bank":         {Shrink: 1, Bank: math.NaN()},
	} {
		_, err := Share(100, []Source{{Material: "good", Shrink: 0.9}, s})
		var se *SourceError
		if !errors.As(err, &se) || se.Index != 1 || se.Error() == "" {
			t.Errorf("%s: %v, want a SourceError of source 1", name, err)
		}
	}
}

// Shares add up to one, volumes to the zone's, the dry mass that the pits give
// less loss is the dry mass in the zone, and no pit but the first is overdrawn.
func TestShareProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "materials")
		compacted := rapid.Float64Range(1, 1e6).Draw(t, "compacted")
		fill := make([]float64, n)
		sources := make([]Source, n)
		for i := range sources {
			fill[i] = rapid.Float64Range(1500, 2200).Draw(t, "fill density")
			sources[i] = Source{
				Shrink: rapid.Float64Range(0.7, 1.1).Draw(t, "shrink"),
				Loss:   rapid.Float64Range(0, 0.3).Draw(t, "loss"),
				Bank:   rapid.Float64Range(0, 5e5).Draw(t, "bank"),
			}
		}
		got, err := Share(compacted, sources)
		if err != nil {
			t.Fatal(err)
		}
		var fractions, volumes, placed, kept, held float64
		for i, p := range got {
			fractions += p.Fraction
			volumes += p.Compacted
			placed += DryMass(p.Compacted, fill[i])
			kept += DryMass(p.Bank, fill[i]*sources[i].Shrink) * (1 - sources[i].Loss)
			held += CompactedFrom(sources[i].Bank, sources[i].Shrink, sources[i].Loss)
			if p.Fraction < 0 || i > 0 && p.Bank > sources[i].Bank*(1+1e-12) {
				t.Fatalf("portion %d: %+v of %+v", i, p, sources[i])
			}
		}
		if math.Abs(fractions-1) > 1e-12 || math.Abs(volumes-compacted) > 1e-12*compacted || math.Abs(placed-kept) > 1e-12*placed {
			t.Fatalf("fractions %g, volumes %g of %g, mass %g of %g", fractions, volumes, compacted, kept, placed)
		}
		// The first is overdrawn only where all together are too little.
		if got[0].Bank > sources[0].Bank*(1+1e-9) && held > compacted*(1+1e-9) {
			t.Fatalf("first overdrawn although %g are held for %g", held, compacted)
		}
	})
}
