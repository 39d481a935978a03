package plan_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/geometry"
)

// footprintArea is the area inside the footprint's rings.
func footprintArea(v *plan.PlanView) float64 {
	sum := 0.0
	for _, r := range v.Footprint {
		sum += geometry.SignedArea(r)
	}
	return sum
}

// The footprint as drawn has the area that the sections sum up: to rounding on a
// straight dam, and with the bend as a mitre on the demo's.
func TestFootprintAsDrawn(t *testing.T) {
	r := run(t, tables(t, trough(t, "")))
	near(t, "straight", footprintArea(r.Plan), r.Quantities.Footprint, 1e-9*r.Quantities.Footprint)
	r = run(t, sites+"plain")
	near(t, "bend", footprintArea(r.Plan), r.Quantities.Footprint, mitreShare*r.Quantities.Footprint)
}

// mitreShare bounds what drawing a bend as one mitre of the mean offset changes of
// the demo's footprint, as a share: the sections beside the bend are 25 ft off.
const mitreShare = 2e-3

// The toes of a dam across a V valley in closed form: at x the ground is |x| and
// the crest 12, so the toe is 2 + 2 (12 - |x|) from the centreline.
func TestToesInPlan(t *testing.T) {
	r := run(t, tables(t, trough(t, "normal pool elevation,10 m\n")))
	v := r.Plan
	if len(v.UpstreamToe) != 1 || len(v.DownstreamToe) != 1 || len(v.CrestUpstream) != 1 {
		t.Fatalf("%d and %d toes", len(v.UpstreamToe), len(v.DownstreamToe))
	}
	for i, p := range v.UpstreamToe[0] {
		x := p[0] + v.Origin[0]
		near(t, "upstream toe", p[1]+v.Origin[1], 2+2*(12-math.Abs(x)), 1e-9)
		near(t, "downstream toe", v.DownstreamToe[0][i][1]+v.Origin[1], -(2 + 2*(12-math.Abs(x))), 1e-9)
	}
	if len(v.Pools) != 1 || v.Pools[0].Level != 10 || len(v.Pools[0].Water) != 1 {
		t.Fatalf("pools %+v", v.Pools)
	}
	near(t, "pool", geometry.SignedArea(v.Pools[0].Water[0][0]), r.Lake.Pools[0].At.Area, 1e-6)
}

// On a curve the toes are arcs: on level ground a dam round a quarter circle of radius
// 50 m covers a part of a ring, pi / 4 (62^2 - 38^2) (closed form), but for the bow of
// chords of three degrees, r^2 (angle - sine) / 2 each.
func TestFootprintOnACurve(t *testing.T) {
	r := run(t, tables(t, map[string]string{
		"site":       "item,value\noutput units,metric\nupstream side,left\nsection interval,10 m\n",
		"centreline": "x (m),y (m),radius (m)\n0,0,\n60,0,50\n60,60,\n",
		"survey":     "x (m),y (m),elevation (m)\n-60,-60,0\n160,-60,0\n160,160,0\n-60,160,0\n",
		"crest":      "elevation (m),width (m)\n5,4\n",
		"faces":      "side,slope (h:v)\nupstream,2\ndownstream,2\n",
	}))
	want := math.Pi/4*(62*62-38*38) + 2*10*24
	const chord = 3 * math.Pi / 180
	bow := (chord - math.Sin(chord)) / 2 * 62 * 62 * 30
	if got := footprintArea(r.Plan); got > want || got < want-bow {
		t.Errorf("the footprint is %.4f m2, want %.4f or up to %.4f less", got, want, bow)
	}
}

// At the demo's bend the waterline on one part of the face meets that on the other:
// the pools close, and hold the area that is summed over triangles.
func TestPoolsCloseAtABend(t *testing.T) {
	r := run(t, sites+"plain")
	if len(r.Plan.Pools) == 0 {
		t.Fatal("the demo has no pools")
	}
	for i, p := range r.Plan.Pools {
		sum := 0.0
		for _, polygon := range p.Water {
			for _, ring := range polygon {
				sum += geometry.SignedArea(ring)
			}
		}
		if len(p.Open) > 0 {
			t.Errorf("%s: the edge is open from %v", p.Name, p.Open[0][0])
		}
		near(t, p.Name, sum, r.Lake.Pools[i].At.Area, 1e-6*sum)
	}
}

// The trench ends where the ground's contour of the pool meets the face, so that a
// border between parts of the face runs along the contour: the pool closes all the
// same, with the area in closed form (see TestLakeInAVValley).
func TestPoolAlongABorder(t *testing.T) {
	site := changed(trough(t, "normal pool elevation,10 m\nsection interval,5 m\n"), "trench", "station (m),bottom width (m),side slope (h:v),depth (m)\n20,2,1,1\n40,2,1,1\n")
	site = changed(site, "stripping", "depth (m)\n0.2\n")
	p := run(t, tables(t, site)).Plan.Pools[0]
	if len(p.Open) > 0 || len(p.Water) != 1 {
		t.Fatalf("%d waters, open %v", len(p.Water), p.Open)
	}
	near(t, "area", geometry.SignedArea(p.Water[0][0]), 20.0*(60-6)+100, 1e-6)
}

// On level ground a dam with a square bend, and a square ring dam, cover their
// width times their length: what a mitre adds outside it takes inside (closed form).
func TestFootprintRoundCorners(t *testing.T) {
	const half = 2 + 2*5.0 // half of the crest, and 5 m down at 2 to 1
	for name, c := range map[string]struct {
		line   string
		length float64
	}{
		"bend": {"0,0\n100,0\n100,100\n", 200},
		"ring": {"0,0\n100,0\n100,100\n0,100\n0,0\n", 400},
	} {
		r := run(t, tables(t, map[string]string{
			"site":       "item,value\noutput units,metric\nupstream side,left\nsection interval,10 m\n",
			"centreline": "x (m),y (m)\n" + c.line,
			"survey":     "x (m),y (m),elevation (m)\n-60,-60,0\n160,-60,0\n160,160,0\n-60,160,0\n",
			"crest":      "elevation (m),width (m)\n5,4\n",
			"faces":      "side,slope (h:v)\nupstream,2\ndownstream,2\n",
		}))
		near(t, name, footprintArea(r.Plan), 2*half*c.length, 1e-6)
		near(t, name+" by sections", r.Quantities.Footprint, 2*half*c.length, 1e-6)
	}
}
