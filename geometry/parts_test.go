package geometry

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// A curve known by its coordinates must be the curve that a corner and a radius
// give: both lay out 100 m, a quarter of a circle of 50 m to either hand, 80 m.
func TestPartsAreCornersWithCurves(t *testing.T) {
	for name, way := range map[string]float64{"left": 1, "right": -1} {
		turn := TurnsLeft
		if way < 0 {
			turn = TurnsRight
		}
		parts, err := NewCentrelineOf([]Part{
			{From: orb.Point{0, 0}, To: orb.Point{100, 0}},
			{From: orb.Point{100, 0}, To: orb.Point{150, 50 * way}, Center: orb.Point{100, 50 * way}, Turn: turn},
			{From: orb.Point{150, 50 * way}, To: orb.Point{150, 130 * way}},
		}, 1000, true)
		if err != nil {
			t.Fatal(err)
		}
		corner, err := NewCentreline([]Vertex{{At: orb.Point{0, 0}}, {At: orb.Point{150, 0}, Radius: 50}, {At: orb.Point{150, 130 * way}}}, 1000, true)
		if err != nil {
			t.Fatal(err)
		}
		if want := 1000 + 180 + 25*math.Pi; math.Abs(parts.End()-want) > 1e-9 || math.Abs(corner.End()-want) > 1e-9 {
			t.Errorf("%s: ends at %v and %v, want %v", name, parts.End(), corner.End(), want)
		}
		if len(parts.Bends()) != 0 {
			t.Errorf("%s: bends %v", name, parts.Bends())
		}
		for s := 1000.0; s <= parts.End(); s += 7 {
			a, b := parts.Frame(s, false), corner.Frame(s, false)
			if distance(a.At, b.At) > 1e-9 || distance(a.DownstreamDir, b.DownstreamDir) > 1e-9 {
				t.Errorf("%s: at %v %v, want %v", name, s, a, b)
			}
			if math.Abs(parts.Curvature(s, false)-corner.Curvature(s, false)) > 1e-12 {
				t.Errorf("%s: curvature at %v", name, s)
			}
		}
	}
}

// Three quarters of a circle of 10 m lie on the far side of the centre; either
// way round from one point to another makes a whole circle together.
func TestPartsBeyondHalfACircle(t *testing.T) {
	from, to := orb.Point{10, 0}, orb.Point{0, 10}
	for turn, want := range map[Turn]float64{TurnsLeft: 5 * math.Pi, TurnsRight: 15 * math.Pi} {
		c, err := NewCentrelineOf([]Part{{From: from, To: to, Turn: turn}}, 0, true)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(c.End()-want) > 1e-9 {
			t.Errorf("turn %d: %v m, want %v", turn, c.End(), want)
		}
		if end := c.Frame(c.End(), false).At; distance(end, to) > 1e-9 {
			t.Errorf("turn %d ends at %v, want %v", turn, end, to)
		}
		for s := 0.0; s < c.End(); s++ {
			if r := distance(orb.Point{}, c.Frame(s, false).At); math.Abs(r-10) > 1e-9 {
				t.Errorf("turn %d: %v m from the centre at %v", turn, r, s)
			}
		}
	}
}

func TestPartsFaults(t *testing.T) {
	a, b, far := orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{10, 5}
	for name, c := range map[string]struct {
		parts []Part
		index int
		words string
	}{
		"gap":            {[]Part{{From: a, To: b}, {From: far, To: a}}, 1, "5.000 m away from the end"},
		"two radii":      {[]Part{{From: a, To: b, Center: orb.Point{2, 0}, Turn: TurnsLeft}}, 0, "2.000 m and 8.000 m"},
		"no radius":      {[]Part{{From: a, To: a, Center: a, Turn: TurnsLeft}}, 0, "radius is 0.000 m"},
		"a whole circle": {[]Part{{From: a, To: a, Center: b, Turn: TurnsLeft}}, 0, "same point"},
		"nothing":        {[]Part{{From: a, To: a}}, 0, "two different points"},
		"NaN":            {[]Part{{From: a, To: b}, {From: orb.Point{math.NaN(), 0}, To: b}}, 1, "away from the end"},
	} {
		_, err := NewCentrelineOf(c.parts, 0, true)
		var e *VertexError
		if !errors.As(err, &e) || e.Vertex != c.index || !strings.Contains(e.Error(), c.words) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A millimetre between two parts is rounding.
	c, err := NewCentrelineOf([]Part{{From: a, To: b}, {From: orb.Point{10.001, 0}, To: orb.Point{20, 0}}}, 0, true)
	if err != nil || math.Abs(c.End()-19.999) > 1e-9 {
		t.Errorf("%v, %v", c, err)
	}
}
