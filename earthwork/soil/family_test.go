package soil

import (
	"errors"
	"math"
	"testing"
)

// member is a made-up soil: a parabola with the given peak.
func member(t *testing.T, name string, maxDry, optimum float64) Member {
	t.Helper()
	var points []Point
	for i := range 7 {
		w := optimum + 0.02*float64(i-4)
		points = append(points, Point{w, maxDry - 4e4*(w-optimum)*(w-optimum)})
	}
	c, err := FitCurve(points)
	if err != nil {
		t.Fatal(err)
	}
	return Member{name, points, c}
}

func TestFamilyOnePoint(t *testing.T) {
	light, dense := member(t, "light", 1700, 0.18), member(t, "dense", 1800, 0.15)
	f, err := NewFamily([]Member{dense, light})
	if err != nil {
		t.Fatal(err)
	}
	// Halfway between the two curves at 14 %: 1636 and 1796, so 1716.
	got, err := f.OnePoint(Point{0.14, 1716})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.MaxDry-1750) > 1e-6 || math.Abs(got.Optimum-0.165) > 1e-9 {
		t.Errorf("%+v", got)
	}
	// A point of a member leads to that member.
	if got, err = f.OnePoint(Point{0.14, 1796}); err != nil || math.Abs(got.MaxDry-1800) > 1e-6 {
		t.Errorf("%+v, %v", got, err)
	}
	for name, p := range map[string]Point{
		"too dry":      {0.12, 1600},
		"wet side":     {0.17, 1775},
		"above all":    {0.14, 1900},
		"below all":    {0.14, 1500},
		"out of range": {0.02, 1700},
	} {
		if got, err := f.OnePoint(p); !errors.Is(err, ErrOnePoint) {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
}

func TestNoFamily(t *testing.T) {
	flat := Member{"flat", nil, Curve{MaxDry: 1750, Optimum: 0.16}}
	for name, members := range map[string][]Member{
		"one":       {member(t, "a", 1700, 0.18)},
		"unordered": {member(t, "a", 1700, 0.15), member(t, "b", 1800, 0.18)},
		"no peak":   {member(t, "a", 1700, 0.18), flat},
		"alike":     {member(t, "a", 1700, 0.18), member(t, "b", 1700, 0.18)},
	} {
		if _, err := NewFamily(members); !errors.Is(err, ErrNoFamily) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
