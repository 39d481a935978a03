package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
)

// Layers on a dam across a V valley, by hand, from three surveyed sections alone:
// sections are put where the layers begin and end, so that average end area is
// right without any interval. The ground rises 1 in 5 from 0, the crest lies at 10,
// 4 wide, the faces are 3 and 2 to 1.
func TestLayersEndBetweenSections(t *testing.T) {
	const rise, width, crest = 0.2, 4.0, 10.0
	g := earthwork.Profile{Points: []earthwork.ProfilePoint{{Station: 0, Elevation: 12}, {Station: 60}, {Station: 120, Elevation: 12}}}
	gravel := layer("gravel", earthwork.Cover, earthwork.CrestSide, 0.2)
	riprap := layer("riprap", earthwork.Facing, earthwork.UpstreamSide, 0.5)
	riprap.FromElevation, riprap.ToElevation = 4, 9
	mat := formed("mat", earthwork.Drain, earthwork.Blanket, "", 0.3)
	mat.FromOffset, mat.ToOffset = 6, 12
	d := plain(crest, width, 3, 2)
	d.Zones = []earthwork.Zone{gravel, riprap, mat, shell}
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g})
	if err != nil {
		t.Fatal(err)
	}
	// The valley is 2 z / rise wide at the level z.
	face := math.Sqrt(10) * (9*9 - 4*4) / rise
	near(t, "surface of riprap", q.Zones[1].Surface, face, 1e-6)
	near(t, "riprap", q.Zones[1].Neat.EndArea, 0.5*face, 1e-6)
	// 4 wide and 0.2 deep, but for the tips where the dam is lower than that.
	length := 2 * crest / rise
	near(t, "gravel", q.Zones[0].Neat.EndArea, width*0.2*(length-0.2/rise), 1e-6)
	// The toe lies at 2 + 2 h: at 6 where h = 2, at 12 where h = 5, both 10 m of
	// station for 2 m of height.
	across := func(from, to float64) float64 { return 6 * (to - from) / 2 / rise }
	near(t, "surface of the mat", q.Zones[2].Surface, 2*(across(2, 5)+6*(crest-5)/rise), 1e-6)
	for _, s := range []float64{60 - 4/rise, 60 - 9/rise, 60 + 4/rise, 10 + 0.2/rise, 10 + 2/rise, 10 + 5/rise} {
		if !hasSection(q, s) {
			t.Errorf("no section at %.3f", s)
		}
	}
}

// Where level ground comes up to a bench, the topsoil on it begins all at once. By
// hand: the downstream face is 1 on 2 down to a bench at 5, 3 wide, and on below.
func TestCoverOverABenchBetweenSections(t *testing.T) {
	const rise, crest, level, bench = 0.2, 10.0, 5.0, 3.0
	d := plain(crest, 4, 3, 2)
	d.Downstream = []earthwork.FacePart{sloped(2, level), face(2)}
	d.Downstream[0].Bench = bench
	d.Zones = []earthwork.Zone{layer("topsoil", earthwork.Cover, earthwork.DownstreamSide, 0.15), shell}
	g := earthwork.Profile{Points: []earthwork.ProfilePoint{{Station: 0, Elevation: 12}, {Station: 60}, {Station: 120, Elevation: 12}}}
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g})
	if err != nil {
		t.Fatal(err)
	}
	// The face of a V dam without the bench, and the bench over the width of the
	// valley at its level.
	near(t, "topsoil", q.Zones[0].Surface, math.Sqrt(5)*crest*crest/rise+bench*2*level/rise, 1e-5)
	near(t, "footprint", q.Footprint, 4*2*crest/rise+5*crest*crest/rise+bench*2*level/rise, 1e-5)
}

func hasSection(q earthwork.Quantities, station float64) bool {
	for _, s := range q.Sections {
		if math.Abs(s.Station-station) < 1e-3 {
			return true
		}
	}
	return false
}

// Zones without bounds of their own, and layers outside the crest's reach, ask for
// no further section.
func TestNoSectionsForZonesWithoutEnds(t *testing.T) {
	d := plain(10, 4, 3, 2)
	d.Zones = []earthwork.Zone{
		layer("topsoil", earthwork.Cover, earthwork.DownstreamSide, 0.15),
		{Name: "core", Kind: earthwork.Core, TopWidth: 2, UpstreamSlope: 0.5, DownstreamSlope: 0.5},
		shell,
	}
	g := earthwork.Profile{Points: []earthwork.ProfilePoint{{Station: 0, Elevation: 12}, {Station: 60}, {Station: 120, Elevation: 12}}}
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g})
	if err != nil {
		t.Fatal(err)
	}
	// The end of the ground and of the dam twice on either side, and the middle.
	if n := len(q.Sections); n != 7 {
		t.Errorf("%d sections", n)
	}
}
