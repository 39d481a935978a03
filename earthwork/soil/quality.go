package soil

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Lot is what the tests of one lot (a zone, a lift, a day) come to.
type Lot struct {
	N               int
	Mean, SD        float64 // SD with n - 1; 0 for fewer than two
	Lowest, Highest float64
	// Within is the estimated share of the whole lot within the limits, a
	// fraction; NaN without limits or with fewer than three tests.
	Within float64
}

// SumUp works out the lot of the values, in their own unit. Either limit may be
// nil. The zero Lot, with Within NaN, stands for no values.
func SumUp(values []float64, low, high *float64) Lot {
	lot := Lot{N: len(values), Within: math.NaN()}
	if lot.N == 0 {
		return lot
	}
	lot.Mean, lot.SD = Mean(values)
	lot.Lowest, lot.Highest = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		lot.Lowest, lot.Highest = min(lot.Lowest, v), max(lot.Highest, v)
	}
	if lot.N < leastForQuality || low == nil && high == nil {
		return lot
	}
	lot.Within = 1
	if low != nil {
		lot.Within -= 1 - WithinLimit(qualityIndex(lot.Mean-*low, lot.SD), lot.N)
	}
	if high != nil {
		lot.Within -= 1 - WithinLimit(qualityIndex(*high-lot.Mean, lot.SD), lot.N)
	}
	lot.Within = max(0, lot.Within)
	return lot
}

// leastForQuality is the fewest tests that the quality index is tabulated for.
const leastForQuality = 3

// qualityIndex is (distance to the limit) / (standard deviation). Tests all
// alike are wholly on one side of the limit; on the limit they are within it.
func qualityIndex(distance, sd float64) float64 {
	if sd == 0 {
		if distance < 0 {
			return math.Inf(-1)
		}
		return math.Inf(1)
	}
	return distance / sd
}

// WithinLimit is the estimated share of a lot, a fraction, on the right side of
// one limit, from the quality index of n tests, three or more:
// index = (mean - lower limit) / s or (upper limit - mean) / s.
//
// It is the standard deviation method of FHWA Technical Advisory T 5080.12
// (1989), Table 1B, whose values come from the symmetric beta distribution:
// I_x(a, a) with x = 1/2 + index sqrt(n) / (2 (n - 1)), kept within 0 and 1, and
// a = n / 2 - 1. It grows with the index. The share within two limits is the sum
// of the two less 1.
func WithinLimit(index float64, n int) float64 {
	m := float64(n)
	x := 0.5 + index*math.Sqrt(m)/(2*(m-1))
	if x <= 0 {
		return 0
	}
	if x >= 1 {
		return 1
	}
	return mathext.RegIncBeta(m/2-1, m/2-1, x)
}
