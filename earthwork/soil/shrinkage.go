package soil

// ShrinkageOfBank is shrinkage as a share of the bank volume, as contractors'
// texts have it: 1 - Vc / Vb = 1 - shrink factor. Below zero the soil grows.
// The shrink factor is above zero, and here before losses.
func ShrinkageOfBank(shrink float64) float64 { return 1 - shrink }

// ShrinkageOfFill is shrinkage as a share of the fill volume, as UFC 3-220-20
// (2025) has it: Vb / Vc - 1 = 1 / shrink factor - 1. The two senses share one
// name in print and differ, so an output says which it shows.
func ShrinkageOfFill(shrink float64) float64 { return ShrinkageOfFillWithLoss(shrink, 0) }

// ShrinkageOfFillWithLoss is shrinkage as a share of the fill volume when the
// share loss, in [0, 1), of what is dug never reaches the fill:
// 1 / (shrink (1 - loss)) - 1, UFC 3-220-20 (2025) equation 3-10.
func ShrinkageOfFillWithLoss(shrink, loss float64) float64 {
	return 1/(shrink*(1-loss)) - 1
}

// ShrinkFactorOfFill is the shrink factor of a shrinkage stated as a share of
// the fill volume, above -1: 1 / (1 + S), FHWA Federal Lands Highway Project
// Development and Design Manual, section 9.4.C.
func ShrinkFactorOfFill(shrinkage float64) float64 { return 1 / (1 + shrinkage) }
