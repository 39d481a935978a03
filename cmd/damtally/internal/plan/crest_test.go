package plan_test

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// The V valley of TestLakeInAVValley, pool 2 m below the crest: with water w deep
// the face, 2:1, takes its part over 2 w m, so storage is 4/3 w^3 over the face and
// (60 - 6 - 2 w) w^2 over the bed (the crest is 4 m wide, the freeboard 2 m: the bed
// begins at 6 + 2 w), and w^3 / 3 at the end. For w = 10 that is 5,066.7 m3.
func TestCrestForStorageInAVValley(t *testing.T) {
	j := prepare(t, tables(t, trough(t, "normal pool elevation,10 m\n")))
	w := 8.0
	stored := 4*w*w*w/3 + (60-6-2*w)*w*w + w*w*w/3
	f, err := j.Crest(plan.Wish{Storage: stored})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "crest", f.Crest, w+2, 0.0101) // rounded up to a centimetre
	near(t, "pool", f.Pool.Level, f.Crest-2, 1e-9)
	if f.Pool.Volume < stored {
		t.Errorf("%g m3, less than the %g wanted", f.Pool.Volume, stored)
	}
	area := 20*w*(60-6)/10 + w*w // 2 w wide from y = 6 to 60 m, then a triangle
	f, err = j.Crest(plan.Wish{PoolArea: area, Freeboard: site.Number{Value: 2, Given: true}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "crest for the area", f.Crest, w+2, 0.0101)
}

// The demo: at the crest that is found the pits hold enough, 0.02 ft higher they do
// not; and a wish that is met is met by no crest 0.02 ft lower.
func TestCrestFoundIsTheEdge(t *testing.T) {
	j := prepare(t, sites+"plain")
	short := func(crest float64) bool {
		d := j.Design()
		d.Crest[0].Elevation = crest
		r, err := j.Run(d)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range r.Balance {
			if !*b.Enough {
				return true
			}
		}
		return false
	}
	const ft = 0.3048
	f, err := j.Crest(plan.Wish{Borrow: true})
	if err != nil {
		t.Fatal(err)
	}
	if short(f.Crest) || !short(f.Crest+0.02*ft) {
		t.Errorf("the borrow does not end at %g ft", f.Crest/ft)
	}
	near(t, "whole hundredths", math.Round(f.Crest/ft*100), f.Crest/ft*100, 1e-6)

	const wanted = 30 * 43560 * ft * ft * ft
	free := site.Number{Value: 8 * ft, Given: true}
	f, err = j.Crest(plan.Wish{Storage: wanted, Freeboard: free})
	if err != nil {
		t.Fatal(err)
	}
	lower, err := j.Crest(plan.Wish{Storage: wanted - 0.2*43560*ft*ft*ft, Freeboard: free})
	if err != nil || !(lower.Crest < f.Crest) || f.Pool.Volume < wanted {
		t.Errorf("%v: less storage is not found lower: %+v", err, lower)
	}
}

// What cannot be is told with the reason.
func TestNoCrest(t *testing.T) {
	demo := prepare(t, sites+"plain")
	noPool := prepare(t, tables(t, edited(t, demoTables(t), "site", "normal pool elevation,854.0 ft\n", "")))
	noPits := demoTables(t)
	delete(noPits, "pits")
	delete(noPits, "outlines")
	const acreFoot = 1233.48184
	for name, c := range map[string]struct {
		job  *plan.Job
		wish plan.Wish
		says string
	}{
		"too much water":  {demo, plan.Wish{Storage: 90 * acreFoot}, "the highest that can be figured is 862.83 ft and gives a storage of 44"},
		"no freeboard":    {noPool, plan.Wish{Storage: acreFoot}, "how far the normal pool is to stand below the crest"},
		"edge of survey":  {demo, plan.Wish{Storage: 75 * acreFoot, Freeboard: site.Number{Value: 0.3, Given: true}}, "reaches the edge of the survey"},
		"no ground":       {prepare(t, sites+"handbook"), plan.Wish{Storage: acreFoot}, "the ground is not known in plan"},
		"no pits":         {prepare(t, tables(t, noPits)), plan.Wish{Borrow: true}, "the site has no pits"},
		"area of nothing": {demo, plan.Wish{PoolArea: 1e9}, "no crest gives a pool of 247,105.38 acre"},
	} {
		_, err := c.job.Crest(c.wish)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The V valley with a bench 20 m wide at 9 m in the upstream face, pool 2 m below
// the crest. Water at L covers 2 L (60 - y) + L^2, with y = 6 m at the face, and 26 m
// while crest and water have the bench between them: from a crest of 9 m to 11 m. So
// 750 m2 are met below 9 m, not between, and again above 11 m.
func TestLowestCrestPastABench(t *testing.T) {
	texts := changed(trough(t, ""), "faces", "side,slope (h:v),to elevation (m),bench width (m)\nupstream,2,9,20\nupstream,2,,\ndownstream,2,,\n")
	j := prepare(t, tables(t, texts))
	free := site.Number{Value: 2, Given: true}
	f, err := j.Crest(plan.Wish{PoolArea: 750, Freeboard: free})
	if err != nil {
		t.Fatal(err)
	}
	l := -54 + math.Sqrt(54*54+750) // 2 x 54 L + L^2 = 750
	near(t, "lowest crest", f.Crest, l+2, 0.0101)
	if !f.Again.Given || math.Abs(f.Again.Value-9) > 0.001 {
		t.Errorf("again %+v, want 9 m", f.Again)
	}
	// A fine scan finds none lower, and 850 m2 only above the bench.
	f, err = j.Crest(plan.Wish{PoolArea: 850, Freeboard: free})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "beyond the bench", f.Crest, 11, 0.0101)
	if f.Again.Given {
		t.Errorf("again %+v", f.Again)
	}
}
