package soil

import "math"

// Requirement is what a fill test is held against. Zero or nil leaves a part out.
type Requirement struct {
	MaxDry     float64 // laboratory maximum dry density, kg/m3
	Optimum    float64 // laboratory optimum water content, fraction
	Compaction float64 // least percent compaction, fraction of MaxDry

	// Low and High are the window of water content, as differences from the
	// optimum (fraction of the mass of solids; -0.02 is 2 points dry). Either
	// may stand alone.
	Low, High *float64
}

// The reasons why a fill test fails.
const (
	LowDensity = "density"
	TooWet     = "too wet"
	TooDry     = "too dry"
)

// Verdict is what a fill test comes to.
type Verdict struct {
	Compaction float64 // percent compaction as a fraction; NaN without a laboratory maximum
	// Judged says that at least one thing could be compared with what is required.
	Judged  bool
	Pass    bool     // judged, and nothing fails
	Reasons []string // LowDensity, TooWet, TooDry; empty unless it fails
}

// Judge compares a fill test, dry density in kg/m3 and water content as a
// fraction (NaN when it was not measured), with what is required. What the
// requirement or the test leaves out is not judged.
//
// Percent compaction is compared unrounded (the absolute method of ASTM E29,
// from memory): 94.96 % fails a required 95 % although it prints as 95.0 %.
// Show one more digit where that would puzzle the reader.
//
// The test and the laboratory maximum must be of the same soil, with the same
// oversize.
func Judge(dry, water float64, req Requirement) Verdict {
	v := Verdict{Compaction: math.NaN()}
	if req.MaxDry > 0 {
		v.Compaction = CompactionRatio(dry, req.MaxDry)
		if req.Compaction > 0 {
			v.hold(v.Compaction >= req.Compaction-compareSlack, LowDensity)
		}
	}
	if req.Optimum > 0 && !math.IsNaN(water) {
		off := water - req.Optimum
		if req.High != nil {
			v.hold(off <= *req.High+compareSlack, TooWet)
		}
		if req.Low != nil {
			v.hold(off >= *req.Low-compareSlack, TooDry)
		}
	}
	v.Pass = v.Judged && len(v.Reasons) == 0
	return v
}

// compareSlack guards a comparison of fractions near 1 against the rounding of
// floating point alone: 0.95 x 1800 / 1800 is a test that passes 0.95. It is a
// ten-millionth of a point and hides no shortfall that a gauge can read.
const compareSlack = 1e-9

// hold records one comparison and why the test fails when it does not hold.
func (v *Verdict) hold(holds bool, reason string) {
	v.Judged = true
	if !holds {
		v.Reasons = append(v.Reasons, reason)
	}
}
