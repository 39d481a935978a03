package geometry

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// rat is a finite float64 as a fraction, exactly.
func rat(f float64) *big.Rat { return new(big.Rat).SetFloat64(f) }

func ratMinus(a, b float64) *big.Rat { return new(big.Rat).Sub(rat(a), rat(b)) }

func ratCross(px, py, qx, qy *big.Rat) *big.Rat {
	return new(big.Rat).Sub(new(big.Rat).Mul(px, qy), new(big.Rat).Mul(qx, py))
}

// ratSide is the sign of sideOf in fractions: the definition, nothing clever.
func ratSide(a, b, c xy) int {
	return ratCross(ratMinus(a.x, c.x), ratMinus(a.y, c.y), ratMinus(b.x, c.x), ratMinus(b.y, c.y)).Sign()
}

// ratCircle is the sign of inCircle in fractions, by the 3 x 3 determinant.
func ratCircle(a, b, c, d xy) int {
	var x, y, l [3]*big.Rat
	for i, p := range []xy{a, b, c} {
		x[i], y[i] = ratMinus(p.x, d.x), ratMinus(p.y, d.y)
		l[i] = new(big.Rat).Add(new(big.Rat).Mul(x[i], x[i]), new(big.Rat).Mul(y[i], y[i]))
	}
	sum := new(big.Rat)
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		sum.Add(sum, new(big.Rat).Mul(l[i], ratCross(x[j], y[j], x[k], y[k])))
	}
	return sum.Sign()
}

func signOf(f float64) int {
	switch {
	case f > 0:
		return 1
	case f < 0:
		return -1
	}
	return 0
}

// hardPlaces yields n sets of four places of a kind that rounds badly.
func hardPlaces(kind string, n int) [][4]xy {
	r := rand.New(rand.NewPCG(1, 2))
	unit := func() float64 { return 2*r.Float64() - 1 }
	sets := make([][4]xy, n)
	for i := range sets {
		s := &sets[i]
		origin, step := xy{}, 1.0
		switch kind {
		case "near zero":
			step = math.Ldexp(1, -r.IntN(400))
		case "state plane":
			origin, step = xy{600000, 4100000}, 0.01
		case "feet":
			origin, step = xy{3, -7}, 0.3048
		}
		for j := range s {
			s[j] = xy{origin.x + step*unit(), origin.y + step*unit()}
		}
		switch kind {
		case "feet", "lattice": // equal steps: ties are common
			for j := range s {
				s[j] = xy{origin.x + step*float64(r.IntN(5)), origin.y + step*float64(r.IntN(5))}
			}
		case "on a line": // the third on the line as well as rounding allows
			t := unit()
			s[2] = xy{s[0].x + t*(s[1].x-s[0].x), s[0].y + t*(s[1].y-s[0].y)}
		case "on a circle":
			for j := range s {
				sin, cos := math.Sincos(math.Pi * unit())
				s[j] = xy{100 + 7*cos, 30 + 7*sin}
			}
		case "last bits": // one place, each coordinate a few last bits away
			p := s[0]
			for j := range s {
				s[j] = xy{ulps(p.x, r.IntN(5)-2), ulps(p.y, r.IntN(5)-2)}
			}
		case "sizes": // sizes so far apart that differences round
			for j := range s {
				s[j] = xy{math.Ldexp(unit(), r.IntN(200)-100), math.Ldexp(unit(), r.IntN(200)-100)}
			}
		}
	}
	return sets
}

func ulps(f float64, n int) float64 {
	for ; n > 0; n-- {
		f = math.Nextafter(f, math.Inf(1))
	}
	for ; n < 0; n++ {
		f = math.Nextafter(f, math.Inf(-1))
	}
	return f
}

// The predicates' signs against fractions, which have no rounding.
func TestPredicatesAgainstFractions(t *testing.T) {
	for _, kind := range []string{
		"plain", "near zero", "state plane", "feet", "lattice",
		"on a line", "on a circle", "last bits", "sizes",
	} {
		t.Run(kind, func(t *testing.T) {
			for _, s := range hardPlaces(kind, 3000) {
				checkPredicates(t, s[0], s[1], s[2], s[3])
			}
		})
	}
}

// The later steps must be right alone, not only where the first gives up.
func TestExactStepsAgainstFractions(t *testing.T) {
	narrow := 0
	for _, kind := range []string{"plain", "feet", "lattice", "last bits", "sizes"} {
		for _, s := range hardPlaces(kind, 1000) {
			a, b, c, d := s[0], s[1], s[2], s[3]
			want := ratCircle(a, b, c, d)
			if got := exactCircle(a, b, c, d); got != want {
				t.Fatalf("%s: exactCircle%v = %d, want %d", kind, s, got, want)
			}
			if got := bigCircle(a, b, c, d); got != want {
				t.Fatalf("%s: bigCircle%v = %d, want %d", kind, s, got, want)
			}
			want = ratSide(a, b, c)
			if got := exactSide(a, b, c); got != want {
				t.Fatalf("%s: exactSide%v = %d, want %d", kind, s, got, want)
			}
			if got := bigSide(a, b, c); got != want {
				t.Fatalf("%s: bigSide%v = %d, want %d", kind, s, got, want)
			}
			f := [6]float64{a.x - d.x, a.y - d.y, b.x - d.x, b.y - d.y, c.x - d.x, c.y - d.y}
			var n [6]int64
			if commonScale(&f, &n) {
				narrow++
			}
		}
	}
	if narrow < 1000 {
		t.Errorf("only %d of the sets used whole numbers of fixed length", narrow)
	}
}

// The widest numbers that step 2 lets in must not overflow.
func TestWideCircleAtItsLimit(t *testing.T) {
	const m = 1<<62 - 1
	r := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		var n [6]int64
		for i := range n {
			n[i] = m - int64(r.IntN(3))
			if r.IntN(2) == 0 {
				n[i] = -n[i]
			}
		}
		var f [6]*big.Int
		for i := range n {
			f[i] = big.NewInt(n[i])
		}
		sum := new(big.Int)
		for i := range 3 {
			j, k := 2*((i+1)%3), 2*((i+2)%3)
			sum.Add(sum, new(big.Int).Mul(bigLift(f[2*i], f[2*i+1]), bigMinor(f[j], f[j+1], f[k], f[k+1])))
		}
		if got := wideCircle(&n); got != sum.Sign() {
			t.Fatalf("wideCircle(%v) = %d, want %d", n, got, sum.Sign())
		}
	}
}

func FuzzPredicates(f *testing.F) {
	f.Add(0.0, 0.0, 1.0, 0.0, 1.0, 1.0, 0.0, 1.0)
	f.Add(0.1, 0.1, 0.2, 0.2, 0.3, 0.3, 0.30000000000000004, 0.3)
	f.Add(1e-300, 0.0, 0.0, 1e-300, -1e-300, 0.0, 0.0, -1e-300)
	f.Add(600000.001, 4100000.0, 600000.002, 4100000.001, 600000.003, 4100000.002, 1.0, 1e9)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy, dx, dy float64) {
		for _, v := range []float64{ax, ay, bx, by, cx, cy, dx, dy} {
			if !(math.Abs(v) <= farthest) {
				return // outside what a surface accepts
			}
		}
		checkPredicates(t, xy{ax, ay}, xy{bx, by}, xy{cx, cy}, xy{dx, dy})
	})
}

func checkPredicates(t *testing.T, a, b, c, d xy) {
	t.Helper()
	if got, want := signOf(sideOf(a, b, c)), ratSide(a, b, c); got != want {
		t.Fatalf("sideOf(%v, %v, %v) = %d, want %d", a, b, c, got, want)
	}
	if got, want := signOf(inCircle(a, b, c, d)), ratCircle(a, b, c, d); got != want {
		t.Fatalf("inCircle(%v, %v, %v, %v) = %d, want %d", a, b, c, d, got, want)
	}
}

func BenchmarkInCircle(b *testing.B) {
	for _, kind := range []string{"plain", "lattice", "feet", "sizes"} {
		sets := hardPlaces(kind, 1024)
		b.Run(kind, func(b *testing.B) {
			sum := 0.0
			for i := 0; b.Loop(); i++ {
				s := &sets[i%1024]
				sum += inCircle(s[0], s[1], s[2], s[3])
			}
		})
	}
}
