package borrow

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/damtally/damtally/earthwork/soil"
	"pgregory.net/rapid"
)

// season is an invented season whose truth is known: what really left the pits,
// and what measuring it is off by.
type season struct {
	solids, bank, loose, placed, kept, fill float64 // truth; fill = real loose volume / counted
	tally, scale, pit, dam, lost            float64 // standard errors, relative
	tests                                   int
}

var invented = season{
	solids: 60e6, bank: 1550, loose: 1280, placed: 1680, kept: 0.95, fill: 1,
	tally: 0.03, scale: 0.01, pit: 0.015, dam: 0.012, lost: 0.01, tests: 6,
}

// observe is the season as one crew measures it. The counted volume of the tally
// is off by its own error; what tests of density spread by is what stated
// practice says.
func (s season) observe(r *rand.Rand) Season {
	off := func(x, err float64) Measured {
		return Measure(x*math.Exp(err*r.NormFloat64()), err, 0)
	}
	density := func(mean float64, state soil.State) Measured {
		tests := make([]float64, s.tests)
		for i := range tests {
			tests[i] = mean * math.Exp(state.Variation()*r.NormFloat64())
		}
		return MeasuredDensity(soil.DensityOf(tests), state)
	}
	out := Season{
		Weighed: off(s.solids, s.scale), Pit: off(s.solids/s.bank, s.pit),
		Fill: off(s.solids*s.kept/s.placed, s.dam), Kept: off(s.kept, s.lost),
		Bank: density(s.bank, soil.Bank), Loose: density(s.loose, soil.Loose), Placed: density(s.placed, soil.Fill),
		Level: 0.95,
	}
	out.Tally = Measure(s.solids/s.loose/s.fill, s.tally, 0)
	return out
}

// covers counts how often intervals hold the truth.
type covers struct{ held, of int }

func (c *covers) see(i soil.Interval, truth float64) {
	c.of++
	if i.Low <= truth && truth <= i.High {
		c.held++
	}
}

const (
	seasons = 1000
	// coverSlack is 3.5 standard deviations of the share of 1,000 intervals of
	// 95 % that hold, by the binomial distribution: sqrt(0.95 x 0.05 / 1000) =
	// 0.0069. Chance alone goes beyond it once in two thousand checks.
	coverSlack = 3.5 * 0.0069
)

func (c covers) check(t *testing.T, what string) {
	t.Helper()
	if share := float64(c.held) / float64(c.of); math.Abs(share-0.95) > coverSlack {
		t.Errorf("%s: intervals of 95 %% hold the truth in %.1f %% of %d seasons", what, 100*share, c.of)
	}
}

// TestIntervalsCoverTheTruth: over 1,000 invented seasons with known truth and
// noise, the stated intervals hold the truth about as often as they say.
func TestIntervalsCoverTheTruth(t *testing.T) {
	var shrink, solids, bank, loose, compacted, fill, dry, need covers
	flagged, pairs := 0, 0
	for seed := range uint64(seasons) {
		r := rand.New(rand.NewPCG(seed, 6))
		s := invented
		s.fill = 0.92
		got := Reconcile(s.observe(r))
		shrink.see(got.Shrink.Interval, s.bank/s.placed)
		fill.see(got.TruckFill.Interval, s.fill)

		// With a tally that counts right, nothing but noise parts the ways.
		s.fill = 1
		o := s.observe(r)
		o.Tally = Measure(o.Tally.Value*math.Exp(s.tally*r.NormFloat64()), s.tally, 0)
		got = Reconcile(o)
		solids.see(got.Best.Solids.Interval(0.95), s.solids)
		bank.see(got.Best.Bank.Interval(0.95), s.solids/s.bank)
		loose.see(got.Best.Loose.Interval(0.95), s.solids/s.loose)
		compacted.see(got.Best.Compacted.Interval(0.95), s.solids*s.kept/s.placed)
		dry.see(got.LooseDry.Interval, s.loose)
		for _, d := range got.Differences {
			pairs++
			if d.Beyond {
				flagged++
			}
		}
		left := Remains(10000, got.Shrink.Seen, o.Kept, Exact(12000))
		need.see(left.Need.Interval(0.95), 10000/(s.bank/s.placed*s.kept))
	}
	shrink.check(t, "shrink factor seen")
	fill.check(t, "truck fill seen")
	bank.check(t, "bank volume, all ways")
	loose.check(t, "loose volume, all ways")
	compacted.check(t, "compacted volume, all ways")
	dry.check(t, "loose density by weights")
	need.check(t, "need that is left")
	solids.check(t, "solids, all ways")
	if share := float64(flagged) / float64(pairs); math.Abs(share-0.05) > coverSlack {
		t.Errorf("%.1f %% of differences that are noise are said to be beyond it, not 5 %%", 100*share)
	}
}

// TestReconcileByHand: a season without errors in round figures. 10,000 bank m3
// at 1.6 t/m3 are 16,000 t of solids, 12,500 loose m3 at 1.28; with 5 % loss
// 15,200 t stay, 9,500 compacted m3 at 1.6 x 16/15 would be more: at 1.6 it is
// 9,500. Every way must say the same of every state.
func TestReconcileByHand(t *testing.T) {
	exact := func(v float64) Measured { return Measure(v, 0.01, 0) }
	got := Reconcile(Season{
		Tally: exact(12500), Weighed: exact(16e6), Pit: exact(10000), Fill: exact(9500),
		Bank: exact(1600), Loose: exact(1280), Placed: exact(1600), Kept: exact(0.95), Level: 0.95,
	})
	for _, a := range append(got.Accounts, got.Best) {
		nearly(t, string(a.Way)+" solids", a.Solids.Value, 16e6)
		nearly(t, string(a.Way)+" loose", a.Loose.Value, 12500)
		nearly(t, string(a.Way)+" bank", a.Bank.Value, 10000)
		nearly(t, string(a.Way)+" compacted", a.Compacted.Value, 9500)
	}
	nearly(t, "shrink", got.Shrink.Seen.Value, 1)
	nearly(t, "truck fill", got.TruckFill.Seen.Value, 1)
	nearly(t, "loose density", got.LooseDry.Seen.Value, 1280)
	nearly(t, "agreement", got.Agreement, 1)
	if n := len(got.Differences); n != 6 {
		t.Errorf("%d differences, want all 6 pairs", n)
	}
}

// relativeSlack guards rounding in a handful of products, logarithms and exponentials.
const relativeSlack = 1e-12

func nearly(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > relativeSlack*math.Abs(want) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestTrucksShort: trucks that carry 8 % less than counted are found, and laid to
// the trucks and to nothing else.
func TestTrucksShort(t *testing.T) {
	s := invented
	s.fill, s.tests = 0.85, 40
	got := Reconcile(s.observe(rand.New(rand.NewPCG(1, 1))))
	if !got.TruckFill.Differs {
		t.Error("15 % too little in the trucks is not seen")
	}
	if got.Shrink.Differs {
		t.Error("the shrink factor is blamed for the trucks")
	}
	for _, d := range got.Differences {
		if with := d.First == ByTally; d.Beyond != with {
			t.Errorf("%s against %s: beyond the errors of measurement is %v", d.First, d.Second, d.Beyond)
		}
	}
	if got.Agreement > 0.01 {
		t.Errorf("four ways of which one is 15 %% off agree with chance %.3f", got.Agreement)
	}
}

// TestReconcileProperties: the joint figure lies between the lowest and the
// highest way and is surer than the surest; what is exchanged comes out
// exchanged; a unit of mass does not matter.
func TestReconcileProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) Measured {
			return Measure(rapid.Float64Range(1, 1e6).Draw(t, name), rapid.Float64Range(0.001, 0.2).Draw(t, name+" error"),
				float64(rapid.IntRange(0, 30).Draw(t, name+" df")))
		}
		a, b, c := draw("a"), draw("b"), draw("c")
		best, gap := Joint(a, Measured{}, b, c)
		swapped, _ := Joint(c, a, b)
		low, high := min(a.Value, b.Value, c.Value), max(a.Value, b.Value, c.Value)
		if best.Value < low*(1-relativeSlack) || best.Value > high*(1+relativeSlack) {
			t.Fatalf("%v lies outside %v to %v", best.Value, low, high)
		}
		if best.Error() > min(a.Error(), b.Error(), c.Error())*(1+relativeSlack) {
			t.Fatalf("three together are less sure (%v) than one alone", best.Error())
		}
		if math.Abs(best.Value-swapped.Value) > 1e-9*best.Value || gap < 0 {
			t.Fatalf("order matters: %v and %v", best, swapped)
		}
		r := a.Over(b)
		if back := r.Times(b); math.Abs(back.Value-a.Value) > relativeSlack*a.Value || math.Abs(back.Error()-a.Error()) > relativeSlack {
			t.Fatalf("%v over and times %v is %v: the error of what cancels must go", a, b, back)
		}
		if least := min(orMany(a.DF()), orMany(b.DF())); r.DF() != 0 && r.DF() < least*(1-relativeSlack) {
			t.Fatalf("degrees of freedom %v fall below both of %v and %v", r.DF(), a.DF(), b.DF())
		}
	})
}

// orMany is the degrees of freedom, without end where the error is known.
func orMany(df float64) float64 {
	if df == 0 {
		return math.Inf(1)
	}
	return df
}

// TestNothingMeasured: what was not measured is left out, and nothing is a NaN.
func TestNothingMeasured(t *testing.T) {
	got := Reconcile(Season{Level: 0.95})
	if len(got.Accounts)+len(got.Differences) > 0 || got.Best.Solids.Known() || got.Agreement != 1 {
		t.Errorf("%+v out of nothing", got)
	}
	// Two surveys show a shrink factor without any density.
	got = Reconcile(Season{Pit: Measure(1000, 0.02, 0), Fill: Measure(855, 0.02, 0), Kept: Exact(0.95), Level: 0.95})
	nearly(t, "shrink", got.Shrink.Seen.Value, 0.9)
	if got.Shrink.Assumed.Known() || got.Shrink.Differs {
		t.Error("nothing was assumed to differ from")
	}
	if r := Remains(100, Measured{}, Exact(1), Exact(5)); r.Need.Known() || !math.IsNaN(r.Chance) {
		t.Errorf("a need without a shrink factor: %+v", r)
	}
	if r := Remains(-3, Exact(0.9), Exact(1), Measured{}); !r.Enough || r.Chance != 1 {
		t.Errorf("nothing left to place, and yet %+v", r)
	}
}

// TestVolumeError: 1 ha between two surveys that share no error but a shift of
// 2 cm each is off by 10,000 x 0.02 x sqrt(2) m3; single points of 5 cm over 100
// points each add 10,000 x 0.05 x sqrt(2 / 100) in quadrature.
func TestVolumeError(t *testing.T) {
	nearly(t, "shift", SurveyError{Shift: 0.02}.VolumeError(1e4, 1, 1), 1e4*0.02*math.Sqrt2)
	nearly(t, "both", SurveyError{0.02, 0.05}.VolumeError(1e4, 100, 100), 1e4*math.Sqrt(2*0.0004+0.0025*0.02))
}
