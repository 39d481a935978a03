package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
)

// zone returns a zone's volumes by name.
func zone(t *testing.T, q earthwork.Quantities, name string) earthwork.ZoneVolume {
	t.Helper()
	for _, z := range q.Zones {
		if z.Zone == name {
			return z
		}
	}
	t.Fatalf("no zone %s", name)
	return earthwork.ZoneVolume{}
}

func sloped(from, to float64) earthwork.FacePart {
	p := face(from)
	p.ToElevation = to
	return p
}

var shell = earthwork.Zone{Name: "shell", Kind: earthwork.Shell}

// A straight dam on level ground with a zone of every kind, each by hand: areas
// of trapezoids and parallelograms.
func TestEveryZoneByHand(t *testing.T) {
	const h, length = 12.0, 50.0
	d := plain(20, 8, 3, 2)
	core := earthwork.Zone{Name: "core", Kind: earthwork.Core, TopBelowCrest: 1, TopWidth: 4, UpstreamSlope: 0.5, DownstreamSlope: 0.25}
	sand := formed("sand", earthwork.Filter, earthwork.Chimney, earthwork.DownstreamSide, 1)
	gravel := formed("gravel", earthwork.Drain, earthwork.Chimney, earthwork.DownstreamSide, 0.5)
	gravel.ByElevation, gravel.TopElevation = true, 15
	mat := formed("mat", earthwork.Drain, earthwork.Blanket, "", 0.5)
	mat.FromOffset, mat.ToOffset = 10, 20
	toe := formed("toe", earthwork.Drain, earthwork.Toe, earthwork.DownstreamSide, 1.5)
	toe.TopWidth, toe.UpstreamSlope, toe.DownstreamSlope = 1, 1, 2
	riprap := layer("riprap", earthwork.Facing, earthwork.UpstreamSide, 0.6)
	riprap.FromElevation, riprap.ToElevation = 12, 19
	bed := layer("bedding", earthwork.Bedding, earthwork.UpstreamSide, 0.2)
	soil := layer("topsoil", earthwork.Cover, earthwork.DownstreamSide, 0.15)
	soil.FromElevation = 12
	road := layer("gravel road", earthwork.Cover, earthwork.CrestSide, 0.2)
	road.Outside = true
	d.Zones = []earthwork.Zone{core, toe, mat, sand, gravel, bed, riprap, soil, road, shell}
	q := cut(t, d, profile(0, 8, length, 8))

	neat := func(name string, area float64) {
		t.Helper()
		z := zone(t, q, name)
		near(t, name, z.Neat.EndArea, length*area, exact)
		near(t, name+" outside", z.Outside, 0, exact)
	}
	up, down := math.Hypot(1, 3), math.Hypot(1, 2)
	neat("core", 11*(4+0.75*11/2))
	neat("sand", 11*1)
	neat("gravel", 7*0.5) // from elevation 15 to the ground at 8
	neat("toe", 1.5*(1+1.5*3/2))
	neat("mat", 10*0.5)
	neat("riprap", 7*up*0.6)
	neat("bedding", 7*up*0.2)
	neat("topsoil", 8*down*0.15)
	near(t, "road outside", zone(t, q, "gravel road").Outside, length*8*0.2, exact)
	near(t, "road inside", zone(t, q, "gravel road").Neat.EndArea, 0, exact)
	whole := h * (8 + h*5/2)
	rest := whole - 11*(4+0.75*11/2) - 11 - 3.5 - 1.5*(1+1.5*3/2) - 5 - 7*up*0.8 - 8*down*0.15
	neat("shell", rest)
	near(t, "fill", q.Fill.EndArea, length*whole, exact)
	near(t, "total", q.Total, length*(whole+8*0.2), exact)

	// Square measures: the length along the face.
	near(t, "riprap surface", zone(t, q, "riprap").Surface, length*7*up, exact)
	near(t, "bedding surface", zone(t, q, "bedding").Surface, length*7*up, exact)
	near(t, "topsoil to seed", zone(t, q, "topsoil").Surface, length*8*down, exact)
	near(t, "road", zone(t, q, "gravel road").Surface, length*8, exact)
	near(t, "mat", zone(t, q, "mat").Surface, length*10, exact)
	near(t, "shell has no surface of its own", zone(t, q, "shell").Surface, 0, exact)
}

// Outside the outline, facing and bedding are again area x thickness, and the
// fill is that of the dam without them.
func TestFacingOutside(t *testing.T) {
	d := plain(20, 8, 3, 2)
	riprap := layer("riprap", earthwork.Facing, earthwork.UpstreamSide, 0.6)
	riprap.FromElevation, riprap.ToElevation, riprap.Outside = 12, 19, true
	bed := layer("bedding", earthwork.Bedding, earthwork.UpstreamSide, 0.25)
	bed.Outside = true
	under := layer("sand under it", earthwork.Bedding, earthwork.UpstreamSide, 0.15)
	d.Zones = []earthwork.Zone{riprap, bed, under, shell}
	q := cut(t, d, profile(0, 8, 50, 8))
	face := 7 * math.Hypot(1, 3)
	near(t, "riprap", zone(t, q, "riprap").Outside, 50*face*0.6, exact)
	near(t, "bedding", zone(t, q, "bedding").Outside, 50*face*0.25, exact)
	near(t, "inside", zone(t, q, "sand under it").Neat.EndArea, 50*face*0.15, exact)
	near(t, "fill", q.Fill.EndArea, 50*12*(8+12*2.5), exact)
	near(t, "outside", q.Outside, 50*face*0.85, exact)
	near(t, "total", q.Total, q.Fill.EndArea+q.Outside, exact)
}

// A layer from crest to toe outside the outline ends at the ground beyond the
// toe: on level ground that is the parallelogram of face length x thickness.
func TestCoverOutsideReachesTheGround(t *testing.T) {
	d := plain(10, 4, 3, 2)
	soil := layer("topsoil", earthwork.Cover, earthwork.DownstreamSide, 0.3)
	soil.Outside = true
	d.Zones = []earthwork.Zone{soil, shell}
	line := geometry.Line{{Offset: -60, Elevation: 0}, {Offset: 22.5, Elevation: 0}}
	g := earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: 0, Line: line}, {Station: 10, Line: line}}}
	near(t, "topsoil", cut(t, d, profile(0, 0, 10, 0)).Outside, 10*10*math.Hypot(1, 2)*0.3, exact)
	// The toe of the dam lies at 22 m, that of the topsoil at 22 + 0.3 x 5^0.5:
	// ground that is known to 22.5 m alone does not hold it.
	_, err := earthwork.Cut(d, earthwork.Site{Ground: g, Extend: earthwork.ExtendNo})
	var short *earthwork.GroundShortError
	if !errors.As(err, &short) || short.Side != "downstream" {
		t.Fatalf("got %v", err)
	}
	near(t, "short by", short.By, 0.3*math.Sqrt(5)-0.5, exact)
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g, Extend: earthwork.ExtendLevel})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "carried on", q.Outside, 10*10*math.Hypot(1, 2)*0.3, exact)
}

// Over a bench a cover follows face, bench and face, mitred at both corners:
// the area is the length times the thickness, more by t^2 tan(a / 2) at the
// corner that is hollow and less at the one that stands out, a the turn; and its
// level ends, of slopes z1 above and z2 below, leave t^2 (z1 - z2) / 2.
func TestCoverOverABench(t *testing.T) {
	d := plain(10, 4, 3, 2)
	d.Downstream = []earthwork.FacePart{sloped(2, 6), face(2.5)}
	d.Downstream[0].Bench = 3
	soil := layer("topsoil", earthwork.Cover, earthwork.DownstreamSide, 0.3)
	d.Zones = []earthwork.Zone{soil, shell}
	q := cut(t, d, profile(0, 0, 10, 0))
	length := 4*math.Hypot(1, 2) + 3 + 6*math.Hypot(1, 2.5)
	hollow, out := math.Atan(1/2.0), math.Atan(1/2.5)
	mitres := 0.09 * (math.Tan(hollow/2) - math.Tan(out/2) + (2-2.5)/2)
	near(t, "topsoil", zone(t, q, "topsoil").Neat.EndArea, 10*(0.3*length+mitres), exact)
	near(t, "to seed", zone(t, q, "topsoil").Surface, 10*length, exact)
	// A layer that ends just at the bench leaves the bench out.
	soil.FromElevation = 6
	d.Zones[0] = soil
	near(t, "down to the bench", zone(t, cut(t, d, profile(0, 0, 10, 0)), "topsoil").Neat.EndArea, 10*0.3*4*math.Hypot(1, 2), exact)
	soil.FromElevation, soil.ToElevation = math.Inf(-1), 6
	d.Zones[0] = soil
	near(t, "up to the bench", zone(t, cut(t, d, profile(0, 0, 10, 0)), "topsoil").Neat.EndArea, 10*0.3*6*math.Hypot(1, 2.5), exact)
}

// A face part too short for the layer's mitre is passed over: two slopes that
// meet over a short step give the same inner line as if it were not there.
func TestThickLayerOverAShortPart(t *testing.T) {
	d := plain(10, 4, 3, 2)
	d.Downstream = []earthwork.FacePart{sloped(4, 5), sloped(3, 4.9), face(2)}
	rock := layer("rock", earthwork.Facing, earthwork.DownstreamSide, 3)
	d.Zones = []earthwork.Zone{rock, shell}
	q := cut(t, d, profile(0, 0, 10, 0))
	// The slopes grow steeper downwards: what is nearer than 3 m to any part's
	// line and below the face, by brute force on a fine grid.
	want := bruteRock(3)
	got := zone(t, q, "rock").Neat.EndArea / 10
	if math.Abs(got-want) > 0.02*want {
		t.Errorf("rock %.3f m2, by counting %.3f", got, want)
	}
}

// bruteRock counts points of a fine grid under the face of
// TestThickLayerOverAShortPart that lie within t of one of its three lines,
// outside the centre.
func bruteRock(t float64) float64 {
	corners := [][2]float64{{2, 10}, {22, 5}, {22.3, 4.9}, {32.1, 0}}
	const step = 0.02
	n := 0
	for x := -12.0; x < 33; x += step {
		for z := step / 2; z < 10; z += step {
			inside, close := z < 10+(x+2)/3, false // below the upstream face
			for i := 1; i < len(corners); i++ {
				a, b := corners[i-1], corners[i]
				dx, dz := b[0]-a[0], b[1]-a[1]
				far := (-(x-a[0])*dz + (z-a[1])*dx) / math.Hypot(dx, dz)
				inside = inside && far <= 0
				close = close || far >= -t
			}
			if inside && close {
				n++
			}
		}
	}
	return float64(n) * step * step
}

// A chimney along a leaning core, whose side overhangs: still width x height.
func TestChimneyAlongALeaningCore(t *testing.T) {
	d := plain(10, 6, 3, 3)
	core := earthwork.Zone{Name: "core", Kind: earthwork.Core, TopBelowCrest: 0.5, TopWidth: 4, UpstreamSlope: 1, DownstreamSlope: -0.5}
	sand := formed("sand", earthwork.Filter, earthwork.Chimney, earthwork.DownstreamSide, 0.8)
	up := formed("upstream sand", earthwork.Filter, earthwork.Chimney, earthwork.UpstreamSide, 0.4)
	d.Zones = []earthwork.Zone{sand, up, core, shell}
	q := cut(t, d, profile(0, 0, 10, 0))
	near(t, "core", zone(t, q, "core").Neat.EndArea, 10*9.5*(4+9.5*0.25), exact)
	near(t, "sand", zone(t, q, "sand").Neat.EndArea, 10*9.5*0.8, exact)
	near(t, "upstream sand", zone(t, q, "upstream sand").Neat.EndArea, 10*9.5*0.4, exact)
}

// The allowance on height raises core and chimney with the crest.
func TestZonesRiseWithTheCrest(t *testing.T) {
	d := plain(10, 6, 3, 3)
	d.Settlement = earthwork.Settlement{Allowance: 0.1, Basis: earthwork.OnHeight}
	core := earthwork.Zone{Name: "core", Kind: earthwork.Core, TopBelowCrest: 1, TopWidth: 4}
	sand := formed("sand", earthwork.Filter, earthwork.Chimney, earthwork.DownstreamSide, 0.8)
	riprap := layer("riprap", earthwork.Facing, earthwork.UpstreamSide, 0.5)
	riprap.FromElevation, riprap.ToElevation = 5, 8
	d.Zones = []earthwork.Zone{core, sand, riprap, shell}
	q := cut(t, d, profile(0, 0, 10, 0))
	near(t, "core", zone(t, q, "core").Settlement, 10*4*0.9, exact)
	near(t, "sand", zone(t, q, "sand").Settlement, 10*0.8*0.9, exact)
	near(t, "riprap", zone(t, q, "riprap").Settlement, 10*0.5*0.3*math.Hypot(1, 3), exact)
	s := q.Sections[0]
	near(t, "built crest", s.BuiltCrest, 11, exact)
	if z, ok := s.Raised.At(0); !ok || math.Abs(z-11) > 1e-12 {
		t.Errorf("the raised outline stands at %v", z)
	}
	// With toes kept the outline is stretched: the crest's edge rises by its
	// height x allowance and the toe stays.
	d.Settlement.Basis = earthwork.OnHeightToesKept
	s = cut(t, d, profile(0, 0, 10, 0)).Sections[0]
	area := 0.0
	geometry.Strips([]geometry.Line{s.Stripped, s.Raised}, s.UpstreamToe, s.DownstreamToe, func(v geometry.Strip) { area += v.Measure(0, 1).Area })
	near(t, "stretched area", area, 1.1*s.Neat.Area, exact)
	near(t, "core, toes kept", zone(t, cut(t, d, profile(0, 0, 10, 0)), "core").Settlement, 10*4*9*0.1, exact)
}

// Two covers on one face share its surface; the second one has what the first
// one leaves.
func TestSurfacesAreSharedOnce(t *testing.T) {
	d := plain(10, 6, 3, 3)
	a := layer("riprap", earthwork.Facing, earthwork.UpstreamSide, 0.5)
	a.FromElevation, a.ToElevation = 3, 8
	b := layer("topsoil", earthwork.Cover, earthwork.UpstreamSide, 0.1)
	d.Zones = []earthwork.Zone{a, b, shell}
	q := cut(t, d, profile(0, 0, 10, 0))
	l := math.Hypot(1, 3)
	near(t, "riprap", zone(t, q, "riprap").Surface, 10*5*l, exact)
	near(t, "topsoil", zone(t, q, "topsoil").Surface, 10*5*l, exact)
	d.Zones[0], d.Zones[1] = b, a
	q = cut(t, d, profile(0, 0, 10, 0))
	near(t, "topsoil first", zone(t, q, "topsoil").Surface, 10*10*l, exact)
	near(t, "riprap second", zone(t, q, "riprap").Surface, 0, exact)
}

// Zones that cannot be are errors with a station.
func TestZonesThatCannotBe(t *testing.T) {
	core := earthwork.Zone{Name: "core", Kind: earthwork.Core, TopBelowCrest: 0.5, TopWidth: 4}
	wide := core
	wide.TopWidth = 12 // the dam is 9 m wide there
	flat := core
	flat.UpstreamSlope = 4 // flatter than the face
	chimney := formed("sand", earthwork.Filter, earthwork.Chimney, earthwork.DownstreamSide, 0.8)
	far := formed("mat", earthwork.Filter, earthwork.Blanket, "", 0.5)
	far.FromOffset, far.ToOffset = 60, 80
	low := core
	low.TopBelowCrest = 30
	bed := layer("bedding", earthwork.Bedding, earthwork.UpstreamSide, 0.2)
	out := bed
	out.Outside = true
	for _, c := range []struct {
		name  string
		zones []earthwork.Zone
		want  any
	}{
		{"core wider than the dam", []earthwork.Zone{wide, shell}, new(*earthwork.ZoneOutsideError)},
		{"core flatter than the face", []earthwork.Zone{flat, shell}, new(*earthwork.ZoneOutsideError)},
		{"chimney without a core", []earthwork.Zone{chimney, shell}, new(*earthwork.ZoneRuleError)},
		{"bedding without a facing", []earthwork.Zone{bed, shell}, new(*earthwork.ZoneRuleError)},
		{"bedding outside a facing inside", []earthwork.Zone{layer("rock", earthwork.Facing, earthwork.UpstreamSide, 1), out, shell}, new(*earthwork.ZoneRuleError)},
		{"blanket beyond the toe", []earthwork.Zone{far, shell}, new(*earthwork.ZoneNowhereError)},
		{"core below the ground", []earthwork.Zone{low, shell}, new(*earthwork.ZoneNowhereError)},
		{"zone below the shell", []earthwork.Zone{shell, core}, new(*earthwork.ZoneNowhereError)},
	} {
		d := plain(10, 6, 3, 3)
		d.Zones = c.zones
		_, err := earthwork.Cut(d, earthwork.Site{Ground: profile(0, 10, 40, 0, 80, 10)})
		if err == nil || !errors.As(err, c.want) {
			t.Errorf("%s: got %v, want %T", c.name, err, c.want)
		}
	}
}

// A core given by elevation that stands above a crest that dips at one low end
// is cut off there and told; it stops no one.
func TestCoreAboveALowEnd(t *testing.T) {
	d := plain(0, 6, 3, 3)
	d.Crest = []earthwork.CrestPoint{{Station: 0, Elevation: 10, Width: 6}, {Station: 80, Elevation: 10, Width: 6}, {Station: 100, Elevation: 8, Width: 6}}
	d.Zones = []earthwork.Zone{{Name: "core", Kind: earthwork.Core, ByElevation: true, TopElevation: 9, TopWidth: 3}, shell}
	q := cut(t, d, profile(0, 10, 40, 0, 80, 6, 100, 6))
	found := false
	for _, w := range q.Warnings {
		found = found || (w.Kind == earthwork.CoreOutside && w.Station == 100 && math.Abs(w.Value-3) < 1e-9)
	}
	if !found {
		t.Errorf("the cut core must be told: %+v", q.Warnings)
	}
}

// What is cut off from drains is told.
func TestDrainsCutOff(t *testing.T) {
	d := plain(10, 6, 3, 3)
	core := earthwork.Zone{Name: "core", Kind: earthwork.Core, TopBelowCrest: 2, TopWidth: 4}
	sand := formed("sand", earthwork.Filter, earthwork.Chimney, earthwork.DownstreamSide, 0.8)
	sand.ByElevation, sand.TopElevation = true, 9
	mat := formed("mat", earthwork.Drain, earthwork.Blanket, "", 0.5)
	mat.FromOffset, mat.ToOffset = 10, 40 // the toe lies at 33
	toe := formed("toe", earthwork.Drain, earthwork.Toe, earthwork.DownstreamSide, 2)
	toe.TopWidth, toe.DownstreamSlope = 1, 1 // steeper than the face: 2 x 2 x (3 - 1) / 2 cut off, less the top corner
	d.Zones = []earthwork.Zone{core, sand, mat, toe, shell}
	q := cut(t, d, profile(0, 0, 10, 0))
	want := map[earthwork.WarningKind]float64{earthwork.ChimneyTop: 1, earthwork.BlanketCut: 7}
	for _, w := range q.Warnings {
		if v, ok := want[w.Kind]; ok {
			near(t, string(w.Kind), w.Value, v, exact)
			delete(want, w.Kind)
		}
		if w.Kind == earthwork.ToeDrainCut {
			// The face passes through the toe at 3 to 1; the drain's outer side at
			// 1 to 1 stands above it up to the top's inner edge at 3 m.
			near(t, "toe drain cut", w.Value, 0.5*2*2-0.5*2*2/3+1*(2-2.5/3), 1e-9)
			delete(want, w.Kind)
		}
	}
	if len(want) > 0 {
		t.Errorf("not told: %v in %+v", want, q.Warnings)
	}
	near(t, "sand", zone(t, q, "sand").Neat.EndArea, 10*8*0.8, exact)
}

// The trench is filled with core; without a core with shell, whatever stands
// first in the table.
func TestTrenchIsNotFilledWithRiprap(t *testing.T) {
	d := plain(10, 6, 3, 3)
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{{BottomWidth: 3, SideSlope: 1, Level: 2}}}
	d.Zones = []earthwork.Zone{layer("riprap", earthwork.Facing, earthwork.UpstreamSide, 0.5), shell}
	q := cut(t, d, profile(0, 0, 10, 0))
	near(t, "riprap", zone(t, q, "riprap").Trench, 0, exact)
	near(t, "shell", zone(t, q, "shell").Trench, 10*2*(3+2.0), exact)
}

// A layer outside the outline whose toe lies on a bench goes on over the bench to
// where the ground comes up to it; one whose toe lies just above a bench ends as if
// there were none, since the bench lies in the ground.
func TestCoverOutsideAtABench(t *testing.T) {
	const thick = 0.3
	d := plain(10, 4, 2, 2)
	d.Downstream = []earthwork.FacePart{sloped(2, 6), face(2.5)}
	d.Downstream[0].Bench = 4
	soil := layer("topsoil", earthwork.Cover, earthwork.DownstreamSide, thick)
	soil.Outside = true
	d.Zones = []earthwork.Zone{soil, shell}
	over := func(knots ...geometry.Knot) float64 {
		g := earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: 0, Line: knots}, {Station: 10, Line: knots}}}
		return cut(t, d, g).Outside / 10
	}
	// The bench runs from 10 to 14 m out, and the ground meets it at 12 m.
	got := over(geometry.Knot{Offset: -60, Elevation: 5}, geometry.Knot{Offset: 10, Elevation: 5}, geometry.Knot{Offset: 14, Elevation: 7}, geometry.Knot{Offset: 40, Elevation: 20})
	run := thick * math.Sqrt(5)
	near(t, "on the bench", got, polygonArea([][2]float64{{2, 10}, {10, 6}, {12, 6}, {12.6, 6.3}, {9.4 + run, 6.3}, {2 + run, 10}}), exact)
	// Ground at 6.1 m all over: the face is 3.9 m high.
	level := geometry.Knot{Offset: -60, Elevation: 6.1}
	near(t, "above the bench", over(level, geometry.Knot{Offset: 40, Elevation: 6.1}), thick*3.9*math.Sqrt(5), exact)
	// Ground in the level of the bench: the bench is no part of the dam.
	level.Elevation = 6
	near(t, "level with the bench", over(level, geometry.Knot{Offset: 40, Elevation: 6}), thick*4*math.Sqrt(5), exact)
	// The same upstream.
	d.Upstream, d.Downstream = d.Downstream, d.Upstream
	d.Zones[0].Side = earthwork.UpstreamSide
	got = over(geometry.Knot{Offset: -40, Elevation: 20}, geometry.Knot{Offset: -14, Elevation: 7}, geometry.Knot{Offset: -10, Elevation: 5}, geometry.Knot{Offset: 60, Elevation: 5})
	near(t, "on the bench upstream", got, polygonArea([][2]float64{{2, 10}, {10, 6}, {12, 6}, {12.6, 6.3}, {9.4 + run, 6.3}, {2 + run, 10}}), exact)
}

// polygonArea is the area of a polygon by the surveyor's coordinate method.
func polygonArea(p [][2]float64) float64 {
	sum := 0.0
	for i := range p {
		q := p[(i+1)%len(p)]
		sum += p[i][0]*q[1] - q[0]*p[i][1]
	}
	return math.Abs(sum) / 2
}

// A layer thicker than the part of the face above a bench: over the bench it is cut
// off level with the crest. Under a facing that ends just below a bench its bottom is
// cut off level there.
func TestLayerPastABenchAtItsEnd(t *testing.T) {
	up := func(side earthwork.DamSide, d earthwork.Design) earthwork.Design {
		parts := []earthwork.FacePart{sloped(2, 9), face(2.5)}
		parts[0].Bench = 3
		if side == earthwork.UpstreamSide {
			d.Upstream = parts
		} else {
			d.Downstream = parts
		}
		return d
	}
	for _, side := range []earthwork.DamSide{earthwork.UpstreamSide, earthwork.DownstreamSide} {
		d := up(side, plain(10, 4, 2, 2))
		soil := layer("topsoil", earthwork.Cover, side, 1.5)
		soil.Outside = true
		d.Zones = []earthwork.Zone{soil, shell}
		run := 1.5 * math.Hypot(1, 2.5)
		want := polygonArea([][2]float64{{2, 10}, {4, 9}, {7, 9}, {29.5, 0}, {29.5 + run, 0}, {4.5 + run, 10}})
		near(t, "over the bench "+string(side), cut(t, d, profile(0, 0, 10, 0)).Outside/10, want, exact)

		rock := layer("rock", earthwork.Facing, side, 0.5)
		rock.FromElevation = 8.9
		d.Zones = []earthwork.Zone{rock, shell}
		in := 0.5 * math.Sqrt(5)
		want = polygonArea([][2]float64{{2, 10}, {4, 9}, {7, 9}, {7.25, 8.9}, {4.2 - in, 8.9}, {2 - in, 10}})
		near(t, "under the bench "+string(side), zone(t, cut(t, d, profile(0, 0, 10, 0)), "rock").Neat.EndArea/10, want, exact)
	}
}
