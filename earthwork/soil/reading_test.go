package soil

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"pgregory.net/rapid"
)

// soil/proctor-results.csv: highest point, parabola of three and least-squares
// quadratic as computed there for all six published tests. The densities of the
// points are printed to 4 decimals, which moves an optimum by 0.002 point.
func TestReadingsAsComputed(t *testing.T) {
	for _, row := range published.Read(t, "soil/proctor-results.csv") {
		read, err := Readings(labTest(t, row["file"]))
		if err != nil {
			t.Fatal(err)
		}
		for i, columns := range [][2]string{
			{"highest_point_density", "highest_point_w_pct"},
			{"parabola3_density", "parabola3_w_pct"},
			{"quadratic_ls_density", "quadratic_ls_w_pct"},
		} {
			r := read[i]
			published.Near(t, row["file"]+" "+r.Way, r.MaxDry, row.Number(t, columns[0]), row.Half(t, columns[0]))
			published.Near(t, row["file"]+" "+r.Way, 100*r.Optimum, row.Number(t, columns[1]), 0.002)
		}
	}
}

// liSego is a compaction curve with a known peak: saturation grows with water
// content to a limit (Li and Sego, Canadian Geotechnical Journal 37, 2000; from
// memory, so only its shape counts here).
func liSego(gravity, limit, reached, power, width float64) func(w float64) float64 {
	return func(w float64) float64 {
		s := limit
		if short := reached - w; short > 0 {
			s -= limit * math.Pow(short/reached, power+1) * (math.Pow(reached, power) + math.Pow(width, power)) /
				(math.Pow(short, power) + math.Pow(width, power))
		}
		return SaturationLine(gravity, w, s)
	}
}

// The comparison in the package's comment: made-up tests with known peaks. The
// middle reading misses by less than the bounds, and by less than the quadratic,
// the cubic and the highest point, whatever the number of points.
func TestMiddleReadingOnKnownPeaks(t *testing.T) {
	for points, bound := range map[int]struct{ density, water float64 }{
		4: {0.0036, 0.0023}, 5: {0.0034, 0.0018}, 6: {0.0030, 0.0018}, 8: {0.0030, 0.0018},
	} {
		rng := rand.New(rand.NewPCG(1, uint64(points)))
		squares := map[string][2]float64{}
		const tests = 200
		for n := 0; n < tests; {
			reached := 0.10 + 0.2*rng.Float64()
			curve := liSego(2.6+0.15*rng.Float64(), 0.86+0.1*rng.Float64(), reached, 2+8*rng.Float64(), (0.15+0.85*rng.Float64())*reached)
			peak := scan(curve, 0.03, 1.1*reached)
			step := 0.010 + 0.008*rng.Float64() + 0.03*peak.Optimum
			var lab []Point
			start := peak.Optimum - step*(float64(points-1)/2+rng.Float64()-0.5)
			for i := range points {
				w := start + step*(float64(i)+0.3*(rng.Float64()-0.5))
				lab = append(lab, Point{w, curve(max(w, 0.005))})
			}
			got, err := FitCurve(lab)
			if peak.Optimum < max(0.06, 0.55*reached) || peak.Optimum > 0.28 || start < 0.012 || err != nil || !got.Bracketed {
				continue
			}
			n++
			read, _ := Readings(lab)
			for _, r := range append(read, Reading{"middle", got.MaxDry, got.Optimum}) {
				s := squares[r.Way]
				s[0] += math.Pow(r.MaxDry/peak.MaxDry-1, 2) / tests
				s[1] += math.Pow(r.Optimum-peak.Optimum, 2) / tests
				squares[r.Way] = s
			}
		}
		middle := squares["middle"]
		if math.Sqrt(middle[0]) > bound.density || math.Sqrt(middle[1]) > bound.water {
			t.Errorf("%d points: %.4f and %.4f", points, math.Sqrt(middle[0]), math.Sqrt(middle[1]))
		}
		for _, way := range []string{"highest point", "least-squares quadratic", "least-squares cubic"} {
			if s := squares[way]; s[0] < middle[0] || s[1] < middle[1] {
				t.Errorf("%d points: the %s does better than the middle reading", points, way)
			}
		}
	}
}

// scan finds a smooth curve's peak by brute force, and between its steps by the
// parabola of three.
func scan(curve func(float64) float64, low, high float64) Reading {
	const steps = 300
	var w, dry []float64
	for i := range steps + 1 {
		w = append(w, low+(high-low)*float64(i)/steps)
		dry = append(dry, curve(w[i]))
	}
	return parabolaOfThree(w, dry)
}

func TestCurveWarnings(t *testing.T) {
	for _, c := range []struct {
		name   string
		points []Point
		peaks  int
		spread bool
	}{
		{"one peak", []Point{{0.08, 1600}, {0.10, 1700}, {0.12, 1690}, {0.14, 1600}}, 1, true},
		{"two peaks", []Point{{0.08, 1700}, {0.10, 1650}, {0.12, 1750}, {0.14, 1600}}, 2, true},
		{"flat top", []Point{{0.08, 1600}, {0.10, 1700}, {0.12, 1700}, {0.14, 1600}}, 1, true},
		{"three points", []Point{{0.08, 1600}, {0.10, 1700}, {0.12, 1650}}, 1, false},
		{"rising", []Point{{0.08, 1600}, {0.10, 1700}, {0.12, 1710}, {0.14, 1720}}, 1, false},
	} {
		got, err := FitCurve(c.points)
		if err != nil {
			t.Fatal(err)
		}
		if got.Peaks != c.peaks || (got.DrySpread > 0) != c.spread {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

// The residual is that of the cubic: points on a cubic have none, and one point
// moved by d out of n shows as a share of d.
func TestCurveResidual(t *testing.T) {
	var points []Point
	for i := range 6 {
		w := 0.10 + 0.02*float64(i)
		u := w - 0.15
		points = append(points, Point{w, 1800 - 4e4*u*u - 3e5*u*u*u})
	}
	got, err := FitCurve(points)
	if err != nil || got.Residual > 1e-9 {
		t.Fatalf("residual %g, %v", got.Residual, err)
	}
	points[2].Dry += 20
	if got, _ = FitCurve(points); got.Residual < 1 || got.Residual > 20 {
		t.Errorf("one point 20 kg/m3 off shows as %g", got.Residual)
	}
}

// Density and water content are each the middle of the three ways, so that a way
// whose optimum lies far from the other two does not bring it in with a middle
// density. Five random points about a peak.
func TestMiddleOfEach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var points []Point
		for i, high := range []float64{1700, 1780, 1800, 1780, 1700} {
			off := rapid.Float64Range(-9, 9).Draw(t, "off")
			points = append(points, Point{0.10 + 0.02*float64(i), high + off})
		}
		got, err := FitCurve(points)
		if err != nil {
			t.Fatal(err)
		}
		read, _ := Readings(points)
		var dry, water []float64
		for _, r := range read {
			if r.Way == "parabola of three" || r.Way == "natural cubic spline" || r.Way == "Akima's curve" {
				dry, water = append(dry, r.MaxDry), append(water, r.Optimum)
			}
		}
		slices.Sort(dry)
		slices.Sort(water)
		if got.MaxDry != dry[1] || got.Optimum != water[1] {
			t.Fatalf("%+v, want %g at %g", got, dry[1], water[1])
		}
	})
}
