package earthwork

import (
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// planArea is the area of a triangle in plan, m2.
func planArea(t *geometry.Triangle) float64 {
	ux, uy := t.At[1][0]-t.At[0][0], t.At[1][1]-t.At[0][1]
	vx, vy := t.At[2][0]-t.At[0][0], t.At[2][1]-t.At[0][1]
	return (ux*vy - uy*vx) / 2
}

// byHeight are the corners of a triangle from the lowest up.
func byHeight(t *geometry.Triangle) (low, middle, high int) {
	z := t.Elevation
	low, middle, high = 0, 1, 2
	if z[middle] < z[low] {
		low, middle = middle, low
	}
	if z[high] < z[middle] {
		middle, high = high, middle
	}
	if z[middle] < z[low] {
		low, middle = middle, low
	}
	return low, middle, high
}

// waterOver is the area of a triangle that lies below a level and the volume
// between it and the level. With corners z1 <= z2 <= z3 and plan area a the
// level cuts off, up to z2, a corner of area a (L - z1)^2 / ((z2 - z1)(z3 - z1))
// under a pyramid a third as high as L - z1; above z2 it leaves out such a
// corner at the top; above z3 there is a prism of height L - mean of z.
func waterOver(t *geometry.Triangle, level float64) (area, volume float64) {
	i, j, k := byHeight(t)
	z1, z2, z3 := t.Elevation[i], t.Elevation[j], t.Elevation[k]
	if level <= z1 {
		return 0, 0
	}
	whole := planArea(t)
	switch {
	case level <= z2:
		area = whole * ((level - z1) / (z2 - z1)) * ((level - z1) / (z3 - z1))
		return area, area * (level - z1) / 3
	case level < z3:
		dry := whole * ((z3 - level) / (z3 - z2)) * ((z3 - level) / (z3 - z1))
		return whole - dry, prism(whole, level, z1, z2, z3) + dry*(z3-level)/3
	}
	return whole, prism(whole, level, z1, z2, z3)
}

// prism is the volume between a triangle and a level, counted negative where
// the triangle lies above.
func prism(area, level, z1, z2, z3 float64) float64 {
	return area * ((level - z1) + (level - z2) + (level - z3)) / 3
}

// waterLine is where a level cuts a triangle, in plan. It reports false where
// it does not. A corner at the level counts as dry, so that an edge that lies in
// the level belongs to the triangle below it alone.
func waterLine(t *geometry.Triangle, level float64) (a, b orb.Point, ok bool) {
	i, j, k := byHeight(t)
	if t.Elevation[i] >= level || t.Elevation[k] < level {
		return a, b, false
	}
	a = atLevel(t, i, k, level)
	if t.Elevation[j] >= level {
		return a, atLevel(t, i, j, level), true
	}
	return a, atLevel(t, j, k, level), true
}

// atLevel is the point between two corners where the ground has a level that
// lies between their elevations.
func atLevel(t *geometry.Triangle, i, j int, level float64) orb.Point {
	f := (level - t.Elevation[i]) / (t.Elevation[j] - t.Elevation[i])
	return orb.Point{mix(t.At[i][0], t.At[j][0], f), mix(t.At[i][1], t.At[j][1], f)}
}
