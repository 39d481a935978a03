package geometry

import "github.com/paulmach/orb"

// clipper cuts convex rings in memory of its own, which serves again: the ground
// under a design is thousands of pieces. What it returns is good until it is asked
// again.
type clipper struct {
	ring [2][]orb.Point
	side [2][]float64
}

// within returns the part of a convex ring within a triangle, both counter-
// clockwise: cut by its three sides in turn (I. E. Sutherland and G. W. Hodgman,
// "Reentrant Polygon Clipping", Communications of the ACM 17, 1974).
func (c *clipper) within(ring []orb.Point, t *Triangle) []orb.Point {
	cuts := 0
	for k := range 3 {
		p, q := place(t.At[k]), place(t.At[(k+1)%3])
		side, out := c.side[0][:0], 0
		for _, v := range ring {
			s := sideOf(p, q, place(v))
			side = append(side, s)
			if s < 0 {
				out++
			}
		}
		c.side[0] = side
		switch out {
		case 0:
			continue
		case len(ring):
			return nil
		}
		into := &c.ring[cuts%2] // not the one that ring is in
		*into, c.side[1] = cutConvex((*into)[:0], c.side[1][:0], ring, side)
		ring, cuts = *into, cuts+1
	}
	return ring
}

// prism is the area of the part of a convex ring where the heights given are not
// negative, and the volume under them there.
func (c *clipper) prism(ring []orb.Point, height []float64) (area, volume float64) {
	above, below := false, false
	for _, h := range height {
		above, below = above || h > 0, below || h < 0
	}
	switch {
	case !above:
		return 0, 0
	case !below:
		return prism(ring, height)
	}
	c.ring[0], c.side[1] = cutConvex(c.ring[0][:0], c.side[1][:0], ring, height)
	return prism(c.ring[0], c.side[1])
}

// cutConvex appends to out the part of a convex ring where side, given at its places
// and linear between, is not negative, and to at the side of the part.
func cutConvex(out []orb.Point, at []float64, ring []orb.Point, side []float64) ([]orb.Point, []float64) {
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
