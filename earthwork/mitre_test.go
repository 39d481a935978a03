package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// bent is a dam of two parts that turn by an angle at the origin, each of them
// long enough to run into the sides of the valley.
func bent(t testing.TB, turn float64, z func(x, y float64) float64) (earthwork.Design, earthwork.Terrain) {
	t.Helper()
	const leg = 100.0
	g := terrain(t, ground(150, -150, -150, 150, 150, z),
		geometry.Vertex{At: orb.Point{-leg, 0}}, geometry.Vertex{At: orb.Point{0, 0}},
		geometry.Vertex{At: orb.Point{leg * math.Cos(turn), leg * math.Sin(turn)}})
	d := plain(8, 4, 3, 2)
	d.Interval = 2
	return d, g
}

// Over ground that changes within the wedges of a bend, the prismoids with the
// mitres agree with the volume between surfaces, which uses no section. The
// square sections beside the bend alone do not.
func TestMitreOnUnevenGround(t *testing.T) {
	grounds := map[string]func(x, y float64) float64{
		"V valley along the bend's outside": func(x, _ float64) float64 { return 0.1 * math.Abs(x) },
		"V valley askew":                    func(x, y float64) float64 { return 0.08 * math.Abs(x+0.5*y-6) },
		"ridge beside the bend":             func(x, y float64) float64 { return max(0, 4-0.3*math.Abs(y+14)) + 0.05*math.Abs(x) },
		"bowl":                              func(x, y float64) float64 { return (x*x + y*y) / 1600 },
	}
	for name, z := range grounds {
		for _, turn := range []float64{0.6, -0.6} {
			d, g := bent(t, turn, z)
			q, want := onTerrain(t, d, g)
			got := q.Fill.Prismoidal + q.Fill.Bend
			wedge := 0.0
			for _, m := range q.Mitres {
				s := &q.Sections[m.At]
				wedge += math.Tan(math.Abs(turn)/2) * s.Neat.Area * (s.DownstreamToe - s.UpstreamToe) / 8
			}
			if off := math.Abs(got-want) / wedge; off > 1e-4 {
				t.Errorf("%s, turn %+.1f: %.4f, between surfaces %.4f, off by %.6f of the wedge", name, turn, got, want, off)
			}
		}
	}
}

// Everything that is cut in a wedge adds up as it does elsewhere: zones to the
// whole, lifts to zones.
func TestMitreAddsUp(t *testing.T) {
	d, g := bent(t, 0.5, func(x, y float64) float64 { return 0.08 * math.Abs(x+0.5*y-6) })
	d.Zones = []earthwork.Zone{
		{Name: "core", Kind: earthwork.Core, TopBelowCrest: 1, TopWidth: 2, UpstreamSlope: 0.5, DownstreamSlope: 0.5},
		layer("riprap", earthwork.Facing, earthwork.UpstreamSide, 0.5),
		{Name: "shell", Kind: earthwork.Shell},
	}
	d.Zones[1].Outside = true
	d.Stripping = []earthwork.StripReach{{Depth: 0.3, From: math.Inf(-1), To: math.Inf(1)}}
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{{BottomWidth: 3, SideSlope: 1, Level: 2}}}
	q, _ := onTerrain(t, d, g)
	if len(q.Mitres) != 2 || len(q.Mitres[0].Fan) == 0 {
		t.Fatalf("mitres: %d", len(q.Mitres))
	}
	plan, err := earthwork.Lifts(&q, g.Centreline, earthwork.LiftOptions{Thickness: 0.3})
	if err != nil {
		t.Fatal(err)
	}
	inLifts := make([]float64, len(q.Zones))
	for _, l := range plan.Lifts {
		for _, p := range l.Parts {
			inLifts[p.Zone] += p.Compacted
		}
	}
	sum, bends := 0.0, 0.0
	for i, z := range q.Zones {
		near(t, z.Zone+" in lifts", inLifts[i], z.Compacted, 1e-12)
		sum += z.Compacted
		bends += z.Neat.Bend
	}
	near(t, "zones", sum, q.Total, 1e-12)
	near(t, "bends", bends, q.Fill.Bend, 1e-9)
	near(t, "stripping", q.Stripping, 0.3*q.Footprint, 1e-12)
}

// Where the survey ends between the square section's toe and the mitre's, the
// square section stands for the wedge, and a warning says so.
func TestMitreBeyondTheGround(t *testing.T) {
	const turn = 0.8
	d := plain(8, 4, 3, 2)
	// The downstream toes lie 18 m out; the ground goes on to 18.5 m beside both
	// parts, and straight from the one to the other past the bend.
	var points []geometry.GroundPoint
	for _, p := range []orb.Point{
		{-60, -18.5},
		{0.5, -18.5},
		{18.5 * math.Sin(turn), -18.5 * math.Cos(turn)},
		{18.5*math.Sin(turn) + 70*math.Cos(turn), -18.5*math.Cos(turn) + 70*math.Sin(turn)},
		{60, 100},
		{-60, 100},
	} {
		points = append(points, geometry.GroundPoint{At: p})
	}
	g := terrain(t, points,
		geometry.Vertex{At: orb.Point{-50, 0}}, geometry.Vertex{At: orb.Point{0, 0}}, geometry.Vertex{At: orb.Point{50 * math.Cos(turn), 50 * math.Sin(turn)}})
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g, Centreline: g.Centreline})
	if err != nil {
		t.Fatal(err)
	}
	if len(q.Mitres) != 2 || len(q.Mitres[0].Fan)+len(q.Mitres[1].Fan) > 0 {
		t.Fatalf("%d mitres, some of them cut", len(q.Mitres))
	}
	warned := 0
	for _, w := range q.Warnings {
		if w.Kind == earthwork.BendGround && w.Station == 50 {
			warned++
		}
	}
	if warned != 1 {
		t.Errorf("warnings: %+v", q.Warnings)
	}
	near(t, "bend", q.Fill.Bend, 2*math.Tan(turn/2)*q.Sections[0].Neat.Moment, 1e-12)
}
