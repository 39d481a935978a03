package geometry

import (
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"
)

func TestCentrelineOfStraightParts(t *testing.T) {
	c, err := NewCentreline([]Vertex{{At: orb.Point{10, 20}}, {At: orb.Point{13, 24}}, {At: orb.Point{13, 34}}}, 100, true)
	if err != nil {
		t.Fatal(err)
	}
	if c.Start() != 100 || c.End() != 115 {
		t.Fatalf("stations %v to %v", c.Start(), c.End())
	}
	f := c.Frame(102.5, false)
	if distance(f.At, orb.Point{11.5, 22}) > 1e-12 || distance(f.Ahead, orb.Point{0.6, 0.8}) > 1e-12 {
		t.Errorf("frame %+v", f)
	}
	// The water is on the left, so downstream is to the right.
	if distance(f.DownstreamDir, orb.Point{0.8, -0.6}) > 1e-12 {
		t.Errorf("downstream %v", f.DownstreamDir)
	}
	b := c.Bends()
	want := math.Pi/2 - math.Atan2(4, 3) // to the left: downstream is outside
	if len(b) != 1 || b[0].Station != 105 || math.Abs(b[0].Turn-want) > 1e-12 {
		t.Errorf("bends %+v, want a turn of %v", b, want)
	}
	after := c.Frame(105, true)
	if distance(after.Ahead, orb.Point{0, 1}) > 1e-12 {
		t.Errorf("after the bend: %v", after.Ahead)
	}
}

func TestCentrelineMirrored(t *testing.T) {
	v := []Vertex{{At: orb.Point{0, 0}}, {At: orb.Point{50, 0}}, {At: orb.Point{80, 30}}}
	left, _ := NewCentreline(v, 0, true)
	right, _ := NewCentreline(v, 0, false)
	if l, r := left.Bends()[0].Turn, right.Bends()[0].Turn; l != -r || l <= 0 {
		t.Errorf("turns %v and %v", l, r)
	}
}

// A right-angled curve of radius 30: tangents of 30, a quarter circle between.
func TestCentrelineCurve(t *testing.T) {
	v := []Vertex{{At: orb.Point{0, 0}}, {At: orb.Point{100, 0}, Radius: 30}, {At: orb.Point{100, 80}}}
	c, err := NewCentreline(v, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	if want := 70 + 30*math.Pi/2 + 50; math.Abs(c.End()-want) > 1e-12 {
		t.Errorf("length %v, want %v", c.End(), want)
	}
	mid := c.Frame(70+15*math.Pi/2, false)
	want := orb.Point{70 + 30*math.Sin(math.Pi/4), 30 - 30*math.Cos(math.Pi/4)}
	if distance(mid.At, want) > 1e-12 {
		t.Errorf("middle of the curve %v, want %v", mid.At, want)
	}
	if k := c.Curvature(80, false); math.Abs(k-1/30.0) > 1e-15 {
		t.Errorf("curvature %v", k)
	}
	if k := c.Curvature(10, false); k != 0 {
		t.Errorf("a straight part has curvature %v", k)
	}
	if len(c.Bends()) != 0 {
		t.Errorf("a curve is no bend: %+v", c.Bends())
	}
	points, stations := c.Chords(0.01)
	for i, p := range points {
		if d := distance(p, c.Frame(stations[i], false).At); d > 1e-9 {
			t.Errorf("chord point %d lies %v m off", i, d)
		}
	}
}

func TestCentrelineErrors(t *testing.T) {
	for name, v := range map[string][]Vertex{
		"one point":     {{}},
		"twice":         {{}, {}},
		"turns back":    {{}, {At: orb.Point{10, 0}}, {At: orb.Point{0, 0}}},
		"curve too big": {{}, {At: orb.Point{10, 0}, Radius: 11}, {At: orb.Point{10, 10}}},
	} {
		_, err := NewCentreline(v, 0, true)
		var at *VertexError
		if !errors.As(err, &at) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A station that rounding put a hair before or beyond a bend is the bend's own.
func TestFrameBesideABend(t *testing.T) {
	c, err := NewCentreline([]Vertex{{At: orb.Point{0, 0}}, {At: orb.Point{60, 80}}, {At: orb.Point{200, 80}}}, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	for _, hair := range []float64{-1e-7, -1e-13, 0, 1e-13, 1e-7} {
		if a := c.Frame(100+hair, false).Ahead; distance(a, orb.Point{0.6, 0.8}) > 1e-12 {
			t.Errorf("before the bend, %g m off: %v", hair, a)
		}
		if a := c.Frame(100+hair, true).Ahead; distance(a, orb.Point{1, 0}) > 1e-12 {
			t.Errorf("after the bend, %g m off: %v", hair, a)
		}
	}
}

// A square has four bends of a right angle; the one at the seam comes twice.
func TestClosedCentreline(t *testing.T) {
	square := []Vertex{{At: orb.Point{0, 0}}, {At: orb.Point{50, 0}}, {At: orb.Point{50, 50}}, {At: orb.Point{0, 50}}, {At: orb.Point{0, 0}}}
	c, err := NewCentreline(square, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	b := c.Bends()
	if !c.Closed() || len(b) != 5 || b[3].Station != 0 || b[4].Station != 200 {
		t.Fatalf("closed %v, bends %+v", c.Closed(), b)
	}
	for _, x := range b {
		if math.Abs(x.Turn-math.Pi/2) > 1e-12 {
			t.Errorf("turn %v", x.Turn)
		}
	}
	open, _ := NewCentreline(square[:4], 0, true)
	if open.Closed() || len(open.Bends()) != 2 {
		t.Errorf("an open line: %v %+v", open.Closed(), open.Bends())
	}
}
