package drawing

import (
	"math"

	"github.com/paulmach/orb"
)

// box is a rectangle on the paper that may be turned: its middle, half its length
// along and across, and the direction along it.
type box struct {
	at    orb.Point
	along orb.Point // of length one
	half  [2]float64
}

// segment is a straight piece of a line.
type segment struct{ a, b orb.Point }

// grown is the box, wider by d all round.
func (b box) grown(d float64) box {
	b.half[0] += d
	b.half[1] += d
	return b
}

// local is a point seen from the box: along and across from its middle.
func (b box) local(p orb.Point) (u, v float64) {
	dx, dy := p[0]-b.at[0], p[1]-b.at[1]
	return dx*b.along[0] + dy*b.along[1], dy*b.along[0] - dx*b.along[1]
}

// corners are the box's four corners in order.
func (b box) corners() [4]orb.Point {
	var out [4]orb.Point
	for i, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		u, v := s[0]*b.half[0], s[1]*b.half[1]
		out[i] = orb.Point{b.at[0] + u*b.along[0] - v*b.along[1], b.at[1] + u*b.along[1] + v*b.along[0]}
	}
	return out
}

// nearest is the point of the box nearest to p.
func (b box) nearest(p orb.Point) orb.Point {
	u, v := b.local(p)
	u, v = max(-b.half[0], min(b.half[0], u)), max(-b.half[1], min(b.half[1], v))
	return orb.Point{b.at[0] + u*b.along[0] - v*b.along[1], b.at[1] + u*b.along[1] + v*b.along[0]}
}

func (b box) ring() orb.LineString {
	c := b.corners()
	return orb.LineString{c[0], c[1], c[2], c[3], c[0]}
}

// meets tells whether two boxes overlap: no side of either parts them.
func (b box) meets(o box) bool { return !b.parts(o) && !o.parts(b) }

// parts tells whether a side of b has all of o on its other side.
func (b box) parts(o box) bool {
	low := [2]float64{math.Inf(1), math.Inf(1)}
	high := [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, c := range o.corners() {
		u, v := b.local(c)
		low[0], high[0] = min(low[0], u), max(high[0], u)
		low[1], high[1] = min(low[1], v), max(high[1], v)
	}
	for k := range 2 {
		if low[k] >= b.half[k] || high[k] <= -b.half[k] {
			return true
		}
	}
	return false
}

// crossed tells whether a segment passes through the box.
func (b box) crossed(s segment) bool {
	u0, v0 := b.local(s.a)
	u1, v1 := b.local(s.b)
	from, to := 0.0, 1.0
	for _, e := range [2][3]float64{{u0, u1 - u0, b.half[0]}, {v0, v1 - v0, b.half[1]}} {
		at, step, half := e[0], e[1], e[2]
		if step == 0 {
			if math.Abs(at) >= half {
				return false
			}
			continue
		}
		a, c := (-half-at)/step, (half-at)/step
		from, to = max(from, min(a, c)), min(to, max(a, c))
	}
	return from < to
}

// within tells whether the box lies inside an upright rectangle.
func (b box) within(r orb.Bound) bool {
	for _, c := range b.corners() {
		if c[0] < r.Min[0] || c[0] > r.Max[0] || c[1] < r.Min[1] || c[1] > r.Max[1] {
			return false
		}
	}
	return true
}

// labelGap is the least room round a label, points.
const labelGap = 1.0

// free tells whether words would stand clear of all others and of the lines that
// labels stay off, inside a rectangle.
func (s *Sheet) free(w words, room orb.Bound) bool {
	b := w.box()
	if !b.within(room) {
		return false
	}
	b = b.grown(labelGap)
	for _, t := range s.taken {
		if b.meets(t) {
			return false
		}
	}
	for _, k := range s.keep {
		if b.crossed(k) {
			return false
		}
	}
	return true
}

// label sets words at the first of the places where they stand clear, and tells
// whether there was one.
func (s *Sheet) label(w words, room orb.Bound, places []orb.Point) bool {
	for _, p := range places {
		w.at = p
		if s.free(w, room) {
			s.write(w)
			return true
		}
	}
	return false
}

// around lists places for words by a point: right, left, above and below it, then
// farther out and farther again.
func around(p orb.Point, w words, gap float64) []orb.Point {
	long := textWidth(w.text, w.size, w.bold)
	rise := (ascent - descent) / 2 * w.size
	shift := map[anchor]float64{atStart: 0, atMiddle: long / 2, atEnd: long}[w.anchor]
	var out []orb.Point
	for ring := range 12 {
		d := gap + float64(ring)*w.size*0.7
		for _, c := range [8]orb.Point{
			{d, rise},
			{-d - long, rise},
			{-long / 2, -d},
			{-long / 2, d + ascent*w.size},
			{d * 0.7, -d * 0.7},
			{-d*0.7 - long, -d * 0.7},
			{d * 0.7, d*0.7 + ascent*w.size},
			{-d*0.7 - long, d*0.7 + ascent*w.size},
		} {
			out = append(out, orb.Point{p[0] + c[0] + shift, p[1] + c[1]})
		}
	}
	return out
}

// pointed sets words by a point, with a thin leader to it where they had to stand
// away. It tells whether there was room.
func (s *Sheet) pointed(p orb.Point, w words, gap float64, room orb.Bound) bool {
	for _, at := range around(p, w, gap) {
		w.at = at
		if !s.free(w, room) {
			continue
		}
		near := w.box().nearest(p)
		led := math.Hypot(near[0]-p[0], near[1]-p[1]) > 2*gap+w.size
		if led && s.overWords(segment{p, near}) {
			continue
		}
		s.write(w)
		if led {
			s.line(hair, orb.LineString{p, near})
		}
		return true
	}
	return false
}

// overWords tells whether a line passes over words.
func (s *Sheet) overWords(l segment) bool {
	for _, b := range s.taken {
		if b.crossed(l) {
			return true
		}
	}
	return false
}

// leader draws a thin line from a point to the nearest of some words.
func (s *Sheet) leader(p orb.Point, to []box) {
	best, short := p, math.Inf(1)
	for _, b := range to {
		q := b.nearest(p)
		if d := math.Hypot(q[0]-p[0], q[1]-p[1]); d < short {
			best, short = q, d
		}
	}
	if best != p {
		s.line(hair, orb.LineString{p, best})
	}
}
