package borrow

import "math"

// BankFor is the bank volume to dig, m3, for a compacted volume in the dam, m3:
// compacted / (shrink (1 - loss)), UFC 3-220-20 (2025) section 3-4.3.2 with the
// loss as a share of what is dug. shrink is the shrink factor before losses,
// above zero; loss is a fraction in [0, 1).
func BankFor(compacted, shrink, loss float64) float64 {
	return compacted / (shrink * (1 - loss))
}

// CompactedFrom is the volume in the dam, m3, that a bank volume makes, m3. It
// is the inverse of BankFor.
func CompactedFrom(bank, shrink, loss float64) float64 {
	return bank * shrink * (1 - loss)
}

// LooseFor is the volume in trucks, m3, of a bank volume, m3: bank (1 + swell).
// swell is above -1.
func LooseFor(bank, swell float64) float64 { return bank * (1 + swell) }

// BankInLoose is the bank volume, m3, in a loose volume, m3, by the load factor
// 1 / (1 + swell).
func BankInLoose(loose, loadFactor float64) float64 { return loose * loadFactor }

// DryMass is the mass of solids, kg, in a volume, m3, at a dry density, kg/m3,
// of the same state. It is the same in bank, loose and compacted state.
func DryMass(volume, dryDensity float64) float64 { return volume * dryDensity }

// DryMassToDig is the mass of solids to dig, kg, so that the given mass, kg,
// reaches the dam when the share loss in [0, 1) does not.
func DryMassToDig(inDam, loss float64) float64 { return inDam / (1 - loss) }

// WaterToAdd is the mass of water, kg, that brings a dry mass, kg, from one
// water content to another, fractions. Below zero it must be dried out.
func WaterToAdd(dryMass, from, to float64) float64 { return dryMass * (to - from) }

// Loads is the number of truck loads for a volume, m3, in trucks that carry
// capacity, m3, of the same state and above zero, each: rounded up, since the
// last load is a trip too. A mass over a mass in kg serves as well.
func Loads(volume, capacity float64) float64 {
	loads := volume / capacity
	return math.Ceil(loads - loadSlack*loads)
}

// loadSlack is the share of a load count that is taken for the rounding of
// floating point: 1,490 x 1.14 / 0.95 / 12 is 149 loads, and would be 150 where
// it comes out a hair above.
const loadSlack = 1e-12
