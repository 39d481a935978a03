package borrow

import (
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// sameShare is how far the volume at a floor that was found may lie from what was
// wanted, as a share of it.
const sameShare = 1e-9

// At the floor found the pit gives what was wanted; the error says when it cannot.
func TestFloorFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPit(t)
		material := ""
		if rapid.Bool().Draw(t, "strata") {
			p.Strata = anyStrata(t, p)
			material = rapid.SampledFrom([]string{"", "clay", "silt"}).Draw(t, "material")
		}
		full := measureMay(t, p)
		holds := full.Of(p.Strata, material)
		if holds < 1 {
			t.Skip("hardly a pit")
		}
		want := holds * rapid.Float64Range(0.01, 1).Draw(t, "share")
		floor, c, err := p.FloorFor(material, want)
		if err != nil {
			t.Fatal(err)
		}
		p.Floor = floor
		again := measureMay(t, p)
		if math.Abs(again.Of(p.Strata, material)-want) > sameShare*want || math.Abs(c.Dug-again.Dug) > sameShare*c.Dug {
			t.Fatalf("wanted %.9f, floor %.9f gives %.9f", want, floor, again.Of(p.Strata, material))
		}
	})
	p := Pit{Ring: rectangle(10, 10), Level: 5, Floor: 3}
	_, _, err := p.FloorFor("", 201)
	var short *ShortError
	if !errors.As(err, &short) || short.Wanted != 201 || math.Abs(short.Holds-200) > 1e-9 || short.Error() == "" {
		t.Errorf("201 of 200 m3: %v", err)
	}
}

// Level ground, vertical sides: depth = volume / area.
func TestFloorForClosedForm(t *testing.T) {
	p := Pit{Ring: rectangle(50, 20), Level: 100, Floor: 90, Strip: 0.3}
	floor, _, err := p.FloorFor("", 50*20*2.2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "floor", floor, 100-2.5)
	p.ByDepth, p.Floor = true, 10
	if floor, _, err = p.FloorFor("", 50*20*2.2); err != nil {
		t.Fatal(err)
	}
	near(t, "depth", floor, 2.5)
	// Silt under sand under clay: the whole clay and sand first.
	p = Pit{Ring: rectangle(50, 20), Level: 100, Follow: true, Floor: math.Inf(-1), Strata: strata(t, hole(0, 0, 100, clay(3), silt(8)))}
	floor, c, err := p.FloorFor("silt", 50*20*1.5)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "level", floor, 95.5)
	near(t, "clay on the way", c.Of(p.Strata, "clay"), 50*20*3)
}

// Water in a pit up to a level, and a map of its depths.
func TestExcavation(t *testing.T) {
	p := Pit{Ring: rectangle(100, 70), SideSlope: 2, Level: 100, Floor: 96}
	e, err := p.Excavate()
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range []float64{0, 1, 3, 4, 9} {
		deep := min(h, 4)
		near(t, "below", e.Below(96+h), prismoid(100-4*(4-deep), 70-4*(4-deep), 2, deep))
	}
	m := e.Map(50)
	if m.Cols != 50 || m.Rows != 35 || m.Step != 2 || m.Origin != (orb.Point{-50, -35}) {
		t.Fatalf("%+v", m)
	}
	near(t, "in the middle", m.Depth[17*50+25], 4)
	near(t, "1 m off the boundary", m.Depth[17*50], 0.5)
	sum := 0.0
	for _, d := range m.Depth {
		sum += d * m.Step * m.Step
	}
	if math.Abs(sum/e.Capacity.Dug-1) > 0.005 {
		t.Errorf("the map adds up to %.1f, the pit to %.1f", sum, e.Capacity.Dug)
	}
}
