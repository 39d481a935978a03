package earthwork_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// benchDam is ground as a survey has it: points every 6 m across a valley of
// 300 m, and a dam of eight zones with a section at every 1.5 m.
func benchDam(t testing.TB, interval float64) (earthwork.Design, earthwork.Site) {
	var points []geometry.GroundPoint
	for x := -12.0; x <= 312; x += 6 {
		for y := -90.0; y <= 90; y += 6 {
			z := 14*math.Pow((x-150)/150, 2) - 0.02*y + 0.3*math.Sin(x/7)*math.Cos(y/9)
			points = append(points, geometry.GroundPoint{At: orb.Point{x, y}, Elevation: z})
		}
	}
	tin, err := geometry.NewTIN(points, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	line := laidOut(t, at(0, 0, 0), at(300, 0, 0))
	d := plain(12, 5, 3, 2.5)
	d.Downstream = []earthwork.FacePart{sloped(2.5, 6), face(2.5)}
	d.Downstream[0].Bench = 3
	d.Interval = interval
	d.Settlement.Allowance = 0.05
	d.Stripping = []earthwork.StripReach{{Depth: 0.2, From: math.Inf(-1), To: math.Inf(1)}}
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{{BottomWidth: 3, SideSlope: 1, Level: 1.5}}}
	d.Zones = benchZones()
	ground := earthwork.Kept(earthwork.Terrain{Surface: tin, Centreline: line, From: 0, To: 300})
	return d, earthwork.Site{Ground: ground, Centreline: line, Extend: earthwork.ExtendLevel}
}

// benchZones are eight zones of every kind.
func benchZones() []earthwork.Zone {
	riprap := layer("riprap", earthwork.Facing, earthwork.UpstreamSide, 0.5)
	riprap.FromElevation, riprap.ToElevation = 4, 10
	mat := formed("mat", earthwork.Drain, earthwork.Blanket, "", 0.4)
	mat.FromOffset = 6
	toe := formed("toe", earthwork.Drain, earthwork.Toe, earthwork.DownstreamSide, 1)
	toe.TopWidth, toe.UpstreamSlope, toe.DownstreamSlope = 1, 1, 2.5
	return []earthwork.Zone{
		riprap, layer("bedding", earthwork.Bedding, earthwork.UpstreamSide, 0.2),
		layer("topsoil", earthwork.Cover, earthwork.DownstreamSide, 0.15), toe, mat,
		formed("sand", earthwork.Filter, earthwork.Chimney, earthwork.DownstreamSide, 0.8),
		{Name: "core", Kind: earthwork.Core, TopBelowCrest: 1, TopWidth: 3, UpstreamSlope: 0.5, DownstreamSlope: 0.5},
		shell,
	}
}

// BenchmarkReplan cuts the dam again after a change of its crest, on ground that
// is kept. Sections twice as many should take twice the time.
func BenchmarkReplan(b *testing.B) {
	for _, interval := range []float64{3, 1.5, 0.75} {
		d, where := benchDam(b, interval)
		q, err := earthwork.Cut(d, where)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("%d_sections", len(q.Sections)), func(b *testing.B) {
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				d.Crest[0].Elevation = 12 + 0.01*float64(i%10)
				if _, err := earthwork.Cut(d, where); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
