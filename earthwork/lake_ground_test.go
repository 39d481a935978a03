package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// strip is ground whose elevation depends on x alone, as pairs of x and z, over
// y from 0 to 10. A wall at the first x holds the water, which lies to the east.
func strip(pairs ...float64) facets {
	var f facets
	for i := 2; i < len(pairs); i += 2 {
		x0, z0, x1, z1 := pairs[i-2], pairs[i-1], pairs[i], pairs[i+1]
		f = append(f, quilt(func(p orb.Point) float64 { return z0 + (z1-z0)*(p[0]-x0)/(x1-x0) },
			[]orb.Point{{x0, 0}, {x1, 0}, {x1, 10}, {x0, 10}})...)
	}
	// High banks along both sides, a step up from the ground.
	bank := func(orb.Point) float64 { return 1000 }
	for i := 2; i < len(pairs); i += 2 {
		a, b := pairs[i-2], pairs[i]
		f = append(f, quilt(bank, []orb.Point{{a, -1}, {b, -1}, {b, 0}, {a, 0}}, []orb.Point{{a, 10}, {b, 10}, {b, 11}, {a, 11}})...)
	}
	return f
}

// stripLake stands the wall across the strip at x, water to the east.
func stripLake(t testing.TB, f facets, x float64) *earthwork.Lake {
	return lakeOf(t, f, straight(t, orb.Point{x, 11}, orb.Point{x, -1}))
}

// A side valley counts from the level of the saddle before it, all at once. The
// next saddle leads out of the survey and ends the lake.
func TestNeighbouringValleys(t *testing.T) {
	// The wall at 0; bed rising to a saddle of 4 m at 40; a hollow down to 1 m at
	// 60; a saddle of 6 m at 110; then down to the survey's edge at 2 m.
	f := strip(-50, -5, 0, 0, 40, 4, 60, 1, 110, 6, 150, 2)
	l := stripLake(t, f, 0)
	volume := func(h float64) float64 { return poolAt(t, l, h, nil).Volume }
	near(t, "before the saddle", volume(4), 10*40*4/2.0, 1e-9)
	hollow := 10 * (20 + 30) * 3 / 2.0 // a triangle 3 m deep, 20 m and 30 m wide
	near(t, "just after it", volume(4+1e-9), 10*40*4/2+hollow, 1e-6)
	// At 5 m: the lake's own 40 x 4 / 2 + 40 x 1, and the hollow's.
	near(t, "above it", volume(5), 10*(40*4/2+40+(20*3/2+20)+40*4/2), 1e-9)
	all := l.Hollows(1)
	if len(all) != 1 || all[0].Level != 4 || all[0].Lowest != 1 || all[0].At[0] != 40 {
		t.Fatalf("hollows %+v, want one over the saddle at 40", all)
	}
	near(t, "hollow", all[0].Volume, hollow, 1e-9)
	if len(l.Hollows(hollow+1)) != 0 {
		t.Error("a hollow that is too small was told of")
	}
	if k := l.Limit(); k.Kind != earthwork.Saddle || k.Level != 6 || k.At[0] != 110 || k.RoundDam {
		t.Errorf("limit %+v, want the saddle of 6 m at 110", k)
	}
}

// A second valley behind the same dam that runs out to the side: a pocket of no
// account is left out, a pool ends the rise of the lake.
func TestPocketBesideTheLake(t *testing.T) {
	aside := func(p orb.Point) orb.Point { return orb.Point{p[0], p[1] + 12} }
	lake := strip(-50, -5, 0, 0, 40, 4)
	for _, c := range []struct {
		beside facets
		level  float64
		kind   earthwork.LimitKind
	}{
		{strip(-50, -5, 0, 2, 1, 2.01, 40, 0), 4, earthwork.SurveyEdge},   // 0.05 m3 of 200 m3
		{strip(-50, -5, 0, 2, 20, 2.5, 40, 0), 2.5, earthwork.Saddle},     // 50 m3 of 312 m3
		{strip(-50, -5, 0, 2, 20, 1.5, 40, 0), 4, earthwork.SurveyEdge},   // falls away at once
		{strip(-50, -5, 0, 2, 20, 3, 40, 6), 4, earthwork.SurveyEdge},     // part of the lake
		{strip(-50, -5, 0, 2, 20, 3, 40, 3.5), 3.5, earthwork.SurveyEdge}, // the lower edge counts
	} {
		ground := append(append(facets(nil), lake...), c.beside.moved(aside)...)
		line := straight(t, orb.Point{0, 23}, orb.Point{0, -1})
		l := lakeOf(t, ground, line)
		if k := l.Limit(); k.Kind != c.kind || k.Level != c.level {
			t.Errorf("limit %+v, want %s at %g", k, c.kind, c.level)
		}
		near(t, "below the second valley", poolAt(t, l, 1.9, nil).Volume, 10*19*1.9/2, 1e-9)
	}
}

// Where the ground behind the saddle leads round to the downstream side of the
// dam, the limit says so: a short wall in a wide strip.
func TestWaterRoundTheDam(t *testing.T) {
	bowl := quilt(func(p orb.Point) float64 { return max(math.Abs(p[0]), math.Abs(p[1]))/10 + 1 },
		[]orb.Point{{50, -50}, {50, 50}, {0, 0}}, []orb.Point{{50, 50}, {-50, 50}, {0, 0}},
		[]orb.Point{{-50, 50}, {-50, -50}, {0, 0}}, []orb.Point{{-50, -50}, {50, -50}, {0, 0}})
	l := lakeOf(t, bowl, straight(t, orb.Point{-20, 0}, orb.Point{30, 0}))
	k := l.Limit()
	if k.Kind != earthwork.Saddle || !k.RoundDam {
		t.Fatalf("limit %+v, want a saddle round the dam", k)
	}
	near(t, "level at the wall's nearer end", k.Level, 3, 1e-6)
	near(t, "its place", math.Hypot(k.At[0]+20, k.At[1]), 0, 1e-5)
	// Up to there it is half the pyramid of four sides.
	near(t, "volume", poolAt(t, l, 2.9, nil).Volume, 38*38*1.9/3/2, 1e-9)
}

func TestNoLake(t *testing.T) {
	f := strip(-50, -5, 0, 0, 40, 4)
	for name, c := range map[string]struct {
		line  *geometry.Centreline
		falls bool
	}{
		"off the survey": {straight(t, orb.Point{0, 500}, orb.Point{0, 400}), false},
		"wrong side":     {straight(t, orb.Point{-10, 0}, orb.Point{-10, 10}), true},
	} {
		_, err := earthwork.NewLake(f, c.line, c.line.Start(), c.line.End())
		var none *earthwork.LakeError
		if !errors.As(err, &none) || none.FallsAway != c.falls {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A bed of no grade from the dam to the survey's edge holds nothing either.
	level := strip(-50, 0, 0, 0, 40, 0)
	line := straight(t, orb.Point{0, 10}, orb.Point{0, 0})
	var none *earthwork.LakeError
	if _, err := earthwork.NewLake(level, line, line.Start(), line.End()); !errors.As(err, &none) || !none.FallsAway {
		t.Errorf("level ground: %v", err)
	}
	l := stripLake(t, strip(-50, -5, 0, 0, 40, 4), 0)
	if _, err := l.Storage(math.NaN(), nil); err == nil {
		t.Error("a level that is no number was measured")
	}
}

// paraboloid is a bowl z = r2 / 40 as a TIN on a lattice.
func paraboloid(t testing.TB, n int) *geometry.TIN {
	var points []geometry.GroundPoint
	for i := range n + 1 {
		for j := range n + 1 {
			x, y := 120*float64(i)/float64(n)-60, 120*float64(j)/float64(n)-60
			points = append(points, geometry.GroundPoint{At: orb.Point{x, y}, Elevation: (x*x + y*y) / 40})
		}
	}
	tin, err := geometry.NewTIN(points, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tin
}

// A paraboloid z = r2 / (2 p) holds V = pi p h2 below h (closed form), here
// p = 20, and half of it behind a dam through its middle. Chords above the curve
// make the triangulated bowl smaller, by a quarter as much at half the mesh.
func TestBowlConvergesBySecondOrder(t *testing.T) {
	const p, level = 20.0, 54.0 // 46.5 m from the middle to the shore
	exactly := math.Pi * p * level * level / 2
	var errs []float64
	for _, n := range []int{24, 48, 96} {
		l := lakeOf(t, paraboloid(t, n), straight(t, orb.Point{-59.9, 1e-3}, orb.Point{59.9, -1e-3}))
		errs = append(errs, exactly-poolAt(t, l, level, nil).Volume)
	}
	for i := 1; i < len(errs); i++ {
		if ratio := errs[i-1] / errs[i]; ratio < 3.8 || ratio > 4.2 {
			t.Errorf("errors %v m3: ratio %.3f, want 4", errs, ratio)
		}
	}
	if rel := errs[2] / exactly; rel > 5e-4 || rel < 0 {
		t.Errorf("error of %.2g at the finest mesh", rel)
	}
}
