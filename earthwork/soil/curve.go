package soil

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
}
