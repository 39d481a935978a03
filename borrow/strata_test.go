package borrow

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

var noWater = math.NaN()

// hole is a hole on ground at an elevation with layers by their bottoms.
func hole(x, y, elevation float64, layers ...Layer) Hole {
	from := 0.0
	for i := range layers {
		layers[i].From = from
		from = layers[i].To
	}
	return Hole{At: orb.Point{x, y}, Elevation: elevation, Layers: layers, Water: noWater}
}

func clay(to float64) Layer { return Layer{Material: "clay", To: to, Usable: true} }
func silt(to float64) Layer { return Layer{Material: "silt", To: to, Usable: true} }
func sand(to float64) Layer { return Layer{Material: "sand", To: to} }
func rock(to float64) Layer { return Layer{Material: "rock", To: to, Hard: true} }

func strata(t testing.TB, holes ...Hole) *Strata {
	t.Helper()
	s, err := NewStrata(holes)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// One hole gives its own depths all over the pit, on level ground and on a slope.
func TestOneHole(t *testing.T) {
	s := strata(t, hole(3, 4, 100, clay(3), sand(5), silt(8)))
	got := measure(t, Pit{Ring: rectangle(50, 40), Level: 100, Floor: 94, Strip: 0.5, Strata: s})
	const area = 50 * 40
	near(t, "clay", got.Of(s, "clay"), area*2.5)
	near(t, "silt", got.Of(s, "silt"), area*1)
	near(t, "waste", got.Waste, area*2)
	near(t, "topsoil", got.Strip, area*0.5)
	near(t, "sum", got.Bank+got.Waste+got.Strip, got.Dug)
	slope := planeGround(400, 100, 0.1, -0.05)
	got = measure(t, Pit{Ring: rectangle(50, 40), Surface: slope, ByDepth: true, Floor: 6, Strata: strata(t, hole(3, 4, 100.1, clay(3), sand(5), silt(8)))})
	near(t, "clay on a slope", got.Layers[0], area*3)
	near(t, "silt on a slope", got.Layers[2], area*1)
}

// Nothing is dug below the bottom of the holes, or in what cannot be loosened, and
// where the floor follows the layers it ends with the first usable ones.
func TestDepthOfHoles(t *testing.T) {
	const area = 50 * 40
	for name, c := range map[string]struct {
		pit  Pit
		dug  float64
		hole Hole
	}{
		"bottom of the hole":        {Pit{Floor: 50}, 4, hole(0, 0, 100, clay(4))},
		"below it only waste":       {Pit{Floor: 50}, 4, hole(0, 0, 100, clay(4), sand(9))},
		"rock":                      {Pit{Floor: 50}, 4, hole(0, 0, 100, clay(4), rock(6), silt(9))},
		"through waste to silt":     {Pit{Floor: 50}, 9, hole(0, 0, 100, clay(4), sand(6), silt(9))},
		"follow stops at the waste": {Pit{Follow: true, Floor: math.Inf(-1)}, 4, hole(0, 0, 100, clay(4), sand(6), silt(9))},
		"follow under waste":        {Pit{Follow: true, Floor: math.Inf(-1)}, 6, hole(0, 0, 100, sand(2), silt(6), sand(9))},
		"follow with a cover":       {Pit{Follow: true, Floor: math.Inf(-1), Cover: 1.5}, 2.5, hole(0, 0, 100, clay(4), sand(9))},
		"follow to a level":         {Pit{Follow: true, Floor: 97, Cover: 0.5}, 3, hole(0, 0, 100, clay(4), sand(9))},
		"depth and cover":           {Pit{ByDepth: true, Floor: 5, Cover: 1}, 3, hole(0, 0, 100, clay(4), sand(9))},
		"cover in a deep layer":     {Pit{ByDepth: true, Floor: 3, Cover: 1}, 3, hole(0, 0, 100, clay(5), sand(9))},
	} {
		c.pit.Ring, c.pit.Level, c.pit.Strata = rectangle(50, 40), 100, strata(t, c.hole)
		near(t, name, measure(t, c.pit).Dug, area*c.dug)
	}
	p := Pit{Ring: rectangle(50, 40), Level: 100, Follow: true, Floor: math.Inf(-1), Cover: 4, Strata: strata(t, hole(0, 0, 100, clay(4), sand(9)))}
	if _, err := p.Measure(); !errors.Is(err, ErrNothingUsable) {
		t.Errorf("cover as thick as the clay: %v", err)
	}
}

// A layer whose bottom falls from 2 to 6 m over 100 m: a wedge, and beside the
// holes' line the same depths (closed form: area x mean depth).
func TestLayerWedge(t *testing.T) {
	s := strata(t, hole(-50, 0, 100, clay(2), sand(10)), hole(50, 0, 100, clay(6), sand(10)))
	p := Pit{Ring: rectangle(100, 40), Level: 100, Follow: true, Floor: math.Inf(-1), Strata: s}
	got := measure(t, p)
	near(t, "wedge", got.Dug, 100*40*4)
	near(t, "deepest", got.Deepest, 6)
	near(t, "lowest", got.DugTo, 94)
	p.Cover = 1
	near(t, "less its cover", measure(t, p).Dug, 100*40*3)
	// 3 m deep, the floor cuts the wedge at a quarter of its length.
	p.Follow, p.Floor, p.Cover = false, 97, 0
	near(t, "to a level floor", measure(t, p).Dug, 40*(25*2.5+75*3))
	// Beyond the holes the depths at the ends go on.
	p.Follow, p.Floor, p.Ring = true, math.Inf(-1), rectangle(140, 40)
	near(t, "beyond both ends", measure(t, p).Dug, 40*(100*4+20*2+20*6))
}

// A layer that one hole lacks pinches out on the way to it: half the mean
// thickness remains, and the layer below takes the rest.
func TestPinchOut(t *testing.T) {
	s := strata(t, hole(-50, 0, 100, clay(3), silt(7)), hole(50, 0, 100, silt(7)))
	got := measure(t, Pit{Ring: rectangle(100, 40), Level: 100, Floor: 90, Strata: s})
	near(t, "clay", got.Of(s, "clay"), 100*40*1.5)
	near(t, "silt", got.Of(s, "silt"), 100*40*5.5)
	// A lens that only the middle hole shows.
	s = strata(t, hole(-50, 0, 100, silt(7)), hole(0, 0, 100, silt(2), Layer{Name: "lens", Material: "clay", To: 4, Usable: true}, Layer{Name: "lower", Material: "silt", To: 7, Usable: true}), hole(50, 0, 100, silt(7)))
	got = measure(t, Pit{Ring: rectangle(100, 40), Level: 100, Floor: 93, Strata: s})
	near(t, "lens", got.Of(s, "clay"), 100*40*1)
	near(t, "all", got.Bank, 100*40*7)
}

// Layers parallel to a plane ground: their volumes are area x thickness under
// vertical sides, within the holes' hull and beyond it, however many holes show them.
func TestParallelLayers(t *testing.T) {
	const east, north = 0.08, -0.03
	ground := gridGround(7, 400, func(x, y float64) float64 { return 50 + east*x + north*y })
	var holes []Hole
	for _, p := range []orb.Point{{-20, -20}, {25, -18}, {0, -19}, {22, 20}, {-21, 15}, {3, 4}} {
		holes = append(holes, hole(p[0], p[1], 50+east*p[0]+north*p[1], Layer{Material: "loam", Topsoil: true, To: 0.4}, clay(2), sand(3), silt(5), sand(9)))
	}
	for n := 1; n <= len(holes); n++ {
		s := strata(t, holes[:n]...)
		got := measure(t, Pit{Ring: rectangle(120, 90), Surface: ground, ByDepth: true, Floor: 8, Strip: 0.3, Strata: s})
		const area = 120 * 90
		near(t, "topsoil", got.Strip, area*0.4)
		near(t, "clay", got.Of(s, "clay"), area*1.6)
		near(t, "silt", got.Of(s, "silt"), area*2)
		near(t, "waste", got.Waste, area*1)
	}
}

// Topsoil follows the ground: over a hump between holes it is no thicker, and what
// lies below it is all the soil that it is.
func TestTopsoilFollowsTheGround(t *testing.T) {
	hump := func(x, y float64) float64 { return 50 + 3*math.Exp(-(x*x+y*y)/400) }
	loam := Layer{Material: "loam", Topsoil: true, To: 0.4}
	var holes []Hole
	for _, p := range []orb.Point{{-40, -40}, {40, -40}, {40, 40}, {-40, 40}} {
		holes = append(holes, hole(p[0], p[1], hump(p[0], p[1]), loam, clay(9)))
	}
	s := strata(t, holes...)
	got := measure(t, Pit{Ring: rectangle(60, 50), Surface: gridGround(20, 400, hump), ByDepth: true, Floor: 5, Strata: s})
	near(t, "topsoil", got.Strip, 60*50*0.4)
	near(t, "clay", got.Of(s, "clay"), 60*50*4.6)
	near(t, "waste", got.Waste, 0)
}

// Water in the holes: the part of the dig below it, a plane over three holes.
func TestBelowWater(t *testing.T) {
	a, b, c := hole(-50, -20, 100, clay(9)), hole(150, -20, 100, clay(9)), hole(-50, 60, 100, clay(9))
	a.Water, b.Water, c.Water = 2, 10, 2 // 4 m in the mean over the pit, which they span
	p := Pit{Ring: rectangle(100, 40), Level: 100, Floor: 93, Strata: strata(t, a, b, c)}
	got := measure(t, p)
	near(t, "below water", got.BelowWater, 100*40*3)
	// Only one hole shows water: its depth counts all over.
	a.Water, b.Water, c.Water = noWater, noWater, 5
	p.Strata = strata(t, a, b, c)
	near(t, "one reading", measure(t, p).BelowWater, 100*40*2)
	a.Water, b.Water, c.Water = noWater, noWater, noWater
	p.Strata = strata(t, a, b, c)
	if got := measure(t, p); got.WaterSeen || got.BelowWater != 0 {
		t.Errorf("no reading, yet %+v", got)
	}
}

// What lies farther than a distance from the only hole: the pit less a disc.
func TestFarFromHoles(t *testing.T) {
	p := Pit{Ring: rectangle(100, 80), Level: 10, Floor: 8, Near: 30, Strata: strata(t, hole(0, 0, 10, clay(5)))}
	near(t, "far", measure(t, p).Far, 2*(100*80-math.Pi*30*30))
}

// Closed forms aside, strata agree with what a pit without them gives.
func TestStrataOfOneSoil(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPit(t)
		if p.ByDepth {
			p.Floor = min(p.Floor, 8)
		}
		base := measureAny(t, p)
		for i := range rapid.IntRange(1, 5).Draw(t, "holes") {
			at := orb.Point{rapid.Float64Range(-30, 30).Draw(t, "x"), rapid.Float64Range(-30, 30).Draw(t, "y")}
			if p.Strata == nil {
				p.Strata = &Strata{}
			}
			h := hole(at[0], at[1], groundAt(p, at), clay(200))
			s, err := NewStrata(append(p.Strata.Holes[:i:i], h))
			if err != nil {
				return // two holes at one place
			}
			p.Strata = s
		}
		p.Near = rapid.Float64Range(0, 30).Draw(t, "near")
		c := measureAny(t, p)
		slack := 1e-7 * base.Area
		if math.Abs(c.Dug-base.Dug) > slack || math.Abs(c.Bank-base.Bank) > slack || math.Abs(c.Floor-base.Floor) > slack || c.Far > c.Bank+slack {
			t.Fatalf("%+v\nwithout strata %+v", c, base)
		}
	})
}

// Three holes in a line northward, off it by a rounding that puts the northernmost
// neither first nor last from west to east: every corner of the hull counts, once.
func TestHullOfHolesHardlyInLine(t *testing.T) {
	const off = 1e-10
	s := strata(t, hole(2*off, 1, 10, clay(200)), hole(off, 1.5, 10, clay(200)), hole(-1, 1, 10, clay(200)), hole(off, 1.25, 10, clay(200)))
	const area = 20 * 20
	got := measure(t, Pit{Ring: rectangle(20, 20), Level: 10, Floor: 0, Strata: s})
	near(t, "opened", got.Opened, area)
	near(t, "dug", got.Dug, area*10)
}

// anyStrata draws up to six holes with up to four layers on the pit's ground.
func anyStrata(t *rapid.T, p Pit) *Strata {
	kinds := []func(float64) Layer{clay, sand, silt}
	var holes []Hole
	for range rapid.IntRange(1, 6).Draw(t, "holes") {
		at := orb.Point{math.Round(rapid.Float64Range(-40, 40).Draw(t, "x")), math.Round(rapid.Float64Range(-40, 40).Draw(t, "y"))}
		var layers []Layer
		deep := 0.0
		for _, kind := range kinds {
			if thick := rapid.Float64Range(-1, 4).Draw(t, "thick"); thick > 0.01 {
				deep += thick
				layers = append(layers, kind(deep))
			}
		}
		if layers == nil {
			layers = []Layer{clay(3)}
		}
		h := hole(at[0], at[1], groundAt(p, at), layers...)
		if w := rapid.Float64Range(-2, 6).Draw(t, "water"); w > 0 {
			h.Water = w
		}
		holes = append(holes, h)
	}
	s, err := NewStrata(holes)
	if err != nil {
		t.Skip("two holes at one place")
	}
	return s
}

// measureMay is Measure with a pit of nothing to dig as an empty one.
func measureMay(t *rapid.T, p Pit) Capacity {
	c, err := p.Measure()
	if err != nil && !errors.Is(err, ErrFloorAbove) && !errors.Is(err, ErrSteepGround) && !errors.Is(err, ErrNoRoom) && !errors.Is(err, ErrNothingUsable) {
		t.Fatalf("%v: %v", p.Ring, err)
	}
	return c
}

// A larger cover gives no more soil, a larger setback none either; all parts add up.
func TestMoreKeptGivesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPit(t)
		p.Strata = anyStrata(t, p)
		p.Cover = rapid.Float64Range(0, 1).Draw(t, "cover")
		p.Near = 15
		base := measureMay(t, p)
		slack := 1e-7 * base.Area
		sum := base.Strip + base.Waste
		for i, l := range p.Strata.Layers {
			if l.Usable {
				sum += base.Layers[i]
			}
		}
		if math.Abs(sum-base.Dug) > slack || base.Waste < -slack || base.BelowWater > base.Dug+slack || base.Far > base.Bank+slack {
			t.Fatalf("parts do not add up: %+v", base)
		}
		more := p
		more.Cover += rapid.Float64Range(0, 1).Draw(t, "more cover")
		if c := measureMay(t, more); c.Dug > base.Dug+slack || c.Bank > base.Bank+slack {
			t.Fatalf("cover: %+v after %+v", c, base)
		}
		back := p
		back.Setback = rapid.Float64Range(0, 6).Draw(t, "setback")
		c := measureMay(t, back)
		if c.Dug > base.Dug*(1+facetSlack)+slack || c.Bank > base.Bank*(1+facetSlack)+slack {
			t.Fatalf("setback %g: %+v after %+v", back.Setback, c, base)
		}
		farther := back
		farther.Setback += rapid.Float64Range(0, 3).Draw(t, "more setback")
		if d := measureMay(t, farther); d.Dug > c.Dug*(1+facetSlack)+slack {
			t.Fatalf("setback %g: %+v after %g: %+v", farther.Setback, d, back.Setback, c)
		}
	})
}

// Measured by walking over a grid of points, with the depths there worked out
// from the strata's definition.
func TestStrataByPoints(t *testing.T) {
	ground := func(x, y float64) float64 { return 50 + 0.05*x - 0.02*y }
	s := strata(t,
		hole(-30, -20, ground(-30, -20), clay(3), sand(4), silt(7)),
		hole(30, -25, ground(30, -25), clay(5), silt(6)),
		hole(25, 20, ground(25, 20), clay(1), sand(4), silt(9)),
	)
	p := Pit{Ring: rectangle(120, 100), Surface: planeGround(400, 50, 0.05, -0.02), Floor: 46, Strip: 0.25, Strata: s}
	got := measure(t, p)
	const step = 0.25
	var sums [3]float64
	for x := -60 + step/2; x < 60; x += step {
		for y := -50 + step/2; y < 50; y += step {
			w := weights(s.Holes, orb.Point{x, y})
			deep := 0.0
			for i := range s.Holes {
				base, _ := s.Holes[i].Base(false)
				deep += w[i] * base
			}
			deep = min(deep, ground(x, y)-46)
			last := 0.25
			for k := range sums {
				bottom := 0.0
				for i := range s.Holes {
					bottom += w[i] * s.bottoms[i][k]
				}
				to := max(last, min(bottom, deep))
				sums[k] += (to - last) * step * step
				last = to
			}
		}
	}
	for k, l := range s.Layers {
		published.Near(t, l.Material, got.Layers[k], sums[k], 1e-3*sums[k])
	}
}

// weights are the shares of three holes at a point on a plane ground: by areas
// within the triangle, at the nearest point of its sides beyond it.
func weights(h []Hole, q orb.Point) [3]float64 {
	whole := triangleArea(h[0].At, h[1].At, h[2].At)
	var w [3]float64
	in := true
	for i := range 3 {
		w[i] = triangleArea(q, h[(i+1)%3].At, h[(i+2)%3].At) / whole
		in = in && w[i] >= 0
	}
	if in {
		return w
	}
	best := math.Inf(1)
	for i := range 3 {
		a, b := h[i].At, h[(i+1)%3].At
		d := distance(a, b)
		t := ((q[0]-a[0])*(b[0]-a[0]) + (q[1]-a[1])*(b[1]-a[1])) / (d * d)
		t = max(0, min(1, t))
		if off := distance(q, along(a, b, t)); off < best {
			best, w = off, [3]float64{}
			w[i], w[(i+1)%3] = 1-t, t
		}
	}
	return w
}

// What breaks the rules of strata says so, with the hole and the layer.
func TestStrataErrors(t *testing.T) {
	bad := hole(0, 0, 10, clay(2), sand(4))
	bad.Layers[1].From = 3
	for name, c := range map[string]struct {
		holes []Hole
		want  StrataRule
	}{
		"none":      {nil, NoHoles},
		"empty":     {[]Hole{hole(0, 0, 10)}, EmptyHole},
		"gap":       {[]Hole{bad}, LayerGap},
		"no depth":  {[]Hole{hole(0, 0, 10, clay(0))}, LayerGap},
		"twice":     {[]Hole{hole(0, 0, 10, clay(2), sand(4), clay(6)), hole(9, 0, 10, clay(3))}, RepeatedLayer},
		"opposite":  {[]Hole{hole(0, 0, 10, clay(2), sand(4)), hole(9, 0, 10, sand(2), clay(4))}, OrderDiffers},
		"in a ring": {[]Hole{hole(0, 0, 10, clay(2), sand(4)), hole(9, 0, 10, sand(2), silt(4)), hole(9, 9, 10, silt(2), clay(4))}, OrderDiffers},
		"unlike":    {[]Hole{hole(0, 0, 10, Layer{Name: "1", Material: "a", To: 1}), hole(9, 0, 10, Layer{Name: "1", Material: "b", To: 1})}, LayerDiffers},
		"one place": {[]Hole{hole(0, 0, 10, clay(2)), hole(0, 0, 10, clay(2))}, SamePlace},
		"as one":    {[]Hole{hole(0, 0, 10, clay(2)), hole(9, 0, 10, clay(2)), hole(0, 9e-4, 10, clay(2))}, SamePlace},
	} {
		_, err := NewStrata(c.holes)
		var e *StrataError
		if !errors.As(err, &e) || e.Rule != c.want || e.Error() == "" {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
	s := strata(t, hole(0, 0, 10, clay(2), sand(4)), hole(9, 0, 10, clay(2), silt(5)))
	if len(s.Guessed) != 1 || s.Guessed[0] != [2]string{"sand", "silt"} {
		t.Errorf("sand and silt never meet, yet %v", s.Guessed)
	}
	// The second clay of one hole is the second of another.
	s = strata(t, hole(0, 0, 10, clay(1), sand(2), clay(4)), hole(9, 0, 10, clay(2), sand(3), clay(4)))
	if len(s.Layers) != 3 || s.bottoms[1][1] != 3 {
		t.Errorf("three layers: %+v", s)
	}
	s = strata(t, hole(0, 0, 10, clay(1), clay(2)))
	if len(s.Layers) != 1 || s.bottoms[0][0] != 2 {
		t.Errorf("two layers alike are one: %+v", s)
	}
}

// What two holes foretell of a third at 50 and 100 m: 4 to 1, layer by layer, and
// nothing else than they show where they agree.
func TestForetold(t *testing.T) {
	s := strata(t, hole(0, 0, 90, clay(3), sand(4)), hole(50, 0, 91, clay(2), sand(6)), hole(100, 0, 92, sand(5)))
	h := s.Foretold(0)
	near(t, "clay", h.Layers[0].To, (4*2+1*0)/5.0)
	near(t, "sand", h.Layers[1].To, (4*6+1*5)/5.0)
	if h.At != s.Holes[0].At || h.Elevation != 90 || len(h.Layers) != 2 {
		t.Errorf("%+v", h)
	}
	s = strata(t, hole(0, 0, 90, clay(3), sand(4)), hole(50, 0, 91, clay(3), sand(4)))
	if h := s.Foretold(1); h.Layers[0] != s.Holes[1].Layers[0] || h.Layers[1] != s.Holes[1].Layers[1] {
		t.Errorf("%+v", h)
	}
}

// Holes that all but stand in one line: what the triangulation leaves out as too thin
// belongs to the ground beyond. Closed form: a box of 24 m by 12 m, 10 m deep.
func TestNoGapAtHolesInLine(t *testing.T) {
	p := Pit{Ring: orb.Ring{{-12, -6}, {12, -6}, {12, 6}, {-12, 6}, {-12, -6}}, Floor: 10, Level: 20}
	var holes []Hole
	for _, at := range []orb.Point{{-1, 3.8e-6}, {1, -1}, {30, 1.53e-5}, {1, -1.5}, {1, 3.8e-6}} {
		holes = append(holes, hole(at[0], at[1], 20, clay(50)))
	}
	s, err := NewStrata(holes)
	if err != nil {
		t.Fatal(err)
	}
	p.Strata = s
	c, err := p.Measure()
	if err != nil || !alike(c.Bank, 24*12*10) || !alike(c.Opened, 24*12) {
		t.Errorf("%+v, %v", c, err)
	}
}
