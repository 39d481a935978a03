package exchange

import (
	"math"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// corner is a corner of the neat outline of a section.
type corner struct {
	line      string // "upstream toe", "upstream crest edge" and so on
	offset    float64
	elevation float64
	at        orb.Point
}

// row are the corners of one section from the upstream toe to the downstream one;
// broken says that nothing joins it to the row before.
type row struct {
	corners []corner
	broken  bool
}

// sameOffset is the distance under which two corners are one, m: rounding.
const sameOffset = 1e-6

// cornersOf are the corners of a section's outline between its toes, with the
// centreline among them.
func cornersOf(c *earthwork.Section) []corner {
	if !c.Fill {
		return nil
	}
	half := c.CrestWidth / 2
	z := func(x float64) float64 {
		e, _ := c.Outline.At(x)
		return e
	}
	out := []corner{{line: "upstream toe", offset: c.UpstreamToe, elevation: c.UpstreamToeZ}}
	put := func(name string, x float64) {
		if x > out[len(out)-1].offset+sameOffset && x < c.DownstreamToe-sameOffset {
			out = append(out, corner{line: name, offset: x, elevation: z(x)})
		}
	}
	for _, k := range c.Outline {
		if k.Offset < -half-sameOffset {
			put("upstream break of slope", k.Offset)
		}
	}
	put("upstream crest edge", -half)
	put("centreline", 0)
	put("downstream crest edge", half)
	for _, k := range c.Outline {
		if k.Offset > half+sameOffset {
			put("downstream break of slope", k.Offset)
		}
	}
	return append(out, corner{line: "downstream toe", offset: c.DownstreamToe, elevation: c.DownstreamToeZ})
}

// rows are the dam's sections in plan. Where the centreline bends, the two
// sections at the bend give way to one row along the mitre between them, and
// corners beyond the mitre are left out.
func (s *scribe) rows(bends []geometry.Bend) []row {
	var out []row
	broken := true
	sections := s.r.Quantities.Sections
	for i := range sections {
		c := &sections[i]
		corners := cornersOf(c)
		if corners == nil {
			broken = true
			continue
		}
		f := s.frame(c)
		var bend *geometry.Bend
		for k := range bends {
			if math.Abs(bends[k].Station-c.Station) <= sameOffset {
				bend = &bends[k]
			}
		}
		if bend != nil && !s.closedEnd(c) {
			mitred(corners, f, bend.Turn, c.At == earthwork.After)
			if n := len(out); n > 0 && c.At == earthwork.After && !broken && same(out[n-1].corners, corners) {
				continue // the section before the bend stands there already
			}
		} else {
			for k := range corners {
				corners[k].at = f.Plan(corners[k].offset)
			}
			corners = within(corners, c.Station, bends)
		}
		if len(corners) >= 2 {
			out = append(out, row{corners, broken})
			broken = false
		}
	}
	return out
}

// closedEnd tells whether a section stands at the end of a centreline, where no
// mitre is.
func (s *scribe) closedEnd(c *earthwork.Section) bool {
	line := s.r.Plan.Line
	return !line.Closed() && (math.Abs(c.Station-line.Start()) <= sameOffset || math.Abs(c.Station-line.End()) <= sameOffset)
}

// mitred places corners on the mitre of a bend: as far from each part of the
// centreline as their offset says. turn is positive with downstream outside.
func mitred(corners []corner, f geometry.Frame, turn float64, after bool) {
	slant := math.Tan(turn / 2) // along the part for each metre of offset
	if after {
		slant = -slant
	}
	for k := range corners {
		p := f.Plan(corners[k].offset)
		d := corners[k].offset * slant
		corners[k].at = orb.Point{p[0] + d*f.Ahead[0], p[1] + d*f.Ahead[1]}
	}
}

// same tells whether two rows stand on the same places.
func same(a, b []corner) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Hypot(a[i].at[0]-b[i].at[0], a[i].at[1]-b[i].at[1]) > sameOffset || math.Abs(a[i].elevation-b[i].elevation) > sameOffset {
			return false
		}
	}
	return true
}

// within leaves out corners that lie beyond the mitre of a bend near them.
func within(corners []corner, station float64, bends []geometry.Bend) []corner {
	var out []corner
	for _, c := range corners {
		beyond := false
		for _, b := range bends {
			// Inside the bend an offset and the turn have unlike signs.
			beyond = beyond || math.Abs(station-b.Station) < -c.offset*math.Tan(b.Turn/2)+sameOffset
		}
		if !beyond {
			out = append(out, c)
		}
	}
	return out
}

// strip joins rows to triangles.
type strip struct {
	points []geometry.GroundPoint
	faces  [][3]int32
	last   []int32 // numbers of the points of the row before
	before []corner
}

// add adds a row and the triangles between it and the one before.
func (b *strip) add(r row) {
	numbers := make([]int32, len(r.corners))
	for i, c := range r.corners {
		numbers[i] = int32(len(b.points))
		b.points = append(b.points, geometry.GroundPoint{At: c.at, Elevation: c.elevation})
	}
	if !r.broken && len(b.last) > 0 {
		b.join(r.corners, numbers)
	}
	b.last, b.before = numbers, r.corners
}

// join goes along both rows at once and closes a triangle at each step: to the
// corner with the lesser offset, but lines of one name are joined to each other.
func (b *strip) join(corners []corner, numbers []int32) {
	i, k := 0, 0
	for i < len(b.last)-1 || k < len(numbers)-1 {
		ahead := k == len(numbers)-1
		if i < len(b.last)-1 && k < len(numbers)-1 {
			ahead = order(b.before[i+1], corners[k+1]) < 0
		}
		if ahead {
			b.face(b.last[i], b.last[i+1], numbers[k])
			i++
		} else {
			b.face(b.last[i], numbers[k+1], numbers[k])
			k++
		}
	}
}

// face adds a triangle that has an area.
func (b *strip) face(p, q, r int32) {
	a, c, d := b.points[p].At, b.points[q].At, b.points[r].At
	if math.Abs((c[0]-a[0])*(d[1]-a[1])-(c[1]-a[1])*(d[0]-a[0])) > smallestFace {
		b.faces = append(b.faces, [3]int32{p, q, r})
	}
}

// smallestFace is twice the area under which a triangle is a line, m2: rounding.
const smallestFace = 1e-9

// order says which of two next corners comes first, from the upstream toe on.
func order(a, b corner) float64 {
	if ra, rb := rank[a.line], rank[b.line]; ra != rb {
		return float64(ra - rb)
	}
	return a.offset - b.offset
}

// rank is the order of lines from upstream to downstream.
var rank = map[string]int{
	"upstream toe": 0, "upstream break of slope": 1, "upstream crest edge": 2, "centreline": 3,
	"downstream crest edge": 4, "downstream break of slope": 5, "downstream toe": 6,
}
