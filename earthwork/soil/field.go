package soil

import "math"

// InPlace is an in-place test and what it is compared with. NaN stands for what
// was not measured or is not known.
type InPlace struct {
	Dry, Water      float64 // dry density kg/m3, water content fraction
	MaxDry, Optimum float64 // laboratory maximum kg/m3, optimum fraction
	Gravity         float64 // specific gravity of the grains
}

// Derived is what follows from an in-place test. NaN stands for what cannot be
// figured.
type Derived struct {
	Compaction  float64 // dry density / laboratory maximum
	FromOptimum float64 // water content - optimum, fraction; positive is wet
	Saturation  float64 // share of the voids that is water
	AirVoids    float64 // share of the volume that is air
	// Impossible says that the test would hold less than no air, so that its
	// density, its water content or the specific gravity is wrong.
	Impossible bool
}

// ReadingSlack is how far a dry density may lie above the line of zero air voids
// before the test is called impossible, relative: laboratories and gauges state
// densities to 0.1 lb/ft3 in 100 and specific gravity to 0.01 in 2.7, so a sound
// test of a nearly saturated soil may seem to lie a little beyond.
const ReadingSlack = 0.005

// leastVoids is the void ratio below which a soil has none: it guards the
// quotient of saturation against solid stone. Real soils have 0.15 and more.
const leastVoids = 1e-6

// Derive works out what follows from an in-place test.
func (t InPlace) Derive() Derived {
	d := Derived{
		Compaction:  CompactionRatio(t.Dry, t.MaxDry),
		FromOptimum: t.Water - t.Optimum,
		Saturation:  Saturation(t.Dry, t.Gravity, t.Water),
		AirVoids:    AirVoids(t.Dry, t.Gravity, t.Water),
		Impossible:  t.Dry > ZeroAirVoids(t.Gravity, t.Water)*(1+ReadingSlack),
	}
	if VoidRatio(t.Dry, t.Gravity) < leastVoids {
		d.Saturation = math.NaN() // no voids: nothing to be full
	}
	return d
}

// HoleDensity is the wet density, kg/m3, of a sand cone test: the soil out of
// the hole over the hole's volume, which is the sand that went down / the sand's
// density, less the cone's volume (ASTM D1556). Masses are in kg, volumes in m3;
// it is +Inf or below zero when the sand does not fill the cone.
func HoleDensity(soil, sand, sandDensity, coneVolume float64) float64 {
	return soil / (sand/sandDensity - coneVolume)
}
