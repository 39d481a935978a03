package soil

import (
	"math"

	"gonum.org/v1/gonum/interp"
)

// Reading is a peak as one way of drawing the curve shows it.
type Reading struct {
	Way     string  // how the curve was drawn
	MaxDry  float64 // kg/m3
	Optimum float64 // fraction
}

// Readings reads one laboratory compaction test in seven ways, for a comparison
// of them: its highest point, the parabola through the three highest
// neighbours, the least-squares quadratic and cubic, the natural cubic spline,
// the monotone cubic and Akima's curve. FitCurve takes the middle of the
// parabola of three, the natural spline and Akima's curve. A curve that is
// highest at an end of the test, or of too few points for the way, gives the
// highest point.
//
// The points and the error are those of FitCurve.
func Readings(points []Point) ([]Reading, error) {
	water, dry, err := plotted(points)
	if err != nil {
		return nil, err
	}
	top := highest(dry)
	out := []Reading{{"highest point", dry[top], water[top]}, parabolaOfThree(water, dry)}
	for _, p := range []struct {
		way    string
		degree int
	}{{"least-squares quadratic", 2}, {"least-squares cubic", 3}} {
		r := fitPolynomial(water, dry, min(p.degree, len(water)-1)).peak(water[0], water[len(water)-1])
		r.Way = p.way
		out = append(out, r)
	}
	for _, draw := range []drawn{naturalCubic, monotone, akima} {
		out = append(out, splinePeak(draw, water, dry))
	}
	return out, nil
}

// parabolaOfThree is the peak of the parabola through the highest point and its
// neighbours; at an end of the test, the highest point.
func parabolaOfThree(water, dry []float64) Reading {
	top := highest(dry)
	r := Reading{"parabola of three", dry[top], water[top]}
	if top > 0 && top < len(dry)-1 {
		at, peak := vertex(water[top-1:top+2], dry[top-1:top+2])
		if at > water[top-1] && at < water[top+1] && peak > r.MaxDry { // and so a number
			r.Optimum, r.MaxDry = at, peak
		}
	}
	return r
}

// vertex returns the peak of the parabola through three points whose middle one
// is the highest and above at least one neighbour.
func vertex(x, y []float64) (at, peak float64) {
	left, right := x[1]-x[0], x[2]-x[1]
	rises, falls := (y[1]-y[0])/left, (y[2]-y[1])/right
	bend := (falls - rises) / (left + right) // below zero, half the second derivative
	slope := rises + bend*left               // at the middle point
	step := -slope / (2 * bend)
	return x[1] + step, y[1] + slope*step/2
}

// drawn is a way of drawing a smooth curve through all points, piecewise cubic.
type drawn struct {
	way string
	fit func(x, y []float64) interp.DerivativePredictor
}

var (
	naturalCubic = drawn{"natural cubic spline", func(x, y []float64) interp.DerivativePredictor {
		var s interp.NaturalCubic
		return fitted(&s, s.Fit(x, y))
	}}
	akima = drawn{"Akima's curve", func(x, y []float64) interp.DerivativePredictor {
		var s interp.AkimaSpline
		return fitted(&s, s.Fit(x, y))
	}}
	monotone = drawn{"monotone cubic", func(x, y []float64) interp.DerivativePredictor {
		var s interp.FritschButland
		return fitted(&s, s.Fit(x, y))
	}}
)

// fitted passes a curve on. Fitting has no outcome but a caller's mistake, which
// distinct rules out.
func fitted(s interp.DerivativePredictor, err error) interp.DerivativePredictor {
	if err != nil {
		panic("soil: " + err.Error())
	}
	return s
}

// splinePeak returns the highest point of a curve drawn through the points, on
// either side of the highest of them, exactly: the curve is a cubic between
// neighbours, and a cubic's peak is a root of a quadratic.
func splinePeak(draw drawn, x, y []float64) Reading {
	curve := draw.fit(x, y)
	top := highest(y)
	best := Reading{draw.way, y[top], x[top]}
	for i := max(1, top); i <= min(top+1, len(x)-1); i++ {
		h := x[i] - x[i-1]
		d0, d1 := curve.PredictDerivative(x[i-1])*h, curve.PredictDerivative(x[i])*h
		for _, t := range turns(y[i-1], y[i], d0, d1) {
			if v := curve.Predict(x[i-1] + t*h); v > best.MaxDry {
				best.Optimum, best.MaxDry = x[i-1]+t*h, v
			}
		}
	}
	return best
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
