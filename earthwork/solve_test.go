package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"pgregory.net/rapid"
)

var crests = earthwork.Bracket{Low: 100, High: 120, Tolerance: 0.001}

// figure makes a Figure of a function that never fails.
func figure(f func(float64) float64) earthwork.Figure {
	return func(x float64) (float64, error) { return f(x), nil }
}

// reasonOf is why there is no answer, "" when there is one.
func reasonOf(err error) earthwork.NoAnswerReason {
	var none *earthwork.NoAnswerError
	if errors.As(err, &none) {
		return none.Reason
	}
	return ""
}

// The storage of a V valley grows with the cube of the depth, so that the crest
// for a storage is known.
func TestCrestForStorage(t *testing.T) {
	storage := func(_, pool float64) (float64, error) { return 20 * math.Pow(max(0, pool-100), 3), nil }
	crest, err := earthwork.CrestForStorage(storage, 20*8*8*8, 1.5, crests)
	if err != nil {
		t.Fatal(err)
	}
	if true8 := 100 + 8 + 1.5; crest < true8 || crest > true8+crests.Tolerance {
		t.Errorf("crest %.6f, want %.6f or up to a millimetre above", crest, true8)
	}
	area := func(_, pool float64) (float64, error) { return 60 * math.Pow(max(0, pool-100), 2), nil }
	if again, err := earthwork.CrestForPoolArea(area, 60*8*8, 1.5, crests); err != nil || again != crest {
		t.Errorf("by area %.6f (%v), by storage %.6f", again, err, crest)
	}
}

// Whatever the function, if it does not fall: the answer meets the wish, and
// what lies more than the tolerance below it does not. Steps included.
func TestLeastOfAnyRisingFigure(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		steps := rapid.SliceOfN(rapid.Float64Range(100, 120), 0, 5).Draw(r, "steps")
		slope := rapid.Float64Range(0, 2).Draw(r, "slope")
		f := func(x float64) float64 {
			y := slope * (x - 100)
			for _, s := range steps {
				if x >= s {
					y += 10
				}
			}
			return y
		}
		wanted := rapid.Float64Range(0.1, 60).Draw(r, "wanted")
		x, err := earthwork.Least(figure(f), wanted, crests)
		switch reasonOf(err) {
		case earthwork.AlreadyAtLow:
			if f(100) < wanted {
				r.Fatal(err)
			}
		case earthwork.NotAtHigh:
			if f(120) >= wanted {
				r.Fatal(err)
			}
		default:
			if err != nil || f(x) < wanted || f(x-crests.Tolerance) >= wanted {
				r.Fatalf("%g -> %g, a little below %g, wanted %g: %v", x, f(x), f(x-crests.Tolerance), wanted, err)
			}
		}
		// The same supply, used up: the highest crest it builds lies just below.
		left := func(x float64) float64 { return math.Nextafter(wanted, 0) - f(x) }
		y, gerr := earthwork.HighestCrestForBorrow(figure(left), crests)
		if (err == nil) != (gerr == nil) {
			r.Fatalf("least: %v, greatest: %v", err, gerr)
		}
		if err == nil && (y >= x || x-y > crests.Tolerance || left(y) < 0) {
			r.Fatalf("greatest %g, least %g", y, x)
		}
	})
}

func TestNoAnswer(t *testing.T) {
	broken := errors.New("the face runs off the ground")
	until := func(limit float64, f func(float64) float64) earthwork.Figure {
		return func(x float64) (float64, error) {
			if x > limit {
				return math.NaN(), broken
			}
			return f(x), nil
		}
	}
	up := func(x float64) float64 { return x - 100 }
	down := func(x float64) float64 { return 110 - x }
	for name, c := range map[string]struct {
		run  func() (float64, error)
		want earthwork.NoAnswerReason
	}{
		"met already":      {func() (float64, error) { return earthwork.Least(figure(up), -5, crests) }, earthwork.AlreadyAtLow},
		"never met":        {func() (float64, error) { return earthwork.Least(figure(up), 25, crests) }, earthwork.NotAtHigh},
		"fails before":     {func() (float64, error) { return earthwork.Least(until(105, up), 8, crests) }, earthwork.CannotFigure},
		"fails from below": {func() (float64, error) { return earthwork.Least(until(99, up), 8, crests) }, earthwork.CannotFigure},
		"fails after":      {func() (float64, error) { return earthwork.Least(until(115, up), 8, crests) }, ""},
		"never enough": {func() (float64, error) {
			return earthwork.Greatest(figure(func(float64) float64 { return -1 }), crests)
		}, earthwork.NotAtLow},
		"no number": {func() (float64, error) {
			return earthwork.Greatest(figure(func(float64) float64 { return math.NaN() }), crests)
		}, earthwork.NotAtLow},
		"always enough": {func() (float64, error) { return earthwork.Greatest(figure(func(float64) float64 { return 1 }), crests) }, earthwork.StillAtHigh},
		"fails first":   {func() (float64, error) { return earthwork.Greatest(until(105, down), crests) }, earthwork.CannotFigure},
		"fails later":   {func() (float64, error) { return earthwork.Greatest(until(115, down), crests) }, ""},
		"empty bracket": {func() (float64, error) {
			return earthwork.Least(figure(up), 5, earthwork.Bracket{Low: 3, High: 2, Tolerance: 1})
		}, earthwork.BadBracket},
		"endless bracket": {func() (float64, error) {
			return earthwork.Least(figure(up), 5, earthwork.Bracket{Low: 3, High: math.Inf(1), Tolerance: 1})
		}, earthwork.BadBracket},
		"no tolerance": {func() (float64, error) { return earthwork.Least(figure(up), 5, earthwork.Bracket{Low: 3, High: 4}) }, earthwork.BadBracket},
	} {
		x, err := c.run()
		if got := reasonOf(err); got != c.want || (err == nil) != (c.want == "") {
			t.Errorf("%s: %g, %v; want reason %q", name, x, err, c.want)
		}
		if c.want == earthwork.CannotFigure && !errors.Is(err, broken) {
			t.Errorf("%s: %v does not say why", name, err)
		}
	}
}

// A figure that falls in places: the answer meets the wish, and no place of a fine
// scan below it does, as long as the scan knows where it jumps.
func TestFirstOfAFigureThatFalls(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		drops := rapid.SliceOfN(rapid.Float64Range(101, 119), 1, 4).Draw(r, "drops")
		f := func(x float64) float64 {
			y := x - 100
			for _, d := range drops {
				if x >= d {
					y -= 4
				}
			}
			return y
		}
		var scan []float64
		for _, d := range drops {
			scan = append(scan, d-crests.Tolerance/4, d)
		}
		wanted := rapid.Float64Range(0.1, 12).Draw(r, "wanted")
		x, again, err := earthwork.First(figure(f), wanted, crests, scan)
		lowest := math.NaN()
		for y := 100.0; y <= 120 && math.IsNaN(lowest); y += crests.Tolerance / 2 {
			if f(y) >= wanted {
				lowest = y
			}
		}
		switch {
		case err != nil && !math.IsNaN(lowest) && f(120) >= wanted:
			r.Fatalf("%v, but %g serves", err, lowest)
		case err == nil && (f(x) < wanted || x > lowest+crests.Tolerance):
			r.Fatalf("%g gives %g of %g; %g serves", x, f(x), wanted, lowest)
		case err == nil && !math.IsNaN(again) && f(again) >= wanted:
			r.Fatalf("%g gives %g, which is enough", again, f(again))
		}
	})
	dips := func(x float64) float64 { // falls by 4 at 108
		if x >= 108 {
			return x - 104
		}
		return x - 100
	}
	x, again, err := earthwork.First(figure(dips), 7.5, crests, []float64{107.999, 108})
	if err != nil || math.Abs(x-107.5) > crests.Tolerance || again != 108 {
		t.Errorf("%v, again %v, %v", x, again, err)
	}
}

// One slope takes no more of the water as the crest rises; a bench does.
func TestCrestSteps(t *testing.T) {
	d := plain(10, 4, 3, 2)
	if got := d.CrestSteps(2, 0.01); got != nil {
		t.Errorf("one slope: %v", got)
	}
	d.Upstream = []earthwork.FacePart{{Slope: 3, ToElevation: 6, Bench: 2}, face(3)}
	got := d.CrestSteps(2, 0.01)
	want := []float64{5.99, 6.01, 7.99, 8.01}
	for i := range want {
		near(t, "step", got[i], want[i], exact)
	}
}
