package geometry

import (
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// CutFill is the earth between two surfaces over a polygon. CutArea, FillArea,
// the area where the two agree, and Missing add up to Area.
type CutFill struct {
	Cut, Fill         float64 // m3, both positive
	CutArea, FillArea float64 // m2 in plan where the second surface is below, above
	Area              float64 // m2 of the polygon in plan
	Missing           float64 // m2 of it where a surface has no ground
}

// Net is the fill less the cut, m3.
func (c CutFill) Net() float64 { return c.Fill - c.Cut }

// Compare measures the earth between two surfaces over a polygon: fill where to
// is above from, cut where it is below. The result is exact but for rounding:
// triangles of both are cut by one another and by the polygon into convex
// pieces; on a piece the difference of the two is a plane, and the piece is cut
// once more along the line where it is zero. Rings count by even and odd, so
// that a ring within another is a hole. An error is a *TINError: a polygon needs
// three places that are not on one line.
func Compare(from, to Surface, polygon orb.Polygon) (CutFill, error) {
	region, err := polygonTriangles(polygon)
	if err != nil {
		return CutFill{}, err
	}
	var out compared
	covered := 0.0
	for _, r := range region {
		out.Area += areaOf(r.At[:])
		for a := range from.Triangles(bounds(r.At[:])) {
			piece := out.one.within(r.At[:], &a)
			if len(piece) < 3 {
				continue
			}
			for b := range to.Triangles(bounds(piece)) {
				covered += out.add(out.other.within(piece, &b), &a, &b)
			}
		}
	}
	out.Missing = max(0, out.Area-covered)
	return out.CutFill, nil
}

// VolumeOver measures the earth between a surface and a level over a polygon:
// fill to bring the ground up to the level, cut to bring it down. It is Compare
// with a level plane, m.
func VolumeOver(s Surface, polygon orb.Polygon, level float64) (CutFill, error) {
	b := polygon.Bound()
	plane, err := NewTIN([]GroundPoint{
		{b.Min, level},
		{orb.Point{b.Max[0], b.Min[1]}, level},
		{b.Max, level},
		{orb.Point{b.Min[0], b.Max[1]}, level},
	}, TINOptions{})
	if err != nil {
		return CutFill{}, err
	}
	return Compare(s, plane, polygon)
}

// polygonTriangles divides the inside of a polygon into triangles.
func polygonTriangles(polygon orb.Polygon) ([]Triangle, error) {
	var points []GroundPoint
	var lines [][]int
	for _, ring := range polygon {
		first := len(points)
		var line []int
		for i, p := range ring {
			points = append(points, GroundPoint{At: p})
			line = append(line, first+i)
		}
		if len(line) > 0 {
			lines = append(lines, append(line, first))
		}
	}
	tin, err := NewTIN(points, TINOptions{Breaklines: lines})
	if err != nil {
		return nil, err
	}
	var out []Triangle
	for i := range tin.triangles() {
		t := tin.triangle(i)
		centre := orb.Point{(t.At[0][0] + t.At[1][0] + t.At[2][0]) / 3, (t.At[0][1] + t.At[1][1] + t.At[2][1]) / 3}
		inside := false
		for _, ring := range polygon {
			inside = inside != (len(ring) > 0 && planar.RingContains(closed(ring), centre))
		}
		if inside {
			out = append(out, t)
		}
	}
	return out, nil
}

// closed returns the ring with its first place at the end.
func closed(r orb.Ring) orb.Ring {
	if r[0] == r[len(r)-1] {
		return r
	}
	return append(append(orb.Ring(nil), r...), r[0])
}

// compared adds earth up; the clippers' memory serves every piece.
type compared struct {
	CutFill
	one, other, zero clipper // of the first surface, of the second, and where they meet
	up, down         []float64
}

// add puts in the earth over one convex piece, where from is triangle a and to
// is triangle b, and returns its area.
func (c *compared) add(piece []orb.Point, a, b *Triangle) float64 {
	if len(piece) < 3 {
		return 0
	}
	c.up = c.up[:0]
	for _, p := range piece {
		c.up = append(c.up, b.at(place(p))-a.at(place(p)))
	}
	return c.addHeights(piece, c.up)
}

// addHeights puts in the earth over one convex piece, where the second surface
// lies by the given heights above the first, and returns the piece's area.
func (c *compared) addHeights(piece []orb.Point, up []float64) float64 {
	c.down = c.down[:0]
	for _, h := range up {
		c.down = append(c.down, -h)
	}
	fillArea, fill := c.zero.prism(piece, up)
	cutArea, cut := c.zero.prism(piece, c.down)
	if fill > 0 {
		c.Fill, c.FillArea = c.Fill+fill, c.FillArea+fillArea
	}
	if cut > 0 {
		c.Cut, c.CutArea = c.Cut+cut, c.CutArea+cutArea
	}
	return areaOf(piece)
}

// areaOf a convex counter-clockwise ring, m2, measured from its first place so
// that large coordinates do no harm.
func areaOf(ring []orb.Point) float64 {
	sum := 0.0
	for i := 2; i < len(ring); i++ {
		o, p, q := ring[0], ring[i-1], ring[i]
		sum += float64((p[0]-o[0])*(q[1]-o[1])) - float64((p[1]-o[1])*(q[0]-o[0]))
	}
	return max(0, sum/2)
}

func bounds(ring []orb.Point) orb.Bound { return orb.MultiPoint(ring).Bound() }

// at is the elevation of a triangle at a place in it. It measures along and
// square to the longest edge, which is safe for a sliver: the share of the far
// corner lies between 0 and 1 and the rest lies on the edge.
func (t *Triangle) at(p xy) float64 {
	k, longest := 0, 0.0
	for i := range 3 {
		a, b := t.At[i], t.At[(i+1)%3]
		if l := (b[0]-a[0])*(b[0]-a[0]) + (b[1]-a[1])*(b[1]-a[1]); l > longest {
			k, longest = i, l
		}
	}
	i, j := (k+1)%3, (k+2)%3
	a, b, r := place(t.At[k]), place(t.At[i]), place(t.At[j])
	dx, dy := b.x-a.x, b.y-a.y
	whole := float64(dx*dx) + float64(dy*dy)
	foot := func(q xy) float64 { return (float64((q.x-a.x)*dx) + float64((q.y-a.y)*dy)) / whole }
	far := min(max(sideOf(a, b, p)/sideOf(a, b, r), 0), 1)
	if far == 1 {
		return t.Elevation[j]
	}
	share := min(max((foot(p)-float64(far*foot(r)))/(1-far), 0), 1)
	return mix(mix(t.Elevation[k], t.Elevation[i], share), t.Elevation[j], far)
}
