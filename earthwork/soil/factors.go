package soil

// Basis says where a figure comes from.
type Basis string

// The bases, best first.
const (
	FromTests Basis = "tests"   // the mean of field tests
	Planned   Basis = "planned" // expected compaction x laboratory maximum
	Typed     Basis = "typed"   // a factor that the user typed
	Published Basis = "typical" // published for the kind of soil, not tested: see Typical
	Unknown   Basis = ""        // not known
)

// Density is a dry density in one state, kg/m3, with what stands behind it.
// The zero Density is "not known".
type Density struct {
	Value float64
	SD    float64 // standard deviation of the tests (n - 1); 0 for fewer than two
	N     int     // number of tests behind it
	From  Basis
	// Samples is the number of laboratory samples behind a planned density; 0
	// when it is not known, and for other densities.
	Samples int
}

// Factors links the three states of one soil.
type Factors struct {
	Bank, Loose, Fill Density // dry densities

	// Shrink is the shrink factor, compacted volume made by one bank volume
	// before losses: bank dry density / fill dry density.
	Shrink     float64
	ShrinkFrom Basis
	// Swell is loose volume / bank volume - 1; LoadFactor is 1 / (1 + Swell).
	Swell, LoadFactor float64
	SwellFrom         Basis
}
