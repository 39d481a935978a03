package geometry

import (
	"math"
	"math/rand"
	"testing"

	"github.com/paulmach/orb"
)

// roughNets are surfaces of each kind over the unit square times 10, with holes.
func roughNets(t *testing.T) map[string]Net {
	r := rand.New(rand.NewSource(1))
	var points []GroundPoint
	for range 300 {
		points = append(points, GroundPoint{At: orb.Point{10 * r.Float64(), 10 * r.Float64()}, Elevation: r.NormFloat64()})
	}
	tin, err := NewTIN(points, TINOptions{LongestEdge: 1.2})
	if err != nil {
		t.Fatal(err)
	}
	var corners []GroundPoint // each face with corners of its own, every seventh left out
	var faces [][3]int32
	for i := range tin.Numbers() {
		if tin.empty[i] || i%7 == 0 {
			continue
		}
		f := [3]int32{}
		for k, at := range tin.triangle(i).At {
			f[k] = int32(len(corners))
			corners = append(corners, GroundPoint{At: at, Elevation: tin.triangle(i).Elevation[k]})
		}
		faces = append(faces, f)
	}
	drawn, err := NewFaces(corners, faces)
	if err != nil {
		t.Fatal(err)
	}
	grid := mustGrid(t, sparse(r, 11, 9), GridFrame{orb.Point{0, 10}, orb.Point{1, 0.2}, orb.Point{0.1, -1.1}})
	return map[string]Net{"points": tin, "faces": drawn, "grid": grid}
}

// sparse is a grid of random elevations in which one posting of nine is blank.
func sparse(r *rand.Rand, cols, rows int) Values {
	p := postings{cols: cols}
	for range cols * rows {
		z := r.NormFloat64()
		if r.Intn(9) == 0 {
			z = math.NaN()
		}
		p.z = append(p.z, z)
	}
	return p
}

// Each side beyond leads back, shares its ends, and there is a triangle beyond
// just where another triangle has the side the other way round.
func TestNeighbours(t *testing.T) {
	for name, n := range roughNets(t) {
		type ends struct{ from, to orb.Point }
		sides := map[ends]int{}
		count := 0
		for i := range n.Near(n.Bound()) {
			count++
			tri := n.Triangle(i)
			for k := range 3 {
				sides[ends{tri.At[k], tri.At[(k+1)%3]}] = 3*i + k
			}
		}
		inner := 0
		for e, h := range sides {
			o, there := sides[ends{e.to, e.from}]
			if !there {
				o = NoSide
			} else {
				inner++
			}
			if got := n.Across(h); got != o {
				t.Fatalf("%s: side %d from %v to %v has %d beyond, want %d", name, h, e.from, e.to, got, o)
			}
		}
		if inner == 0 || inner == len(sides) || len(sides) != 3*count {
			t.Errorf("%s: %d of %d sides have a neighbour, %d triangles: no test", name, inner, len(sides), count)
		}
	}
}

// Near gives the numbers of the triangles that Triangles gives, in its order.
func TestNearNumbersTriangles(t *testing.T) {
	for name, n := range roughNets(t) {
		for _, box := range []orb.Bound{n.Bound(), {Min: orb.Point{2, 3}, Max: orb.Point{4.5, 6}}, {Min: orb.Point{5, 5}, Max: orb.Point{5, 5}}, {Min: orb.Point{50, 5}, Max: orb.Point{51, 6}}} {
			var numbered, want []Triangle
			for i := range n.Near(box) {
				if i < 0 || i >= n.Numbers() {
					t.Fatalf("%s: number %d of %d", name, i, n.Numbers())
				}
				numbered = append(numbered, n.Triangle(i))
			}
			for tri := range n.Triangles(box) {
				want = append(want, tri)
			}
			if len(numbered) != len(want) {
				t.Fatalf("%s: %d triangles by number, want %d", name, len(numbered), len(want))
			}
			for i := range want {
				if numbered[i] != want[i] {
					t.Fatalf("%s: triangle %d is %v, want %v", name, i, numbered[i], want[i])
				}
			}
		}
	}
}
