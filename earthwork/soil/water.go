package soil

// WaterMass is the mass of water, kg, to add to soil of the given dry mass (kg)
// to bring it from its present to its target water content (fractions): (target
// - present) x dry mass. Below zero it is water to dry off.
func WaterMass(dryMass, present, target float64) float64 {
	return (target - present) * dryMass
}

// Evaporated is the mass of water, kg, that each compacted m3 of a lift loses while
// a depth of water, m, dries off its top: density of water x depth / thickness of
// the compacted lift, m, above zero. A lift lies open until the next one covers it.
func Evaporated(depth, lift float64) float64 { return WaterDensity * depth / lift }

// WaterVolume is the volume, m3, of a mass of water, kg, at WaterDensity.
func WaterVolume(mass float64) float64 { return mass / WaterDensity }

// TargetWater is the water content to place a soil at, a fraction: the optimum,
// or the middle of the window where both of its ends are required. The ends are
// differences from the optimum; nil is no limit. A single end that leaves the
// optimum out is the target itself.
func TargetWater(optimum float64, low, high *float64) float64 {
	switch {
	case low != nil && high != nil:
		return optimum + (*low+*high)/2
	case low != nil && *low > 0:
		return optimum + *low
	case high != nil && *high < 0:
		return optimum + *high
	}
	return optimum
}
