package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/damtally/damtally/testdata/published"
)

const (
	ft  = 0.3048
	ft2 = ft * ft
	yd3 = 27 * ft * ft * ft
)

// exact is the relative difference that float arithmetic may leave between two
// ways to the same volume.
const exact = 1e-11

func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > relative*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: got %.9f, want %.9f", what, got, want)
	}
}

// plain is a dam with one slope a side, level crest, no trench.
func plain(crest, width, up, down float64) earthwork.Design {
	return earthwork.Design{
		Crest:      []earthwork.CrestPoint{{Elevation: crest, Width: width}},
		Upstream:   []earthwork.FacePart{face(up)},
		Downstream: []earthwork.FacePart{face(down)},
		Settlement: earthwork.Settlement{Basis: earthwork.OnHeight},
	}
}

func face(slope float64) earthwork.FacePart {
	return earthwork.FacePart{Slope: slope, ToElevation: math.Inf(-1), From: math.Inf(-1), To: math.Inf(1)}
}

func profile(pairs ...float64) earthwork.Profile {
	var p earthwork.Profile
	for i := 0; i < len(pairs); i += 2 {
		p.Points = append(p.Points, earthwork.ProfilePoint{Station: pairs[i], Elevation: pairs[i+1]})
	}
	return p
}

func cut(t testing.TB, d earthwork.Design, g earthwork.Ground) earthwork.Quantities {
	t.Helper()
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g, Extend: earthwork.ExtendNo})
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// handbook is the worked example of US Department of Agriculture Handbook 590
// (1997), table 18, read second hand: see the table's own head.
func handbook(t testing.TB) (earthwork.Profile, []published.Row) {
	rows := published.Read(t, "dam/ah590-fill-volume-by-stations.csv")
	var p earthwork.Profile
	for _, r := range rows {
		p.Points = append(p.Points, earthwork.ProfilePoint{
			Station:   r.Number(t, "station_ft") * ft,
			Elevation: r.Number(t, "ground_elev_ft") * ft,
		})
	}
	return p, rows
}

func TestHandbookVolumeByStations(t *testing.T) {
	p, rows := handbook(t)
	q := cut(t, plain(35*ft, 12*ft, 3, 3), p)
	if len(q.Reaches) != len(rows)-1 {
		t.Fatalf("%d reaches, want %d", len(q.Reaches), len(rows)-1)
	}
	for i, r := range q.Reaches {
		// The table prints two decimals.
		if got, want := r.Fill.EndArea/yd3, rows[i+1].Number(t, "exact_volume_yd3"); math.Abs(got-want) > 0.0051 {
			t.Errorf("reach to %s: %.4f yd3, want %.2f", rows[i+1]["station"], got, want)
		}
	}
	if got := q.Fill.EndArea / yd3; math.Abs(got-7030.27) > 0.01 {
		t.Errorf("fill %.4f yd3, want 7030.27 (the handbook prints 7029 from rounded areas)", got)
	}
}

// The variants of the same example: prismoidal, allowance three ways, footprint.
func TestHandbookVariants(t *testing.T) {
	p, _ := handbook(t)
	want := map[string]float64{}
	for _, r := range published.Read(t, "dam/ah590-example-variants.computed.csv") {
		want[r["case"]] = r.Number(t, "value")
	}
	d := plain(35*ft, 12*ft, 3, 3)
	d.Settlement.Allowance = 0.10
	d.Stripping = []earthwork.StripReach{}
	q := cut(t, d, p)
	check := func(name string, got, half float64) {
		t.Helper()
		if math.Abs(got-want[name]) > half {
			t.Errorf("%s: %.4f, want %v", name, got, want[name])
		}
	}
	neat := q.Fill.EndArea
	check("average_end_area_neat", neat/yd3, 0.006)
	check("prismoidal_neat", q.Fill.Prismoidal/yd3, 0.006)
	check("difference_pct", (neat/q.Fill.Prismoidal-1)*100, 0.0006)
	check("settlement_10pct_as_height", (neat+q.ByHeight)/yd3, 0.006)
	check("settlement_10pct_as_volume", (neat+q.ByVolume)/yd3, 0.006)
	check("settlement_10pct_as_height_toes_kept", (neat+q.ByToesKept)/yd3, 0.006)
	check("footprint_area_ft2", q.Footprint/ft2, 0.06)
	d.Settlement.Allowance = 0.05
	check("settlement_5pct_as_height", func() float64 { q := cut(t, d, p); return (q.Fill.EndArea + q.ByHeight) / yd3 }(), 0.006)
}

// A stripped dam moves its toes out; with the crest raised by the same depth
// over the stripped ground it is the unstripped dam again.
func TestStrippingIsTheFootprintTimesDepth(t *testing.T) {
	p, _ := handbook(t)
	d := plain(35*ft, 12*ft, 3, 3)
	d.Stripping = []earthwork.StripReach{{Depth: 0.5 * ft, From: math.Inf(-1), To: math.Inf(1)}}
	q := cut(t, d, p)
	near(t, "stripping", q.Stripping, q.Footprint*0.5*ft, exact)
	lower := plain(34.5*ft, 12*ft, 3, 3)
	lower.Stripping = d.Stripping
	same := cut(t, lower, p)
	flat := cut(t, plain(35*ft, 12*ft, 3, 3), p)
	near(t, "crest and ground lowered together", same.Fill.EndArea, flat.Fill.EndArea, exact)
	// Published: 481.51 yd3 for half a foot under the unstripped footprint.
	near(t, "stripping of the handbook's footprint", same.Stripping/yd3, 481.51, 1e-5)
}

func TestLevelDamOnLevelGround(t *testing.T) {
	d := plain(10, 4, 3, 2.5)
	q := cut(t, d, profile(0, 4, 100, 4))
	h := 6.0
	near(t, "V = L h (w + h (z1+z2)/2)", q.Fill.EndArea, 100*h*(4+h*5.5/2), exact)
	near(t, "prismoidal", q.Fill.Prismoidal, q.Fill.EndArea, exact)
	near(t, "footprint", q.Footprint, 100*(4+5.5*h), exact)
	if len(q.Warnings) != 2 || q.Warnings[0].Kind != earthwork.OpenEnd || !q.Warnings[0].Danger {
		t.Errorf("a dam with two vertical ends must say so: %+v", q.Warnings)
	}
}

// On ground that falls along the dam the height is linear, and so the area is a
// quadratic that the prismoidal formula integrates exactly:
// V = L (w (h1+h2)/2 + z (h1^2 + h1 h2 + h2^2)/3).
func TestGroundSlopingAlong(t *testing.T) {
	d := plain(10, 4, 3, 2.5)
	q := cut(t, d, profile(0, 8, 60, 3))
	h1, h2, z := 2.0, 7.0, 2.75
	near(t, "prismoidal", q.Fill.Prismoidal, 60*(4*(h1+h2)/2+z*(h1*h1+h1*h2+h2*h2)/3), exact)
	near(t, "end area", q.Fill.EndArea, 30*(h1*(4+z*h1)+h2*(4+z*h2)), exact)
}

// A two-level section, ground sloping 1 in n across:
// A = (s (b/2)^2 + n^2 (b h + s h^2)) / (n^2 - s^2), as in the surveying texts.
func TestGroundSlopingAcross(t *testing.T) {
	for _, r := range published.Read(t, "volume/section_by_height.csv") {
		b, s, h := r.Number(t, "formation_width"), r.Number(t, "side_slope"), r.Number(t, "centre_height")
		if h == 0 {
			continue
		}
		grade := 0.0
		if r["cross_slope_1_in"] != "" {
			grade = 1 / r.Number(t, "cross_slope_1_in")
		}
		line := geometry.Line{{Offset: -200, Elevation: -200 * grade}, {Offset: 200, Elevation: 200 * grade}}
		g := earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: 0, Line: line}, {Station: 10, Line: line}}}
		q := cut(t, plain(h, b, s, s), g)
		// The table prints ten digits.
		near(t, r["case_id"]+" area", q.Sections[0].Neat.Area, r.Number(t, "area"), 1e-9)
		near(t, r["case_id"]+" volume", q.Fill.EndArea, 10*q.Sections[0].Neat.Area, exact)
	}
}

func TestVeeValley(t *testing.T) {
	for _, r := range published.Read(t, "volume/analytic_dam_vee_valley.csv") {
		h, half, n := r.Number(t, "H"), r.Number(t, "half_length"), r.Number(t, "n_steps")
		d := plain(h, r.Number(t, "crest_width"), r.Number(t, "zu"), r.Number(t, "zd"))
		d.Interval = 2 * half / n
		q := cut(t, d, profile(0, h, half, 0, 2*half, h))
		name := r["case_id"] + " in " + r["n_steps"] + " steps"
		near(t, name+" end area", q.Fill.EndArea, r.Number(t, "aea_volume"), 1e-9)
		near(t, name+" prismoidal", q.Fill.Prismoidal, r.Number(t, "exact_volume"), 1e-9)
		near(t, name+" excess", q.Fill.EndArea-q.Fill.Prismoidal, r.Number(t, "aea_excess"), 1e-7)
	}
}

// The end of the fill lies between surveyed stations: the dam starts there, and
// not at the last station without fill.
func TestEndBetweenStations(t *testing.T) {
	d := plain(10, 4, 3, 3)
	q := cut(t, d, profile(0, 14, 40, 6, 80, 14))
	// The ground passes the crest at stations 20 and 60; heights 0, 4, 0.
	area := 4 * (4 + 3*4.0)
	near(t, "end area", q.Fill.EndArea, 40*area/2, 1e-7)
	near(t, "footprint", q.Footprint, 20*(4+(4+6*4.0)), 1e-7)
	if len(q.Warnings) != 0 {
		t.Errorf("warnings: %+v", q.Warnings)
	}
}

func TestTrench(t *testing.T) {
	for _, r := range published.Read(t, "dam/cutoff-trench-volume.computed.csv") {
		d := plain(30*ft, 12*ft, 3, 3)
		l := r.Number(t, "length_ft") * ft
		p := earthwork.TrenchPoint{
			Station: 50 * ft, BottomWidth: r.Number(t, "bottom_width_ft") * ft,
			SideSlope: r.Number(t, "side_slope_h_per_v"), Level: r.Number(t, "depth_ft") * ft,
		}
		end := p
		end.Station += l
		d.Trench = earthwork.Trench{Points: []earthwork.TrenchPoint{p, end}, ByDepth: true}
		q := cut(t, d, profile(0, 10*ft, 500*ft, 10*ft))
		near(t, "trench yd3", q.Trench/yd3, r.Number(t, "volume_yd3"), 1e-4)
		bare := d
		bare.Trench = earthwork.Trench{}
		near(t, "fill is the same without the trench", q.Fill.EndArea, cut(t, bare, profile(0, 10*ft, 500*ft, 10*ft)).Fill.EndArea, exact)
		near(t, "total", q.Total, q.Fill.EndArea+q.Trench, exact)
	}
}

// A core with upright sides inside a shell, by hand.
func TestCoreByHand(t *testing.T) {
	d := plain(20, 6, 3, 2)
	d.Zones = []earthwork.Zone{
		{Name: "core", Kind: earthwork.Core, TopBelowCrest: 1, TopWidth: 3, UpstreamSlope: 0.5, DownstreamSlope: 0.25},
		{Name: "shell", Kind: earthwork.Shell},
	}
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{{BottomWidth: 4, SideSlope: 1, Level: 2}}}
	q := cut(t, d, profile(0, 8, 50, 8))
	h := 11.0 // core height over the ground
	core := h * (3 + h*0.75/2)
	whole := 12 * (6 + 12*5.0/2)
	near(t, "core", q.Zones[0].Neat.EndArea, 50*core, exact)
	near(t, "shell", q.Zones[1].Neat.EndArea, 50*(whole-core), exact)
	near(t, "core trench", q.Zones[0].Trench, 50*2*(4+2.0), exact)
	near(t, "shell trench", q.Zones[1].Trench, 0, exact)
}

// An inclined core whose upstream side overhangs the shell below it.
func TestLeaningCoreByHand(t *testing.T) {
	d := plain(10, 6, 3, 3)
	d.Zones = []earthwork.Zone{
		{Name: "core", Kind: earthwork.Core, TopBelowCrest: 0, TopWidth: 4, UpstreamSlope: -0.5, DownstreamSlope: 1},
		{Name: "shell", Kind: earthwork.Shell},
	}
	q := cut(t, d, profile(0, 0, 20, 0))
	near(t, "core", q.Zones[0].Neat.EndArea, 20*(10*(4+10*0.5/2)), exact)
}

// All along a ring the section is the same; Pappus gives the volume.
func TestRingDam(t *testing.T) {
	for _, r := range published.Read(t, "volume/analytic_ring_dam.csv") {
		radius, b, h := r.Number(t, "R_m"), r.Number(t, "b_m"), r.Number(t, "H_m")
		d := plain(h, b, r.Number(t, "zi"), r.Number(t, "zo")) // water inside
		line, err := geometry.NewCentreline([]geometry.Vertex{
			{At: [2]float64{0, -radius}},
			{At: [2]float64{radius, -radius}, Radius: radius},
			{At: [2]float64{radius, radius}, Radius: radius},
			{At: [2]float64{-radius, radius}, Radius: radius},
			{At: [2]float64{-radius, -radius}, Radius: radius},
			{At: [2]float64{0, -radius}},
		}, 0, true)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "length", line.End(), 2*math.Pi*radius, exact)
		q, err := earthwork.Cut(d, earthwork.Site{Ground: profile(0, 0, line.End(), 0), Centreline: line})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "uncorrected", q.Fill.EndArea, r.Number(t, "uncorrected_m3"), 1e-9)
		near(t, "corrected", q.Fill.EndArea+q.Fill.Bend, r.Number(t, "exact_m3"), 1e-9)
		near(t, "footprint", q.Footprint, math.Pi*(sq(radius+b/2+h*r.Number(t, "zo"))-sq(radius-b/2-h*r.Number(t, "zi"))), 1e-9)
	}
}

// A ring dam round a square: the outer frustum less the inner one, each
// H / 3 (A1 + A2 + sqrt(A1 A2)). The seam of the centreline is a bend too.
func TestSquareRingDam(t *testing.T) {
	const side, b, h, zi, zo = 50.0, 4.0, 5.0, 3.0, 2.0
	line, err := geometry.NewCentreline([]geometry.Vertex{
		{At: [2]float64{0, 0}}, {At: [2]float64{side, 0}}, {At: [2]float64{side, side}}, {At: [2]float64{0, side}}, {At: [2]float64{0, 0}},
	}, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	frustum := func(top, bottom float64) float64 { return h / 3 * (top*top + bottom*bottom + top*bottom) }
	want := frustum(side+b, side+b+2*zo*h) - frustum(side-b, side-b-2*zi*h)
	q, err := earthwork.Cut(plain(h, b, zi, zo), earthwork.Site{Ground: profile(0, 0, line.End(), 0), Centreline: line})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "square ring", q.Fill.EndArea+q.Fill.Bend, want, exact)
	for _, w := range q.Warnings {
		if w.Kind == earthwork.OpenEnd {
			t.Errorf("a ring has no open end: %+v", w)
		}
	}
	g := terrain(t, ground(1, -100, -100, 150, 150, func(x, y float64) float64 { return 0 }),
		geometry.Vertex{At: [2]float64{0, 0}}, geometry.Vertex{At: [2]float64{side, 0}}, geometry.Vertex{At: [2]float64{side, side}},
		geometry.Vertex{At: [2]float64{0, side}}, geometry.Vertex{At: [2]float64{0, 0}})
	near(t, "between surfaces", earthwork.Between(plain(h, b, zi, zo), g, 0, line.End()), want, 1e-9)
}

// flat is level ground at 0 between two offsets.
func flat(from, to float64) geometry.Line {
	return geometry.Line{{Offset: from}, {Offset: to}}
}

func sq(x float64) float64 { return x * x }

// Two legs of a prism mitred at a bend: the volume is the section's area times
// the length of the path of its centroid.
func TestMitredBend(t *testing.T) {
	turn := 40 * math.Pi / 180
	line, err := geometry.NewCentreline([]geometry.Vertex{
		{At: [2]float64{0, 0}}, {At: [2]float64{100, 0}}, {At: [2]float64{100 + 80*math.Cos(turn), 80 * math.Sin(turn)}},
	}, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	d := plain(8, 4, 3, 2)
	q, err := earthwork.Cut(d, earthwork.Site{Ground: profile(0, 0, 180, 0), Centreline: line})
	if err != nil {
		t.Fatal(err)
	}
	m := q.Sections[0].Neat
	// Turning left with the water on the left puts downstream outside.
	want := m.Area * (180 + 2*math.Tan(turn/2)*m.Moment/m.Area)
	near(t, "volume", q.Fill.EndArea+q.Fill.Bend, want, exact)
	sum := 0.0
	for _, r := range q.Reaches {
		sum += r.Fill.EndArea + r.Fill.Bend
	}
	near(t, "reaches", sum, q.Fill.EndArea+q.Fill.Bend, exact)
}

// A bench and two slopes, by hand.
func TestBench(t *testing.T) {
	d := plain(10, 4, 3, 2)
	all := func(p earthwork.FacePart) earthwork.FacePart { p.From, p.To = math.Inf(-1), math.Inf(1); return p }
	d.Downstream = []earthwork.FacePart{
		all(earthwork.FacePart{Slope: 2, ToElevation: 6, Bench: 3}),
		all(earthwork.FacePart{Slope: 4, ToElevation: math.Inf(-1)}),
	}
	q := cut(t, d, profile(0, 0, 10, 0))
	s := q.Sections[0]
	near(t, "toe", s.DownstreamToe, 2+8+3+24, exact)
	up := 0.5*10*30 + 4*10
	down := 0.5*4*8 + 8*6 + 3*6 + 0.5*6*24
	near(t, "area", s.Neat.Area, up+down, exact)
	// A part that would end above a low crest is left out, bench and all.
	d.Crest[0].Elevation = 5
	near(t, "low crest", cut(t, d, profile(0, 0, 10, 0)).Sections[0].DownstreamToe, 2+4*5, exact)
}

func TestOverbuild(t *testing.T) {
	d := plain(10, 4, 3, 2)
	d.Downstream[0].Overbuild = 0.5
	d.Upstream[0].Overbuild = 0.25
	q := cut(t, d, profile(0, 0, 10, 0))
	// A band of constant width across: width x height.
	near(t, "overbuild", q.Overbuild, 10*(0.5+0.25)*10, exact)
	near(t, "is not fill", q.Fill.EndArea, 10*10*(4+10*2.5), exact)
}

// A hump of the ground beyond the toe with low ground behind it: the outline
// comes out of the ground again there and must not be counted.
func TestBeyondAHump(t *testing.T) {
	line := geometry.Line{{Offset: -50, Elevation: 0}, {Offset: 10, Elevation: 0}, {Offset: 14, Elevation: 7}, {Offset: 18, Elevation: -20}, {Offset: 90, Elevation: -20}}
	g := earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: 0, Line: line}, {Station: 10, Line: line}}}
	q := cut(t, plain(10, 4, 3, 3), g)
	s := q.Sections[0]
	if s.DownstreamToe > 14 {
		t.Errorf("the dam ends on the hump, not at %.2f", s.DownstreamToe)
	}
	if s.Beyond < 1 {
		t.Errorf("what lies beyond must be reported, got %.3f", s.Beyond)
	}
}

func TestGroundShort(t *testing.T) {
	line := geometry.Line{{Offset: -50, Elevation: 0}, {Offset: 20, Elevation: 0}}
	g := earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: 0, Line: line}, {Station: 10, Line: line}}}
	d := plain(10, 4, 3, 3)
	_, err := earthwork.Cut(d, earthwork.Site{Ground: g, Extend: earthwork.ExtendNo})
	var short *earthwork.GroundShortError
	if !errors.As(err, &short) || short.Side != "downstream" {
		t.Fatalf("got %v", err)
	}
	near(t, "short by", short.By, 32-20, exact)
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g, Extend: earthwork.ExtendLevel})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "extended level", q.Fill.EndArea, 10*10*(4+30.0), exact)
	found := false
	for _, w := range q.Warnings {
		found = found || (w.Kind == earthwork.Extended && w.Side == "downstream" && math.Abs(w.Value-12) < 1e-9)
	}
	if !found {
		t.Errorf("extension must be told: %+v", q.Warnings)
	}
	steep := geometry.Line{{Offset: -50, Elevation: 0}, {Offset: 10, Elevation: 0}, {Offset: 20, Elevation: -5}}
	g.Sections = []earthwork.SurveyedSection{{Station: 0, Line: steep}, {Station: 10, Line: steep}}
	_, err = earthwork.Cut(d, earthwork.Site{Ground: g, Extend: earthwork.ExtendSlope})
	var never *earthwork.NeverMeetsError
	if !errors.As(err, &never) || never.Side != "downstream" {
		t.Fatalf("ground falling 1 in 2 never meets a face of 3 to 1: %v", err)
	}
}

func TestCrestBelowGround(t *testing.T) {
	_, err := earthwork.Cut(plain(10, 4, 3, 3), earthwork.Site{Ground: profile(0, 12, 50, 11, 100, 13)})
	var below *earthwork.BelowGroundError
	if !errors.As(err, &below) || below.Closest != 50 || below.By != 1 {
		t.Fatalf("got %v", err)
	}
}
