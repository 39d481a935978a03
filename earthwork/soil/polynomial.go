package soil

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// polynomial is a least-squares polynomial of a few points. Its argument is
// moved and scaled to -1 to 1 over the points, which keeps the powers apart.
type polynomial struct {
	middle, half float64
	coefficients []float64 // of the powers of (x - middle) / half, from 0 up
	residual     float64   // root mean square distance of the points from it
}

// fitPolynomial fits a polynomial of the given degree, at least 0 and below the
// number of different x, by orthogonal triangles (QR), which lose half the
// figures that the normal equations lose.
func fitPolynomial(x, y []float64, degree int) polynomial {
	low, high := x[0], x[0]
	for _, v := range x {
		low, high = min(low, v), max(high, v)
	}
	p := polynomial{middle: (low + high) / 2, half: (high - low) / 2}
	if p.half == 0 {
		p.half = 1 // one x: only degree 0 makes sense
	}
	powers := mat.NewDense(len(x), degree+1, nil)
	for i, v := range x {
		term := 1.0
		for j := range degree + 1 {
			powers.Set(i, j, term)
			term *= (v - p.middle) / p.half
		}
	}
	var qr mat.QR
	qr.Factorize(powers)
	var c mat.VecDense
	// The only outcome but success is a warning of poor condition, which the
	// scaling keeps away for the low degrees in use.
	_ = qr.SolveVecTo(&c, false, mat.NewVecDense(len(y), y))
	p.coefficients = c.RawVector().Data
	squares := 0.0
	for i, v := range x {
		d := y[i] - p.at(v)
		squares += d * d
	}
	p.residual = math.Sqrt(squares / float64(len(x)))
	return p
}

// at is the polynomial's value.
func (p polynomial) at(x float64) float64 {
	t, sum := (x-p.middle)/p.half, 0.0
	for i := len(p.coefficients) - 1; i >= 0; i-- {
		sum = sum*t + p.coefficients[i]
	}
	return sum
}

// peak is the highest point of a polynomial of degree 3 or less from low to high.
func (p polynomial) peak(low, high float64) Reading {
	best := Reading{MaxDry: p.at(low), Optimum: low}
	try := func(x float64) {
		if x >= low && x <= high && p.at(x) > best.MaxDry {
			best = Reading{MaxDry: p.at(x), Optimum: x}
		}
	}
	try(high)
	c := append(append([]float64(nil), p.coefficients...), 0, 0, 0, 0)
	a, b, slope := 3*c[3], 2*c[2], c[1]
	root := b*b - 4*a*slope
	if root >= 0 {
		q := -(b + math.Copysign(math.Sqrt(root), b)) / 2
		for _, t := range []float64{q / a, slope / q} {
			try(p.middle + t*p.half)
		}
	}
	return best
}
