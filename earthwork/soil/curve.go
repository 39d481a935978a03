package soil

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
)

// Point is one specimen of a laboratory compaction test: water content as a
// fraction of the mass of solids, dry density in kg/m3.
type Point struct {
	Water, Dry float64
}

// Curve is what is read off a laboratory compaction test.
type Curve struct {
	MaxDry  float64 // maximum dry density, kg/m3
	Optimum float64 // optimum water content, fraction
	N       int     // points behind it
	// Bracketed says that the peak lies between two points of the test, not at
	// its first or last point.
	Bracketed bool
}

// ErrFewPoints is returned by FitCurve for fewer than three different water
// contents, which fix no curve.
var ErrFewPoints = errors.New("a compaction curve needs points at three or more different water contents")

// PointError is returned by FitCurve for a point that no soil can have.
type PointError struct {
	Index int // of the point, from 0
	Point Point
}

// Error says which point is wrong, counting from 1.
func (e *PointError) Error() string {
	return fmt.Sprintf("point %d of the compaction test: water content %g and dry density %g kg/m3 "+
		"must be a number from 0 up and a number above 0", e.Index+1, e.Point.Water, e.Point.Dry)
}

// FitCurve reads the maximum dry density and the optimum water content off the
// smooth curve through the points of one laboratory compaction test, in any
// order. The curve is Akima's, or the parabola when there are three points; the
// package's comment says why. Points at the same water content count as one,
// with their mean dry density.
//
// When the highest point is the first or the last, the test does not show the
// peak: Bracketed is false, and the highest point stands for it. The true
// maximum is then at least that, and more specimens are needed.
//
// The points must be of one sample and one effort: a curve drawn through two
// soils at once means nothing. The error is a *PointError or ErrFewPoints.
func FitCurve(points []Point) (Curve, error) {
	for i, p := range points {
		if !(p.Water >= 0 && p.Dry > 0) || math.IsInf(p.Water, 1) || math.IsInf(p.Dry, 1) {
			return Curve{}, &PointError{i, p}
		}
	}
	water, dry := distinct(points)
	if len(water) < 3 {
		return Curve{}, ErrFewPoints
	}
	curve := Curve{N: len(points)}
	top := 0
	for i := range dry {
		if dry[i] > dry[top] {
			top = i
		}
	}
	curve.Optimum, curve.MaxDry = water[top], dry[top]
	// A flat top that reaches an end of the test is not a peak either.
	last := len(dry) - 1
	curve.Bracketed = dry[0] < dry[top] && dry[last] < dry[top]
	switch {
	case !curve.Bracketed:
	case len(water) == 3:
		curve.Optimum, curve.MaxDry = vertex(water, dry)
	default:
		curve.Optimum, curve.MaxDry = akimaPeak(water, dry, top)
	}
	return curve, nil
}

// distinct returns the points by rising water content, those at the same water
// content joined into their mean.
func distinct(points []Point) (water, dry []float64) {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(a, b Point) int {
		return cmp.Or(cmp.Compare(a.Water, b.Water), cmp.Compare(a.Dry, b.Dry))
	})
	for i := 0; i < len(sorted); {
		j, sum := i, 0.0
		for j < len(sorted) && sorted[j].Water-sorted[i].Water <= sameWater {
			sum += sorted[j].Dry
			j++
		}
		water = append(water, sorted[i].Water)
		dry = append(dry, sum/float64(j-i))
		i = j
	}
	return water, dry
}

// sameWater is the difference in water content (fraction) below which two
// points are one: a tenth of the 0.1 % that laboratories report. It guards
// against an endless slope between points that rounding alone tells apart.
const sameWater = 1e-4

// vertex returns the peak of the parabola through three points whose middle one
// is the highest.
func vertex(x, y []float64) (at, peak float64) {
	left, right := x[1]-x[0], x[2]-x[1]
	falls, drops := (y[1]-y[0])/left, (y[2]-y[1])/right
	bend := (drops - falls) / (left + right) // below zero, half the second derivative
	slope := falls + bend*left               // at the middle point
	step := -slope / (2 * bend)
	return x[1] + step, y[1] + slope*step/2
}

// akimaPeak returns the highest point of Akima's curve on either side of its
// highest point, x[top], exactly: the curve is a cubic between neighbours, and
// a cubic's peak is a root of a quadratic.
func akimaPeak(x, y []float64, top int) (at, peak float64) {
	var spline interp.AkimaSpline
	if err := spline.Fit(x, y); err != nil {
		// Fit has no outcome but a caller's mistake, which distinct rules out.
		panic("soil: " + err.Error())
	}
	at, peak = x[top], y[top]
	for i := top; i <= top+1; i++ {
		h := x[i] - x[i-1]
		d0, d1 := spline.PredictDerivative(x[i-1])*h, spline.PredictDerivative(x[i])*h
		for _, t := range turns(y[i-1], y[i], d0, d1) {
			if v := spline.Predict(x[i-1] + t*h); v > peak {
				at, peak = x[i-1]+t*h, v
			}
		}
	}
	return at, peak
}

// turns returns where, in (0, 1), the cubic with values y0, y1 and slopes d0,
// d1 at 0 and 1 is level: its derivative is a t2 + b t + d0.
func turns(y0, y1, d0, d1 float64) []float64 {
	rise := y1 - y0
	a, b := 3*(d0+d1-2*rise), 2*(3*rise-2*d0-d1)
	root := b*b - 4*a*d0
	if root < 0 {
		return nil
	}
	// The form without cancellation; it also serves a = 0.
	q := -(b + math.Copysign(math.Sqrt(root), b)) / 2
	var out []float64
	for _, t := range []float64{q / a, d0 / q} {
		if t > 0 && t < 1 {
			out = append(out, t)
		}
	}
	return out
}
