package soil

// WaterDensity is the density of water at 20 degrees Celsius, kg/m3. ASTM D698
// takes its unit weight as 9.789 kN/m3 (62.32 lbf/ft3), which is this density
// (both from memory of the standard's calculation section).
const WaterDensity = 998.2

// DryDensity is the mass of solids per total volume, kg/m3, of a soil of the
// given wet density (kg/m3) and water content (fraction, above -1):
// dry = wet / (1 + water), as in ASTM D698 and D6938.
func DryDensity(wet, water float64) float64 { return wet / (1 + water) }

// ZeroAirVoids is the dry density, kg/m3, at which a soil of this water content
// (fraction, zero or more) has no air left in it: Gs rw / (1 + w Gs). Nothing
// can be compacted beyond it, so a test above it is in error. The formula is
// that of ASTM D698, with specificGravity above zero.
func ZeroAirVoids(specificGravity, water float64) float64 {
	return WaterDensity * specificGravity / (1 + water*specificGravity)
}

// SaturationLine is the dry density, kg/m3, at a degree of saturation (fraction,
// above zero): rw / (w / S + 1 / Gs), UFC 3-220-20 (2025) equation 3-2. At a
// saturation of 1 it is ZeroAirVoids.
func SaturationLine(specificGravity, water, saturation float64) float64 {
	return WaterDensity / (water/saturation + 1/specificGravity)
}

// AirVoidsLine is the dry density, kg/m3, at which air takes the given share
// (fraction) of the total volume: (1 - Va) Gs rw / (1 + w Gs).
func AirVoidsLine(specificGravity, water, airVoids float64) float64 {
	return (1 - airVoids) * ZeroAirVoids(specificGravity, water)
}

// Saturation is the share of the voids that water fills, a fraction: w Gs / e
// with the void ratio e = Gs rw / dry - 1. It is the inverse of SaturationLine.
// It is +Inf for a soil without voids, dry = Gs rw; and above 1 means that one
// of the three values is wrong.
func Saturation(dry, specificGravity, water float64) float64 {
	return water * specificGravity / VoidRatio(dry, specificGravity)
}

// AirVoids is the share of the total volume that is air, a fraction:
// 1 - dry (1 / Gs + w) / rw. It is the inverse of AirVoidsLine, and below zero
// when one of the three values is wrong.
func AirVoids(dry, specificGravity, water float64) float64 {
	return 1 - dry*(1/specificGravity+water)/WaterDensity
}

// VoidRatio is the volume of voids per volume of solids: Gs rw / dry - 1.
func VoidRatio(dry, specificGravity float64) float64 {
	return specificGravity*WaterDensity/dry - 1
}

// DryDensityOfVoidRatio is the dry density, kg/m3, of a soil of the given void
// ratio (above -1): Gs rw / (1 + e).
func DryDensityOfVoidRatio(voidRatio, specificGravity float64) float64 {
	return specificGravity * WaterDensity / (1 + voidRatio)
}

// CompactionRatio is percent compaction as a fraction: field dry density over
// the laboratory's maximum dry density (above zero), in the same unit. It is
// not rounded; see Judge.
func CompactionRatio(dry, maxDry float64) float64 { return dry / maxDry }
