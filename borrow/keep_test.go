package borrow

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// Sides that start at a setback: the same pit, smaller all round.
func TestSetback(t *testing.T) {
	const w, d, slope, h, s = 100.0, 70.0, 2.0, 4.0, 6.0
	for _, slope := range []float64{0, 1, slope} {
		got := measure(t, Pit{Ring: rectangle(w, d), SideSlope: slope, Level: 100, Floor: 100 - h, Setback: s})
		near(t, "dug", got.Dug, prismoid(w-2*s, d-2*s, slope, h))
		near(t, "area", got.Area, w*d)
		near(t, "opened", got.Opened, (w-2*s)*(d-2*s))
	}
	for _, s := range []float64{35, 36, 500} {
		if _, err := (Pit{Ring: rectangle(w, d), SideSlope: 1, Level: 9, Setback: s}).Measure(); !errors.Is(err, ErrNoRoom) {
			t.Errorf("setback %g: %v", s, err)
		}
	}
}

// On any ground a rectangle with a setback is the inner rectangle.
func TestSetbackOnRoughGround(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, d := rapid.Float64Range(20, 80).Draw(t, "w"), rapid.Float64Range(20, 80).Draw(t, "d")
		s := rapid.Float64Range(0.1, 8).Draw(t, "s")
		p := Pit{Ring: rectangle(w, d), SideSlope: rapid.SampledFrom([]float64{0, 1, 2}).Draw(t, "slope"), Floor: 15, Setback: s, Surface: gridGround(12, 200, saddle)}
		inner := p
		inner.Ring, inner.Setback = rectangle(w-2*s, d-2*s), 0
		a, b := measureMay(t, p), measureMay(t, inner)
		if math.Abs(a.Dug-b.Dug) > 1e-8*b.Area || math.Abs(a.Floor-b.Floor) > 1e-6*b.Area {
			t.Fatalf("%+v, and the inner pit %+v", a, b)
		}
	})
}

// A corner that points in has a round setback: the inset of an L, as in
// TestCornerPointsIn, from a setback and from sides that start there.
func TestSetbackAtCorner(t *testing.T) {
	const a, b, slope, h, s = 60.0, 25.0, 2.0, 3.0, 3.0
	ring := orb.Ring{{0, 0}, {a, 0}, {a, b}, {b, b}, {b, a}, {0, a}, {0, 0}}
	area := func(r float64) float64 { return 2*a*b - b*b - 4*a*r + (5-math.Pi/4)*r*r }
	got := measure(t, Pit{Ring: ring, Level: 0, Floor: -h, Setback: s})
	published.Near(t, "vertical sides", got.Dug, h*area(s), 1e-4*h*s*s)
	got = measure(t, Pit{Ring: ring, SideSlope: slope, Level: 0, Floor: -h, Setback: s})
	r := slope * h
	want := h / 6 * (area(s) + 4*area(s+r/2) + area(s+r))
	published.Near(t, "sloping sides", got.Dug, want, 1e-4*h*(s+r)*(s+r))
}

// A pit with a waist splits in two under its setback; both halves are dug.
func TestSetbackSplits(t *testing.T) {
	ring := orb.Ring{{0, 0}, {40, 0}, {40, 18}, {60, 18}, {60, 0}, {100, 0}, {100, 40}, {60, 40}, {60, 22}, {40, 22}, {40, 40}, {0, 40}, {0, 0}}
	got := measure(t, Pit{Ring: ring, Level: 0, Floor: -2, Setback: 3, SideSlope: 1})
	one := measure(t, Pit{Ring: rectangle(40, 40), Level: 0, Floor: -2, Setback: 3, SideSlope: 1})
	if got.Dug < 2*one.Dug || got.Dug > 2*one.Dug*1.05 {
		t.Errorf("two halves give %.3f, one square %.3f", got.Dug, one.Dug)
	}
}

// Ground to be kept: half the pit, and a strip beside it.
func TestKeep(t *testing.T) {
	const w, d, h = 100.0, 60.0, 5.0
	dam := orb.Ring{{-200, -50}, {-200, 50}, {-10, 50}, {-10, -50}, {-200, -50}}
	for _, c := range []struct{ slope, away float64 }{{0, 0}, {0, 15}, {2, 0}, {2, 15}} {
		p := Pit{Ring: rectangle(w, d), SideSlope: c.slope, Level: 0, Floor: -h, Keep: []Keep{{dam, c.away}}}
		near(t, "beside the dam", measure(t, p).Dug, prismoid(w/2+10-c.away, d, c.slope, h))
		p.Setback = 4
		near(t, "and a setback", measure(t, p).Dug, prismoid(w/2+10-c.away-4, d-8, c.slope, h))
	}
	// Off a corner of the dam the ground is kept in a quarter disc.
	corner := orb.Ring{{-200, -200}, {0, -200}, {0, 0}, {-200, 0}, {-200, -200}}
	p := Pit{Ring: rectangle(w, d), Level: 0, Floor: -h, Keep: []Keep{{corner, 20}}}
	gone := w/2*d/2 + 20*(w+d)/2 + math.Pi/4*20*20
	published.Near(t, "at a corner", measure(t, p).Dug, h*(w*d-gone), 1e-4*h*20*20)
	// Far away it changes nothing, all over nothing is left.
	far := orb.Ring{{500, 0}, {600, 0}, {600, 100}, {500, 0}}
	p.Keep = []Keep{{far, 50}}
	near(t, "far", measure(t, p).Dug, w*d*h)
	p.Keep = []Keep{{rectangle(200, 200), 0}}
	if _, err := p.Measure(); !errors.Is(err, ErrNoRoom) {
		t.Errorf("all kept: %v", err)
	}
}

// A larger distance from the dam gives no more soil.
func TestKeepMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPit(t)
		base := measureMay(t, p)
		turn := rapid.Float64Range(0, 6).Draw(t, "turn")
		var dam orb.Ring
		for _, q := range rectangle(60, 15) {
			x, y := q[0]+20, q[1]+25
			dam = append(dam, orb.Point{x*math.Cos(turn) - y*math.Sin(turn), x*math.Sin(turn) + y*math.Cos(turn)})
		}
		last := base.Dug
		for _, away := range []float64{0, 2, 7} {
			p.Keep = []Keep{{dam, away}}
			c := measureMay(t, p)
			if c.Dug > last*(1+facetSlack)+1e-7*base.Area {
				t.Fatalf("%g m away %.6f, nearer %.6f", away, c.Dug, last)
			}
			last = c.Dug
		}
	})
}
