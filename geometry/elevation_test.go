package geometry

import "testing"

// Every input point has its own elevation exactly, and a slice through it too.
func TestElevationAtInputPoints(t *testing.T) {
	for _, shift := range []xy{{0, 0}, {600000, 4100000}} {
		points := randomPoints(500)
		for i := range points {
			points[i].At[0] += shift.x
			points[i].At[1] += shift.y
		}
		tin := mustTIN(t, points, TINOptions{})
		var c Cursor
		for i, p := range points {
			if z, ok := tin.Elevation(&c, p.At); !ok || z != p.Elevation {
				t.Fatalf("point %d: elevation %v %v, want %v", i, z, ok, p.Elevation)
			}
			q := points[(i+1)%len(points)]
			pieces := tin.Slice(&c, p.At, q.At)
			if len(pieces) != 1 || pieces[0][0].Elevation != p.Elevation || pieces[0][len(pieces[0])-1].Elevation != q.Elevation {
				t.Fatalf("slice from point %d to the next: %v, want ends %v and %v", i, pieces, p.Elevation, q.Elevation)
			}
		}
	}
}
