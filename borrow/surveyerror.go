package borrow

import "math"

// SurveyError is how far off the elevations of a survey are, standard
// deviations, m.
type SurveyError struct {
	// Shift is what a whole survey is off by: its benchmark, the height of the
	// instrument. It does not average out.
	Shift float64
	// Point is what a single point is off by, the roughness of the ground between
	// points included. It averages out over many points.
	Point float64
}

// VolumeError is the standard error, m3, of a volume between two surveys over an
// area, m2, with so many points of each within it: area x the standard error of
// the mean difference in elevation. A survey without a point counts as one. The
// error of a mean is that of independent points (any textbook of statistics);
// Shift of the two surveys is independent as well.
func (e SurveyError) VolumeError(area float64, before, after int) float64 {
	points := 1/float64(max(1, before)) + 1/float64(max(1, after))
	return area * math.Sqrt(2*e.Shift*e.Shift+e.Point*e.Point*points)
}
