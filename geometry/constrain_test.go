package geometry

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// plane is the elevation of the lines in the tests of crossings.
func plane(p orb.Point) float64 { return 50 + 0.03*p[0] - 0.02*p[1] }

// spiked makes ground whose breaklines lie in a plane and whose other points
// stand metres above or below: a breakline that is not kept shows at once.
func spiked(places []xy, lines [][]int) []GroundPoint {
	points := make([]GroundPoint, len(places))
	for i, p := range places {
		points[i].At = orb.Point{p.x, p.y}
		points[i].Elevation = plane(points[i].At)
		if !onLines(places, lines, p) {
			points[i].Elevation += 20 * float64(1-2*(int(math.Abs(p.x+3*p.y))%2))
		}
	}
	return points
}

// onLines tells whether a place lies on a line, to within rounding.
func onLines(places []xy, lines [][]int, p xy) bool {
	for _, line := range lines {
		for k := 1; k < len(line); k++ {
			a, b := places[line[k-1]], places[line[k]]
			ab, ap, pb := math.Hypot(b.x-a.x, b.y-a.y), math.Hypot(p.x-a.x, p.y-a.y), math.Hypot(b.x-p.x, b.y-p.y)
			if ap+pb <= ab*(1+1e-12) {
				return true
			}
		}
	}
	return false
}

// checkInPlane slices along every line and expects the plane there.
func checkInPlane(t testing.TB, tin *TIN, places []xy, lines [][]int) {
	t.Helper()
	for _, line := range lines {
		for k := 1; k < len(line); k++ {
			a, b := places[line[k-1]], places[line[k]]
			length := math.Hypot(b.x-a.x, b.y-a.y)
			for _, piece := range tin.Slice(nil, orb.Point{a.x, a.y}, orb.Point{b.x, b.y}) {
				for _, knot := range piece {
					s := knot.Offset / length
					want := plane(orb.Point{mix(a.x, b.x, s), mix(a.y, b.y, s)})
					if math.Abs(knot.Elevation-want) > 1e-6 {
						t.Fatalf("on line %v: %v, want elevation %v", line, knot, want)
					}
				}
			}
		}
	}
}

func TestBreaklinesThatCross(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	crossings := 0
	for range 60 {
		var places []xy
		var lines [][]int
		for range 60 {
			places = append(places, xy{100 * r.Float64(), 100 * r.Float64()})
		}
		for i := range 6 {
			lines = append(lines, []int{3 * i, 3*i + 1, 3*i + 2})
		}
		tin := mustTIN(t, spiked(places, lines), TINOptions{Breaklines: lines})
		crossings += tin.Summary().Crossings
		checkInPlane(t, tin, places, lines)
	}
	if crossings < 60 {
		t.Errorf("only %d crossings were tried", crossings)
	}
}

// Lines over a lattice pass through places, along one another and cross there.
func TestBreaklinesOnLattice(t *testing.T) {
	r := rand.New(rand.NewPCG(33, 34))
	for range 200 {
		var places []xy
		for i := range 7 {
			for j := range 7 {
				places = append(places, xy{0.3048 * float64(i), 0.3048 * float64(j)})
			}
		}
		var lines [][]int
		for range 1 + r.IntN(6) {
			lines = append(lines, []int{r.IntN(49), r.IntN(49), r.IntN(49)})
		}
		tin := mustTIN(t, spiked(places, lines), TINOptions{Breaklines: lines})
		checkInPlane(t, tin, places, lines)
	}
}

// Two lines of a cross: alike within a tenth of a foot the mean is taken, beyond
// it the error names place, ends and elevations.
func TestBreaklinesCrossing(t *testing.T) {
	at := func(x, y, z float64) GroundPoint { return GroundPoint{orb.Point{x, y}, z} }
	points := []GroundPoint{at(0, 0, 10), at(10, 10, 12), at(0, 10, 11), at(10, 0, 11.05), at(3, 9, 0)}
	lines := [][]int{{0, 1}, {2, 3}}
	tin := mustTIN(t, points, TINOptions{Breaklines: lines})
	if z, _ := tin.Elevation(nil, orb.Point{5, 5}); math.Abs(z-11.0125) > 1e-12 {
		t.Errorf("elevation %v at the crossing, want the mean of 11 and 11.025", z)
	}
	points[3].Elevation = 11.1
	_, err := NewTIN(points, TINOptions{Breaklines: lines})
	var e *TINError
	if !errors.As(err, &e) || e.Rule != BreaklinesCross {
		t.Fatalf("error %v, want %q", err, BreaklinesCross)
	}
	if e.At != (orb.Point{5, 5}) || !slices.Equal(e.Breaklines, []int{1, 0}) || !slices.Equal(e.Points, []int{2, 3, 0, 1}) {
		t.Errorf("at %v, lines %v, points %v", e.At, e.Breaklines, e.Points)
	}
	if math.Abs(e.Elevations[0]-11.05) > 1e-12 || math.Abs(e.Elevations[1]-11) > 1e-12 {
		t.Errorf("elevations %v, want 11.05 and 11", e.Elevations)
	}
}

// A closed line, one that goes back on itself, repeated points and a breakline's
// long edge under LongestEdge.
func TestBreaklinesOddities(t *testing.T) {
	places := []xy{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {4, 6}, {4, 6}, {22, 1}, {22, -1}}
	for name, line := range map[string][]int{
		"closed": {0, 1, 2, 3, 0}, "back": {0, 2, 0}, "still": {4, 5, 4, 4}, "one": {3}, "none": {},
	} {
		t.Run(name, func(t *testing.T) {
			points := fromXY(places...)
			tin := mustTIN(t, points, TINOptions{Breaklines: [][]int{line}})
			checkDrawn(t, tin, points, [][]int{line})
		})
	}
	long := [][]int{{1, 6, 7, 1}}
	with := mustTIN(t, fromXY(places...), TINOptions{LongestEdge: 11, Breaklines: long})
	without := mustTIN(t, fromXY(places...), TINOptions{LongestEdge: 11})
	if with.Summary().Triangles != without.Summary().Triangles+1 {
		t.Errorf("%d triangles with the breaklines' long edges, %d without", with.Summary().Triangles, without.Summary().Triangles)
	}
}

func FuzzBreaklines(f *testing.F) {
	f.Add([]byte("\x00\x00\x04\x00\x04\x04\x00\x04\x02\x02\x07\x01"), []byte("\x00\x02\x01\x03"), 1.0)
	f.Add([]byte("\x00\x00\x09\x00\x09\x09\x00\x09\x02\x03\x05\x08\x07\x02"), []byte("\x00\x01\x02\x03\x04\x05\x06\x00"), 0.3048)
	f.Fuzz(func(t *testing.T, data, ends []byte, step float64) {
		if !(math.Abs(step) > 1e-3 && math.Abs(step) < 1e3) || len(data) > 120 || len(ends) > 24 {
			return
		}
		places := bytePlaces(data, step)
		if len(places) < 3 {
			return
		}
		var lines [][]int
		for i := 0; i+1 < len(ends); i += 2 {
			lines = append(lines, []int{int(ends[i]) % len(places), int(ends[i+1]) % len(places)})
		}
		tin, err := NewTIN(spiked(places, lines), TINOptions{Breaklines: lines})
		var e *TINError
		if errors.As(err, &e) && (e.Rule == OnOneLine || e.Rule == TooFewPoints) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if err := tin.Validate(); err != nil {
			t.Fatal(err)
		}
		checkInPlane(t, tin, places, lines)
	})
}
