package geometry

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// A square of cells with a square hole and an island in it has an outer rim, a
// clockwise one and another outer one, whose areas add up to the triangles'.
func TestRimsOfAHole(t *testing.T) {
	const n = 9
	var points []GroundPoint
	var faces [][3]int32
	for y := range n {
		for x := range n {
			points = append(points, GroundPoint{At: orb.Point{float64(x), float64(y)}})
			out := max(math.Abs(float64(x)-3.5), math.Abs(float64(y)-3.5)) // of the cell's middle, from the square's
			if x < n-1 && y < n-1 && (out < 1 || out > 2) {
				a := int32(y*n + x)
				faces = append(faces, [3]int32{a, a + 1, a + n + 1}, [3]int32{a, a + n + 1, a + n})
			}
		}
	}
	f, err := NewFaces(points, faces)
	if err != nil {
		t.Fatal(err)
	}
	rims := f.Rims()
	outer, holes, area := 0, 0, 0.0
	for _, r := range rims {
		a := math.Abs(planar.Area(r))
		if r.Orientation() == orb.CW {
			holes++
			area -= a
		} else {
			outer++
			area += a
		}
	}
	if outer != 2 || holes != 1 || area != float64(len(faces))/2 {
		t.Errorf("%d outer rims, %d holes, area %v of %v", outer, holes, area, float64(len(faces))/2)
	}
}
