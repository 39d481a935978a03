package borrow

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"pgregory.net/rapid"
)

// Leaving out the hidden sides changes nowhere which side is the highest, by more
// than rounding, nor that the floor is.
func TestHiddenSidesNeverRule(t *testing.T) {
	left := 0
	rapid.Check(t, func(r *rapid.T) {
		p := anyPit(r)
		if p.SideSlope == 0 {
			return
		}
		o, err := newOutline(p.Ring)
		if err != nil {
			r.Fatal(err)
		}
		edges, err := p.groundAlong(o)
		if err != nil {
			r.Fatal(err)
		}
		sides := sidesOf([]run{{edges: edges, closed: true}}, o.ring, p.SideSlope)
		ring := append(orb.Ring(o.ring), o.ring[0])
		coordinate := rapid.Float64Range(-30, 30)
		mid := orb.Point{coordinate.Draw(r, "x"), coordinate.Draw(r, "y")}
		size := rapid.Float64Range(0.1, 10).Draw(r, "size")
		c := cell{{mid[0] - size, mid[1] - size}, {mid[0] + size, mid[1]}, {mid[0], mid[1] + size}}
		floor := affine{c: p.Floor}
		kept := unhidden(nil, c, sides, floor)
		left += len(sides) - len(kept)
		for i := range 20 {
			a, b := float64(i%5)/4, float64(i/5)/3
			q := along(c[0], along(c[1], c[2], b), a)
			if !planar.RingContains(ring, q) {
				continue // sides that fall outwards alone are not kept
			}
			all, some := highestAt(sides, q, p.Floor), highestAt(kept, q, p.Floor)
			if math.Abs(all-some) > 10*touch {
				r.Fatalf("at %v the highest of all is %v, of those kept %v", q, all, some)
			}
		}
	})
	if left == 0 {
		t.Error("no side was ever left out")
	}
}

// highestAt is the highest of the sides that hold at a point, and the floor.
func highestAt(sides []*side, q orb.Point, floor float64) float64 {
	z := floor
	for _, s := range sides {
		holds := true
		for _, b := range s.bounds {
			holds = holds && b.at(q) >= -touch
		}
		if holds {
			z = max(z, s.plane.at(q))
		}
	}
	return z
}

// The value of a source is the largest of z(b) - distance / slope over its points.
func TestSourceValue(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		number := rapid.Float64Range(-10, 10)
		e := edge{orb.Point{number.Draw(r, "x"), number.Draw(r, "y")}, orb.Point{number.Draw(r, "to x"), number.Draw(r, "to y")}, number.Draw(r, "z"), number.Draw(r, "to z")}
		slope := rapid.Float64Range(0.5, 4).Draw(r, "slope")
		q := orb.Point{number.Draw(r, "qx"), number.Draw(r, "qy")}
		got := sourceOf(e, slope).value(q)
		const steps = 4000
		most := math.Inf(-1)
		for i := range steps + 1 {
			s := float64(i) / steps
			most = max(most, e.zFrom+s*(e.zTo-e.zFrom)-distance(along(e.from, e.to, s), q)/slope)
		}
		// Between two of the points neither height nor distance changes by more.
		step := (math.Abs(e.zTo-e.zFrom) + distance(e.from, e.to)/slope) / steps
		if got > most+step+touch || got < most-touch && !(math.Abs(e.zTo-e.zFrom)*slope >= distance(e.from, e.to)) {
			r.Fatalf("%v: value %v, at the points at most %v", e, got, most)
		}
	})
}
