package geometry

import (
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"
)

func boxRing(x0, y0, x1, y1 float64) orb.Ring {
	return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

// area adds up a surface's triangles in plan.
func area(s Surface) float64 {
	sum := 0.0
	for t := range s.Triangles(s.Bound()) {
		sum += areaOf(t.At[:])
	}
	return sum
}

// On a plane the ground within rings is the plane, and its area that of the
// rings: 60 x 60, less a hole of 20 x 20, with an island of 10 x 10 in it, and a
// second part of 10 x 10 that lies apart.
func TestLimits(t *testing.T) {
	points := roughGround(3, 500) // 600 to 700, -300 to -200
	for i := range points {
		p := &points[i]
		p.Elevation = 5 + 0.1*(p.At[0]-600) - 0.2*(p.At[1]+300)
	}
	limits := Limits{
		Outer: []orb.Ring{boxRing(610, -290, 670, -230), boxRing(680, -290, 690, -280)[:4]},
		Holes: []orb.Ring{boxRing(630, -270, 650, -250), boxRing(635, -265, 645, -255)},
	}
	tin, err := NewTINWithin(points, TINOptions{}, limits)
	if err != nil {
		t.Fatal(err)
	}
	if err := tin.Validate(); err != nil {
		t.Error(err)
	}
	if got, want := area(tin), 3600.0-400+100+100; math.Abs(got-want) > 1e-6 {
		t.Errorf("area %v, want %v", got, want)
	}
	for tri := range tin.Triangles(tin.Bound()) {
		for k, p := range tri.At {
			if want := 5 + 0.1*(p[0]-600) - 0.2*(p[1]+300); math.Abs(tri.Elevation[k]-want) > 1e-9 {
				t.Errorf("elevation %v at %v, want %v", tri.Elevation[k], p, want)
			}
		}
	}
	pieces := tin.Slice(nil, orb.Point{600, -260}, orb.Point{700, -260})
	var ends []float64
	for _, p := range pieces {
		from, to := p.Span()
		ends = append(ends, from, to)
	}
	for i, want := range []float64{10, 30, 35, 45, 50, 70} {
		if len(ends) != 6 || math.Abs(ends[i]-want) > 1e-9 {
			t.Fatalf("pieces end at %v", ends)
		}
	}
}

func TestLimitsBeyondTheGround(t *testing.T) {
	points := roughGround(4, 50)
	whole := tinOf(t, points, TINOptions{})
	tin, err := NewTINWithin(points, TINOptions{}, Limits{Outer: []orb.Ring{boxRing(500, -400, 800, -100)}})
	if err != nil || math.Abs(area(tin)-area(whole)) > 1e-6 {
		t.Errorf("%v, %v", err, area(tin)-area(whole))
	}
	var e *TINError
	if _, err = NewTINWithin(points, TINOptions{}, Limits{Outer: []orb.Ring{boxRing(0, 0, 1, 1)}}); !errors.As(err, &e) || e.Rule != NoGroundLeft {
		t.Errorf("elsewhere: %v", err)
	}
	if _, err = NewTINWithin(points, TINOptions{}, Limits{Holes: []orb.Ring{boxRing(500, -400, 800, -100)}}); !errors.As(err, &e) || e.Rule != NoGroundLeft {
		t.Errorf("all hole: %v", err)
	}
}
