package borrow

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// surveyed is rough ground as a triangulation of points on a skew lattice.
func surveyed(t testing.TB, n int) *geometry.TIN {
	t.Helper()
	var points []geometry.GroundPoint
	for i := range n {
		for j := range n {
			x := 200*(float64(i)/float64(n-1)-0.5) + 0.8*math.Sin(float64(7*i+3*j))
			y := 200*(float64(j)/float64(n-1)-0.5) + 0.8*math.Cos(float64(5*i-2*j))
			points = append(points, geometry.GroundPoint{At: orb.Point{x, y}, Elevation: saddle(x, y)})
		}
	}
	tin, err := geometry.NewTIN(points, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tin
}

// A pit on triangulated survey points is the pit on a plain list of the same
// triangles, searched from end to end.
func TestPitOnTIN(t *testing.T) {
	tin := surveyed(t, 25)
	var list triangles
	for tri := range tin.Triangles(tin.Bound()) {
		list = append(list, tri)
	}
	p := Pit{Ring: orb.Ring{{-30, -25}, {30, -20}, {35, 30}, {2, 3}, {-28, 24}, {-30, -25}}, SideSlope: 2, Strip: 0.3, Floor: 15}
	p.Surface = tin
	got := measure(t, p)
	p.Surface = list
	want := measure(t, p)
	for what, d := range map[string]float64{
		"dug": got.Dug - want.Dug, "bank": got.Bank - want.Bank, "floor": got.Floor - want.Floor,
		"deepest": got.Deepest - want.Deepest, "dug to": got.DugTo - want.DugTo,
	} {
		if math.Abs(d) > 1e-6 {
			t.Errorf("%s differs by %g: %+v and %+v", what, d, got, want)
		}
	}
	p.Surface, p.Ring = tin, orb.Ring{{80, 0}, {140, 0}, {140, 40}, {80, 40}, {80, 0}}
	var ge *GroundError
	if _, err := p.Measure(); !errors.As(err, &ge) || ge.At[0] < 99 || ge.Gap < 38 {
		t.Errorf("beyond the survey: %v", err)
	}
}

func BenchmarkMeasureTIN(b *testing.B) {
	p := Pit{Ring: orb.Ring{{-80, -25}, {30, -80}, {75, 80}, {2, 3}, {-28, 24}, {-80, -25}}, SideSlope: 2, Floor: 10, Surface: surveyed(b, 300)}
	for b.Loop() {
		measure(b, p)
	}
}
