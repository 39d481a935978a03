package geometry

import (
	"math"
	"math/big"
	"math/bits"
)

// exactSide is the true sign of sideOf.
func exactSide(a, b, c xy) int {
	d := [6]float64{a.x - c.x, a.y - c.y, b.x - c.x, b.y - c.y}
	if exactDifference(a.x, c.x, d[0]) && exactDifference(a.y, c.y, d[1]) &&
		exactDifference(b.x, c.x, d[2]) && exactDifference(b.y, c.y, d[3]) {
		var n [6]int64
		if commonScale(&d, &n) {
			return minor64(n[0], n[1], n[2], n[3]).sign()
		}
	}
	return bigSide(a, b, c)
}

// exactCircle is the true sign of inCircle.
func exactCircle(a, b, c, d xy) int {
	f := [6]float64{a.x - d.x, a.y - d.y, b.x - d.x, b.y - d.y, c.x - d.x, c.y - d.y}
	if exactDifference(a.x, d.x, f[0]) && exactDifference(a.y, d.y, f[1]) &&
		exactDifference(b.x, d.x, f[2]) && exactDifference(b.y, d.y, f[3]) &&
		exactDifference(c.x, d.x, f[4]) && exactDifference(c.y, d.y, f[5]) {
		var n [6]int64
		if commonScale(&f, &n) {
			return wideCircle(&n)
		}
	}
	return bigCircle(a, b, c, d)
}

// wideCircle is the sign of the in-circle determinant of three differences.
// Numbers of 62 bits make minors and lifts below 2^125, products below 2^250
// and their sum below 2^252: within 256 bits with a sign.
func wideCircle(n *[6]int64) int {
	var sum int256
	sum.addProduct(minor64(n[2], n[3], n[4], n[5]), squares64(n[0], n[1]))
	sum.addProduct(minor64(n[4], n[5], n[0], n[1]), squares64(n[2], n[3]))
	sum.addProduct(minor64(n[0], n[1], n[2], n[3]), squares64(n[4], n[5]))
	return sum.sign()
}

// exactDifference reports whether d, the rounded a - b, is a - b itself. It is
// the tail of a two-difference (Shewchuk 1997, theorem 7).
func exactDifference(a, b, d float64) bool {
	bVirtual := a - d
	aVirtual := d + bVirtual
	return (a-aVirtual)+(bVirtual-b) == 0
}

// commonScale writes d as whole numbers of one power of two. It reports false
// when their bits span more than 62 places. It must not be given infinities.
func commonScale(d *[6]float64, n *[6]int64) bool {
	const mantissa = 1<<52 - 1
	var whole [6]uint64
	var low [6]int
	least, most := math.MaxInt, math.MinInt
	for i, v := range d {
		if v == 0 {
			continue
		}
		b := math.Float64bits(v)
		e, m := int(b>>52&0x7ff), b&mantissa
		if e == 0 {
			e = 1
		} else {
			m |= 1 << 52
		}
		zeros := bits.TrailingZeros64(m)
		whole[i], low[i] = m>>zeros, e+zeros
		least, most = min(least, low[i]), max(most, e+bits.Len64(m))
	}
	if least > most { // all are zero
		*n = [6]int64{}
		return true
	}
	if most-least > 62 {
		return false
	}
	for i, v := range d {
		if v == 0 {
			n[i] = 0
			continue
		}
		n[i] = int64(whole[i] << (low[i] - least))
		if v < 0 {
			n[i] = -n[i]
		}
	}
	return true
}

// int128 is a two's complement whole number.
type int128 struct{ hi, lo uint64 }

func (a int128) sign() int {
	switch {
	case int64(a.hi) < 0:
		return -1
	case a.hi|a.lo == 0:
		return 0
	}
	return 1
}

func (a int128) minus(b int128) int128 {
	lo, borrow := bits.Sub64(a.lo, b.lo, 0)
	hi, _ := bits.Sub64(a.hi, b.hi, borrow)
	return int128{hi, lo}
}

// product64 is the product of two numbers of at most 62 bits.
func product64(a, b int64) int128 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	if a < 0 {
		hi -= uint64(b)
	}
	if b < 0 {
		hi -= uint64(a)
	}
	return int128{hi, lo}
}

// minor64 is px*qy - qx*py.
func minor64(px, py, qx, qy int64) int128 {
	return product64(px, qy).minus(product64(qx, py))
}

// squares64 is x^2 + y^2.
func squares64(x, y int64) int128 {
	p, q := product64(x, x), product64(y, y)
	lo, carry := bits.Add64(p.lo, q.lo, 0)
	hi, _ := bits.Add64(p.hi, q.hi, carry)
	return int128{hi, lo}
}

// int256 is a two's complement whole number, least limb first.
type int256 [4]uint64

// addProduct adds m times l, where l is not negative.
func (s *int256) addProduct(m, l int128) {
	negative := int64(m.hi) < 0
	if negative {
		m = int128{}.minus(m)
	}
	h00, l00 := bits.Mul64(m.lo, l.lo)
	h01, l01 := bits.Mul64(m.lo, l.hi)
	h10, l10 := bits.Mul64(m.hi, l.lo)
	h11, l11 := bits.Mul64(m.hi, l.hi)
	var p int256
	var c1, c2 uint64
	p[0] = l00
	p[1], c1 = bits.Add64(h00, l01, 0)
	p[2], c2 = bits.Add64(h01, l11, c1)
	p[3] = h11 + c2
	p[1], c1 = bits.Add64(p[1], l10, 0)
	p[2], c2 = bits.Add64(p[2], h10, c1)
	p[3] += c2
	var carry uint64
	for i := range s {
		if negative {
			s[i], carry = bits.Sub64(s[i], p[i], carry)
		} else {
			s[i], carry = bits.Add64(s[i], p[i], carry)
		}
	}
}

func (s *int256) sign() int {
	switch {
	case int64(s[3]) < 0:
		return -1
	case s[0]|s[1]|s[2]|s[3] == 0:
		return 0
	}
	return 1
}

// bigSide is exactSide in whole numbers of any length.
func bigSide(a, b, c xy) int {
	n := bigScale(a.x, a.y, b.x, b.y, c.x, c.y)
	ax, ay := bigMinus(n[0], n[4]), bigMinus(n[1], n[5])
	bx, by := bigMinus(n[2], n[4]), bigMinus(n[3], n[5])
	return bigMinor(ax, ay, bx, by).Sign()
}

// bigCircle is exactCircle in whole numbers of any length.
func bigCircle(a, b, c, d xy) int {
	n := bigScale(a.x, a.y, b.x, b.y, c.x, c.y, d.x, d.y)
	ax, ay := bigMinus(n[0], n[6]), bigMinus(n[1], n[7])
	bx, by := bigMinus(n[2], n[6]), bigMinus(n[3], n[7])
	cx, cy := bigMinus(n[4], n[6]), bigMinus(n[5], n[7])
	sum := new(big.Int).Mul(bigMinor(bx, by, cx, cy), bigLift(ax, ay))
	sum.Add(sum, new(big.Int).Mul(bigMinor(cx, cy, ax, ay), bigLift(bx, by)))
	sum.Add(sum, new(big.Int).Mul(bigMinor(ax, ay, bx, by), bigLift(cx, cy)))
	return sum.Sign()
}

// bigScale writes finite numbers as whole numbers of one power of two.
func bigScale(v ...float64) []*big.Int {
	least := math.MaxInt
	for _, f := range v {
		if f != 0 {
			_, e := math.Frexp(f)
			least = min(least, e-53)
		}
	}
	n := make([]*big.Int, len(v))
	for i, f := range v {
		m, e := math.Frexp(f)
		n[i] = big.NewInt(int64(m * (1 << 53)))
		if f != 0 {
			n[i].Lsh(n[i], uint(e-53-least))
		}
	}
	return n
}

func bigMinus(a, b *big.Int) *big.Int { return new(big.Int).Sub(a, b) }

func bigMinor(px, py, qx, qy *big.Int) *big.Int {
	p := new(big.Int).Mul(px, qy)
	return p.Sub(p, new(big.Int).Mul(qx, py))
}

func bigLift(x, y *big.Int) *big.Int {
	p := new(big.Int).Mul(x, x)
	return p.Add(p, new(big.Int).Mul(y, y))
}
