package soil

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
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

	// DrySpread and WaterSpread are how far apart the three ways of reading the
	// peak lie (kg/m3 and fraction): what the choice of a curve is worth on
	// these points. Both are 0 where the peak is not bracketed, and for three
	// points, which fix one parabola.
	DrySpread, WaterSpread float64
	// Residual is the root mean square distance of the points from their
	// least-squares cubic (quadratic for four points), kg/m3. It shows uneven
	// points and peaked curves alike. It is 0 for three points.
	Residual float64
	// Peaks is the number of separate highest points. One is what a test should
	// show; two or more mean that a point is off, or an odd soil.
	Peaks int
}

// FewPoints is the number of points below which a compaction curve is called
// thin: four, as ASTM D698 asks for at least four and better five specimens
// that bracket the optimum (from memory of its procedure).
const FewPoints = 4

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
// order. The peak is read off three curves and the middle reading is taken; the
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
	water, dry, err := plotted(points)
	if err != nil {
		return Curve{}, err
	}
	curve := Curve{N: len(points), Peaks: peaks(dry)}
	top := highest(dry)
	curve.Optimum, curve.MaxDry = water[top], dry[top]
	// A flat top that reaches an end of the test is not a peak either.
	last := len(dry) - 1
	curve.Bracketed = dry[0] < dry[top] && dry[last] < dry[top]
	if curve.Bracketed {
		curve.readPeak(water, dry)
	}
	if len(water) > 3 {
		curve.Residual = fitPolynomial(water, dry, min(3, len(water)-2)).residual
	}
	return curve, nil
}

// readPeak takes the middle of three readings of a peak, of its density and of its
// water content each by itself, and their ranges. One way may have the middle density
// and an optimum far from the other two.
func (c *Curve) readPeak(water, dry []float64) {
	read := []Reading{parabolaOfThree(water, dry)}
	if len(water) > 3 {
		read = append(read, splinePeak(naturalCubic, water, dry), splinePeak(akima, water, dry))
	}
	var densities, contents []float64
	for _, r := range read {
		densities, contents = append(densities, r.MaxDry), append(contents, r.Optimum)
	}
	slices.Sort(densities)
	slices.Sort(contents)
	middle, last := len(read)/2, len(read)-1
	c.MaxDry, c.Optimum = densities[middle], contents[middle]
	c.DrySpread, c.WaterSpread = densities[last]-densities[0], contents[last]-contents[0]
}

// plotted checks the points and returns them by rising water content.
func plotted(points []Point) (water, dry []float64, err error) {
	for i, p := range points {
		if !(p.Water >= 0 && p.Dry > 0) || math.IsInf(p.Water, 1) || math.IsInf(p.Dry, 1) {
			return nil, nil, &PointError{i, p}
		}
	}
	water, dry = distinct(points)
	if len(water) < 3 {
		return nil, nil, ErrFewPoints
	}
	return water, dry, nil
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

// highest is the index of the first highest value.
func highest(values []float64) int {
	top := 0
	for i := range values {
		if values[i] > values[top] {
			top = i
		}
	}
	return top
}

// peaks counts the separate highest points: stretches of equal values with
// nothing higher beside them.
func peaks(values []float64) int {
	level := slices.Compact(slices.Clone(values)) // a flat top counts once
	n := 0
	for i, v := range level {
		if (i == 0 || level[i-1] < v) && (i == len(level)-1 || level[i+1] < v) {
			n++
		}
	}
	return n
}
