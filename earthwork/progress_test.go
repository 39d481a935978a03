package earthwork_test

import (
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"pgregory.net/rapid"
)

// shots is a surface with the same cross-section at two stations.
func shots(from, to float64, knots ...float64) earthwork.Shots {
	var l geometry.Line
	for i := 0; i < len(knots); i += 2 {
		l = append(l, geometry.Knot{Offset: knots[i], Elevation: knots[i+1]})
	}
	return earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: from, Line: l}, {Station: to, Line: l}}}
}

// level4 is where it stands.
var level4 = earthwork.Site{Ground: profile(0, 4, 100, 4), Extend: earthwork.ExtendNo}

// cored is a dam 6 m high on level ground at 4 m, 100 m long, with a core of 2 m
// top width and sides of 0.5 in shells of 3 to 1, over a trench 3 m wide and
// 1.5 m deep with upright sides; 0.3 m of topsoil.
func cored(t testing.TB) earthwork.Quantities {
	d := plain(10, 4, 3, 3)
	d.Zones = []earthwork.Zone{
		{Name: "core", Kind: earthwork.Core, ByElevation: true, TopElevation: 9, TopWidth: 2, UpstreamSlope: 0.5, DownstreamSlope: 0.5},
		{Name: "shell", Kind: earthwork.Shell},
	}
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{{BottomWidth: 3, Level: 1.5}}}
	d.Stripping = []earthwork.StripReach{{Depth: 0.3, From: -1, To: 200}}
	return cut(t, d, profile(0, 4, 100, 4))
}

// A fill brought up level to 6 m, on ground stripped to 3.7 m: below 6 m the core
// is 2 + 2 x 0.5 x (9 - z) wide, the whole dam 4 + 2 x 3 x (10 - z). The trench
// is full. Closed form.
func TestProgressOfALevelFill(t *testing.T) {
	q := cored(t)
	p := earthwork.Surveyed(&q, level4, shots(0, 100, -14, 3.7, -14, 6, 14, 6, 14, 3.7), nil)
	const h = 6 - 3.7
	mid := (6 + 3.7) / 2
	core := h * (2 + (9 - mid))
	near(t, "core", p.Zones[0].Placed, 100*(core+1.5*3), exact)
	// The fill ends upright at 14 m, inside the faces only above z = 10 - 12/3.
	near(t, "shell", p.Zones[1].Placed, 100*(28*h-core), exact)
	near(t, "above", p.Above, 0, exact)
	near(t, "beside", p.Beside, 0, exact)
	for k, z := range q.Zones {
		near(t, z.Zone+" of the design", p.Zones[k].Design, z.Compacted, exact)
	}
}

// A survey of the finished outline shows all of the dam and no more; one that is
// 0.2 m higher everywhere from toe to toe shows 0.2 m x the width above it.
func TestProgressOfTheWholeDam(t *testing.T) {
	q := cored(t)
	toe := 2 + 3*(10-3.7)
	p := earthwork.Surveyed(&q, level4, shots(0, 100, -40, 3.7, -toe, 3.7, -2, 10, 2, 10, toe, 3.7, 40, 3.7), nil)
	near(t, "all", p.Total(), q.Total, exact)
	p = earthwork.Surveyed(&q, level4, shots(0, 100, -toe, 3.9, -2, 10.2, 2, 10.2, toe, 3.9), nil)
	near(t, "within the lines", p.Total()-p.Above, q.Total, exact)
	near(t, "above", p.Above, 100*0.2*2*toe, exact)
}

// Fill pushed 5 m beyond a toe, 1 m high over the ground there, falling to it at
// 1 to 1: 4.5 m2 beside the dam, whose ground was not stripped. Where the base was
// dug 0.4 m deeper than the design from toe to toe, that is filled too.
func TestProgressBeyondTheLines(t *testing.T) {
	q := cored(t)
	toe := 2 + 3*(10-3.7)
	fill := shots(0, 100, -toe, 3.7, -toe, 5, -2, 10, 2, 10, toe, 5, toe+4, 5, toe+5, 4, 40, 4)
	base := shots(0, 100, -40, 3.3, -1.5, 3.3, -1.5, 1.8, 1.5, 1.8, 1.5, 3.3, 40, 3.3)
	p := earthwork.Surveyed(&q, level4, fill, base)
	near(t, "beside", p.Beside, 100*4.5, exact)
	near(t, "undercut", p.Undercut, 100*0.4*2*toe, exact)
	// A survey of the trench's downstream half alone, dug 0.5 m too deep.
	base = shots(0, 100, 0, 1.7, 1.5, 1.7, 1.5, 3.7, 5, 3.7)
	p = earthwork.Surveyed(&q, level4, fill, base)
	near(t, "half a trench", p.Undercut, 100*0.5*1.5, exact)
}

// A survey of the ground before its topsoil came off shows no fill, and one that
// covers half of the width says so.
func TestProgressNotBegun(t *testing.T) {
	q := cored(t)
	p := earthwork.Surveyed(&q, level4, shots(0, 100, -40, 4, 40, 4), nil)
	near(t, "nothing", p.Total(), 0, exact)
	if !p.Sections[0].NotBegun {
		t.Error("0.3 m of topsoil are taken for fill")
	}
	p = earthwork.Surveyed(&q, level4, shots(0, 100, -40, 5, 0, 5), nil)
	near(t, "covered", p.Sections[0].Covered, 0.5, exact)
	off := earthwork.Surveyed(&q, level4, shots(300, 400, -40, 4, 40, 4), nil)
	near(t, "not covered", off.Sections[0].Covered, 0, exact)
	near(t, "nothing where nobody surveyed", off.Total(), 0, exact)
}

// The lifts and a level survey measure the same dam in two ways; a higher survey
// never shows less in any zone.
func TestProgressAgainstLifts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q, at := drawnCored(t)
		level := rapid.Float64Range(2, 11).Draw(t, "level")
		p := earthwork.Surveyed(&q, at, shots(-10, 110, -500, level, 500, level), nil)
		within := p.Total() - p.Above - p.Beside
		alike(t, "below the level", within, earthwork.FillBelow(&q, nil, []float64{level})[0], sums)
		higher := earthwork.Surveyed(&q, at, shots(-10, 110, -500, level+0.5, 500, level+0.5), nil)
		for k := range p.Zones {
			if higher.Zones[k].Placed < p.Zones[k].Placed-1e-9 {
				t.Fatalf("zone %d: %v at a level and %v above it", k, p.Zones[k].Placed, higher.Zones[k].Placed)
			}
		}
	})
}

// drawnCored is a cored dam of drawn slopes on ground that slopes along.
func drawnCored(t *rapid.T) (earthwork.Quantities, earthwork.Site) {
	d := plain(10, 4, rapid.Float64Range(1.5, 4).Draw(t, "up"), rapid.Float64Range(1.5, 4).Draw(t, "down"))
	d.Zones = []earthwork.Zone{
		{Name: "core", Kind: earthwork.Core, ByElevation: true, TopElevation: 9, TopWidth: 2, UpstreamSlope: 0.5, DownstreamSlope: 0.5},
		{Name: "shell", Kind: earthwork.Shell},
	}
	at := earthwork.Site{
		Ground: profile(0, rapid.Float64Range(3, 5).Draw(t, "z0"), 100, rapid.Float64Range(3, 5).Draw(t, "z1")),
		Extend: earthwork.ExtendNo,
	}
	q, err := earthwork.Cut(d, at)
	if err != nil {
		t.Fatal(err)
	}
	return q, at
}
