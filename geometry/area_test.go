package geometry_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// areaRounding guards the sum of a few clipped areas, relative.
const areaRounding = 1e-12

func nearArea(t interface {
	Helper()
	Errorf(string, ...any)
}, what string, got, want float64,
) {
	t.Helper()
	if math.Abs(got-want) > areaRounding*math.Max(1, math.Abs(want)) {
		t.Errorf("%s is %.15g, should be %.15g", what, got, want)
	}
}

func planeTIN(t interface {
	Helper()
	Fatal(...any)
}, a, b, c, size float64,
) geometry.Surface {
	t.Helper()
	z := func(x, y float64) float64 { return a + b*x + c*y }
	var points []geometry.GroundPoint
	for _, p := range [][2]float64{{-size, -size}, {size, -size}, {size, size}, {-size, size}, {size / 7, -size / 3}} {
		points = append(points, geometry.GroundPoint{At: orb.Point{p[0], p[1]}, Elevation: z(p[0], p[1])})
	}
	tin, err := geometry.NewTIN(points, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tin
}

// A plane that rises 3 in 4 along its slope: a square of 40 m has an area of
// 1600 x 5/4 along it (the 3-4-5 triangle).
func TestLieOverPlane(t *testing.T) {
	lie, err := geometry.LieOver(planeTIN(t, 10, 0.75, 0, 100), orb.Polygon{{{-20, -20}, {20, -20}, {20, 20}, {-20, 20}, {-20, -20}}})
	if err != nil {
		t.Fatal(err)
	}
	nearArea(t, "the plan area", lie.Plan, 1600)
	nearArea(t, "the area along the slope", lie.True, 2000)
	nearArea(t, "the lowest ground", lie.Low, -5)
	nearArea(t, "the highest ground", lie.High, 25)
	nearArea(t, "the missing area", lie.Missing, 0)
}

// A pyramid with a square foot of 2 x 30 m and a height of 40 m has four faces
// of 60 x 50 / 2 m2 (slant height by the 3-4-5 triangle); a hole is left out.
func TestLieOverPyramid(t *testing.T) {
	tin, err := geometry.NewTIN([]geometry.GroundPoint{
		{At: orb.Point{-30, -30}}, {At: orb.Point{30, -30}}, {At: orb.Point{30, 30}}, {At: orb.Point{-30, 30}}, {At: orb.Point{0, 0}, Elevation: 40},
	}, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	whole := orb.Ring{{-30, -30}, {30, -30}, {30, 30}, {-30, 30}, {-30, -30}}
	hole := orb.Ring{{-15, -15}, {15, -15}, {15, 15}, {-15, 15}, {-15, -15}}
	lie, err := geometry.LieOver(tin, orb.Polygon{whole, hole})
	if err != nil {
		t.Fatal(err)
	}
	nearArea(t, "the area along the slope", lie.True, 6000*3.0/4)
	lie, err = geometry.LieOver(tin, orb.Polygon{{{-60, -30}, {30, -30}, {30, 30}, {-60, 30}, {-60, -30}}})
	if err != nil {
		t.Fatal(err)
	}
	nearArea(t, "the area along the slope", lie.True, 6000)
	nearArea(t, "the missing area", lie.Missing, 1800)
}

// On any plane and any triangle the area along the slope is the plan area times
// the root of 1 + rise squared, and is the sum of two halves.
func TestLieOverAddsUp(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b, c := rapid.Float64Range(-2, 2).Draw(r, "b"), rapid.Float64Range(-2, 2).Draw(r, "c")
		p, q := orb.Point{rapid.Float64Range(-90, -1).Draw(r, "px"), -80}, orb.Point{rapid.Float64Range(1, 90).Draw(r, "qx"), -70}
		o, m := orb.Point{3, rapid.Float64Range(10, 90).Draw(r, "y")}, orb.Point{(p[0] + q[0]) / 2, -75}
		ground := planeTIN(r, 0, b, c, 100)
		area := func(ring orb.Ring) geometry.Lie {
			lie, err := geometry.LieOver(ground, orb.Polygon{ring})
			if err != nil {
				r.Fatal(err)
			}
			return lie
		}
		whole := area(orb.Ring{p, q, o, p})
		nearArea(r, "the area along the slope", whole.True, whole.Plan*math.Sqrt(1+b*b+c*c))
		halves := area(orb.Ring{p, m, o, p}).True + area(orb.Ring{m, q, o, m}).True
		if math.Abs(halves-whole.True) > 1e-9*whole.True { // m is rounded off the side
			r.Errorf("two halves have %v, the whole %v", halves, whole.True)
		}
	})
}
