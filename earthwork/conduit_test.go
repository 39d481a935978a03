package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
)

// A pipe under a dam on ground that falls 1 in 20 downstream, by hand.
func TestConduitByHand(t *testing.T) {
	line := geometry.Line{{Offset: -100, Elevation: 5}, {Offset: 100, Elevation: -5}}
	g := earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: 0, Line: line}, {Station: 40, Line: line}}}
	where := earthwork.Site{Ground: g}
	d := plain(10, 4, 3, 2)
	pipe := earthwork.Conduit{Name: "outlet", Station: 20, Diameter: 0.6, Invert: -0.5, OutletInvert: -0.5, From: -30, To: 25, TrenchWidth: 1.5, HandWidth: 0.6}
	v, err := pipe.Measure(d, where)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "length", v.Length, 55, exact)
	// Ground over the invert: 0.5 - x / 20, above zero up to x = 10; 2.0 m deep
	// at the upstream end.
	near(t, "dug", v.Dug, 1.5*40*2/2, exact)
	near(t, "deepest", v.Deepest, 2, exact)
	near(t, "pipe", v.Pipe, 55*math.Pi*0.09, exact)
	near(t, "by hand", v.ByHand, 55*(1.8*0.6-math.Pi*0.09), exact)

	// The depth falls evenly from 2 m to 0 over 40 m, so each depth stands as long
	// as any other: beyond 0.6 m the whole pipe lies in the ground, and between 0 and
	// 0.6 m half of it in the mean, by symmetry of the circle.
	circle := math.Pi * 0.09
	near(t, "backfill", v.Backfill, v.Dug-circle*40*(1.4+0.3)/2, exact)

	// Laid with the ground's own slope, 1 in 20, half a pipe deep all along.
	down := earthwork.Conduit{Name: "outlet", Station: 20, Diameter: 0.6, Invert: 1.5 - 0.3, OutletInvert: -1.25 - 0.3, From: -30, To: 25, TrenchWidth: 1.5}
	v, err = down.Measure(d, where)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sloping length", v.Length, 55*math.Hypot(1, 0.05), exact)
	near(t, "dug along the slope", v.Dug, 1.5*0.3*55, exact)
	near(t, "half of it in the ground", v.Backfill, 55*(1.5*0.3-circle/2), exact)
	near(t, "as deep", v.Deepest, 0.3, exact)

	// From toe to toe when no ends are given.
	pipe.From, pipe.To = math.Inf(-1), math.Inf(1)
	q, err := earthwork.Cut(d, where)
	if err != nil {
		t.Fatal(err)
	}
	v, err = pipe.Measure(d, where)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "toe to toe", v.Length, q.Sections[0].Width.Area, exact)
}

func TestConduitThatCannotBe(t *testing.T) {
	where := earthwork.Site{Ground: profile(0, 14, 40, 0, 80, 14)}
	d := plain(10, 4, 3, 2)
	for name, c := range map[string]earthwork.Conduit{
		"no dam":     {Station: 5, Diameter: 0.5, From: -10, To: 10},
		"backwards":  {Station: 40, Diameter: 0.5, From: 10, To: -10},
		"over crest": {Station: 40, Diameter: 0.5, Invert: 9.8, OutletInvert: 2, From: -10, To: 10},
	} {
		_, err := c.Measure(d, where)
		var e *earthwork.ConduitError
		if !errors.As(err, &e) || e.What == "" {
			t.Errorf("%s: got %v", name, err)
		}
	}
}
