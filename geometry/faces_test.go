package geometry

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// roughGround is random points with random elevations around a far origin.
func roughGround(seed uint64, n int) []GroundPoint {
	r := rand.New(rand.NewPCG(seed, 1))
	points := make([]GroundPoint, n)
	for i := range points {
		points[i] = GroundPoint{orb.Point{600 + 100*r.Float64(), -300 + 100*r.Float64()}, 10 * r.Float64()}
	}
	return points
}

// trianglesOf lists a triangulation's triangles by the caller's numbers, in a
// random order and direction.
func trianglesOf(t *TIN, r *rand.Rand) [][3]int32 {
	var faces [][3]int32
	for i := range t.triangles() {
		f := [3]int32{t.input[t.corner[3*i]], t.input[t.corner[3*i+1]], t.input[t.corner[3*i+2]]}
		if r.IntN(2) == 0 {
			f[0], f[1] = f[1], f[0]
		}
		faces = append(faces, f)
	}
	r.Shuffle(len(faces), func(a, b int) { faces[a], faces[b] = faces[b], faces[a] })
	return faces
}

func facesOf(t testing.TB, points []GroundPoint, faces [][3]int32) *Faces {
	t.Helper()
	f, err := NewFaces(points, faces)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func tinOf(t testing.TB, points []GroundPoint, opt TINOptions) *TIN {
	t.Helper()
	tin, err := NewTIN(points, opt)
	if err != nil {
		t.Fatal(err)
	}
	return tin
}

// sameKnots checks that two slices are the same ground, knot by knot.
func sameKnots(t testing.TB, got, want []Line) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d pieces, want %d", len(got), len(want))
	}
	for i := range got {
		a, b := got[i], want[i]
		if len(a) != len(b) {
			t.Fatalf("piece %d has %d knots, want %d:\n%v\n%v", i, len(a), len(b), a, b)
		}
		for k := range a {
			if math.Abs(a[k].Offset-b[k].Offset) > 1e-9 || math.Abs(a[k].Elevation-b[k].Elevation) > 1e-9 {
				t.Fatalf("piece %d, knot %d: %v, want %v", i, k, a[k], b[k])
			}
		}
	}
}

// A slice of triangles one by one must be the walk through the triangulation
// that they come from: two ways to one answer.
func TestFacesAreSlicedAsTheWalkDoes(t *testing.T) {
	for seed := range uint64(5) {
		points := roughGround(seed, 400)
		tin := tinOf(t, points, TINOptions{})
		r := rand.New(rand.NewPCG(seed, 2))
		f := facesOf(t, points, trianglesOf(tin, r))
		if f.Bound() != tin.Bound() || f.Summary().Triangles != tin.Summary().Triangles {
			t.Fatalf("bound %v and %d triangles, want %v and %d", f.Bound(), f.Summary().Triangles, tin.Bound(), tin.Summary().Triangles)
		}
		for range 200 {
			a := orb.Point{580 + 140*r.Float64(), -320 + 140*r.Float64()}
			b := orb.Point{580 + 140*r.Float64(), -320 + 140*r.Float64()}
			if r.IntN(4) == 0 { // from point to point, through corners
				a, b = points[r.IntN(len(points))].At, points[r.IntN(len(points))].At
			}
			sameKnots(t, f.Slice(nil, a, b), tin.Slice(nil, a, b))
		}
	}
}

// Along the rows and diagonals of a lattice a slice runs on edges and through
// corners all the way; the plane is exact there.
func TestFacesOnALattice(t *testing.T) {
	const n = 6
	var points []GroundPoint
	var faces [][3]int32
	for y := range n {
		for x := range n {
			points = append(points, GroundPoint{orb.Point{float64(x), float64(y)}, float64(2*x + 3*y)})
			if i := int32(y*n + x); x > 0 && y > 0 {
				faces = append(faces, [3]int32{i, i - 1, i - n - 1}, [3]int32{i, i - n - 1, i - n})
			}
		}
	}
	f := facesOf(t, points, faces)
	for _, s := range [][2]orb.Point{{{0, 2}, {5, 2}}, {{5, 0}, {5, 5}}, {{0, 0}, {5, 5}}, {{5, 0}, {0, 5}}, {{-1, 2.5}, {6, 2.5}}} {
		pieces := f.Slice(nil, s[0], s[1])
		if len(pieces) != 1 {
			t.Fatalf("%v: %d pieces", s, len(pieces))
		}
		length := math.Hypot(s[1][0]-s[0][0], s[1][1]-s[0][1])
		for _, k := range pieces[0] {
			x, y := mix(s[0][0], s[1][0], k.Offset/length), mix(s[0][1], s[1][1], k.Offset/length)
			if math.Abs(k.Elevation-(2*x+3*y)) > 1e-12 {
				t.Errorf("%v: elevation %v at (%v, %v)", s, k.Elevation, x, y)
			}
		}
		if from, to := pieces[0].Span(); math.Abs(to-from-min(length, lattice(s))) > 1e-12 {
			t.Errorf("%v: span %v to %v", s, from, to)
		}
	}
	// Without the two triangles of one cell there is a gap in the row.
	f = facesOf(t, points, slices.Delete(slices.Clone(faces), 24, 26))
	pieces := f.Slice(nil, orb.Point{0, 2.5}, orb.Point{5, 2.5})
	if len(pieces) != 2 {
		t.Fatalf("%d pieces beside a gap", len(pieces))
	}
	_, end := pieces[0].Span()
	if begin, _ := pieces[1].Span(); end != 2 || begin != 3 {
		t.Errorf("the gap is from %v to %v, want 2 to 3", end, begin)
	}
}

// lattice is how much of a segment lies on a lattice from 0 to 5: all of it, or
// the 5 of a level row that reaches beyond.
func lattice(s [2]orb.Point) float64 {
	if s[0][0] < 0 {
		return 5
	}
	return math.Inf(1)
}

func TestFacesFaults(t *testing.T) {
	square := []GroundPoint{{orb.Point{0, 0}, 0}, {orb.Point{10, 0}, 0}, {orb.Point{10, 10}, 0}, {orb.Point{0, 10}, 0}, {orb.Point{5, 0.005}, 0}, {orb.Point{5, 5}, 9}}
	for _, c := range []struct {
		name  string
		faces [][3]int32
		rule  FacesRule
		names []int
	}{
		{"none", nil, NoFaces, nil},
		{"flat", [][3]int32{{0, 1, 1}, {0, 0, 0}}, NoFaces, nil},
		{"no such point", [][3]int32{{0, 1, 2}, {0, 2, 6}}, UnknownCorner, []int{1}},
		{"negative", [][3]int32{{0, -1, 2}}, UnknownCorner, []int{0}},
		{"crossing diagonals", [][3]int32{{0, 1, 2}, {0, 1, 3}}, FacesOverlap, []int{0, 1}},
		{"one within the other", [][3]int32{{2, 3, 0}, {0, 1, 2}, {0, 1, 5}}, FacesOverlap, []int{1, 2}},
	} {
		_, err := NewFaces(square, c.faces)
		var e *FacesError
		if !errors.As(err, &e) || e.Rule != c.rule || !slices.Equal(e.Faces, c.names) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	bad := slices.Clone(square)
	bad[2].Elevation = math.NaN()
	var e *FacesError
	if _, err := NewFaces(bad, [][3]int32{{0, 1, 2}}); !errors.As(err, &e) || e.Rule != CornerOutOfRange {
		t.Errorf("NaN: %v", err)
	}
}

// Slivers that rounding has turned over, and the same triangle twice, are no
// overlap.
func TestFacesAllowSeams(t *testing.T) {
	points := []GroundPoint{{orb.Point{0, 0}, 0}, {orb.Point{10, 0}, 0}, {orb.Point{10, 10}, 0}, {orb.Point{0, 10}, 0}, {orb.Point{5, 0.005}, 0}, {orb.Point{5, -5}, 0}}
	faces := [][3]int32{{0, 1, 2}, {0, 2, 3}, {0, 4, 1}, {0, 4, 5}, {4, 1, 5}, {2, 0, 1}, {0, 0, 1}}
	f := facesOf(t, points, faces)
	if s := f.Summary(); s != (FacesSummary{Triangles: 5, Flat: 1, Repeated: 1}) {
		t.Errorf("%+v", s)
	}
	pieces := f.Slice(nil, orb.Point{5, -5}, orb.Point{5, 9})
	if len(pieces) != 1 {
		t.Fatalf("%v", pieces)
	}
	for i, k := range pieces[0] {
		if k.Elevation != 0 || i > 0 && k.Offset < pieces[0][i-1].Offset {
			t.Errorf("%v", pieces[0])
		}
	}
}

func TestFacesTrianglesTouchTheBox(t *testing.T) {
	points := roughGround(7, 300)
	tin := tinOf(t, points, TINOptions{})
	f := facesOf(t, points, trianglesOf(tin, rand.New(rand.NewPCG(1, 1))))
	for _, box := range []orb.Bound{f.Bound(), {Min: orb.Point{620, -260}, Max: orb.Point{640, -250}}, {Min: orb.Point{650, -250}, Max: orb.Point{650, -250}}} {
		got, want := 0, 0
		area := 0.0
		for tri := range f.Triangles(box) {
			got++
			area += areaOf(tri.At[:])
		}
		for range tin.Triangles(box) {
			want++
		}
		if got != want || got == 0 || area <= 0 {
			t.Errorf("%v: %d triangles, want %d", box, got, want)
		}
	}
}
