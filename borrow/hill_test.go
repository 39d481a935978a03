package borrow_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// A hill in the shape of a cone, 30 m high and 120 m in radius, cut down to a level
// floor 12 m below its top: a cone of a third of base times height (Euclid, Elements
// XII.10). The hill is made of 360 facets, so its base is a polygon and the cut a
// pyramid, exactly; the cone itself is off by the polygon's share of the circle.
// Ground inside the boundary that lies below the floor stays as it is.
func TestConicalHillCut(t *testing.T) {
	const sides, high, radius, depth = 360, 30.0, 120.0, 12.0
	points := []geometry.GroundPoint{{Elevation: high}}
	for i := range sides {
		a := 2 * math.Pi * float64(i) / sides
		points = append(points, geometry.GroundPoint{At: orb.Point{radius * math.Cos(a), radius * math.Sin(a)}})
	}
	hill, err := geometry.NewTIN(points, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	square := orb.Ring{{-70, -70}, {70, -70}, {70, 70}, {-70, 70}, {-70, -70}}
	c, err := borrow.Pit{Ring: square, Floor: high - depth, Surface: hill}.Measure()
	if err != nil {
		t.Fatal(err)
	}
	r := radius * depth / high
	pyramid := sides / 2.0 * r * r * math.Sin(2*math.Pi/sides) * depth / 3
	if math.Abs(c.Bank-pyramid) > 1e-9*pyramid {
		t.Errorf("cut %.9f m3, the pyramid has %.9f", c.Bank, pyramid)
	}
	cone, share := math.Pi*r*r*depth/3, math.Sin(2*math.Pi/sides)/(2*math.Pi/sides)
	if math.Abs(c.Bank/cone-share) > 1e-9 {
		t.Errorf("cut %.9f of the cone, the polygon is %.9f of the circle", c.Bank/cone, share)
	}
}
