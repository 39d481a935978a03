package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// ribbon is a surface that runs along x between two stations: its elevation at each
// offset from the list of pairs of offset and elevation, straight between. Offsets
// are negative upstream, which is the side of rising y.
func ribbon(t testing.TB, from, to float64, pairs ...float64) geometry.Surface {
	t.Helper()
	var points []geometry.GroundPoint
	var along [][]int
	for i := 0; i < len(pairs); i += 2 {
		n := len(points)
		points = append(points, geometry.GroundPoint{At: orb.Point{from, -pairs[i]}, Elevation: pairs[i+1]}, geometry.GroundPoint{At: orb.Point{to, -pairs[i]}, Elevation: pairs[i+1]})
		along = append(along, []int{n, n + 1})
	}
	tin, err := geometry.NewTIN(points, geometry.TINOptions{Breaklines: along})
	if err != nil {
		t.Fatal(err)
	}
	return tin
}

// onLevel is a dam 10 m high on level ground at 0, 100 m long, stripped 0.2 m by the
// design, with a trench 2 m deep from station 20 to 80; sections every 10 m.
func onLevel(t testing.TB, m earthwork.Measured) earthwork.Quantities {
	t.Helper()
	g := gridTerrain(t, 100, 10, func(_, _ float64) float64 { return 0 })
	d := plain(10, 4, 3, 2)
	d.Interval = 10
	d.Stripping = []earthwork.StripReach{{Depth: 0.2, From: math.Inf(-1), To: math.Inf(1)}}
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{
		{Station: 20, BottomWidth: 4, SideSlope: 1, Level: 2}, {Station: 80, BottomWidth: 4, SideSlope: 1, Level: 2},
	}}
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g, Centreline: g.Centreline, Extend: earthwork.ExtendNo, Measured: m})
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func sectionAt(t testing.TB, q earthwork.Quantities, station float64) earthwork.Section {
	t.Helper()
	for _, s := range q.Sections {
		if s.Station == station && s.At == earthwork.On {
			return s
		}
	}
	t.Fatalf("no section at %v", station)
	return earthwork.Section{}
}

// Stripped 0.4 m deep from station 25 to 75 by the survey: there the dam is 10.4 m
// high and 4 + 5 x 10.4 = 56 m wide, elsewhere 10.2 m and 55 m.
func TestMeasuredStripping(t *testing.T) {
	q := onLevel(t, earthwork.Measured{Stripped: []geometry.Surface{ribbon(t, 25, 75, -70, -0.4, 70, -0.4)}})
	in, out := sectionAt(t, q, 50), sectionAt(t, q, 10)
	near(t, "area in it", in.Neat.Area, 10.4*(4+2.5*10.4), exact)
	near(t, "area beside it", out.Neat.Area, 10.2*(4+2.5*10.2), exact)
	near(t, "stripped in it", in.Stripping.Area, 56*0.4, exact)
	near(t, "stripped beside it", out.Stripping.Area, 55*0.2, exact)
	near(t, "seen in it", in.StrippedSeen, 56, exact)
	near(t, "seen beside it", out.StrippedSeen, 0, exact)
	near(t, "level", in.StrippedLevel, -0.4, exact)
	near(t, "trench below it", in.Trench.Area, 2*(4+2), exact)
	// By end area: 40 m of the one, 40 m of the other, and two reaches of 10 m.
	near(t, "stripping", q.Stripping, 40*22.4+40*11+2*10*(22.4+11)/2, exact)
}

// Where the survey reaches over a part of the width, the design's depth stands
// beside it; a later survey counts before an earlier one; ground that was filled is
// no stripping.
func TestMeasuredInPart(t *testing.T) {
	q := onLevel(t, earthwork.Measured{Stripped: []geometry.Surface{
		ribbon(t, 0, 100, -20, -0.7, 10, -0.7), ribbon(t, 0, 100, 5, -0.3, 12, -0.3), ribbon(t, 0, 100, 14, 0.25, 16, 0.25),
	}})
	s := sectionAt(t, q, 50)
	// 0.7 m from -20 to 5, 0.3 m from 5 to 12, raised by 0.25 m from 14 to 16.
	near(t, "stripped", s.Stripping.Area, 25*0.7+7*0.3+(55-25-7-2)*0.2, exact)
	near(t, "seen", s.StrippedSeen, 34, exact)
	near(t, "heaped", s.Heaped, 0.25, exact)
	near(t, "fill", s.Neat.Area, 10.2*(4+2.5*10.2)+25*0.5+7*0.1-2*0.45, exact)
}

// noiseBeside is what two centimetres of noise, that grow from nothing over 14 m,
// may add to a trench of 27 m2 within the quarter metre in which its side is
// followed up, relative.
const noiseBeside = 0.25 * 0.25 * 0.02 / 14 / 27 * 2

// An open trench 6 m wide at the bottom, 3 m deep and with sides 1 to 1, dug from
// station 5 to 95: (6 + 12) / 2 x 3 m2. Two centimetres of noise beside it are no
// trench, and where none was surveyed the planned one stands.
func TestMeasuredTrench(t *testing.T) {
	dug := []float64{-20, -0.22, -6, -0.2, -3, -3.2, 3, -3.2, 6, -0.2, 20, -0.22}
	q := onLevel(t, earthwork.Measured{Dug: []geometry.Surface{ribbon(t, 5, 95, dug...)}})
	for _, station := range []float64{10, 50, 90} {
		s := sectionAt(t, q, station)
		near(t, "dug", s.Trench.Area, 27, noiseBeside)
		near(t, "depth", s.TrenchDepth, 3, 1e-9)
		near(t, "drawn", areasOf(s.Dug, 1)[0], 27, noiseBeside)
		if !s.DugSeen {
			t.Errorf("the trench at %v is not the one measured", station)
		}
	}
	q = onLevel(t, earthwork.Measured{Dug: []geometry.Surface{ribbon(t, 55, 95, dug...)}})
	near(t, "planned", sectionAt(t, q, 50).Trench.Area, 12, exact)
	near(t, "measured", sectionAt(t, q, 60).Trench.Area, 27, noiseBeside)
	near(t, "beyond the plan", sectionAt(t, q, 90).Trench.Area, 27, noiseBeside)
	// Half of the width was surveyed: the other half is the planned trench.
	q = onLevel(t, earthwork.Measured{Dug: []geometry.Surface{ribbon(t, 5, 95, -20, -0.2, -6, -0.2, -3, -3.2, 0, -3.2)}})
	near(t, "half of each", sectionAt(t, q, 50).Trench.Area, 13.5+6, 1e-9)
}

// Measured surfaces that show just what was planned change nothing.
func TestMeasuredAsPlanned(t *testing.T) {
	plan := onLevel(t, earthwork.Measured{})
	q := onLevel(t, earthwork.Measured{
		Stripped: []geometry.Surface{ribbon(t, -5, 105, -70, -0.2, 70, -0.2)},
		Dug:      []geometry.Surface{ribbon(t, 20, 80, -10, -0.2, -4, -0.2, -2, -2.2, 2, -2.2, 4, -0.2, 10, -0.2)},
	})
	near(t, "fill", q.Fill.EndArea, plan.Fill.EndArea, exact)
	near(t, "prismoidal", q.Fill.Prismoidal, plan.Fill.Prismoidal, exact)
	near(t, "stripping", q.Stripping, plan.Stripping, exact)
	near(t, "trench", q.Trench, plan.Trench, 1e-9)
	near(t, "total", q.Total, plan.Total, 1e-9)
}

// The volume between surfaces knows the measured ground too: over a part of the
// width, of two surveys that overlap the later one, and the design's stripping
// beside them. It has no section in common with the volume by sections.
func TestBetweenStripped(t *testing.T) {
	stripped := []geometry.Surface{
		ribbon(t, 0, 100, -20, -0.7, 3, -0.5, 10, -0.7), ribbon(t, 0, 100, 5, -0.3, 12, -0.35),
	}
	q := onLevel(t, earthwork.Measured{Stripped: stripped})
	g := gridTerrain(t, 100, 10, func(_, _ float64) float64 { return 0 })
	d := plain(10, 4, 3, 2)
	d.Stripping = []earthwork.StripReach{{Depth: 0.2, From: math.Inf(-1), To: math.Inf(1)}}
	near(t, "between", earthwork.BetweenStripped(d, g, stripped, 0, 100), q.Fill.EndArea, 1e-9)
}
