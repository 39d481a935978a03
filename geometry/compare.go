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
	var out CutFill
	covered := 0.0
	for _, r := range region {
		out.Area += areaOf(r.At[:])
		for a := range from.Triangles(bounds(r.At[:])) {
			piece := clipConvex(r.At[:], a)
			if len(piece) < 3 {
				continue
			}
			for b := range to.Triangles(bounds(piece)) {
				covered += out.add(clipConvex(piece, b), a, b)
			}
		}
	}
	out.Missing = max(0, out.Area-covered)
	return out, nil
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

// clipConvex returns the part of a convex ring within a triangle, both counter-
// clockwise: cut by its three sides in turn (I. E. Sutherland and G. W. Hodgman,
// "Reentrant Polygon Clipping", Communications of the ACM 17, 1974).
func clipConvex(ring []orb.Point, t Triangle) []orb.Point {
	for k := range 3 {
		p, q := place(t.At[k]), place(t.At[(k+1)%3])
		side := make([]float64, len(ring))
		for i, v := range ring {
			side[i] = sideOf(p, q, place(v))
		}
		ring, _ = cutConvex(ring, side)
	}
	return ring
}

// cutConvex keeps the part of a convex ring where side, given at its places and
// linear between, is not negative. side of the part comes with it.
func cutConvex(ring []orb.Point, side []float64) ([]orb.Point, []float64) {
	out := make([]orb.Point, 0, len(ring)+1)
	at := make([]float64, 0, len(ring)+1)
	for i, v := range ring {
		j := (i + 1) % len(ring)
		if side[i] >= 0 {
			out, at = append(out, v), append(at, side[i])
		}
		if side[i] < 0 && side[j] > 0 || side[i] > 0 && side[j] < 0 {
			s := side[i] / (side[i] - side[j])
			out = append(out, orb.Point{mix(v[0], ring[j][0], s), mix(v[1], ring[j][1], s)})
			at = append(at, 0)
		}
	}
	return out, at
}

// add puts in the earth over one convex piece, where from is triangle a and to
// is triangle b, and returns its area.
func (c *CutFill) add(piece []orb.Point, a, b Triangle) float64 {
	if len(piece) < 3 {
		return 0
	}
	up := make([]float64, len(piece))
	for i, p := range piece {
		up[i] = b.at(place(p)) - a.at(place(p))
	}
	return c.addHeights(piece, up)
}

// addHeights puts in the earth over one convex piece, where the second surface
// lies by the given heights above the first, and returns the piece's area.
func (c *CutFill) addHeights(piece []orb.Point, up []float64) float64 {
	down := make([]float64, len(up))
	for i, h := range up {
		down[i] = -h
	}
	fillArea, fill := prism(cutConvex(piece, up))
	cutArea, cut := prism(cutConvex(piece, down))
	if fill > 0 {
		c.Fill, c.FillArea = c.Fill+fill, c.FillArea+fillArea
	}
	if cut > 0 {
		c.Cut, c.CutArea = c.Cut+cut, c.CutArea+cutArea
	}
	return areaOf(piece)
}

// prism is the area of a convex ring and the volume under a plane of the heights
// given: a fan of triangles, each its area times its mean height.
func prism(ring []orb.Point, height []float64) (area, volume float64) {
	for i := 2; i < len(ring); i++ {
		a := areaOf([]orb.Point{ring[0], ring[i-1], ring[i]})
		area += a
		volume += a * (height[0] + height[i-1] + height[i]) / 3
	}
	return area, volume
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
func (t Triangle) at(p xy) float64 {
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
