package earthwork

import (
	"math"

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
	for i := range l.pieces {
		p := &l.pieces[i]
		box := boxOf(&p.Triangle)
		if !bound.Intersects(box) {
			continue
		}
		var over []*geometry.Facet
		for j := range facets {
			if boxes[j].Intersects(box) {
				over = append(over, &facets[j])
				f.cover(i, p, &facets[j])
			}
		}
		f.lowest[i] = lowestBare(&p.Triangle, over)
	}
	return f
}

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

// cover adds what a facet has above one piece of the ground, the index of which is
// given too.
func (f *Face) cover(index int, p *lakePiece, facet *geometry.Facet) {
	at, ground := p.At[:], p.Elevation[:]
	for i, a := range facet.Ring {
		b := facet.Ring[(i+1)%len(facet.Ring)]
		at, ground = keepWhere(at, ground, func(q orb.Point, _ float64) float64 {
			return (b[0]-a[0])*(q[1]-a[1]) - (b[1]-a[1])*(q[0]-a[0])
		})
	}
	at, ground = keepWhere(at, ground, func(q orb.Point, z float64) float64 { return facet.Level(q) - z })
	for i := 2; i < len(at); i++ {
		part := facePart{joins: p.joins, piece: index}
		for k, j := range [3]int{0, i - 1, i} {
			part.ground.At[k], part.face.At[k] = at[j], at[j]
			part.ground.Elevation[k] = ground[j]
			part.face.Elevation[k] = max(ground[j], facet.Level(at[j]))
		}
		f.parts = append(f.parts, part)
	}
}

// keepWhere keeps the part of a convex polygon where side, linear over it, is
// not negative.
func keepWhere(at []orb.Point, z []float64, side func(orb.Point, float64) float64) ([]orb.Point, []float64) {
	n := len(at)
	if n == 0 {
		return nil, nil
	}
	outAt, outZ := make([]orb.Point, 0, n+1), make([]float64, 0, n+1)
	d := side(at[0], z[0])
	for i := range n {
		j := (i + 1) % n
		e := side(at[j], z[j])
		if d >= 0 {
			outAt, outZ = append(outAt, at[i]), append(outZ, z[i])
		}
		if d*e < 0 {
			outAt = append(outAt, onChord(at[i], at[j], d/(d-e)))
			outZ = append(outZ, mix(z[i], z[j], d/(d-e)))
		}
		d = e
	}
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
	return orb.Bound{Min: t.At[0], Max: t.At[0]}.Extend(t.At[1]).Extend(t.At[2])
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
