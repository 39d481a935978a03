package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

const (
	// onWall is how far from the wall a corner of the ground may lie and still
	// be on it, m. It guards the rounding of plan coordinates; where a corner is
	// taken to be on the wall, a strip of that width changes sides.
	onWall = 1e-7

	// leak is the length of an opening, m, that lets water through. Shorter ones
	// are left by rounding where a wall crosses an edge of the ground. It is ten
	// times onWall, so that what a corner on the wall leaves open stays shut.
	leak = 1e-6
)

// wall is the dam's centreline in plan as chords.
type wall struct {
	chords []chord
	bound  orb.Bound
}

// chord is a straight part of the wall.
type chord struct {
	from, to orb.Point
	ux, uy   float64 // direction, of length 1
	length   float64
	left     bool // the water is on the left of from-to
	bound    orb.Bound
}

// wallOf is the stretch of a centreline between two stations as chords, the same
// ones that the design's facets follow.
func wallOf(line *geometry.Centreline, from, to float64) wall {
	points, stations := line.Chords(chordSagitta)
	var w wall
	add := func(a, b orb.Point, station float64) {
		c := chord{from: a, to: b, length: math.Hypot(b[0]-a[0], b[1]-a[1])}
		if c.length <= leak {
			return
		}
		c.ux, c.uy = (b[0]-a[0])/c.length, (b[1]-a[1])/c.length
		d := line.Frame(station, false).DownstreamDir
		c.left = c.ux*d[1]-c.uy*d[0] < 0
		c.bound = orb.MultiPoint{a, b}.Bound().Pad(leak)
		if len(w.chords) == 0 {
			w.bound = c.bound
		}
		w.bound = w.bound.Union(c.bound)
		w.chords = append(w.chords, c)
	}
	for i := 1; i < len(points); i++ {
		s0, s1 := stations[i-1], stations[i]
		a, b := max(s0, from), min(s1, to)
		if !(a < b) {
			continue
		}
		add(onChord(points[i-1], points[i], (a-s0)/(s1-s0)), onChord(points[i-1], points[i], (b-s0)/(s1-s0)), (a+b)/2)
	}
	return w
}

func onChord(a, b orb.Point, t float64) orb.Point {
	return orb.Point{mix(a[0], b[0], t), mix(a[1], b[1], t)}
}

// aside is how far a point lies to the left of the chord's line, m.
func (c *chord) aside(p orb.Point) float64 {
	return c.ux*(p[1]-c.from[1]) - c.uy*(p[0]-c.from[0])
}

// along is how far on a point lies along the chord's line, m from its start.
func (c *chord) along(p orb.Point) float64 {
	return c.ux*(p[0]-c.from[0]) + c.uy*(p[1]-c.from[1])
}

// holds tells whether two points lie on the chord's line.
func (c *chord) holds(a, b orb.Point) bool {
	return math.Abs(c.aside(a)) <= onWall && math.Abs(c.aside(b)) <= onWall
}

// flatPolygon is a convex part of one triangle of the ground, counter-clockwise.
type flatPolygon struct {
	at []orb.Point
	z  []float64
	// side tells for the edge from each corner to the next what it lies on: an
	// edge of the triangle (0 to 2), or 3 + the number of a chord.
	side  []int
	piece int32
}

func polygonOf(t *geometry.Triangle) flatPolygon {
	return flatPolygon{at: t.At[:], z: t.Elevation[:], side: []int{0, 1, 2}}
}

// cut parts a triangle along the wall. A chord parts every polygon that it runs
// through, along its whole line, so that all parts stay convex; where the line
// goes on beyond the chord the parts are linked again.
func (w *wall) cut(t *geometry.Triangle) []flatPolygon {
	out := []flatPolygon{polygonOf(t)}
	box := boxOf(t)
	for i := range w.chords {
		c := &w.chords[i]
		if !c.bound.Intersects(box) {
			continue
		}
		for j := range out {
			if a, b, ok := out[j].split(c, 3+i); ok {
				out[j] = a
				out = append(out, b)
			}
		}
	}
	return out
}

// split parts a polygon along a chord's line, when the chord runs inside it.
func (p *flatPolygon) split(c *chord, side int) (left, right flatPolygon, ok bool) {
	n := len(p.at)
	d := make([]float64, n)
	low, high := 0.0, 0.0
	for i := range p.at {
		if d[i] = c.aside(p.at[i]); math.Abs(d[i]) <= onWall {
			d[i] = 0
		}
		low, high = min(low, d[i]), max(high, d[i])
	}
	if low == 0 || high == 0 {
		return left, right, false
	}
	from, to := math.Inf(1), math.Inf(-1) // where the line runs inside
	for i := range p.at {
		j := (i + 1) % n
		left.trace(p, i, d[i], d[j], 1, side)
		right.trace(p, i, d[i], d[j], -1, side)
		if d[i] == 0 || d[i]*d[j] < 0 {
			s := c.along(p.crossing(i, d[i], d[j]))
			from, to = min(from, s), max(to, s)
		}
	}
	return left, right, min(to, c.length)-max(from, 0) > leak
}

// trace adds the corner i and, where the edge from it crosses the line, the
// crossing, to the half that lies on the side of the sign. d and e are the
// distances of the edge's ends from the line.
func (half *flatPolygon) trace(p *flatPolygon, i int, d, e, sign float64, side int) {
	d, e = d*sign, e*sign
	add := func(at orb.Point, z float64, on int) {
		half.at, half.z, half.side = append(half.at, at), append(half.z, z), append(half.side, on)
	}
	switch {
	case d > 0 || d == 0 && e > 0:
		add(p.at[i], p.z[i], p.side[i])
	case d == 0:
		add(p.at[i], p.z[i], side)
	}
	if d*e < 0 {
		on := side // the half is left here and goes on along the line
		if e > 0 {
			on = p.side[i]
		}
		add(p.crossing(i, d, e), p.levelAt(i, d, e), on)
	}
}

// crossing is where the edge from corner i meets a line from which its ends lie
// d and e away.
func (p *flatPolygon) crossing(i int, d, e float64) orb.Point {
	if d == 0 {
		return p.at[i]
	}
	return onChord(p.at[i], p.at[(i+1)%len(p.at)], d/(d-e))
}

func (p *flatPolygon) levelAt(i int, d, e float64) float64 {
	return mix(p.z[i], p.z[(i+1)%len(p.z)], d/(d-e))
}
