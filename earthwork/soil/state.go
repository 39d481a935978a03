package soil

// State is one of the three states of the same soil.
type State string

// The states.
const (
	Bank  State = "bank"  // in the pit
	Loose State = "loose" // in the truck
	Fill  State = "fill"  // compacted in the dam
)

// Stated practice: the coefficient of variation (standard deviation / mean) of
// single tests of dry density, taken where a soil's own tests are too few to
// show it.
const (
	// BankVariation is the middle of 3 to 7 % for the unit weight of natural
	// soils (Duncan, J. Geotech. Geoenviron. Eng. 126, 2000, after Harr 1984 and
	// Kulhawy 1992; from memory).
	BankVariation = 0.05
	// LooseVariation has no publication behind it: a box or a truck is measured
	// no better than the bank is (common practice).
	LooseVariation = 0.05
	// FillVariation is the standard deviation of 3 % or less of the density
	// ratio of a controlled fill (Hilf 1991, as quoted by Look, Handbook of
	// Geotechnical Investigation and Design Tables, 2007, section 10.6).
	FillVariation = 0.03
	// LabVariation is the typical coefficient of variation of the maximum dry
	// density between samples of one soil (Look 2007, table 10.7).
	LabVariation = 0.03
	// CrewVariation is how far a crew's mean compaction may lie from the
	// expected one, a fraction: one point (common practice).
	CrewVariation = 0.01
)

// practiceWeight is how many degrees of freedom stated practice counts for
// beside a soil's own tests: those of five tests. It keeps the draws of a mean of
// one or two tests from tails that no soil has, and hardly matters beyond ten
// tests. The number is a judgement: at 4 the variance of a mean exists.
const practiceWeight = 4

// Variation is the coefficient of variation of single tests that stated practice
// gives for the state.
func (s State) Variation() float64 {
	switch s {
	case Bank:
		return BankVariation
	case Loose:
		return LooseVariation
	}
	return FillVariation
}
