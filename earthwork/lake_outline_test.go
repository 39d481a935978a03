package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"pgregory.net/rapid"
)

// waterArea is the area of water inside an outline, islands taken off.
func waterArea(o earthwork.Outline) float64 {
	sum := 0.0
	for _, p := range o.Water {
		for _, r := range p {
			sum += geometry.SignedArea(r)
		}
	}
	return sum
}

// In the valley with a face the edge closes, holds the area in closed form, and is
// as long as the shoreline, which is summed another way.
func TestOutlineInFrontOfAFace(t *testing.T) {
	l, line := dammedValley(t)
	f := l.Face(plain(10, 4, 3, 2), line, 0, 120)
	for _, level := range []float64{2, 5, 8, 9.99} {
		o, err := l.Outline(level, f)
		if err != nil {
			t.Fatal(err)
		}
		area, _ := heldWater(level)
		if len(o.Water) != 1 || len(o.Open) != 0 {
			t.Fatalf("at %g: %d waters, %d open lines", level, len(o.Water), len(o.Open))
		}
		near(t, "area", waterArea(o), area, 1e-6)
		length := 0.0
		for _, r := range o.Water[0] {
			for i := 1; i < len(r); i++ {
				length += math.Hypot(r[i][0]-r[i-1][0], r[i][1]-r[i-1][1])
			}
		}
		near(t, "shoreline", length, poolAt(t, l, level, f).Shoreline, 1e-3)
	}
	var above *earthwork.AboveLimitError
	if _, err := l.Outline(math.NaN(), f); !errors.As(err, &above) {
		t.Errorf("no number as a level gives %v", err)
	}
}

// Without a face the edge is open along the dam.
func TestOutlineWithoutAFace(t *testing.T) {
	l, _ := dammedValley(t)
	o, err := l.Outline(5, nil)
	if err != nil || len(o.Open) != 1 || len(o.Water) != 0 {
		t.Fatalf("%+v, %v", o, err)
	}
	first, last := o.Open[0][0], o.Open[0][len(o.Open[0])-1]
	near(t, "first", math.Hypot(first[0]-12.5, first[1]), 0, 1e-9)
	near(t, "last", math.Hypot(last[0]+12.5, last[1]), 0, 1e-9)
}

// On any ground the area inside the edge is the area of the water, which is summed
// over triangles.
func TestOutlineOnAnyGround(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		tin := tinOf(rt, anyGround(rt, 12))
		a, b := across(rt)
		line := centreline(rt, rapid.Bool().Draw(rt, "left"), a, b)
		l, err := earthwork.NewLake(tin, line, line.Start(), line.End())
		if err != nil {
			rt.Skip("no lake")
		}
		top := min(l.Limit().Level, l.Lowest()+5)
		crest := top + rapid.Float64Range(0.5, 3).Draw(rt, "freeboard")
		f := l.Face(plain(crest, 4, 2, 2), line, line.Start(), line.End())
		level := l.Lowest() + (top-l.Lowest())*rapid.Float64Range(0.1, 0.99).Draw(rt, "share")
		o, err := l.Outline(level, f)
		if err != nil {
			rt.Fatal(err)
		}
		if len(o.Open) > 0 {
			return // the dam's end stands upright in the water
		}
		s, err := l.Storage(level, f)
		if err != nil {
			rt.Fatal(err)
		}
		if got := waterArea(o); math.Abs(got-s.Area) > 1e-5*max(1, s.Area) {
			rt.Errorf("the edge at %.3f holds %.6f m2, the water covers %.6f", level, got, s.Area)
		}
	})
}
