package geometry

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// contourRounding is how far a contour's point may lie off its level, m: the
// rounding of one interpolation.
const contourRounding = 1e-9

// On a plane each contour is one straight line, and its length is that of the
// level cut through the square (closed form).
func TestContoursOfAPlane(t *testing.T) {
	var points []GroundPoint
	r := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		p := orb.Point{100 * r.Float64(), 100 * r.Float64()}
		points = append(points, GroundPoint{At: p, Elevation: p[0] / 10})
	}
	for _, p := range []orb.Point{{0, 0}, {100, 0}, {100, 100}, {0, 100}} {
		points = append(points, GroundPoint{At: p, Elevation: p[0] / 10})
	}
	s := tinOf(t, points, TINOptions{})
	for k, lines := range Contours(s, s.Bound(), []float64{2.5, 5, 7.5}) {
		x := 25 * float64(k+1)
		if len(lines) != 1 {
			t.Fatalf("contour %d comes in %d lines", k, len(lines))
		}
		length := 0.0
		for i, p := range lines[0] {
			if math.Abs(p[0]-x) > contourRounding {
				t.Errorf("contour %d passes through %v", k, p)
			}
			if i > 0 {
				length += p[1] - lines[0][i-1][1]
			}
		}
		// Ground rises to the east, so the line runs south, higher ground on its left.
		if math.Abs(length+100) > contourRounding {
			t.Errorf("contour %d runs %.3f m north, want -100", k, length)
		}
	}
}

// The contours of a cone whose corners lie on rings are regular polygons: the
// area inside follows from the polygon's radius (closed form).
func TestContoursOfACone(t *testing.T) {
	const sides, radius, height = 24, 50.0, 20.0
	points := []GroundPoint{{Elevation: height}}
	for i := range sides {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
		points = append(points, GroundPoint{At: orb.Point{radius * cos, radius * sin}})
	}
	s := tinOf(t, points, TINOptions{})
	for k, lines := range Contours(s, s.Bound(), []float64{5, 10, 15}) {
		if len(lines) != 1 || lines[0][0] != lines[0][len(lines[0])-1] {
			t.Fatalf("contour %d is not one closed line: %v", k, lines)
		}
		rk := radius * (1 - 0.25*float64(k+1))
		want := sides * rk * rk / 2 * math.Sin(2*math.Pi/sides)
		if got := SignedArea(orb.Ring(lines[0])); math.Abs(got-want) > 1e-9*want {
			t.Errorf("contour %d holds %.9f m2, want %.9f, counter-clockwise", k, got, want)
		}
	}
}

// A corner just at the level counts as above it: the lines stay whole.
func TestContourThroughCorners(t *testing.T) {
	points := make([]GroundPoint, 0, 121)
	for x := range 11 {
		for y := range 11 {
			points = append(points, GroundPoint{At: orb.Point{float64(x), float64(y)}, Elevation: float64(x)})
		}
	}
	s := tinOf(t, points, TINOptions{})
	lines := Contours(s, s.Bound(), []float64{4})[0]
	if len(lines) != 1 || lines[0][0] != (orb.Point{4, 10}) || lines[0][len(lines[0])-1] != (orb.Point{4, 0}) {
		t.Errorf("the contour through the corners is %v", lines)
	}
}

// On any ground every contour is closed or ends at the edge, lies at its level, and
// what lies below a level by the contours is what the triangles say.
func TestContoursOfAnyGround(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		// A flat rim closes all contours above it.
		points := roughGround(seed, 60)
		var box orb.Bound
		for i, p := range points {
			if i == 0 {
				box = orb.Bound{Min: p.At, Max: p.At}
			}
			box = box.Extend(p.At)
		}
		low := math.Inf(1)
		for _, p := range points {
			low = min(low, p.Elevation)
		}
		box = box.Pad(10)
		for _, p := range []orb.Point{box.Min, box.Max, {box.Min[0], box.Max[1]}, {box.Max[0], box.Min[1]}} {
			points = append(points, GroundPoint{At: p, Elevation: low - 1})
		}
		s, err := NewTIN(points, TINOptions{})
		if err != nil {
			rt.Fatal(err)
		}
		_, high := s.Range()
		level := low - 1 + (high-low+1)*rapid.Float64Range(0.05, 0.95).Draw(rt, "share")
		inside := 0.0
		for _, l := range Contours(s, s.Bound(), []float64{level})[0] {
			if l[0] != l[len(l)-1] {
				rt.Fatalf("a contour above the rim is open, from %v to %v", l[0], l[len(l)-1])
			}
			inside += SignedArea(orb.Ring(l))
		}
		want := 0.0
		for tri := range s.Triangles(s.Bound()) {
			want += areaAbove(tri, level)
		}
		if math.Abs(inside-want) > 1e-6*max(1, want) {
			rt.Errorf("contours hold %.9f m2 above the level, the triangles %.9f", inside, want)
		}
	})
}

// areaAbove clips a triangle by a level.
func areaAbove(t Triangle, level float64) float64 {
	var ring orb.Ring
	for i := range 3 {
		j := (i + 1) % 3
		a, b := t.Elevation[i]-level, t.Elevation[j]-level
		if a >= 0 {
			ring = append(ring, t.At[i])
		}
		if a*b < 0 {
			f := a / (a - b)
			ring = append(ring, orb.Point{t.At[i][0] + f*(t.At[j][0]-t.At[i][0]), t.At[i][1] + f*(t.At[j][1]-t.At[i][1])})
		}
	}
	if len(ring) < 3 {
		return 0
	}
	return SignedArea(append(ring, ring[0]))
}
