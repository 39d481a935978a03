package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// Segment is a directed straight piece of a line in plan.
type Segment struct{ From, To orb.Point }

// sameJoint is the distance within which the end of one segment is the start of the
// next, m. It guards the rounding of a crossing that two triangles figure each
// on its own; no survey tells points so near apart.
const sameJoint = 1e-5

// Chain joins segments end to start into lines. A line whose end meets its start
// is closed and repeats its first point. Segments shorter than a hundredth of a
// millimetre are passed over. The lines come in the order of their first
// segments, open ones first.
func Chain(segments []Segment) []orb.LineString {
	c := newChainer(segments)
	var out []orb.LineString
	for i := range c.segments {
		if !c.used[i] && c.before(i) < 0 {
			out = append(out, c.follow(i))
		}
	}
	for i := range c.segments {
		if !c.used[i] {
			out = append(out, c.follow(i))
		}
	}
	return out
}

// chainer finds segments by where they start and end.
type chainer struct {
	segments     []Segment
	used         []bool
	starts, ends map[[2]int64][]int32
}

func newChainer(segments []Segment) *chainer {
	c := &chainer{starts: make(map[[2]int64][]int32, len(segments)), ends: make(map[[2]int64][]int32, len(segments))}
	for _, s := range segments {
		if distance(s.From, s.To) <= sameJoint {
			continue
		}
		i := int32(len(c.segments))
		c.segments = append(c.segments, s)
		c.starts[jointOf(s.From)] = append(c.starts[jointOf(s.From)], i)
		c.ends[jointOf(s.To)] = append(c.ends[jointOf(s.To)], i)
	}
	c.used = make([]bool, len(c.segments))
	return c
}

// jointOf is the cell of a point in a grid as wide as two joints may differ.
func jointOf(p orb.Point) [2]int64 {
	return [2]int64{int64(math.Floor(p[0] / sameJoint)), int64(math.Floor(p[1] / sameJoint))}
}

// near finds the first segment not yet used whose end, told by of, lies at p; -1
// for none. The point's own cell is looked at first, then those around it.
func (c *chainer) near(in map[[2]int64][]int32, p orb.Point, of func(Segment) orb.Point) int {
	k := jointOf(p)
	best := int32(-1)
	look := func(cell [2]int64) {
		for _, i := range in[cell] {
			if !c.used[i] && distance(of(c.segments[i]), p) <= sameJoint && (best < 0 || i < best) {
				best = i
			}
		}
	}
	if look(k); best >= 0 {
		return int(best)
	}
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			look([2]int64{k[0] + dx, k[1] + dy})
		}
	}
	return int(best)
}

func (c *chainer) after(i int) int {
	return c.near(c.starts, c.segments[i].To, func(s Segment) orb.Point { return s.From })
}

func (c *chainer) before(i int) int {
	return c.near(c.ends, c.segments[i].From, func(s Segment) orb.Point { return s.To })
}

// follow takes the line that begins with segment i.
func (c *chainer) follow(i int) orb.LineString {
	first := c.segments[i].From
	line := orb.LineString{first}
	for i >= 0 {
		c.used[i] = true
		end := c.segments[i].To
		if distance(end, first) <= sameJoint {
			return append(line, first)
		}
		line = append(line, end)
		i = c.after(i)
	}
	return line
}
