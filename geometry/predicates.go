package geometry

import "math"

// xy is a place in plan, metres. It is orb.Point as two named fields, which the
// compiler passes in registers; the triangulation asks for it millions of times.
type xy struct{ x, y float64 }

// The two questions on which a triangulation stands are answered in three
// steps, each only when the one before could not tell:
//
//  1. floating point, with a bound on its own rounding error;
//  2. integers of 64, 128 and 256 bits, when the differences of coordinates are
//     exact and their bits span at most 62 places: so it is on lattices, where
//     ties are the rule;
//  3. integers of any length.
//
// Steps 2 and 3 have no rounding at all, so the sign is always the true one.
//
// The bounds follow J. R. Shewchuk, "Adaptive Precision Floating-Point
// Arithmetic and Fast Robust Geometric Predicates", Discrete & Computational
// Geometry 18 (1997), 305-363. With e = 2^-53, every operation returns the true
// result times (1 + d), |d| <= e.
//
// Side. A product (ax-cx)*(by-cy) has three roundings, so its error is at most
// (3e + 3e^2 + e^3) of the true product; the last subtraction adds e of the
// result. Since an error of the result that does not change the sign may be
// left out, 3e(|l|+|r|) stays; computing the bound from rounded l and r costs
// factors (1 + e) that 16e^2 covers.
//
// Circle. A minor such as bdx*cdy - cdx*bdy has 4 roundings on each product's
// way, a lift adx^2 + ady^2 has 4, their product 1: 9e; the two additions of
// three such terms bring at most one more that matters beside the last, hence
// 10e, and 96e^2 covers the higher terms and the rounding of the bound itself.
//
// No product is left to a compiler that may fuse it with an addition: every one
// is written float64(a*b), which the language defines to round.
const (
	roundOff    = 1.0 / (1 << 53)
	sideBound   = (3 + 16*roundOff) * roundOff
	circleBound = (10 + 96*roundOff) * roundOff

	// underflow guards the bounds above, which hold only while no product
	// underflows. An underflow adds at most 2^-1075 a product; with coordinates
	// within farthest it is multiplied by less than 1e35 on its way to the sum.
	underflow = 1e-280
)

// sideOf tells on which side of the line from a to b the place c lies: positive
// to the left, negative to the right, zero exactly on it. The sign is exact for
// coordinates within farthest; the size is twice the area of triangle abc, m2,
// to floating-point accuracy.
func sideOf(a, b, c xy) float64 {
	l := float64((a.x - c.x) * (b.y - c.y))
	r := float64((a.y - c.y) * (b.x - c.x))
	det := l - r
	if math.Abs(det) > float64(sideBound*(math.Abs(l)+math.Abs(r)))+underflow {
		return det
	}
	return signed(exactSide(a, b, c), det)
}

// inCircle is positive when d lies inside the circle through a, b and c, which
// run counter-clockwise, negative outside and zero exactly on it. The sign is
// exact for coordinates within farthest.
func inCircle(a, b, c, d xy) float64 {
	adx, ady := a.x-d.x, a.y-d.y
	bdx, bdy := b.x-d.x, b.y-d.y
	cdx, cdy := c.x-d.x, c.y-d.y

	bc, cb := float64(bdx*cdy), float64(cdx*bdy)
	ca, ac := float64(cdx*ady), float64(adx*cdy)
	ab, ba := float64(adx*bdy), float64(bdx*ady)
	al := float64(adx*adx) + float64(ady*ady)
	bl := float64(bdx*bdx) + float64(bdy*bdy)
	cl := float64(cdx*cdx) + float64(cdy*cdy)

	det := float64(al*(bc-cb)) + float64(bl*(ca-ac)) + float64(cl*(ab-ba))
	size := float64((math.Abs(bc)+math.Abs(cb))*al) +
		float64((math.Abs(ca)+math.Abs(ac))*bl) +
		float64((math.Abs(ab)+math.Abs(ba))*cl)
	if math.Abs(det) > float64(circleBound*size)+underflow {
		return det
	}
	return float64(exactCircle(a, b, c, d))
}

// signed returns a number of the sign given, and of det's size where det has
// that sign already.
func signed(sign int, det float64) float64 {
	switch {
	case sign == 0:
		return 0
	case sign > 0 && det <= 0:
		return math.SmallestNonzeroFloat64
	case sign < 0 && det >= 0:
		return -math.SmallestNonzeroFloat64
	}
	return det
}
