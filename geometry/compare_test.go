package geometry

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

func rectangle(x0, y0, x1, y1 float64) orb.Ring {
	return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

// near checks a figure to a relative error that only rounding explains.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*max(1, math.Abs(want)) {
		t.Errorf("%s %v, want %v", what, got, want)
	}
}

// Plan area and volume below levels of a hill on a grid, for both diagonals of
// its cells, which are drawn as breaklines. The published figures are by the
// closed form for one triangle; see the notes in the file.
func TestVolumeBelowPublishedLevels(t *testing.T) {
	rows := readRows(t, "terrain/maunga_whau_10m.csv")
	var points []GroundPoint
	for i, row := range rows {
		for j, v := range row {
			points = append(points, GroundPoint{orb.Point{10 * float64(i), 10 * float64(j)}, number(t, v)})
		}
	}
	wide := len(rows[0])
	var diagonals [2][][]int
	for i := range len(rows) - 1 {
		for j := range wide - 1 {
			south, north := i*wide+j, i*wide+j+1
			diagonals[0] = append(diagonals[0], []int{south, north + wide})
			diagonals[1] = append(diagonals[1], []int{south + wide, north})
		}
	}
	for d, lines := range diagonals {
		ground := mustTIN(t, points, TINOptions{Breaklines: lines})
		polygon := orb.Polygon{ground.Bound().ToRing()}
		for _, row := range readRows(t, "volume/terrain_below_level.csv") {
			got, err := VolumeOver(ground, polygon, number(t, row[1]))
			if err != nil {
				t.Fatal(err)
			}
			area, volume := number(t, row[2+2*d]), number(t, row[3+2*d])
			// Ground exactly at the level is in neither area; figures have 10 digits.
			if math.Abs(got.Fill-volume) > 1e-9*volume || math.Abs(got.FillArea-area) > 1e-9*area {
				t.Errorf("level %s, diagonal %d: area %v, volume %v, published %v, %v", row[1], d, got.FillArea, got.Fill, area, volume)
			}
			near(t, "missing", got.Missing, 0)
		}
	}
}

// A pyramid is a third of base times height, and the part above half its height
// an eighth of the whole (Euclid, Elements XII, 7 and 8).
func TestCompareWithClosedForms(t *testing.T) {
	pyramid := mustTIN(t, []GroundPoint{
		{orb.Point{-6, -6}, 0},
		{orb.Point{6, -6}, 0},
		{orb.Point{6, 6}, 0},
		{orb.Point{-6, 6}, 0},
		{orb.Point{0, 0}, 4},
	}, TINOptions{})
	base := orb.Polygon{rectangle(-6, -6, 6, 6)}
	got, err := VolumeOver(pyramid, base, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "whole pyramid", got.Cut, 144*4.0/3)
	got, _ = VolumeOver(pyramid, base, 2)
	near(t, "top", got.Cut, 144*4.0/3/8)
	near(t, "top's area", got.CutArea, 36)
	near(t, "area below", got.FillArea, 144-36)
	near(t, "net", got.Net(), 144*2-144*4.0/3)
	// A hole over the top leaves the rest; half of a polygon twice as wide is missing.
	got, _ = VolumeOver(pyramid, orb.Polygon{rectangle(-12, -6, 12, 6), rectangle(-3, -3, 3, 3)}, 2)
	near(t, "cut beside the hole", got.Cut, 0)
	near(t, "fill beside the hole", got.Fill, 144*2-144*4.0/3+144*4.0/3/8)
	near(t, "area", got.Area, 288-36)
	near(t, "missing", got.Missing, 144)
}

// Areas add up over any two surfaces; swapping them swaps cut and fill; parts of
// a polygon add up to the whole; the net volume is the difference of the two
// surfaces' own volumes.
func TestCompareAddsUp(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	for range 10 {
		a, b := mustTIN(t, randomPoints(60+r.IntN(40)), TINOptions{}), mustTIN(t, randomPoints(120+r.IntN(40)), TINOptions{})
		star := orb.Ring{}
		for i := range 11 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 11)
			length := 100 + 200*r.Float64()
			star = append(star, orb.Point{500 + length*cos, 500 + length*sin})
		}
		one, err := Compare(a, b, orb.Polygon{star})
		if err != nil {
			t.Fatal(err)
		}
		two, _ := Compare(b, a, orb.Polygon{star})
		near(t, "cut and fill swapped", one.Cut, two.Fill)
		near(t, "fill and cut swapped", one.Fill, two.Cut)
		near(t, "area", one.Area, math.Abs(ringArea(star)))
		near(t, "areas added up", one.CutArea+one.FillArea+one.Missing, one.Area)
		overA, _ := VolumeOver(a, orb.Polygon{star}, 0)
		overB, _ := VolumeOver(b, orb.Polygon{star}, 0)
		if one.Missing < 1e-6 {
			near(t, "net", one.Net(), overB.Cut-overA.Cut)
		}
		left, _ := Compare(a, b, orb.Polygon{rectangle(200, 300, 450, 700)})
		right, _ := Compare(a, b, orb.Polygon{rectangle(450, 300, 800, 700)})
		whole, _ := Compare(a, b, orb.Polygon{rectangle(200, 300, 800, 700)})
		near(t, "parts of fill", left.Fill+right.Fill, whole.Fill)
		near(t, "parts of cut", left.Cut+right.Cut, whole.Cut)
	}
}

func ringArea(r orb.Ring) float64 {
	sum := 0.0
	for i, p := range r {
		q := r[(i+1)%len(r)]
		sum += p[0]*q[1] - q[0]*p[1]
	}
	return sum / 2
}

func TestComparePolygonErrors(t *testing.T) {
	tin := mustTIN(t, randomPoints(10), TINOptions{})
	for name, polygon := range map[string]orb.Polygon{
		"none": nil, "empty ring": {{}}, "two places": {{{0, 0}, {1, 1}, {0, 0}}},
		"flat": {{{0, 0}, {1, 1}, {2, 2}}}, "not a number": {{{0, 0}, {1, math.NaN()}, {2, 2}}},
	} {
		var e *TINError
		if _, err := Compare(tin, tin, polygon); !errors.As(err, &e) {
			t.Errorf("%s: error %v, want a TINError", name, err)
		}
		if _, err := VolumeOver(tin, polygon, 1); !errors.As(err, &e) {
			t.Errorf("%s: error %v, want a TINError", name, err)
		}
	}
}

// The same surface has no earth between itself and itself, whatever the ring's
// direction, and the polygon is not written to.
func TestCompareWithItself(t *testing.T) {
	tin := mustTIN(t, randomPoints(200), TINOptions{})
	ring := rectangle(300, 300, 700, 700)
	slices.Reverse(ring)
	before := slices.Clone(ring)
	got, err := Compare(tin, tin, orb.Polygon{ring})
	if err != nil {
		t.Fatal(err)
	}
	if got.Cut+got.Fill > 1e-9 || !slices.Equal(ring, before) {
		t.Errorf("%+v between a surface and itself", got)
	}
	near(t, "area", got.Area, 160000)
	near(t, "missing", got.Missing, 0)
}
