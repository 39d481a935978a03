package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// falling is a dam on level ground at 0 whose crest, 4 m wide, falls 1 in 10 from
// 14 m at station 0 to 6 m at station 80, with faces 2 to 1 and, downstream at
// 10 m, a bench 5 m wide: the crest comes down to it at station 40.
func falling() earthwork.Design {
	return earthwork.Design{
		Crest:    []earthwork.CrestPoint{{Station: 0, Elevation: 14, Width: 4}, {Station: 80, Elevation: 6, Width: 4}},
		Upstream: []earthwork.FacePart{face(2)},
		Downstream: []earthwork.FacePart{
			{Slope: 2, ToElevation: 10, Bench: 5, From: math.Inf(-1), To: math.Inf(1)}, face(2),
		},
	}
}

// As long as the crest lies above the bench, the bench adds 5 x 10 m2 to
// h (4 + 2 h); from station 40 on there is none. The prismoidal formula is exact on
// either side of the step: 10 (2 h2 + 2/3 h3) from 6 to 14 m, and 50 x 40 m3.
func TestCrestFallsPastABench(t *testing.T) {
	want := 10*(2*(196.0-36)+2.0/3*(2744-216)) + 50*40
	steps := 0
	for _, interval := range []float64{0, 7} {
		d := falling()
		d.Interval = interval
		q := cut(t, d, profile(0, 0, 80, 0))
		near(t, "prismoidal", q.Fill.Prismoidal, want, 1e-12)
		for i := 1; i < len(q.Sections); i++ {
			a, b := &q.Sections[i-1], &q.Sections[i]
			if a.Station != b.Station {
				continue
			}
			steps++
			near(t, "station of the step", a.Station, 40, 1e-12)
			near(t, "step", a.Neat.Area-b.Neat.Area, 50, 1e-9)
			near(t, "toe before", a.DownstreamToe, 2+2*10+5, 1e-12)
			near(t, "toe after", b.DownstreamToe, 2+2*10, 1e-12)
		}
	}
	if steps != 2 {
		t.Errorf("%d steps, want one each time", steps)
	}
}

// The same dam with its stations run the other way, and one that comes down just
// to the bench and stays level with it: there is no bench beside it.
func TestCrestRisesFromABench(t *testing.T) {
	d := falling()
	d.Crest[0].Elevation, d.Crest[1].Elevation = 6, 14
	q := cut(t, d, profile(0, 0, 80, 0))
	near(t, "rising", q.Fill.Prismoidal, 10*(2*(196.0-36)+2.0/3*(2744-216))+50*40, 1e-12)

	d.Crest = []earthwork.CrestPoint{{Station: 0, Elevation: 14, Width: 4}, {Station: 40, Elevation: 10, Width: 4}, {Station: 80, Elevation: 10, Width: 4}}
	q = cut(t, d, profile(0, 0, 80, 0))
	near(t, "level beside the bench", q.Fill.Prismoidal, 10*(2*(196.0-100)+2.0/3*(2744-1000))+50*40+40*(40+200), 1e-12)

	// A crest that dips just to the bench and rises again keeps it all along.
	d.Crest = []earthwork.CrestPoint{{Station: 0, Elevation: 14, Width: 4}, {Station: 40, Elevation: 10, Width: 4}, {Station: 80, Elevation: 14, Width: 4}}
	q = cut(t, d, profile(0, 0, 80, 0))
	near(t, "dipping to the bench", q.Fill.Prismoidal, 2*(10*(2*(196.0-100)+2.0/3*(2744-1000))+50*40), 1e-12)
}

// The bench settles with the rest: raised by 5 % it stands at 10.5 m and its step
// is 52.5 m2. Overbuild and a layer outside end with it too.
func TestStepOfABenchWithAllowance(t *testing.T) {
	d := falling()
	d.Settlement = earthwork.Settlement{Allowance: 0.05, Basis: earthwork.OnHeight}
	d.Downstream[0].Overbuild, d.Downstream[1].Overbuild = 1, 1
	d.Zones = []earthwork.Zone{layer("grass", earthwork.Cover, earthwork.DownstreamSide, 0.2), {Name: "fill", Kind: earthwork.Shell}}
	d.Zones[0].Outside = true
	q := cut(t, d, profile(0, 0, 80, 0))
	for i := 1; i < len(q.Sections); i++ {
		a, b := &q.Sections[i-1], &q.Sections[i]
		if a.Station != b.Station {
			continue
		}
		near(t, "added on height", a.AddHeight.Area-b.AddHeight.Area, 2.5, 1e-9)
		near(t, "built crest", a.BuiltCrest, 10.5, 1e-12)
		// Just after the step the layer runs 10 m down 2 to 1, just before it has
		// 5 m of bench besides.
		near(t, "surface of grass", a.Zones[0].Surface.Area-b.Zones[0].Surface.Area, 5, 1e-9)
		near(t, "overbuild just after", b.Overbuild.Area, 10.5, 1e-9)
		// The layer ends level with the crest, so that none lies on a bench there.
		near(t, "grass outside just after", b.Outside.Area, 0.2*10*math.Sqrt(5), 1e-9)
		near(t, "grass outside just before", a.Outside.Area, 0.2*10*math.Sqrt(5), 1e-9)
	}
}

// Between surfaces the dam has the same volume: the facets of the design stop at the
// step as the sections do.
func TestBetweenPastABench(t *testing.T) {
	g := terrain(t, ground(4, -10, -60, 90, 60, func(_, _ float64) float64 { return 0 }), geometry.Vertex{At: orb.Point{0, 0}}, geometry.Vertex{At: orb.Point{80, 0}})
	g.From, g.To = 0, 80
	q, between := onTerrain(t, falling(), g)
	want := 10*(2*(196.0-36)+2.0/3*(2744-216)) + 50*40
	near(t, "between surfaces", between, want, 1e-9)
	near(t, "by sections", q.Fill.Prismoidal, want, 1e-9)
}
