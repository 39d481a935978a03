package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// sums is the relative difference that adding some thousands of parts in
// another order may leave.
const sums = 1e-10

// alike is near for a test of properties.
func alike(t rapid.TB, what string, got, want, relative float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > relative*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: got %.9f, want %.9f", what, got, want)
	}
}

func lifts(t rapid.TB, q earthwork.Quantities, line *geometry.Centreline, opt earthwork.LiftOptions) earthwork.LiftPlan {
	t.Helper()
	p, err := earthwork.Lifts(&q, line, opt)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A level dam on level ground is a trapezoid all along: between elevations a
// and b it holds L ((w + z H) (b - a) - z (b2 - a2) / 2), with z both slopes
// together, elevations counted from the ground and H the height.
func TestLiftsOfALevelDam(t *testing.T) {
	q := cut(t, plain(10, 4, 3, 2.5), profile(0, 4, 100, 4))
	p := lifts(t, q, nil, earthwork.LiftOptions{Thickness: 0.25, TestEvery: 500, LeastTests: 2})
	if len(p.Lifts) != 24 {
		t.Fatalf("%d lifts, want 6 m / 0.25 m = 24", len(p.Lifts))
	}
	const h, w, z = 6.0, 4.0, 5.5
	total := 0.0
	for i, l := range p.Lifts {
		a, b := float64(i)*0.25, float64(i+1)*0.25
		want := 100 * ((w+z*h)*(b-a) - z*(b*b-a*a)/2)
		total += want
		near(t, "compacted", l.Compacted, want, exact)
		near(t, "mean area", l.Area, 100*(w+z*(h-(a+b)/2)), exact)
		near(t, "total", l.Total, total, exact)
		near(t, "bottom", l.Bottom, 4+a, exact)
		if tests := max(2, int(math.Ceil(want/500))); l.Tests != tests {
			t.Errorf("lift %d: %d tests, want %d", i, l.Tests, tests)
		}
	}
	near(t, "all", p.Compacted, q.Total, exact)
}

// The last lift is as thin as the height leaves it.
func TestLastLiftIsThinner(t *testing.T) {
	q := cut(t, plain(10, 4, 3, 3), profile(0, 4, 100, 4))
	p := lifts(t, q, nil, earthwork.LiftOptions{Thickness: 0.7})
	last := p.Lifts[len(p.Lifts)-1]
	near(t, "thickness", last.Top-last.Bottom, 6-8*0.7, 1e-9)
	near(t, "top", last.Top, 10, exact)
	near(t, "mean area", last.Area, 100*(4+6*(last.Top-last.Bottom)/2), 1e-9)
}

// A trench with upright sides in level ground: lifts up to the ground hold
// width x thickness x length, and stand as the core's trench.
func TestLiftsStartAtTheTrenchBottom(t *testing.T) {
	d := plain(10, 4, 3, 3)
	d.Zones = []earthwork.Zone{
		{Name: "core", Kind: earthwork.Core, ByElevation: true, TopElevation: 9, TopWidth: 2, UpstreamSlope: 0.5, DownstreamSlope: 0.5},
		{Name: "shell", Kind: earthwork.Shell},
	}
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{{BottomWidth: 3, Level: 1.5}}}
	q := cut(t, d, profile(0, 4, 100, 4))
	p := lifts(t, q, nil, earthwork.LiftOptions{Thickness: 0.5, LeastTests: 1})
	for i := range 3 {
		l := p.Lifts[i]
		if len(l.Parts) != 1 || !l.Parts[0].Trench || l.Parts[0].Zone != 0 {
			t.Fatalf("lift %d: %+v, want the core's trench alone", i, l.Parts)
		}
		near(t, "trench", l.Compacted, 3*0.5*100, exact)
		near(t, "area", l.Area, 300, exact)
	}
	// Above: the core is 2 + 2 x 0.5 x (9 - z) wide.
	l := p.Lifts[3]
	near(t, "core", l.Parts[0].Compacted, 100*0.5*(2+9-4.25), exact)
	near(t, "shell", l.Parts[1].Compacted, 100*0.5*(4+6*(10-4.25))-l.Parts[0].Compacted, exact)
	if l.Tests != 2 {
		t.Errorf("%d tests, want one in each zone", l.Tests)
	}
	shellOnly := lifts(t, q, nil, earthwork.LiftOptions{Thickness: 0.5, LeastTests: 1, Tested: func(zone int) bool { return zone == 1 }})
	if n := shellOnly.Lifts[0].Tests + shellOnly.Lifts[3].Tests; n != 1 {
		t.Errorf("%d tests, want the shell's one", n)
	}
}

// anyDam draws a zoned dam on surveyed cross-sections, straight, curved or bent.
func anyDam(t *rapid.T) (earthwork.Design, earthwork.Site) {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	d := plain(20, number("width", 2, 6), number("up", 1.5, 3), number("down", 1.5, 3))
	d.Upstream = append([]earthwork.FacePart{{Slope: 2, ToElevation: 15, Bench: number("bench", 0, 3), From: math.Inf(-1), To: math.Inf(1)}}, d.Upstream...)
	d.Stripping = []earthwork.StripReach{{Depth: number("strip", 0, 0.5), From: math.Inf(-1), To: math.Inf(1)}}
	d.Zones = []earthwork.Zone{
		{Name: "core", Kind: earthwork.Core, TopBelowCrest: number("core top", 0.5, 2), TopWidth: 2, UpstreamSlope: number("core up", 0, 0.6), DownstreamSlope: number("core down", -0.1, 0.6)},
		{Name: "riprap", Kind: earthwork.Facing, Side: earthwork.UpstreamSide, Thickness: number("riprap", 0.2, 0.6), Outside: true, FromElevation: 14, ToElevation: math.Inf(1)},
		{Name: "topsoil", Kind: earthwork.Cover, Side: earthwork.DownstreamSide, Thickness: number("topsoil", 0.1, 0.3), FromElevation: math.Inf(-1), ToElevation: math.Inf(1)},
		{Name: "shell", Kind: earthwork.Shell},
	}
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{{BottomWidth: 2, SideSlope: 1, Level: number("trench", 0.5, 2)}}}
	d.Settlement.Allowance = number("allowance", 0, 0.1)
	d.Settlement.Basis = rapid.SampledFrom([]earthwork.Basis{earthwork.OnHeight, earthwork.OnHeightToesKept, earthwork.OnVolume}).Draw(t, "basis")
	vertices := []geometry.Vertex{{At: orb.Point{0, 0}}, {At: orb.Point{150, 0}, Radius: number("radius", 0, 100)}, {At: orb.Point{300, number("turn", -60, 60)}}}
	line, err := geometry.NewCentreline(vertices, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	var shots earthwork.Shots
	for s := 0.0; s < line.End()+30; s += 30 {
		var l geometry.Line
		for x := -80.0; x <= 80; x += 20 {
			l = append(l, geometry.Knot{Offset: x, Elevation: number("z", 10, 13)})
		}
		shots.Sections = append(shots.Sections, earthwork.SurveyedSection{Station: min(s, line.End()), Line: l})
	}
	return d, earthwork.Site{Ground: shots, Centreline: line, Extend: earthwork.ExtendLevel}
}

func TestLiftsAddUpToZones(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		d, site := anyDam(r)
		q, err := earthwork.Cut(d, site)
		if err != nil {
			r.Skip(err)
		}
		p, err := earthwork.Lifts(&q, site.Centreline, earthwork.LiftOptions{Thickness: rapid.Float64Range(0.1, 3).Draw(r, "lift")})
		if err != nil {
			r.Fatal(err)
		}
		n := len(q.Zones)
		neat, trench, outside := make([]float64, n), make([]float64, n), make([]float64, n)
		for i, l := range p.Lifts {
			sum := 0.0
			for _, part := range l.Parts {
				sum += part.Compacted
				switch {
				case part.Trench:
					trench[part.Zone] += part.Compacted
				case part.Outside:
					outside[part.Zone] += part.Compacted
				default:
					neat[part.Zone] += part.Compacted
				}
			}
			alike(r, "parts of a lift", sum, l.Compacted, sums)
			if i > 0 && p.Lifts[i-1].Top != l.Bottom {
				r.Fatalf("lift %d starts at %g, the one below ends at %g", i, l.Bottom, p.Lifts[i-1].Top)
			}
		}
		allowance := 0.0
		for _, a := range p.Allowance {
			allowance += a.Compacted
			alike(r, "allowance", a.Compacted, q.Zones[a.Zone].Settlement, 0)
		}
		for i, z := range q.Zones {
			alike(r, "neat "+z.Zone, neat[i], z.Neat.EndArea+z.Neat.Bend, sums)
			alike(r, "trench "+z.Zone, trench[i], z.Trench, sums)
			alike(r, "outside "+z.Zone, outside[i], z.Outside, sums)
		}
		alike(r, "total", p.Compacted+allowance, q.Total, sums)
	})
}

// The curve of volume by elevation is the lifts' running total, whatever the
// levels between, and nothing below the dam.
func TestFillBelowIsTheLiftsTotal(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		d, site := anyDam(r)
		q, err := earthwork.Cut(d, site)
		if err != nil {
			r.Skip(err)
		}
		p, err := earthwork.Lifts(&q, site.Centreline, earthwork.LiftOptions{Thickness: 0.5})
		if err != nil {
			r.Fatal(err)
		}
		levels := []float64{p.Lifts[0].Bottom - 1, p.Lifts[0].Bottom}
		for _, l := range p.Lifts {
			levels = append(levels, (l.Bottom+l.Top)/2, l.Top)
		}
		curve := earthwork.FillBelow(&q, site.Centreline, levels)
		alike(r, "below the dam", curve[0], 0, 0)
		alike(r, "at its lowest point", curve[1], 0, sums)
		for i, l := range p.Lifts {
			alike(r, "at a lift's top", curve[2*i+3], l.Total, sums)
			alone := earthwork.FillBelow(&q, site.Centreline, levels[2*i+2:2*i+3])
			alike(r, "one level alone", alone[0], curve[2*i+2], sums)
		}
	})
}

// Water on the other side of the same ground: the same lifts.
func TestMirroredLifts(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		d, site := anyDam(r)
		site.Centreline = nil
		q, err := earthwork.Cut(d, site)
		if err != nil {
			r.Skip(err)
		}
		m := d
		m.Upstream, m.Downstream = d.Downstream, d.Upstream
		m.Zones = append([]earthwork.Zone(nil), d.Zones...)
		m.Zones[0].UpstreamSlope, m.Zones[0].DownstreamSlope = d.Zones[0].DownstreamSlope, d.Zones[0].UpstreamSlope
		m.Zones[1].Side, m.Zones[2].Side = earthwork.DownstreamSide, earthwork.UpstreamSide
		var shots earthwork.Shots
		for _, s := range site.Ground.(earthwork.Shots).Sections {
			shots.Sections = append(shots.Sections, earthwork.SurveyedSection{Station: s.Station, Line: s.Line.Mirror()})
		}
		site.Ground = shots
		mq, err := earthwork.Cut(m, site)
		if err != nil {
			r.Fatal(err)
		}
		a, b := lifts(t, q, nil, earthwork.LiftOptions{Thickness: 0.4}), lifts(t, mq, nil, earthwork.LiftOptions{Thickness: 0.4})
		if len(a.Lifts) != len(b.Lifts) {
			r.Fatalf("%d and %d lifts", len(a.Lifts), len(b.Lifts))
		}
		for i := range a.Lifts {
			alike(r, "lift", b.Lifts[i].Compacted, a.Lifts[i].Compacted, 1e-8)
		}
	})
}

func TestThicknessThatDoesNotFit(t *testing.T) {
	q := cut(t, plain(10, 4, 3, 3), profile(0, 4, 100, 4))
	for _, thickness := range []float64{0, -1, 1e-6, math.NaN(), math.Inf(-1)} {
		_, err := earthwork.Lifts(&q, nil, earthwork.LiftOptions{Thickness: thickness})
		var wrong *earthwork.LiftError
		if !errors.As(err, &wrong) {
			t.Errorf("thickness %g: %v, want a LiftError", thickness, err)
		}
	}
	p, err := earthwork.Lifts(&earthwork.Quantities{}, nil, earthwork.LiftOptions{Thickness: 0.2})
	if err != nil || len(p.Lifts) != 0 {
		t.Errorf("a dam of nothing: %+v, %v", p, err)
	}
}

func TestTestsDue(t *testing.T) {
	for _, c := range []struct {
		volume, every float64
		least, want   int
	}{
		{1000, 500, 1, 2},
		{1000.1, 500, 1, 3},
		{3 * 0.1 * 1000, 100, 0, 3}, // 300.00000000000006: rounding asks for no fourth test
		{10, 500, 2, 2},
		{10, 0, 0, 0},
		{10, 0, 3, 3},
		{0.0005, 500, 2, 0},
		{0, 500, 2, 0},
		{1e12, 1e-9, 0, 1 << 30},
	} {
		if got := earthwork.TestsDue(c.volume, c.every, c.least); got != c.want {
			t.Errorf("TestsDue(%g, %g, %d) = %d, want %d", c.volume, c.every, c.least, got, c.want)
		}
	}
}

// Soil of 1.40 t/m3 dry in the heap and 1.75 t/m3 in the dam: 25 cm loose make
// 20 cm. Both hold 350 kg/m2 of solids.
func TestSpreadThickness(t *testing.T) {
	near(t, "spread", earthwork.SpreadThickness(0.20, 1750, 1400), 0.25, exact)
	near(t, "compacted", earthwork.CompactedThickness(0.25, 1750, 1400), 0.20, exact)
	near(t, "solids", 0.25*1400, 0.20*1750, exact)
}

// BenchmarkLifts is a dam of 200 sections with a core in a shell and lifts of
// 20 cm; the goal is 10 ms.
func BenchmarkLifts(b *testing.B) {
	d := plain(30, 20, 3, 3)
	for i := range 7 {
		d.Zones = append(d.Zones, earthwork.Zone{Name: "core", Kind: earthwork.Core, TopBelowCrest: 1, TopWidth: 2 + 2*float64(i), UpstreamSlope: 0.3, DownstreamSlope: 0.3})
	}
	d.Zones = append(d.Zones, earthwork.Zone{Name: "shell", Kind: earthwork.Shell})
	var pairs []float64
	for s := 0.0; s < 200; s++ {
		pairs = append(pairs, 5*s, 30-20*math.Sin(math.Pi*s/199))
	}
	q := cut(b, d, profile(pairs...))
	b.ReportMetric(float64(len(q.Sections)), "sections")
	for b.Loop() {
		if _, err := earthwork.Lifts(&q, nil, earthwork.LiftOptions{Thickness: 0.2}); err != nil {
			b.Fatal(err)
		}
	}
}
