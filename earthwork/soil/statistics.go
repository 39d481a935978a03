package soil

import "math"

// Mean returns the arithmetic mean of the values and their standard deviation
// with n - 1, in the values' own unit. The deviation is 0 for one value; both
// are 0 for none. Deviations are taken from the mean (two passes), so that
// values alike in their leading figures keep their spread.
func Mean(values []float64) (mean, sd float64) {
	n := float64(len(values))
	if n == 0 {
		return 0, 0
	}
	for _, v := range values {
		mean += v / n
	}
	if n == 1 {
		return mean, 0
	}
	// The sum of deviations is nought but for rounding: taking it out again
	// removes the rounding of the first pass (Chan, Golub and LeVeque, 1983).
	var sum, squares float64
	for _, v := range values {
		d := v - mean
		sum += d
		squares += d * d
	}
	return mean + sum/n, math.Sqrt(max(0, squares-sum*sum/n) / (n - 1))
}

// DensityOf returns the density that tests of dry density (kg/m3) stand for:
// their mean, FromTests. It is the zero Density, not known, without tests.
func DensityOf(tests []float64) Density {
	if len(tests) == 0 {
		return Density{}
	}
	mean, sd := Mean(tests)
	return Density{Value: mean, SD: sd, N: len(tests), From: FromTests}
}
