package soil

import "math"

// Outlier is a value that lies farther from the others than chance allows.
type Outlier struct {
	Index    int     // of the value, from 0
	G        float64 // its distance from the mean / standard deviation
	Critical float64 // what G stays below by chance
}

// OutlierLevel is the chance, over both sides, that sound tests have a value
// called an outlier: 5 %, as ASTM E178 is commonly used.
const OutlierLevel = 0.05

// FindOutlier tests the value that lies farthest from the mean by Grubbs's
// test, two-sided (ASTM E178; Grubbs, Technometrics 11, 1969), and returns it
// when it is an outlier at the level. Fewer than three values, and values all
// alike, have none. The test flags one value at a time and takes the others to
// be spread as the normal distribution; nothing is dropped for it: a flagged
// test is to be looked into.
func FindOutlier(values []float64, level float64) (Outlier, bool) {
	n := len(values)
	mean, sd := Mean(values)
	if n < 3 || sd == 0 {
		return Outlier{}, false
	}
	far := Outlier{Critical: GrubbsCritical(n, level)}
	for i, v := range values {
		if g := math.Abs(v-mean) / sd; g > far.G {
			far.Index, far.G = i, g
		}
	}
	return far, far.G > far.Critical
}

// GrubbsCritical is the critical value of Grubbs's two-sided test for n values,
// three or more, at a level in (0, 1):
// (n - 1) / sqrt(n) x sqrt(t^2 / (n - 2 + t^2)), with Student's t of
// 1 - level / (2 n) at n - 2 degrees of freedom.
func GrubbsCritical(n int, level float64) float64 {
	m := float64(n)
	t := StudentT(1-level/(2*m), m-2)
	return (m - 1) / math.Sqrt(m) * math.Sqrt(t*t/(m-2+t*t))
}
