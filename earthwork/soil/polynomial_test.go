package soil

import (
	"math"
	"math/big"
	"testing"
)

// wampler are the errors that NIST's Wampler3, 4 and 5 add, by 1, 100 and 10,000,
// to the polynomial 1 + x + ... + x^5 at x = 0 to 20 (NIST Statistical Reference
// Datasets, linear regression; public domain; the figures from memory, so that
// the test first proves them: exact least squares must give back 1, 1, ..., 1).
var wampler = []int64{
	759, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 1838, -2048, 2048,
	-2048, 1838, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 759,
}

// The errors are at right angles to every polynomial of degree 5 or less, in
// whole numbers, so the certified coefficients of Wampler3 to 5 are all 1; the
// certified residual standard deviation of Wampler3 is 2360.14502379268.
func TestWamplerDataAreAsCertified(t *testing.T) {
	squares := new(big.Int)
	for power := range 6 {
		sum := new(big.Int)
		for x, e := range wampler {
			term := new(big.Int).Exp(big.NewInt(int64(x)), big.NewInt(int64(power)), nil)
			sum.Add(sum, term.Mul(term, big.NewInt(e)))
		}
		if sum.Sign() != 0 {
			t.Errorf("errors times x^%d add up to %v", power, sum)
		}
	}
	for _, e := range wampler {
		squares.Add(squares, big.NewInt(e*e))
	}
	s, _ := new(big.Float).SetInt(squares).Float64()
	if got := math.Sqrt(s / 15); math.Abs(got-2360.14502379268) > 1e-9 {
		t.Errorf("residual standard deviation %.12f", got)
	}
}

// NIST Wampler1 (all coefficients 1), Wampler2 (0.1^i) without error, and
// Wampler3 to 5 with it: the fitted polynomial is the certified one at every
// point, to the figures that double precision keeps at such errors.
func TestFitPolynomialNIST(t *testing.T) {
	for _, c := range []struct {
		name  string
		ratio float64 // between coefficients
		error float64 // times wampler
		slack float64 // relative to the largest value and error
	}{
		{"Wampler1", 1, 0, 1e-14},
		{"Wampler2", 0.1, 0, 1e-14},
		{"Wampler3", 1, 1, 1e-14},
		{"Wampler4", 1, 100, 1e-14},
		{"Wampler5", 1, 10000, 1e-14},
	} {
		certified := func(x float64) float64 {
			sum, term := 0.0, 1.0
			for range 6 {
				sum += term
				term *= c.ratio * x
			}
			return sum
		}
		var x, y []float64
		for i, e := range wampler {
			x = append(x, float64(i))
			y = append(y, certified(float64(i))+c.error*float64(e))
		}
		p := fitPolynomial(x, y, 5)
		largest := certified(20) + c.error*2523
		for _, at := range x {
			if miss := math.Abs(p.at(at) - certified(at)); miss > c.slack*largest {
				t.Errorf("%s at %g: off by %g", c.name, at, miss)
			}
		}
		want := c.error * 2360.14502379268 * math.Sqrt(15.0/21)
		if math.Abs(p.residual-want) > 1e-12*want+1e-14*largest {
			t.Errorf("%s: residual %.12g, want %.12g", c.name, p.residual, want)
		}
	}
}

// Davidson and others 1967: the published least-squares quadratic of the
// repository that digitised them, to its 8 decimals.
func TestFitPolynomialDavidson(t *testing.T) {
	water, dry := distinct(labTest(t, "proctor-davidson-1967-fsoil.csv"))
	p := fitPolynomial(water, dry, 2)
	for _, w := range []float64{0.08, 0.18, 0.27} {
		want := -22.08573584*w*w + 8.03425314*w + 0.88349184
		if got := p.at(w); math.Abs(got-want) > 2e-8 {
			t.Errorf("at %g: %.9f, want %.9f", w, got, want)
		}
	}
	peak := p.peak(water[0], water[len(water)-1])
	if math.Abs(peak.Optimum-0.181888) > 5e-7 || math.Abs(peak.MaxDry-1.614158) > 5e-7 {
		t.Errorf("vertex %+v", peak)
	}
}
