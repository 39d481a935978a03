package earthwork

import "math"

// SpreadThickness is how thick soil is spread loose, m, so that it rolls down
// to a lift of the given compacted thickness: the solids stay the same, so
// thickness x dry density does. Both dry densities are above zero, in any one
// unit. Soil that is spread wider than the lift or lost on the way is not in it.
//
// Source: conservation of the mass of solids (common practice).
func SpreadThickness(compacted, fillDryDensity, looseDryDensity float64) float64 {
	return compacted * (fillDryDensity / looseDryDensity)
}

// CompactedThickness is the other way round: how thick a lift becomes, m, that
// was spread loose with the given thickness.
func CompactedThickness(spread, fillDryDensity, looseDryDensity float64) float64 {
	return spread * (looseDryDensity / fillDryDensity)
}

const (
	// sliverVolume is a volume too small to be tested, m3: a litre. It guards against
	// the feather edge of a zone in a lift it only touches.
	sliverVolume = 1e-3

	// wholeTests guards the division of a volume that is a whole multiple of the
	// volume between tests: rounding must not ask for one test more.
	wholeTests = 1e-9

	// mostTests bounds a number of tests where a slip makes the volume between
	// tests next to nothing.
	mostTests = 1 << 30
)

// TestsDue is the number of density tests that a lift of one zone needs: one
// for each testEvery m3 or part of it, and not fewer than least. A testEvery of
// zero asks for none by volume. A volume of less than a litre needs none.
//
// How often to test is the job's own rule (plans, specifications, the state);
// this only counts.
func TestsDue(volume, testEvery float64, least int) int {
	if !(volume > sliverVolume) {
		return 0
	}
	tests := 0.0
	if testEvery > 0 {
		tests = math.Ceil(volume/testEvery - wholeTests)
	}
	return max(int(min(tests, mostTests)), least, 0)
}
