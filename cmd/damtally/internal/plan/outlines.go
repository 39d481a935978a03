package plan

import (
	"math"
	"slices"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// PlanView is the dam as it lies in plan, in the job's own coordinates, m: add
// Origin for the site's. It is drawn through the sections, straight between them,
// and mitred where the centreline bends.
type PlanView struct {
	Origin       orb.Point // the site's coordinates of the job's (0, 0), m
	Unit         string    // of the site's own coordinates, "" when not told
	UpstreamLeft bool      // upstream lies to the left when looking up-station

	Line *geometry.Centreline
	// Centreline holds the centreline from end to end, curves as chords, with the
	// station of each point.
	Centreline orb.LineString
	Stations   []float64
	// Ground is the ground as surveyed; nil where it is known along sections only.
	Ground geometry.Surface

	// The neat dam, up-station. A line is broken where no dam stands.
	UpstreamToe, DownstreamToe     orb.MultiLineString
	CrestUpstream, CrestDownstream orb.MultiLineString // edges of the crest
	Breaks                         orb.MultiLineString // benches and changes of slope
	// Footprint is the ground under the neat dam, counter-clockwise: one ring for
	// each stretch of dam.
	Footprint []orb.Ring
	// TrenchTop are the cutoff trench's edges at the stripped ground as rings, one
	// for each stretch that is dug; TrenchBottom the edges of its bottom.
	TrenchTop    []orb.Ring
	TrenchBottom orb.MultiLineString

	Pits  []orb.Ring // boundary of each pit, in the order of Result.Pits
	Pools []PoolOutline
	Holes []HoleView
}

// PoolOutline is the lake at a level that the site names and that is known.
type PoolOutline struct {
	Name  string
	Level float64 // m
	earthwork.Outline
}

// planView lays the dam out in plan; nil when there is no centreline.
func (j *Job) planView(r *Result, a *ahead) *PlanView {
	line := j.place.Centreline
	if line == nil {
		return nil
	}
	v := &PlanView{
		Origin: j.origin, Unit: j.planUnit, UpstreamLeft: j.site.Settings.UpstreamSide == "left",
		Line: line, Ground: j.surface,
	}
	v.Centreline, v.Stations = line.Chords(sagitta)
	s := sectionLines{line, r.Quantities.Sections}
	v.UpstreamToe = s.trace(func(c *earthwork.Section) (float64, bool) { return c.UpstreamToe, c.Fill })
	v.DownstreamToe = s.trace(func(c *earthwork.Section) (float64, bool) { return c.DownstreamToe, c.Fill })
	v.CrestUpstream = s.trace(func(c *earthwork.Section) (float64, bool) {
		return max(-c.CrestWidth/2, c.UpstreamToe), c.Fill
	})
	v.CrestDownstream = s.trace(func(c *earthwork.Section) (float64, bool) {
		return min(c.CrestWidth/2, c.DownstreamToe), c.Fill
	})
	v.Footprint = ringsBetween(v.UpstreamToe, v.DownstreamToe)
	v.Breaks = s.breaks()
	s.trench(v)
	for _, p := range r.Pits {
		v.Pits = append(v.Pits, j.local(p.Row.Ring))
	}
	v.Pools = a.poolsOf()
	v.Holes = j.holeViews(r)
	return v
}

// poolOutlines draws the edges of the pools of a lake whose levels are known; none
// without a lake.
func (j *Job) poolOutlines(d *earthwork.Design, k *Lake, face *earthwork.Face) []PoolOutline {
	if k == nil {
		return nil
	}
	l, err := j.flooded(d)
	if err != nil {
		return nil // there is no lake; the notes say why
	}
	var out []PoolOutline
	for _, p := range k.Pools {
		if !p.Known {
			continue
		}
		if o, err := l.Outline(p.Level, face); err == nil { // a known level lies below the limit
			out = append(out, PoolOutline{p.Name, p.Level, o})
		}
	}
	return out
}

// ringsBetween closes each stretch of dam between its two toes.
func ringsBetween(up, down orb.MultiLineString) []orb.Ring {
	var out []orb.Ring
	for i := range min(len(up), len(down)) {
		ring := make(orb.Ring, 0, len(up[i])+len(down[i])+1)
		ring = append(ring, up[i]...)
		for k := len(down[i]) - 1; k >= 0; k-- {
			ring = append(ring, down[i][k])
		}
		ring = slices.Compact(append(ring, ring[0])) // both lines may end in one point
		if geometry.SignedArea(ring) < 0 {
			ring.Reverse()
		}
		out = append(out, ring)
	}
	return out
}

// sectionLines draws lines in plan through the sections of a dam.
type sectionLines struct {
	line     *geometry.Centreline
	sections []earthwork.Section
}

// frame is a section's place in plan.
func (s sectionLines) frame(c *earthwork.Section) geometry.Frame {
	return s.line.Frame(c.Station, c.At == earthwork.After)
}

// trace draws the line through an offset of each section, broken where there is
// none.
func (s sectionLines) trace(offset func(*earthwork.Section) (float64, bool)) orb.MultiLineString {
	var out orb.MultiLineString
	t := tracer{bends: s.line.Bends(), line: s.line}
	for i := range s.sections {
		c := &s.sections[i]
		x, ok := offset(c)
		if !ok {
			out = t.end(out)
			continue
		}
		t.round(c.Station, x)
		t.add(c.Station, s.frame(c), x)
	}
	return t.end(out)
}

// tracer gathers the points of one line, mitring it at bends.
type tracer struct {
	line   *geometry.Centreline
	bends  []geometry.Bend
	points []tracedPoint
}

// tracedPoint is a point of a line with where it was cut.
type tracedPoint struct {
	at     orb.Point
	s, x   float64 // station and offset
	frame  geometry.Frame
	mitred bool
}

// oneStation is the distance under which two stations are one, m. It guards the
// rounding of stations that were converted from feet.
const oneStation = 1e-6

// add adds a point. Where the section before stands at the same station and looks
// another way, both give way to one point on the mitre between them.
func (t *tracer) add(station float64, f geometry.Frame, x float64) {
	n := len(t.points)
	if n > 0 && station-t.points[n-1].s <= oneStation {
		last := t.points[n-1]
		if turned := last.frame.DownstreamDir[0]*f.DownstreamDir[0] + last.frame.DownstreamDir[1]*f.DownstreamDir[1]; turned < 1-1e-9 {
			t.points[n-1] = mitre(last, f, x)
			return
		}
	}
	t.points = append(t.points, tracedPoint{at: f.Plan(x), s: station, x: x, frame: f})
}

// roundStep is how far a line turns at most between two of its points on a curve,
// radians: three degrees, a bow of 7 mm in a chord of a metre.
const roundStep = 3 * math.Pi / 180

// round adds points between the last one and a section on the same curve, the
// offset running straight with the station.
func (t *tracer) round(station, x float64) {
	n := len(t.points)
	if n == 0 {
		return
	}
	last := t.points[n-1]
	turn := math.Abs(t.line.Curvature((last.s+station)/2, false)) * (station - last.s)
	parts := math.Ceil(turn / roundStep)
	for k := 1.0; k < parts; k++ {
		s := last.s + (station-last.s)*k/parts
		t.add(s, t.line.Frame(s, false), last.x+(x-last.x)*k/parts)
	}
}

// mitre is the point on the line that halves a bend, as far out as the two
// offsets say in the mean.
func mitre(before tracedPoint, after geometry.Frame, x float64) tracedPoint {
	m := orb.Point{
		before.frame.DownstreamDir[0] + after.DownstreamDir[0],
		before.frame.DownstreamDir[1] + after.DownstreamDir[1],
	}
	// |m| is 2 cos(turn / 2), and the mitre is longer than the offset by 1 / cos.
	size := math.Hypot(m[0], m[1])
	mean := (before.x + x) / 2
	long := mean * 2 / (size * size)
	p := before
	p.at = orb.Point{after.At[0] + long*m[0], after.At[1] + long*m[1]}
	p.x, p.mitred = mean, true
	return p
}

// end closes the line and adds it. Points inside a bend that lie beyond its mitre
// are left out: they belong to the other part.
func (t *tracer) end(out orb.MultiLineString) orb.MultiLineString {
	t.seam()
	var line orb.LineString
	for _, p := range t.points {
		if t.beyond(p) {
			continue
		}
		if n := len(line); n == 0 || line[n-1] != p.at {
			line = append(line, p.at)
		}
	}
	t.points = t.points[:0]
	if len(line) < 2 {
		return out
	}
	return append(out, line)
}

// seam lets a line round a closed centreline end where it starts, on the mitre.
func (t *tracer) seam() {
	n := len(t.points)
	if n < 2 || !t.line.Closed() || t.points[0].s > t.line.Start()+oneStation || t.points[n-1].s < t.line.End()-oneStation {
		return
	}
	m := mitre(t.points[n-1], t.points[0].frame, t.points[0].x)
	t.points[0], t.points[n-1] = m, m
}

// beyond tells whether a point lies past the mitre of a bend near it.
func (t *tracer) beyond(p tracedPoint) bool {
	if p.mitred {
		return false
	}
	for _, b := range t.bends {
		// Inside the bend an offset and the turn have unlike signs.
		if over := -p.x * math.Tan(b.Turn/2); math.Abs(p.s-b.Station) < over {
			return true
		}
	}
	return false
}

// breaks draws benches and changes of slope: the corners of the outline between
// crest and toes.
func (s sectionLines) breaks() orb.MultiLineString {
	most := 0
	corners := make([][2][]float64, len(s.sections))
	for i := range s.sections {
		corners[i] = faceCorners(&s.sections[i])
		most = max(most, len(corners[i][0]), len(corners[i][1]))
	}
	var out orb.MultiLineString
	for side := range 2 {
		for k := range most {
			i := -1
			out = append(out, s.trace(func(*earthwork.Section) (float64, bool) {
				i++ // trace asks section by section, in order
				if k < len(corners[i][side]) {
					return corners[i][side][k], true
				}
				return 0, false
			})...)
		}
	}
	return out
}

// faceCorners are the offsets of the outline's corners between the crest's edges
// and the toes, from the crest out, upstream and downstream.
func faceCorners(c *earthwork.Section) (out [2][]float64) {
	if !c.Fill {
		return out
	}
	edge := c.CrestWidth/2 + oneStation
	for i := len(c.Outline) - 1; i >= 0; i-- {
		if x := c.Outline[i].Offset; x < -edge && x > c.UpstreamToe {
			out[0] = append(out[0], x)
		}
	}
	for _, k := range c.Outline {
		if k.Offset > edge && k.Offset < c.DownstreamToe {
			out[1] = append(out[1], k.Offset)
		}
	}
	return out
}

// trench draws the cutoff trench.
func (s sectionLines) trench(v *PlanView) {
	side := func(of func(*earthwork.Section) (top, bottom [2]float64, ok bool), pick int, low bool) orb.MultiLineString {
		return s.trace(func(c *earthwork.Section) (float64, bool) {
			top, bottom, ok := of(c)
			if low {
				return bottom[pick], ok
			}
			return top[pick], ok
		})
	}
	v.TrenchTop = ringsBetween(side(dug, 0, false), side(dug, 1, false))
	v.TrenchBottom = append(side(dug, 0, true), side(dug, 1, true)...)
}

// dug is where the trench of a section starts and ends at the stripped ground, and
// where its bottom does.
func dug(c *earthwork.Section) (top, bottom [2]float64, ok bool) {
	n := len(c.Dug)
	if n == 0 {
		return top, bottom, false
	}
	top = [2]float64{c.Dug[0].From, c.Dug[n-1].To}
	line := UnderTrench(c)
	low := math.Inf(1)
	for _, k := range line {
		low = min(low, k.Elevation)
	}
	bottom = [2]float64{math.Inf(1), math.Inf(-1)}
	for _, k := range line {
		if k.Elevation-low <= levelBottom {
			bottom = [2]float64{min(bottom[0], k.Offset), max(bottom[1], k.Offset)}
		}
	}
	return top, bottom, true
}

// levelBottom is how far two knots of a trench's bottom may differ in elevation,
// m. It guards rounding.
const levelBottom = 1e-6

// UnderTrench is the bottom of a section's cutoff trench, from edge to edge at
// the stripped ground; nil where none is dug.
func UnderTrench(c *earthwork.Section) geometry.Line {
	var out geometry.Line
	put := func(k geometry.Knot) {
		if n := len(out); n == 0 || out[n-1] != k {
			out = append(out, k)
		}
	}
	for _, s := range c.Dug {
		if len(s.Stack) > 0 {
			put(geometry.Knot{Offset: s.From, Elevation: s.Stack[0].BottomFrom})
			put(geometry.Knot{Offset: s.To, Elevation: s.Stack[0].BottomTo})
		}
	}
	return out
}
