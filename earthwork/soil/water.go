package soil

// WaterMass is the mass of water, kg, to add to soil of the given dry mass (kg)
// to bring it from its present to its target water content (fractions): (target
// - present) x dry mass. Below zero it is water to dry off.
func WaterMass(dryMass, present, target float64) float64 {
	return (target - present) * dryMass
}

// WaterOrdered is the mass of water, kg, to haul so that need (kg, above zero)
// stays in the soil when a share, in [0, 1), of what is sprayed evaporates. Water
// to dry off is not hauled: a need below zero comes back as it is.
func WaterOrdered(need, evaporation float64) float64 {
	if need <= 0 {
		return need
	}
	return need / (1 - evaporation)
}

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
