package geometry

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Limits are where ground begins and ends in plan. Rings need no elevations:
// they take those of the ground that they lie on.
type Limits struct {
	Outer []orb.Ring // ground is within one of these; none = no outer limit
	Holes []orb.Ring // places without ground; a ring within a hole is ground again
}

// none tells that there is no limit.
func (l Limits) none() bool { return len(l.Outer) == 0 && len(l.Holes) == 0 }

// rings lists all rings, closed.
func (l Limits) rings() []orb.Ring {
	var out []orb.Ring
	for _, r := range append(slices.Clone(l.Outer), l.Holes...) {
		if n := len(r); n > 0 && r[0] != r[n-1] {
			r = append(slices.Clone(r), r[0])
		}
		out = append(out, r)
	}
	return out
}

// NewTINWithin is NewTIN with limits: it triangulates the points, lays the rings
// over the ground, triangulates again with the rings as breaklines and takes
// away what lies beyond them. Numbers in a *TINError at or above len(points), and
// breaklines at or above len(opt.Breaklines), are those of the rings.
func NewTINWithin(points []GroundPoint, opt TINOptions, limits Limits) (*TIN, error) {
	if limits.none() {
		return NewTIN(points, opt)
	}
	bare, err := NewTIN(points, TINOptions{Breaklines: opt.Breaklines})
	if err != nil {
		return nil, err
	}
	all := slices.Clone(points)
	lines := slices.Clone(opt.Breaklines)
	cursor := &Cursor{}
	for _, ring := range limits.rings() {
		for i := 1; i < len(ring); i++ {
			all, lines = bare.drape(cursor, ring[i-1], ring[i], all, lines)
		}
	}
	opt.Breaklines = lines
	t, err := NewTIN(all, opt)
	if err != nil {
		return nil, err
	}
	t.cutAway(limits)
	t.summary.Triangles, t.summary.Empty = 0, 0
	t.summary.Points -= len(all) - len(points) // rings are no points of the survey
	if !t.measure() {
		return nil, &TINError{Rule: NoGroundLeft}
	}
	return t, nil
}

// drape adds the line from a to b as breaklines that lie on the ground.
func (t *TIN) drape(c *Cursor, a, b orb.Point, points []GroundPoint, lines [][]int) ([]GroundPoint, [][]int) {
	length := math.Hypot(b[0]-a[0], b[1]-a[1])
	for _, piece := range t.Slice(c, a, b) {
		var line []int
		for _, k := range piece {
			share := k.Offset / length
			at := orb.Point{mix(a[0], b[0], share), mix(a[1], b[1], share)}
			if n := len(points); len(line) > 0 && points[n-1].At == at {
				continue
			}
			line = append(line, len(points))
			points = append(points, GroundPoint{at, k.Elevation})
		}
		lines = append(lines, line)
	}
	return points, lines
}

// cutAway marks the triangles beyond the limits as empty. The rings are edges
// of triangles, so that the middle of a triangle tells for all of it.
func (t *TIN) cutAway(l Limits) {
	outer, holes := newRingSet(l.Outer), newRingSet(l.Holes)
	for i := range t.triangles() {
		if t.empty[i] {
			continue
		}
		var p xy
		for _, v := range t.corner[3*i : 3*i+3] {
			p.x += t.at[v].x / 3
			p.y += t.at[v].y / 3
		}
		t.empty[i] = len(l.Outer) > 0 && outer.around(p) == 0 || holes.around(p)%2 == 1
	}
}

// ringSet finds which rings a place lies in, with their sides in bands by y.
type ringSet struct {
	bottom, band float64
	bands        [][]ringSide
	rings        int
}

type ringSide struct {
	a, b xy
	ring int
}

func newRingSet(rings []orb.Ring) *ringSet {
	s := &ringSet{rings: len(rings), bottom: math.Inf(1)}
	top, sides := math.Inf(-1), 0
	for _, r := range rings {
		for _, p := range r {
			s.bottom, top = min(s.bottom, p[1]), max(top, p[1])
		}
		sides += len(r)
	}
	if sides == 0 || !(top > s.bottom) {
		return s
	}
	s.bands = make([][]ringSide, sides)
	s.band = (top - s.bottom) / float64(sides)
	for k, r := range rings {
		for i := range r {
			side := ringSide{place(r[i]), place(r[(i+1)%len(r)]), k}
			for n := s.index(min(side.a.y, side.b.y)); n <= s.index(max(side.a.y, side.b.y)); n++ {
				s.bands[n] = append(s.bands[n], side)
			}
		}
	}
	return s
}

func (s *ringSet) index(y float64) int {
	return min(max(int((y-s.bottom)/s.band), 0), len(s.bands)-1)
}

// around is how many rings a place lies in: those that a ray from it to the east
// crosses an odd number of times.
func (s *ringSet) around(p xy) int {
	if len(s.bands) == 0 {
		return 0
	}
	odd := make([]bool, s.rings)
	n := 0
	for _, side := range s.bands[s.index(p.y)] {
		lower, upper := side.a, side.b
		if lower.y > upper.y {
			lower, upper = upper, lower
		}
		if !(lower.y <= p.y && p.y < upper.y && sideOf(lower, upper, p) > 0) {
			continue
		}
		if odd[side.ring] = !odd[side.ring]; odd[side.ring] {
			n++
		} else {
			n--
		}
	}
	return n
}
