package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Face is the upstream side of a dam in its lake: crest and faces of the design
// from the centreline out, as flat facets over the triangles of the ground. It
// belongs to the lake that it was made from.
type Face struct {
	parts []facePart
	// lowest is for each of the lake's pieces its lowest ground that the face does
	// not cover, m; +Inf when it covers all corners.
	lowest []float64
}

// facePart is a triangle in plan in which the face lies above the ground.
type facePart struct {
	ground, face geometry.Triangle
	joins        float64 // as the lake's piece
	piece        int     // the lake's piece that it lies over; parts come in its order
}

// Face lays the neat outline of a design on the lake's ground, between the
// stations that the dam stands between. line is the centreline that the lake was
// made with. Crest and faces are the facets that Between measures: exact on
// straight parts of the centreline, chords on curves, mitred where the line
// turns. What the outline has above the ground beyond a hump counts as face too;
// Section.Beyond tells where there is any. Layers laid outside the outline are
// not in it.
func (l *Lake) Face(d Design, line *geometry.Centreline, from, to float64) *Face {
	low := math.Inf(1)
	f := &Face{lowest: make([]float64, len(l.pieces))}
	for i := range l.pieces {
		f.lowest[i] = lowestOf(&l.pieces[i].Triangle)
		low = min(low, f.lowest[i])
	}
	facets, boxes := d.upstreamFacets(line, from, to, low)
	if len(facets) == 0 {
		return f
	}
	bound := boxes[0]
	for _, b := range boxes {
		bound = bound.Union(b)
	}
	var over []*geometry.Facet
	var c coverer
	var full [][]facePart // runs of parts, so that none is copied more than once
	run := make([]facePart, 0, faceRun)
	for i := range l.pieces {
		p := &l.pieces[i]
		box := boxOf(&p.Triangle)
		if !bound.Intersects(box) {
			continue
		}
		over = over[:0]
		for j := range facets {
			if boxes[j].Intersects(box) {
				over = append(over, &facets[j])
				run = c.cover(run, i, p, &facets[j])
			}
		}
		if len(run) > faceRun/2 {
			full, run = append(full, run), make([]facePart, 0, faceRun)
		}
		if len(over) > 0 {
			f.lowest[i] = lowestBare(&p.Triangle, over)
		}
	}
	f.parts = slices.Concat(append(full, run)...)
	return f
}

// faceRun is the length of a run of parts; a new one begins when half of it is left.
// It sets time and memory alone.
const faceRun = 1 << 10

// upstreamFacets are the facets of the design on the water's side, with their
// boxes.
func (d *Design) upstreamFacets(line *geometry.Centreline, from, to, low float64) ([]geometry.Facet, []orb.Bound) {
	var out []geometry.Facet
	var boxes []orb.Bound
	legs := d.legs(line, from, to)
	for _, l := range legs {
		for _, f := range d.legFacets(l, low) {
			across := 0.0
			for _, p := range f.Ring {
				across += (p[0]-l.at[0])*l.right[0] + (p[1]-l.at[1])*l.right[1]
			}
			if across < 0 {
				out = append(out, f.Facet)
				boxes = append(boxes, orb.MultiPoint(f.Ring).Bound())
			}
		}
	}
	return out, boxes
}

// mitreSeam mitres the last leg with the first where they close a ring, as legs
// in the middle are.
func mitreSeam(legs []leg) {
	n := len(legs)
	if n < 3 {
		return
	}
	first, last := &legs[0], &legs[n-1]
	end := orb.Point{last.at[0] + last.length*last.ahead[0], last.at[1] + last.length*last.ahead[1]}
	if math.Hypot(end[0]-first.at[0], end[1]-first.at[1]) > leak {
		return
	}
	m := orb.Point{last.right[0] + first.right[0], last.right[1] + first.right[1]}
	size := math.Hypot(m[0], m[1])
	if size == 0 { // the line turns back on itself
		return
	}
	m = orb.Point{m[0] / size, m[1] / size}
	last.cutEnd, first.cutStart = m, m
}

// coverer cuts pieces of the ground in memory that serves again.
type coverer struct {
	at   [2][]orb.Point
	z    [2][]float64
	side []float64
}

// cover appends what a facet has above one piece of the ground, the index of which
// is given too.
func (c *coverer) cover(parts []facePart, index int, p *lakePiece, facet *geometry.Facet) []facePart {
	at, ground := p.At[:], p.Elevation[:]
	cuts := 0
	for i, a := range facet.Ring {
		b := facet.Ring[(i+1)%len(facet.Ring)]
		c.side = c.side[:0]
		for _, q := range at {
			c.side = append(c.side, (b[0]-a[0])*(q[1]-a[1])-(b[1]-a[1])*(q[0]-a[0]))
		}
		at, ground = c.keep(at, ground, &cuts)
	}
	c.side = c.side[:0]
	for i, q := range at {
		c.side = append(c.side, facet.Level(q)-ground[i])
	}
	at, ground = c.keep(at, ground, &cuts)
	for i := 2; i < len(at); i++ {
		part := facePart{joins: p.joins, piece: index}
		for k, j := range [3]int{0, i - 1, i} {
			part.ground.At[k], part.face.At[k] = at[j], at[j]
			part.ground.Elevation[k] = ground[j]
			part.face.Elevation[k] = max(ground[j], facet.Level(at[j]))
		}
		parts = append(parts, part)
	}
	return parts
}

// keep keeps the part of a convex polygon where the coverer's side, linear over it,
// is not negative. cuts counts how often it was cut before.
func (c *coverer) keep(at []orb.Point, z []float64, cuts *int) ([]orb.Point, []float64) {
	whole := true
	for _, d := range c.side {
		whole = whole && d >= 0
	}
	if whole {
		return at, z
	}
	into := *cuts % 2 // not where the polygon is
	*cuts++
	outAt, outZ := c.at[into][:0], c.z[into][:0]
	for i, d := range c.side {
		j := (i + 1) % len(at)
		e := c.side[j]
		if d >= 0 {
			outAt, outZ = append(outAt, at[i]), append(outZ, z[i])
		}
		if d*e < 0 {
			outAt = append(outAt, onChord(at[i], at[j], d/(d-e)))
			outZ = append(outZ, mix(z[i], z[j], d/(d-e)))
		}
	}
	c.at[into], c.z[into] = outAt, outZ
	return outAt, outZ
}

// lowestBare is the lowest corner of a triangle that none of the facets covers,
// +Inf when there is none. Where a facet ends between corners, its part has a
// corner there.
func lowestBare(t *geometry.Triangle, facets []*geometry.Facet) float64 {
	low := math.Inf(1)
	for k, p := range t.At {
		bare := true
		for _, f := range facets {
			bare = bare && !(holds(f.Ring, p) && f.Level(p) > t.Elevation[k])
		}
		if bare {
			low = min(low, t.Elevation[k])
		}
	}
	return low
}

// holds tells whether a point lies in a convex counter-clockwise ring.
func holds(ring []orb.Point, p orb.Point) bool {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (b[0]-a[0])*(p[1]-a[1])-(b[1]-a[1])*(p[0]-a[0]) < 0 {
			return false
		}
	}
	return true
}

func lowestOf(t *geometry.Triangle) float64 {
	return min(t.Elevation[0], t.Elevation[1], t.Elevation[2])
}

func boxOf(t *geometry.Triangle) orb.Bound {
	a, b, c := t.At[0], t.At[1], t.At[2]
	return orb.Bound{
		Min: orb.Point{min(a[0], b[0], c[0]), min(a[1], b[1], c[1])},
		Max: orb.Point{max(a[0], b[0], c[0]), max(a[1], b[1], c[1])},
	}
}

// takes is what the face takes of the lake at a level: of its surface, m2, and
// of its volume, m3.
func (f *Face) takes(level float64) (area, volume float64) {
	for i := range f.parts {
		p := &f.parts[i]
		if p.joins >= level {
			continue
		}
		a, v := waterOver(&p.ground, level)
		b, w := waterOver(&p.face, level)
		area += a - b
		volume += v - w
	}
	return area, volume
}
