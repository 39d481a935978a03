package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// gridTerrain makes ground of a level grid of points, and a straight centreline
// along it from x = 0 to length.
func gridTerrain(t testing.TB, length, step float64, z func(x, y float64) float64) earthwork.Terrain {
	t.Helper()
	var points []geometry.GroundPoint
	for x := -step; x <= length+step; x += step {
		for y := -80.0; y <= 80; y += step {
			points = append(points, geometry.GroundPoint{At: orb.Point{x, y}, Elevation: z(x, y)})
		}
	}
	tin, err := geometry.NewTIN(points, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	line, err := geometry.NewCentreline([]geometry.Vertex{{At: orb.Point{0, 0}}, {At: orb.Point{length, 0}}}, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	return earthwork.Terrain{Surface: tin, Centreline: line, From: 0, To: length}
}

func cutOn(t testing.TB, d earthwork.Design, g earthwork.Terrain) earthwork.Quantities {
	t.Helper()
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g, Centreline: g.Centreline, Extend: earthwork.ExtendLevel})
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// A hill stands in the dam's way between two sections that both miss it: the
// dam is two dams. With and without sections of its own it is the same dam.
func TestHillBetweenSections(t *testing.T) {
	hill := func(x, y float64) float64 { return max(4, 14-math.Abs(x-50)-0.1*math.Abs(y)) }
	g := gridTerrain(t, 100, 2, hill)
	d := plain(10, 4, 3, 2)
	d.Interval = 100 // the sections stand at 0 and 100 alone
	q := cutOn(t, d, g)
	var ends []float64
	for _, s := range q.Sections {
		if s.At != earthwork.On {
			ends = append(ends, s.Station)
		}
	}
	// On the edges of the crest, 2 m out, the hill is 0.2 m lower: there the
	// crest last meets it, where 13.8 - |x - 50| = 10.
	want := []float64{46.2, 46.2, 53.8, 53.8}
	if len(ends) != len(want) {
		t.Fatalf("ends at %v, want %v", ends, want)
	}
	for i := range want {
		near(t, "end", ends[i], want[i], 1e-6)
	}
}

// A saddle dips below the crest between two sections that both lie above it.
func TestSaddleBetweenSections(t *testing.T) {
	saddle := func(x, y float64) float64 { return 12 - max(0, 8-math.Abs(x-31)) }
	g := gridTerrain(t, 100, 1, saddle)
	d := plain(10, 4, 3, 3)
	d.Interval = 100
	q := cutOn(t, d, g)
	// The dam is a wedge pair: 6 m at station 31, nothing 6 m to either side;
	// area h (4 + 3 h), h linear: prism 2 x (4 x 6^2/2 + 3 x 6^3/3).
	near(t, "prismoidal", q.Fill.Prismoidal, 2*(4*18+216), 1e-6)
	if q.Sections[0].Station < 24 || q.Sections[len(q.Sections)-1].Station > 38 {
		t.Errorf("the dam runs from %v to %v", q.Sections[0].Station, q.Sections[len(q.Sections)-1].Station)
	}
}

// A hill beside the centreline that only a crest's edge meets.
func TestSaddleUnderTheEdgeAlone(t *testing.T) {
	g := gridTerrain(t, 60, 1, func(x, y float64) float64 { return 10.5 - max(0, 3-math.Abs(x-30))*max(0, min(1, y-1)) })
	d := plain(10, 4, 3, 3)
	d.Interval = 60
	q := cutOn(t, d, g)
	if q.Fill.EndArea <= 0 || len(q.Sections) < 3 {
		t.Errorf("the dip under the upstream edge was missed: %+v", q.Fill)
	}
}

// A ridge crosses the crest askew between two surveyed sections: the crest is
// above the ground on the left edge in one and on the right edge in the other,
// and in the middle nowhere. The ground is straight between the two, so the
// fill ends where the edge's own height passes zero.
func TestRidgeAskew(t *testing.T) {
	a := geometry.Line{{Offset: -60, Elevation: 8}, {Offset: -2, Elevation: 8}, {Offset: 2, Elevation: 14}, {Offset: 60, Elevation: 14}}
	g := earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: 0, Line: a}, {Station: 60, Line: a.Mirror()}}}
	q := cut(t, plain(10, 4, 3, 3), g)
	// At the upstream edge the ground rises from 8 to 14 over 60 m: 10 at 20 m.
	var ends []float64
	for _, s := range q.Sections {
		if s.At != earthwork.On {
			ends = append(ends, s.Station)
		}
	}
	want := []float64{20, 20, 40, 40}
	if len(ends) != 4 {
		t.Fatalf("ends at %v, want %v", ends, want)
	}
	for i := range want {
		near(t, "end", ends[i], want[i], 1e-6)
	}
	near(t, "no fill between", zoneAt(q, 30), 0, exact)
}

// zoneAt is the neat area of the section at a station, NaN without one.
func zoneAt(q earthwork.Quantities, station float64) float64 {
	for _, s := range q.Sections {
		if math.Abs(s.Station-station) < 1e-6 {
			return s.Neat.Area
		}
	}
	return math.NaN()
}

// A dam whose crest is partly in cut: its crown lies in the hillside on one side.
// On ground that slopes 1 to 2 across through the crest's level at offset 1 the
// fill is the triangle between crest, face 3... downhill.
func TestCrestPartlyInCut(t *testing.T) {
	line := geometry.Line{{Offset: -60, Elevation: 10 + 61/5.0}, {Offset: 60, Elevation: 10 - 59/5.0}}
	g := earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: 0, Line: line}, {Station: 10, Line: line}}}
	q := cut(t, plain(10, 4, 3, 3), g)
	s := q.Sections[0]
	near(t, "starts where the ground meets the crest", s.UpstreamToe, 1, exact)
	// Downstream: 10 - (x - 2)/3 = 10 - (x - 1)/5 at x = 3.5, 0.5 m down.
	near(t, "toe", s.DownstreamToe, 3.5, exact)
	near(t, "area", s.Neat.Area, 0.5*1*0.2+0.5*1.5*0.2, exact)
}

// The ground lies in the crest's own level along a ridge: the dam ends there and
// nothing is counted twice.
func TestCrestMeetsALevelRidge(t *testing.T) {
	q := cut(t, plain(10, 4, 3, 3), profile(0, 14, 20, 10, 40, 10, 60, 4, 80, 10, 90, 10, 100, 14))
	near(t, "fill", q.Fill.Prismoidal, 2*(20.0/6)*(4*6.0/2*4+4*3*9+6*(4+18)), 1e-6)
}
