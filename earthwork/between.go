package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Between is the volume of the neat dam measured between surfaces, m3: the
// design as flat facets in plan against the triangles of the stripped ground,
// each pair integrated with its zero line. It uses no section, so that it
// checks the volume by end area; the two agree in the limit of close sections.
//
// On curves the design follows chords that stay within chordSagitta of the
// centreline. from and to are the stations between which the dam stands.
// What the outline has above the ground beyond a hump is in it as well, and so
// the figure is a check only where Section.Beyond is nothing.
func Between(d Design, at Terrain, from, to float64) float64 {
	return BetweenStripped(d, at, nil, from, to)
}

// BetweenStripped is Between where the ground was measured after it was stripped:
// the surfaces stand in the place of ground and stripping where they reach, the
// later of them where they overlap.
func BetweenStripped(d Design, at Terrain, stripped []geometry.Surface, from, to float64) float64 {
	low := at.Lowest()
	for _, s := range stripped {
		l, _ := s.Range()
		low = min(low, l)
	}
	sum := 0.0
	for _, f := range d.facets(at.Centreline, from, to, low) {
		sum += fillOver(at.Surface, stripped, f)
	}
	return sum
}

// fillOver is the fill under a facet over the last of the stripped surfaces, and
// over those before it and the ground, less the stripping, where that one does not
// reach: over the whole facet less what lies over each of its triangles.
func fillOver(ground geometry.Surface, stripped []geometry.Surface, f strippedFacet) float64 {
	n := len(stripped)
	if n == 0 {
		return geometry.CompareFacet(ground, f.strip, f.Facet).Fill
	}
	last, rest := stripped[n-1], stripped[:n-1]
	sum := geometry.CompareFacet(last, 0, f.Facet).Fill + fillOver(ground, rest, f)
	for t := range last.Triangles(orb.MultiPoint(f.Ring).Bound()) {
		under := f
		if under.Ring = ringOver(f.Ring, t); len(under.Ring) >= 3 {
			sum -= fillOver(ground, rest, under)
		}
	}
	return sum
}

// ringOver is the part of a convex ring over a triangle in plan.
func ringOver(ring []orb.Point, t geometry.Triangle) []orb.Point {
	for i, a := range t.At {
		b, c := t.At[(i+1)%3], t.At[(i+2)%3]
		side := orb.Point{b[0] - a[0], b[1] - a[1]}
		ring = keepAhead(ring, a, side, orb.Point{c[0] - a[0], c[1] - a[1]}, 1)
	}
	return apart(ring)
}

// chordSagitta is how far a chord may lie inside a curve of the centreline, m.
// The volume is then off by no more than about the dam's area in plan times
// that share of the curve's radius.
const chordSagitta = 0.01

// strippedFacet is a facet of the design with the stripping under it.
type strippedFacet struct {
	geometry.Facet
	strip float64
}

// leg is a straight stretch of the centreline, or a chord of it, over which the
// design's lines are straight.
type leg struct {
	at           orb.Point // where it starts
	ahead, right orb.Point // unit vectors up-station and downstream
	length       float64   // in plan
	start, end   float64   // stations
	// Unit vectors along the cuts at its two ends: square to the leg, or along
	// the mitre where it meets a leg in another direction.
	cutStart, cutEnd orb.Point
}

// facets lays the design out in plan down to a level below all ground.
func (d *Design) facets(line *geometry.Centreline, from, to, low float64) []strippedFacet {
	var out []strippedFacet
	for _, l := range d.legs(line, from, to) {
		out = append(out, d.legFacets(l, low)...)
	}
	return out
}

// legs cuts the centreline where it turns and where the design changes.
func (d *Design) legs(line *geometry.Centreline, from, to float64) []leg {
	points, stations := line.Chords(chordSagitta)
	cuts := merged(append(append(append([]float64{from, to}, stations...), d.steps(line)...), d.corners(from, to)...), from, to)
	place := func(s float64) orb.Point {
		i := 1
		for i < len(stations)-1 && s > stations[i] {
			i++
		}
		f := (s - stations[i-1]) / (stations[i] - stations[i-1])
		return orb.Point{mix(points[i-1][0], points[i][0], f), mix(points[i-1][1], points[i][1], f)}
	}
	var out []leg
	for i := 1; i < len(cuts); i++ {
		a, b := place(cuts[i-1]), place(cuts[i])
		l := leg{at: a, start: cuts[i-1], end: cuts[i], length: math.Hypot(b[0]-a[0], b[1]-a[1])}
		l.ahead = orb.Point{(b[0] - a[0]) / l.length, (b[1] - a[1]) / l.length}
		l.right = downstreamOf(l.ahead, line.Frame((l.start+l.end)/2, false))
		l.cutStart, l.cutEnd = l.right, l.right
		out = append(out, l)
	}
	for i := 1; i < len(out); i++ {
		m := orb.Point{out[i-1].right[0] + out[i].right[0], out[i-1].right[1] + out[i].right[1]}
		n := math.Hypot(m[0], m[1])
		m = orb.Point{m[0] / n, m[1] / n}
		out[i-1].cutEnd, out[i].cutStart = m, m
	}
	mitreSeam(out)
	return out
}

// downstreamOf is the unit vector square to ahead on the frame's downstream side.
func downstreamOf(ahead orb.Point, f geometry.Frame) orb.Point {
	right := orb.Point{ahead[1], -ahead[0]}
	if right[0]*f.DownstreamDir[0]+right[1]*f.DownstreamDir[1] < 0 {
		return orb.Point{-right[0], -right[1]}
	}
	return right
}

// corners are the stations at which the crest has a corner or sinks to the end
// of a part of a face, so that another set of parts stands.
func (d *Design) corners(from, to float64) []float64 {
	out := d.changes()
	levels := []float64{}
	for _, p := range slices.Concat(d.Upstream, d.Downstream) {
		if !math.IsInf(p.ToElevation, -1) {
			levels = append(levels, p.ToElevation)
		}
	}
	for i := 1; i < len(d.Crest); i++ {
		a, b := d.Crest[i-1], d.Crest[i]
		for _, z := range levels {
			if (a.Elevation-z)*(b.Elevation-z) < 0 {
				out = append(out, mix(a.Station, b.Station, (a.Elevation-z)/(a.Elevation-b.Elevation)))
			}
		}
	}
	return out
}

// legFacets lays the crest and both faces of a leg, mitred at its ends. The
// design is read well inside the leg, where all its parts stand, and carried on
// to the ends, since its lines are straight there.
func (d *Design) legFacets(l leg, low float64) []strippedFacet {
	a := d.at(mix(l.start, l.end, 0.25), JustAfter)
	b := d.at(mix(l.start, l.end, 0.75), JustBefore)
	if len(a.up) == 0 || len(a.down) == 0 {
		return nil
	}
	var out []strippedFacet
	bottom := low - a.strip - 1
	for _, side := range []struct {
		parts0, parts1 []FacePart
		sign           float64
	}{{a.up, b.up, -1}, {a.down, b.down, 1}} {
		p, q := toEnds(a.downTo(side.parts0, bottom), b.downTo(side.parts1, bottom))
		// Half of the crest goes with each face.
		inner := strip4{facePoint{0, p[0].z}, facePoint{0, q[0].z}, p[0], q[0]}
		for i := 0; ; i++ {
			if f, ok := l.facet(inner, side.sign); ok {
				out = append(out, strippedFacet{f, a.strip})
			}
			if i+1 == len(p) {
				break
			}
			inner = strip4{p[i], q[i], p[i+1], q[i+1]}
		}
	}
	return out
}

// strip4 is a strip of the design over a leg: its inner line at the leg's start
// and end, and its outer line at both.
type strip4 struct{ in0, in1, out0, out1 facePoint }

// toEnds carries a face that is known at a quarter and at three quarters of a
// leg on to its start and end.
func toEnds(p, q []facePoint) (start, end []facePoint) {
	for i := range min(len(p), len(q)) {
		start = append(start, facePoint{mix(p[i].out, q[i].out, -0.5), mix(p[i].z, q[i].z, -0.5)})
		end = append(end, facePoint{mix(p[i].out, q[i].out, 1.5), mix(p[i].z, q[i].z, 1.5)})
	}
	return start, end
}

// downTo returns a face's corners from the crest's edge down to a level.
func (c crossSection) downTo(parts []FacePart, level float64) []facePoint {
	points := c.face(parts, 0)
	last := points[len(points)-1]
	slope := parts[len(parts)-1].Slope
	if last.z > level {
		points = append(points, facePoint{last.out + slope*(last.z-level), level})
	}
	return points
}

// facet lays a strip in plan, cut by the mitres, under the plane through its
// inner line and its outer line at the leg's middle, where it is never narrower
// than at both ends. It reports false for a strip of no width.
func (l leg) facet(s strip4, sign float64) (geometry.Facet, bool) {
	in := facePoint{(s.in0.out + s.in1.out) / 2, (s.in0.z + s.in1.z) / 2}
	out := facePoint{(s.out0.out + s.out1.out) / 2, (s.out0.z + s.out1.z) / 2}
	if !(out.out-in.out > sameStation) {
		return geometry.Facet{}, false
	}
	across := (out.z - in.z) / (sign * (out.out - in.out))
	along := (s.in1.z - s.in0.z - across*sign*(s.in1.out-s.in0.out)) / l.length
	x0 := sign * s.in0.out
	f := geometry.Facet{
		Ring:      l.ring(x0, sign*s.in1.out, sign*s.out0.out, sign*s.out1.out),
		At:        orb.Point{l.at[0] + x0*l.right[0], l.at[1] + x0*l.right[1]},
		Elevation: s.in0.z,
		Rise: orb.Point{
			along*l.ahead[0] + across*l.right[0],
			along*l.ahead[1] + across*l.right[1],
		},
	}
	return f, len(f.Ring) >= 3
}

// ring is the facet between two lines in plan, each given by its offset at the
// leg's two ends, cut by the mitres. It is counter-clockwise.
func (l leg) ring(a0, a1, b0, b1 float64) []orb.Point {
	reach := max(math.Abs(a0), math.Abs(a1), math.Abs(b0), math.Abs(b1))
	before := reach * l.slant(l.cutStart)
	after := reach * l.slant(l.cutEnd)
	at := func(x0, x1, s float64) orb.Point {
		x := x0 + (x1-x0)*s/l.length
		return orb.Point{l.at[0] + s*l.ahead[0] + x*l.right[0], l.at[1] + s*l.ahead[1] + x*l.right[1]}
	}
	ring := []orb.Point{at(a0, a1, -before), at(a0, a1, l.length+after), at(b0, b1, l.length+after), at(b0, b1, -before)}
	end := orb.Point{l.at[0] + l.length*l.ahead[0], l.at[1] + l.length*l.ahead[1]}
	ring = keepAhead(ring, l.at, l.cutStart, l.ahead, 1)
	ring = apart(keepAhead(ring, end, l.cutEnd, l.ahead, -1))
	if orb.Ring(append(slices.Clone(ring), ring[:min(1, len(ring))]...)).Orientation() == orb.CW {
		slices.Reverse(ring)
	}
	return ring
}

// oneCorner is the distance under which two corners of a ring are one, m. It guards
// the direction of a side between them, which would be rounding alone, and by which
// the ground would be cut.
const oneCorner = 1e-6

// apart leaves out corners of a ring that are next to the one before.
func apart(ring []orb.Point) []orb.Point {
	var out []orb.Point
	for i, p := range ring {
		before := ring[(i+len(ring)-1)%len(ring)]
		if math.Hypot(p[0]-before[0], p[1]-before[1]) > oneCorner {
			out = append(out, p)
		}
	}
	return out
}

// slant is how far a cut runs along the leg for each metre across it.
func (l leg) slant(cut orb.Point) float64 {
	along := cut[0]*l.ahead[0] + cut[1]*l.ahead[1]
	across := cut[0]*l.right[0] + cut[1]*l.right[1]
	return math.Abs(along / across)
}

// keepAhead keeps the part of a convex ring on the side of a cut that lies ahead
// (sign 1) or behind (sign -1).
func keepAhead(ring []orb.Point, at, cut, ahead orb.Point, sign float64) []orb.Point {
	normal := orb.Point{-cut[1], cut[0]}
	if normal[0]*ahead[0]+normal[1]*ahead[1] < 0 {
		normal = orb.Point{cut[1], -cut[0]}
	}
	side := func(p orb.Point) float64 {
		return sign * (normal[0]*(p[0]-at[0]) + normal[1]*(p[1]-at[1]))
	}
	var out []orb.Point
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		a, b := side(p), side(q)
		if a >= 0 {
			out = append(out, p)
		}
		if a*b < 0 {
			f := a / (a - b)
			out = append(out, orb.Point{mix(p[0], q[0], f), mix(p[1], q[1], f)})
		}
	}
	return out
}
