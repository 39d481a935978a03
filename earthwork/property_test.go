package earthwork_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"pgregory.net/rapid"
)

// drawn draws a random dam on random ground by cross-sections.
func drawn(t *rapid.T) (earthwork.Design, earthwork.Shots) {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	d := plain(f("crest", 8, 12), f("width", 2, 8), f("up", 1.5, 4), f("down", 1.5, 4))
	if rapid.Bool().Draw(t, "bench") { // which the crest may come down to
		bench := d.Downstream[0]
		bench.ToElevation, bench.Bench = f("bench level", 6, 12), f("bench", 0.5, 4)
		d.Downstream = append([]earthwork.FacePart{bench}, d.Downstream...)
	}
	if rapid.Bool().Draw(t, "sloping") {
		d.Crest = append(d.Crest, d.Crest[0])
		d.Crest[1].Station, d.Crest[1].Elevation = 40, f("crest end", 8, 12)
	}
	d.Settlement.Allowance = f("allowance", 0, 0.1)
	d.Upstream[0].Overbuild = f("up over", 0, 1)
	d.Downstream[0].Overbuild = f("down over", 0, 1)
	d.Stripping = []earthwork.StripReach{{Depth: f("strip", 0, 0.5), From: math.Inf(-1), To: f("strip end", 5, 35)}}
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{
		{Station: 0, BottomWidth: 3, SideSlope: f("side", 0, 2), Level: f("depth", 0.5, 3), Offset: f("trench offset", -3, 3)},
		{Station: 40, BottomWidth: 4, SideSlope: 1, Level: 2},
	}}
	d.Zones = drawnZones(t, d.Crest[0].Width)
	var g earthwork.Shots
	for _, s := range []float64{0, 20, 40} {
		var l geometry.Line
		for x := -80.0; x <= 80; x += 16 {
			l = append(l, geometry.Knot{Offset: x, Elevation: f("ground", 0, 6)})
		}
		g.Sections = append(g.Sections, earthwork.SurveyedSection{Station: s, Line: l})
	}
	return d, g
}

// layer is a zone without bounds of its own.
func layer(name string, kind earthwork.Kind, side earthwork.DamSide, thickness float64) earthwork.Zone {
	return earthwork.Zone{
		Name: name, Kind: kind, Side: side, Thickness: thickness,
		FromElevation: math.Inf(-1), ToElevation: math.Inf(1), FromOffset: math.Inf(-1), ToOffset: math.Inf(1),
	}
}

// formed is a filter or a drain.
func formed(name string, kind earthwork.Kind, form earthwork.Form, side earthwork.DamSide, thickness float64) earthwork.Zone {
	z := layer(name, kind, side, thickness)
	z.Form = form
	return z
}

// drawnZones draws zones of every kind in any order, the shell last. The core is
// never wider than the crest or flatter than the faces.
func drawnZones(t *rapid.T, width float64) []earthwork.Zone {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	side := func(name string) earthwork.DamSide {
		return rapid.SampledFrom([]earthwork.DamSide{earthwork.UpstreamSide, earthwork.DownstreamSide}).Draw(t, name)
	}
	lean := f("lean", -0.4, 0.4)
	core := earthwork.Zone{Name: "core", Kind: earthwork.Core, TopBelowCrest: f("below", 0, 2), TopWidth: f("top", 0.2, 0.9) * width, UpstreamSlope: f("cu", 0.4, 1) - lean, DownstreamSlope: f("cd", 0.4, 1) + lean}
	toe := formed("toe", earthwork.Drain, earthwork.Toe, side("toe side"), f("toe height", 0.3, 2))
	toe.TopWidth, toe.UpstreamSlope, toe.DownstreamSlope = f("toe top", 0.5, 2), f("toe up", 0, 2), f("toe down", 0, 2)
	mat := formed("blanket", earthwork.Filter, earthwork.Blanket, "", f("mat", 0.1, 0.6))
	mat.FromOffset = f("mat from", -10, 4)
	mat.ToOffset = mat.FromOffset + f("mat wide", 1, 30)
	riprap := layer("riprap", earthwork.Facing, side("riprap side"), f("riprap", 0.2, 0.8))
	riprap.FromElevation = f("riprap from", 0, 6)
	riprap.ToElevation = riprap.FromElevation + f("riprap high", 0.5, 8)
	riprap.Outside = rapid.Bool().Draw(t, "riprap outside")
	bed := layer("bedding", earthwork.Bedding, riprap.Side, f("bedding", 0.1, 0.4))
	bed.Outside = riprap.Outside && rapid.Bool().Draw(t, "bedding outside")
	soil := layer("topsoil", earthwork.Cover, earthwork.UpstreamSide, f("topsoil", 0.05, 0.3))
	soil.Side = rapid.SampledFrom([]earthwork.DamSide{earthwork.UpstreamSide, earthwork.DownstreamSide, earthwork.CrestSide}).Draw(t, "topsoil side")
	soil.Outside = rapid.Bool().Draw(t, "topsoil outside")
	zones := []earthwork.Zone{
		core, toe, mat, riprap, bed, soil,
		formed("sand", earthwork.Filter, earthwork.Chimney, side("sand side"), f("sand", 0.3, 1)),
		formed("gravel", earthwork.Drain, earthwork.Chimney, side("gravel side"), f("gravel", 0.3, 1)),
	}
	return append(rapid.Permutation(zones).Draw(t, "order"), earthwork.Zone{Name: "shell", Kind: earthwork.Shell})
}

// allows tells whether a drawn dam can be cut at all: a random zone may lie
// nowhere in a random dam, which is an error of its own.
func allows(err error) bool {
	var nowhere *earthwork.ZoneNowhereError
	return !errors.As(err, &nowhere)
}

func TestPropertiesOfRandomDams(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, g := drawn(t)
		q, err := earthwork.Cut(d, earthwork.Site{Ground: g, Extend: earthwork.ExtendLevel})
		if err != nil {
			if !allows(err) {
				t.SkipNow()
			}
			t.Fatal(err)
		}
		zonesAddUp(t, q)
		shapesHaveTheAreas(t, q)
		orderMovesNothing(t, d, g, q)
		mirrorIsMirrored(t, d, g, q)
		cutIsAdditive(t, d, g, q)
	})
}

func zonesAddUp(t *rapid.T, q earthwork.Quantities) {
	sum := 0.0
	for _, z := range q.Zones {
		sum += z.Compacted
	}
	if math.Abs(sum-q.Total) > 1e-9*q.Total {
		t.Fatalf("zones %.9f, total %.9f", sum, q.Total)
	}
	for _, s := range q.Sections {
		area := 0.0
		geometry.Strips([]geometry.Line{s.Stripped, s.Outline}, s.UpstreamToe, s.DownstreamToe, func(v geometry.Strip) {
			area += max(0, v.Measure(0, 1).Area)
		})
		if math.Abs(area-s.Neat.Area) > 1e-12*max(1, area) {
			t.Fatalf("station %v: zones %.15f, fill between lines %.15f", s.Station, s.Neat.Area, area)
		}
	}
}

// shapesHaveTheAreas adds up the drawn polygons of each zone.
func shapesHaveTheAreas(t *rapid.T, q earthwork.Quantities) {
	for _, s := range q.Sections {
		inside, outside := areasOf(s.Shapes, len(s.Zones)), areasOf(s.Over, len(s.Zones))
		for i, z := range s.Zones {
			if math.Abs(inside[i]-z.Neat.Area) > 1e-12*max(1, s.Neat.Area) || math.Abs(outside[i]-z.Outside.Area) > 1e-12*max(1, s.Neat.Area) {
				t.Fatalf("station %v, zone %s: drawn %.15f and %.15f, stated %.15f and %.15f",
					s.Station, q.Zones[i].Zone, inside[i], outside[i], z.Neat.Area, z.Outside.Area)
			}
		}
	}
}

// areasOf sums polygons by the shoelace formula, apart from how the slabs are
// measured themselves.
func areasOf(slabs []geometry.Slab, zones int) []float64 {
	out := make([]float64, zones)
	for _, s := range slabs {
		for _, p := range s.Stack {
			x, z := []float64{0, s.To - s.From, s.To - s.From, 0}, []float64{p.BottomFrom, p.BottomTo, p.TopTo, p.TopFrom}
			twice := 0.0
			for i := range x {
				j := (i + 1) % len(x)
				twice += x[i]*(z[j]-p.BottomFrom) - x[j]*(z[i]-p.BottomFrom)
			}
			out[p.Label] += twice / 2
		}
	}
	return out
}

// orderMovesNothing puts the zones in another order: the fill stays, and what
// lies outside stays in sum.
func orderMovesNothing(t *rapid.T, d earthwork.Design, g earthwork.Shots, q earthwork.Quantities) {
	last := len(d.Zones) - 1
	zones := slices.Clone(d.Zones)
	slices.Reverse(zones[:last])
	d.Zones = zones
	r, err := earthwork.Cut(d, earthwork.Site{Ground: g, Extend: earthwork.ExtendLevel})
	if err != nil {
		if !allows(err) {
			return
		}
		t.Fatal(err)
	}
	if math.Abs(q.Fill.EndArea-r.Fill.EndArea) > 1e-12*q.Total {
		t.Fatalf("fill %.12f, with the zones in reverse %.12f", q.Fill.EndArea, r.Fill.EndArea)
	}
}

func mirrorZone(z *earthwork.Zone) {
	z.UpstreamSlope, z.DownstreamSlope = z.DownstreamSlope, z.UpstreamSlope
	z.FromOffset, z.ToOffset = -z.ToOffset, -z.FromOffset
	switch z.Side {
	case earthwork.UpstreamSide:
		z.Side = earthwork.DownstreamSide
	case earthwork.DownstreamSide:
		z.Side = earthwork.UpstreamSide
	}
}

func mirrorIsMirrored(t *rapid.T, d earthwork.Design, g earthwork.Shots, q earthwork.Quantities) {
	d.Upstream, d.Downstream = d.Downstream, d.Upstream
	d.Trench.Points = append([]earthwork.TrenchPoint{}, d.Trench.Points...)
	for i := range d.Trench.Points {
		d.Trench.Points[i].Offset *= -1
	}
	d.Zones = slices.Clone(d.Zones)
	for i := range d.Zones {
		mirrorZone(&d.Zones[i])
	}
	var m earthwork.Shots
	for _, s := range g.Sections {
		m.Sections = append(m.Sections, earthwork.SurveyedSection{Station: s.Station, Line: s.Line.Mirror()})
	}
	r, err := earthwork.Cut(d, earthwork.Site{Ground: m, Extend: earthwork.ExtendLevel})
	if err != nil {
		if !allows(err) { // a hair of the zone here, a hair less there
			return
		}
		t.Fatal(err)
	}
	if math.Abs(q.Overbuild-r.Overbuild) > 1e-9*q.Total || q.Overbuild < 0 {
		t.Fatalf("overbuild %.9f, mirrored %.9f", q.Overbuild, r.Overbuild)
	}
	for i := range q.Zones {
		a, b := q.Zones[i], r.Zones[i]
		if math.Abs(a.Compacted-b.Compacted) > 1e-9*q.Total || math.Abs(a.Outside-b.Outside) > 1e-9*q.Total || math.Abs(a.Surface-b.Surface) > 1e-9*q.Footprint {
			t.Fatalf("zone %s: %+v, mirrored %+v", a.Zone, a, b)
		}
	}
}

// A crest given at one more station that is cut already changes nothing.
func cutIsAdditive(t *rapid.T, d earthwork.Design, g earthwork.Shots, q earthwork.Quantities) {
	half := func(from, to float64) float64 {
		e := d
		e.Crest = make([]earthwork.CrestPoint, 2)
		for i, s := range []float64{from, to} {
			z, w := d.CrestAt(s)
			e.Crest[i] = earthwork.CrestPoint{Station: s, Elevation: z, Width: w}
		}
		r, err := earthwork.Cut(e, earthwork.Site{Ground: g, Extend: earthwork.ExtendLevel})
		if err != nil {
			if !allows(err) {
				return math.NaN()
			}
			t.Fatal(err)
		}
		return r.Total
	}
	if sum := half(0, 20) + half(20, 40); math.Abs(sum-q.Total) > 1e-9*q.Total {
		t.Fatalf("two halves %.9f, whole %.9f", sum, q.Total)
	}
}
