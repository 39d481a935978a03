package geometry

import (
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// Polygons groups closed rings into polygons: those that run counter-clockwise
// are outer boundaries, those that run clockwise are holes in the smallest outer
// one around them. A hole with nothing around it is left out, and so is a ring of
// fewer than three corners. Rings may touch and must not cross.
func Polygons(rings []orb.Ring) orb.MultiPolygon {
	var out orb.MultiPolygon
	var areas []float64
	var holes []orb.Ring
	for _, r := range rings {
		switch a := SignedArea(r); {
		case len(r) < 4 || a == 0:
		case a > 0:
			out, areas = append(out, orb.Polygon{r}), append(areas, a)
		default:
			holes = append(holes, r)
		}
	}
	for _, h := range holes {
		best := -1
		for i, p := range out {
			if (best < 0 || areas[i] < areas[best]) && areas[i] > -SignedArea(h) && ringHolds(p[0], h) {
				best = i
			}
		}
		if best >= 0 {
			out[best] = append(out[best], h)
		}
	}
	return out
}

// SignedArea is the area inside a closed ring, m2, negative when it runs
// clockwise. It is taken about the ring's first point, so that large coordinates
// cost no digits.
func SignedArea(r orb.Ring) float64 {
	sum := 0.0
	for i := 2; i < len(r); i++ {
		ax, ay := r[i-1][0]-r[0][0], r[i-1][1]-r[0][1]
		bx, by := r[i][0]-r[0][0], r[i][1]-r[0][1]
		sum += ax*by - ay*bx
	}
	return sum / 2
}

// ringHolds tells whether a ring holds another that does not cross it: whether
// most of the other's points lie inside, since some may lie on it.
func ringHolds(outer, inner orb.Ring) bool {
	in := 0
	for _, p := range inner {
		if planar.RingContains(outer, p) {
			in++
		}
	}
	return 2*in > len(inner)
}
