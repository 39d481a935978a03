package drawing

import (
	"math"
	"strings"

	"github.com/paulmach/orb"
)

// arcStep is the greatest turn between two corners of an arc, degrees.
const arcStep = 12.0

// arc is part of a circle, from one angle to another in degrees, from the right
// and clockwise on the paper.
func arc(at orb.Point, radius, from, to float64) orb.LineString {
	n := max(2, int(math.Ceil(math.Abs(to-from)/arcStep)))
	out := make(orb.LineString, n+1)
	for i := range out {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/float64(n)) * math.Pi / 180)
		out[i] = orb.Point{at[0] + radius*cos, at[1] + radius*sin}
	}
	if to-from == 360 {
		out[n] = out[0]
	}
	return out
}

// fields are the words of a text.
func fields(text string) []string { return strings.Fields(text) }

// clipped is what a rectangle leaves of a line.
func clipped(l orb.LineString, r orb.Bound) []orb.LineString {
	var out []orb.LineString
	var run orb.LineString
	for i := 1; i < len(l); i++ {
		a, b, ok := clipSegment(l[i-1], l[i], r)
		if !ok {
			continue
		}
		if n := len(run); n > 0 && run[n-1] == a {
			run = append(run, b)
			continue
		}
		if len(run) > 1 {
			out = append(out, run)
		}
		run = orb.LineString{a, b}
	}
	if len(run) > 1 {
		out = append(out, run)
	}
	return out
}

// clipSegment is the part of a segment inside a rectangle.
func clipSegment(a, b orb.Point, r orb.Bound) (orb.Point, orb.Point, bool) {
	from, to := 0.0, 1.0
	for k := range 2 {
		d := b[k] - a[k]
		if d == 0 {
			if a[k] < r.Min[k] || a[k] > r.Max[k] {
				return a, b, false
			}
			continue
		}
		s, t := (r.Min[k]-a[k])/d, (r.Max[k]-a[k])/d
		from, to = max(from, min(s, t)), min(to, max(s, t))
	}
	if !(from < to) {
		return a, b, false
	}
	p, q := a, b
	if from > 0 {
		p = orb.Point{a[0] + from*(b[0]-a[0]), a[1] + from*(b[1]-a[1])}
	}
	if to < 1 {
		q = orb.Point{a[0] + to*(b[0]-a[0]), a[1] + to*(b[1]-a[1])}
	}
	return p, q, true
}

// clipRing is what a rectangle leaves of the area of a ring; empty for nothing.
func clipRing(ring orb.LineString, r orb.Bound) orb.LineString {
	for k := range 2 {
		ring = keepSide(ring, k, r.Min[k], 1)
		ring = keepSide(ring, k, r.Max[k], -1)
	}
	return ring
}

// keepSide keeps the part of a ring's area where sign x (coordinate k - at) is not
// negative.
func keepSide(ring orb.LineString, k int, at, sign float64) orb.LineString {
	var out orb.LineString
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		da, db := sign*(a[k]-at), sign*(b[k]-at)
		if da >= 0 {
			out = append(out, a)
		}
		if da*db < 0 {
			f := da / (da - db)
			p := orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}
			p[k] = at
			out = append(out, p)
		}
	}
	if len(out) < 3 {
		return nil
	}
	return append(out, out[0])
}

// simplified leaves out points of a line that lie within a distance of the chord
// between those kept (Douglas and Peucker's rule).
func simplified(l orb.LineString, tolerance float64) orb.LineString {
	if len(l) < 3 {
		return l
	}
	keep := make([]bool, len(l))
	keep[0], keep[len(l)-1] = true, true
	stack := [][2]int{{0, len(l) - 1}}
	for len(stack) > 0 {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		far, at := tolerance, -1
		for i := s[0] + 1; i < s[1]; i++ {
			if d := fromChord(l[i], l[s[0]], l[s[1]]); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{s[0], at}, [2]int{at, s[1]})
		}
	}
	var out orb.LineString
	for i, k := range keep {
		if k {
			out = append(out, l[i])
		}
	}
	return out
}

// fromChord is how far a point lies from the chord from a to b.
func fromChord(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = max(0, min(1, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/n))
	}
	return math.Hypot(p[0]-a[0]-t*dx, p[1]-a[1]-t*dy)
}

// between is the point at a share of the way from a to b.
func between(a, b orb.Point, t float64) orb.Point {
	return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
}
