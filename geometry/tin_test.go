package geometry

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

func mustTIN(t testing.TB, points []GroundPoint, opt TINOptions) *TIN {
	t.Helper()
	tin, err := NewTIN(points, opt)
	if err != nil {
		t.Fatal(err)
	}
	if err := tin.Validate(); err != nil {
		t.Fatal(err)
	}
	return tin
}

// triangleSet is a triangulation as places, independent of numbering.
func triangleSet(tin *TIN) [][3]xy {
	var set [][3]xy
	for i := range tin.triangles() {
		var v [3]xy
		for k := range 3 {
			v[k] = tin.at[tin.corner[3*i+k]]
		}
		for v[0] != slices.MinFunc(v[:], compareXY) {
			v = [3]xy{v[1], v[2], v[0]}
		}
		set = append(set, v)
	}
	slices.SortFunc(set, func(a, b [3]xy) int {
		for k := range 3 {
			if c := compareXY(a[k], b[k]); c != 0 {
				return c
			}
		}
		return 0
	})
	return set
}

func compareXY(a, b xy) int {
	switch {
	case a == b:
		return 0
	case westOf(a, b):
		return -1
	}
	return 1
}

// fromXY makes ground of places, its elevation a mild hill.
func fromXY(places ...xy) []GroundPoint {
	points := make([]GroundPoint, len(places))
	for i, p := range places {
		points[i] = GroundPoint{orb.Point{p.x, p.y}, hill(p)}
	}
	return points
}

func hill(p xy) float64 { return 100 + p.x/50 - p.y/80 + math.Sin(p.x/7)*math.Cos(p.y/9) }

// The definition of a Delaunay triangulation, by trying every three places: in
// general position the triangles are exactly those with an empty circle.
func TestDelaunayAgainstDefinition(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 40 {
		var places []xy
		for range 3 + r.IntN(12) {
			places = append(places, xy{r.Float64(), r.Float64()})
		}
		tin := mustTIN(t, fromXY(places...), TINOptions{})
		want := 0
		for i := range places {
			for j := i + 1; j < len(places); j++ {
				for k := j + 1; k < len(places); k++ {
					if emptyCircle(places, i, j, k) {
						want++
					}
				}
			}
		}
		if got := tin.triangles(); got != want {
			t.Fatalf("%d triangles, %d empty circles", got, want)
		}
	}
}

func emptyCircle(places []xy, i, j, k int) bool {
	turn := ratSide(places[i], places[j], places[k])
	for l, p := range places {
		if l != i && l != j && l != k && turn*ratCircle(places[i], places[j], places[k], p) > 0 {
			return false
		}
	}
	return turn != 0
}

// Arrangements on which a careless triangulation fails.
func TestNewTINOnDegeneratePlaces(t *testing.T) {
	var circle, cross, comb, tilted []xy
	for i := range 64 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 64)
		circle = append(circle, xy{50 * cos, 50 * sin})
		cross = append(cross, xy{float64(i - 32), 0}, xy{0, float64(i - 32)})
		comb = append(comb, xy{float64(i), 0})
	}
	comb = append(comb, xy{10, 5})
	for i := range 20 {
		for j := range 20 {
			tilted = append(tilted, xy{0.3048 * (3*float64(i) - float64(j)), 0.3048 * (float64(i) + 3*float64(j))})
		}
	}
	lattice := func(x, y, step float64) (p []xy) {
		for i := range 30 {
			for j := range 30 {
				p = append(p, xy{x + step*float64(i), y + step*float64(j)})
			}
		}
		return p
	}
	for name, places := range map[string][]xy{
		"triangle": {{0, 0}, {1, 0}, {0, 1}}, "square": {{0, 0}, {1, 0}, {1, 1}, {0, 1}},
		"circle": circle, "cross": cross, "row and one": comb, "tilted feet": tilted,
		"lattice": lattice(0, 0, 1), "lattice in feet": lattice(-4, -4, 0.3048),
		"lattice far away": lattice(600000, 4100000, 0.01),
		"thin":             {{0, 0}, {1, 1}, {2, 2}, {3, math.Nextafter(3, 4)}, {4, 4}, {-1, 5}},
	} {
		t.Run(name, func(t *testing.T) {
			tin := mustTIN(t, fromXY(places...), TINOptions{})
			if want := 2*len(tin.at) - 2 - len(tin.hull); tin.triangles() != want {
				t.Errorf("%d triangles, want 2n - 2 - h = %d", tin.triangles(), want)
			}
		})
	}
}

func TestNewTINErrors(t *testing.T) {
	at := func(x, y, z float64) GroundPoint { return GroundPoint{orb.Point{x, y}, z} }
	three := []GroundPoint{at(0, 0, 0), at(1, 0, 0), at(0, 1, 0)}
	for name, tc := range map[string]struct {
		points []GroundPoint
		opt    TINOptions
		rule   TINRule
		named  []int
	}{
		"none":       {nil, TINOptions{}, TooFewPoints, nil},
		"two":        {three[:2], TINOptions{}, TooFewPoints, nil},
		"all alike":  {[]GroundPoint{three[0], three[0], three[0], three[0]}, TINOptions{}, TooFewPoints, nil},
		"on a line":  {[]GroundPoint{at(0, 0, 1), at(3, 3, 1), at(1, 1, 1), at(2, 2, 1)}, TINOptions{}, OnOneLine, nil},
		"nearly so":  {[]GroundPoint{at(0, 0, 1), at(1, 0, 1), at(2, 1e-9, 1)}, TINOptions{}, OnOneLine, nil},
		"unlike":     {append(slices.Clone(three), at(1, 0, 0.002)), TINOptions{}, ElevationsDiffer, []int{1, 3}},
		"not number": {append(slices.Clone(three), at(math.NaN(), 0, 0)), TINOptions{}, OutOfRange, []int{3}},
		"infinite":   {append(slices.Clone(three), at(0, 0, math.Inf(-1))), TINOptions{}, OutOfRange, []int{3}},
		"too far":    {append(slices.Clone(three), at(0, 1e9, 1)), TINOptions{}, OutOfRange, []int{3}},
		"no ground":  {three, TINOptions{LongestEdge: 1.2}, NoGroundLeft, nil},
		"line":       {three, TINOptions{Breaklines: [][]int{{0, 1}, {0, 3}}}, UnknownPoint, []int{3}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := NewTIN(tc.points, tc.opt)
			var e *TINError
			if !errors.As(err, &e) || e.Rule != tc.rule || !slices.Equal(e.Points, tc.named) {
				t.Errorf("error %v, want rule %q, points %v", err, tc.rule, tc.named)
			}
		})
	}
}

// A millimetre of difference is one point, and the first of the two stands.
func TestNewTINMerges(t *testing.T) {
	points := fromXY(xy{0, 0}, xy{1, 0}, xy{0, 1}, xy{math.Copysign(0, -1), 1})
	points[3].Elevation = points[2].Elevation + 0.001
	tin := mustTIN(t, points, TINOptions{})
	if s := tin.Summary(); s.Merged != 1 || s.Points != 3 || s.Triangles != 1 {
		t.Errorf("summary %+v", s)
	}
	if z, _ := tin.Elevation(nil, orb.Point{0, 1}); z != points[2].Elevation {
		t.Errorf("elevation %v, want the first point's %v", z, points[2].Elevation)
	}
}

// smallPlaces draws places of which many are in line, on one circle or alike.
func smallPlaces(t *rapid.T) []xy {
	whole := rapid.IntRange(0, 6)
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) xy {
		return xy{float64(whole.Draw(t, "x")), float64(whole.Draw(t, "y"))}
	}), 3, 40).Draw(t, "places")
}

// The triangulation does not depend on the order of the points, even in ties,
// and moving or mirroring the points keeps every property.
func TestNewTINProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		places := smallPlaces(rt)
		tin, err := NewTIN(fromXY(places...), TINOptions{})
		if err != nil {
			return // too few places, or on a line
		}
		if err := tin.Validate(); err != nil {
			rt.Fatal(err)
		}
		mixed := rapid.Permutation(places).Draw(rt, "order")
		again := mustTIN(t, fromXY(mixed...), TINOptions{})
		if !slices.Equal(triangleSet(tin), triangleSet(again)) {
			rt.Fatal("the order of the points changes the triangles")
		}
		var mirrored []xy
		for _, p := range places {
			mirrored = append(mirrored, xy{1000 - p.y, p.x * 2})
		}
		other := mustTIN(t, fromXY(mirrored...), TINOptions{})
		if other.triangles() != tin.triangles() || len(other.hull) != len(tin.hull) {
			rt.Fatal("a mirrored set has another number of triangles")
		}
	})
}

// Any number of goroutines gives the same bytes; this set is worked by many.
func TestNewTINRepeats(t *testing.T) {
	points := randomPoints(20000)
	first, second := mustTIN(t, points, TINOptions{}), mustTIN(t, points, TINOptions{})
	if !slices.Equal(first.corner, second.corner) || !slices.Equal(first.twin, second.twin) || !slices.Equal(first.at, second.at) {
		t.Error("two runs differ")
	}
	slices.Reverse(points)
	if !slices.Equal(triangleSet(first), triangleSet(mustTIN(t, points, TINOptions{}))) {
		t.Error("the order of the points changes the triangles")
	}
}

func TestSortByKeyAgainstComparing(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	keys := make([]sortKey, 5000)
	for i := range keys {
		v := float64(r.IntN(50)-25) * math.Ldexp(1, r.IntN(60)-30)
		keys[i] = sortKey{ascending(v + 0), int32(i)}
	}
	want := slices.Clone(keys)
	slices.SortStableFunc(want, func(a, b sortKey) int {
		if a.key < b.key {
			return -1
		} else if a.key > b.key {
			return 1
		}
		return 0
	})
	if !slices.Equal(sortByKey(keys), want) {
		t.Error("the radix sort is not the stable sort by key")
	}
}

func FuzzDelaunay(f *testing.F) {
	f.Add([]byte("\x00\x00\x01\x00\x00\x01\x01\x01"), 1.0)
	f.Add([]byte("\x00\x00\x01\x01\x02\x02\x03\x03\x00\x03"), 0.3048)
	f.Fuzz(func(t *testing.T, data []byte, step float64) {
		if !(math.Abs(step) > 1e-3 && math.Abs(step) < 1e6) || len(data) > 400 {
			return
		}
		places := bytePlaces(data, step)
		tin, err := NewTIN(fromXY(places...), TINOptions{})
		if err != nil {
			return
		}
		if err := tin.Validate(); err != nil {
			t.Fatal(err)
		}
	})
}

// bytePlaces reads places on a lattice of 16 by 16 from pairs of bytes.
func bytePlaces(data []byte, step float64) []xy {
	var places []xy
	for i := 0; i+1 < len(data); i += 2 {
		places = append(places, xy{step * float64(data[i]%16), step * float64(data[i+1]%16)})
	}
	return places
}
