package geometry

import (
	"math"
	"testing"
)

var stepped = Line{{0, 1}, {2, 3}, {2, 5}, {4, 5}}

func TestLineAt(t *testing.T) {
	for _, c := range []struct {
		x, want float64
		ok      bool
	}{
		{0, 1, true},
		{1, 2, true},
		{2, 4, true}, // the middle of the step
		{3, 5, true},
		{4, 5, true},
		{-0.1, 0, false},
		{4.1, 0, false},
	} {
		got, ok := stepped.At(c.x)
		if ok != c.ok || (ok && got != c.want) {
			t.Errorf("At(%v) = %v, %v; want %v, %v", c.x, got, ok, c.want, c.ok)
		}
	}
}

func TestLineSidesAtAStep(t *testing.T) {
	before, after, ok := stepped.Sides(2)
	if !ok || before != 3 || after != 5 {
		t.Errorf("step: %v %v %v", before, after, ok)
	}
	ends := Line{{0, 1}, {0, 2}, {3, 4}, {3, 9}}
	if b, a, _ := ends.Sides(0); b != 2 || a != 2 {
		t.Errorf("at its start a line has its own side only: %v %v", b, a)
	}
	if b, a, _ := ends.Sides(3); b != 4 || a != 4 {
		t.Errorf("at its end a line has its own side only: %v %v", b, a)
	}
	if _, ok := (Line{}).At(0); ok {
		t.Error("an empty line has no elevation")
	}
}

func TestLineMirrorAndLift(t *testing.T) {
	m := stepped.Mirror()
	if m[0] != (Knot{-4, 5}) || m[3] != (Knot{0, 1}) {
		t.Errorf("mirror: %v", m)
	}
	if l := stepped.Lift(0.5); l[1].Elevation != 3.5 || stepped[1].Elevation != 3 {
		t.Errorf("lift must copy: %v %v", l, stepped)
	}
}

// stripArea is the signed area between two lines by strips.
func stripArea(a, b Line, from, to float64) Measure {
	var sum Measure
	Strips([]Line{a, b}, from, to, func(s Strip) { sum = sum.Plus(s.Measure(0, 1)) })
	return sum
}

func TestStripsMeasureATriangle(t *testing.T) {
	base := Line{{0, 0}, {6, 0}}
	roof := Line{{0, 0}, {2, 4}, {6, 0}}
	m := stripArea(base, roof, 0, 6)
	// Area b h / 2 and centroid at the mean of the corners.
	if m.Area != 12 || math.Abs(m.Moment-12*(0+2+6)/3.0) > 1e-12 {
		t.Errorf("got %+v", m)
	}
}

func TestStripsCutAtCrossings(t *testing.T) {
	a := Line{{0, 0}, {10, 0}}
	b := Line{{0, -1}, {4, 3}, {10, -3}}
	c := Line{{0, 2}, {10, 2}}
	Strips([]Line{a, b, c}, 0, 10, func(s Strip) {
		for i := range s.Left {
			for j := range i {
				d0, d1 := s.Left[i]-s.Left[j], s.Right[i]-s.Right[j]
				if d0*d1 < -1e-20 {
					t.Errorf("lines %d and %d cross between %v and %v", i, j, s.From, s.To)
				}
			}
		}
	})
}

func TestStripsAtAVerticalStep(t *testing.T) {
	flat := Line{{0, 0}, {4, 0}}
	if m := stripArea(flat, stepped, 0, 4); m.Area != 4+10 {
		t.Errorf("area %v, want 14", m.Area)
	}
	if m := stripArea(flat, stepped, 3, 3); m.Area != 0 {
		t.Errorf("nothing lies between an offset and itself: %v", m.Area)
	}
}

func TestAbove(t *testing.T) {
	ground := Line{{-20, 0}, {20, 0}}
	for _, c := range []struct {
		name  string
		upper Line
		core  Interval
		parts []Interval
		open  [2]bool
		touch Interval
	}{
		{
			name:  "one part",
			upper: Line{{-20, -6}, {-2, 3}, {2, 3}, {20, -6}},
			core:  Interval{-2, 2}, parts: []Interval{{-8, 8}},
		},
		{
			name:  "a touch is no end",
			upper: Line{{-20, -4}, {-8, 2}, {-5, 0}, {-2, 2}, {2, 2}, {20, -16}},
			core:  Interval{-2, 2}, parts: []Interval{{-12, 4}},
		},
		{
			name:  "a bench on the ground is no end either",
			upper: Line{{-20, -4}, {-12, 1}, {-10, 0}, {-6, 0}, {-2, 2}, {2, 2}, {20, -16}},
			core:  Interval{-2, 2}, parts: []Interval{{-13.6, 4}},
		},
		{
			name:  "where it then falls below, the touch is beside it",
			upper: Line{{-20, -4}, {-10, 0}, {-6, 0}, {-2, 2}, {2, 2}, {6, 0}, {20, 0}},
			core:  Interval{-2, 2}, parts: []Interval{{-6, 6}},
		},
		{
			name:  "open to the right",
			upper: Line{{-20, -16}, {-2, 2}, {20, 2}},
			core:  Interval{-2, 2}, parts: []Interval{{-4, 20}}, open: [2]bool{false, true},
		},
		{
			name:  "just level",
			upper: Line{{-20, -6}, {-2, 0}, {2, 0}, {20, -6}},
			core:  Interval{-2, 2}, touch: Interval{-2, 2},
		},
		{
			name:  "partly below within the core",
			upper: Line{{-20, -4}, {-6, 1}, {-1, 1}, {-1, -1}, {1, -1}, {1, 1}, {6, 1}, {20, -4}},
			core:  Interval{-6, 6}, parts: []Interval{{-8.8, -1}, {1, 8.8}},
		},
		{
			name:  "nothing",
			upper: Line{{-20, -4}, {20, -4}},
			core:  Interval{-2, 2},
		},
	} {
		e := Above(ground, c.upper, -20, 20, c.core)
		if len(e.Parts) != len(c.parts) {
			t.Errorf("%s: parts %v, want %v", c.name, e.Parts, c.parts)
			continue
		}
		for i, p := range e.Parts {
			if math.Abs(p.From-c.parts[i].From) > 1e-12 || math.Abs(p.To-c.parts[i].To) > 1e-12 {
				t.Errorf("%s: part %v, want %v", c.name, p, c.parts[i])
			}
		}
		if e.OpenLeft != c.open[0] || e.OpenRight != c.open[1] || e.Touch != c.touch {
			t.Errorf("%s: %+v", c.name, e)
		}
	}
}

func TestAboveReportsWhatLiesBeyond(t *testing.T) {
	ground := Line{{-20, 0}, {10, 0}, {10, 1}, {12, 1}, {12, -5}, {20, -5}}
	upper := Line{{-20, -9}, {-2, 4}, {2, 4}, {20, -5}}
	e := Above(ground, upper, -20, 20, Interval{-2, 2})
	if len(e.Parts) != 1 || math.Abs(e.Parts[0].To-10) > 1e-12 {
		t.Fatalf("parts %v", e.Parts)
	}
	if want := 0.5 * 8 * 4; math.Abs(e.Beyond-want) > 1e-12 {
		t.Errorf("beyond %v, want %v", e.Beyond, want)
	}
}
