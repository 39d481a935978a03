package geometry

import (
	"math/rand"
	"testing"

	"github.com/paulmach/orb"
)

// A triangle laid over a sheet is found from the rim alone, wherever it lies, and
// so is a second whole sheet; a sheet alone is let through.
func TestOverlapIsSeenAtTheRim(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	var points []GroundPoint
	for range 400 {
		points = append(points, GroundPoint{At: orb.Point{100 * r.Float64(), 100 * r.Float64()}})
	}
	tin, err := NewTIN(points, TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var sheet [][3]int32
	for i := range tin.Numbers() {
		var f [3]int32
		for k := range 3 {
			f[k] = tin.input[tin.corner[3*i+k]]
		}
		sheet = append(sheet, f)
	}
	alone, err := NewFaces(points, sheet)
	if err != nil {
		t.Fatal(err)
	}
	if !alone.apartAtRim() {
		t.Error("a sheet alone is not let through")
	}
	for range 50 {
		n := int32(len(points))
		x, y := 10+70*r.Float64(), 10+70*r.Float64()
		more := append(points[:n:n],
			GroundPoint{At: orb.Point{x, y}}, GroundPoint{At: orb.Point{x + 3, y}}, GroundPoint{At: orb.Point{x, y + 3}})
		if _, err := NewFaces(more, append(sheet[:len(sheet):len(sheet)], [3]int32{n, n + 1, n + 2})); err == nil {
			t.Errorf("a triangle over the sheet at %v, %v was let through", x, y)
		}
	}
	n := int32(len(points))
	twice, faces := points[:n:n], sheet[:len(sheet):len(sheet)]
	for _, p := range points {
		twice = append(twice, GroundPoint{At: orb.Point{p.At[0] + 7, p.At[1] + 5}})
	}
	for _, f := range sheet {
		faces = append(faces, [3]int32{f[0] + n, f[1] + n, f[2] + n})
	}
	if _, err := NewFaces(twice, faces); err == nil {
		t.Error("two sheets over one another were let through")
	}
}
