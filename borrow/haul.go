package borrow

import "math"

// Body is what holds a load: the bed of a truck, the bowl of a scraper, a bucket
// or the blade of a dozer.
type Body struct {
	Capacity float64 // loose m3 as it was measured; 0 when not known
	Fill     float64 // share of Capacity that is in it on the job, above zero
	Payload  float64 // most mass that it may carry, kg; 0 when no limit is known
}

// Bound is what limits a load.
type Bound string

// The two limits of a load.
const (
	ByVolume Bound = "volume" // the body is full
	ByWeight Bound = "weight" // the payload is reached first
)

// Load is the loose volume of one load, m3: Capacity x Fill, or Payload / density
// where that is less, and which of the two binds. wetLoose is the density of the
// loose soil with its water, kg/m3, NaN when not known; then weight cannot bind.
// The volume is NaN when neither limit can be worked out. A load that both limits
// allow alike is bound by volume.
//
// That the lesser of the two governs is common practice; Capacity is a volume of
// the same loose state that the soil is hauled in.
func (b Body) Load(wetLoose float64) (loose float64, by Bound) {
	full, heavy := math.NaN(), math.NaN()
	if b.Capacity > 0 {
		full = b.Capacity * b.Fill
	}
	if b.Payload > 0 && wetLoose > 0 {
		heavy = b.Payload / wetLoose
	}
	switch {
	case math.IsNaN(full):
		return heavy, ByWeight
	case heavy < full:
		return heavy, ByWeight
	}
	return full, ByVolume
}

// WetDensity is the density with water, kg/m3, of soil of a dry density, kg/m3,
// and a water content, a fraction of the dry mass.
func WetDensity(dry, water float64) float64 { return dry * (1 + water) }

// FillTime is the time, s, to fill a load with a bucket: whole buckets, since the
// last one takes as long as the others, each of bucketTime, s (common practice). Both volumes are
// loose m3, above zero. Buckets is how many that is.
func FillTime(load, bucket, bucketTime float64) (seconds float64, buckets int) {
	n := Loads(load, bucket)
	return n * bucketTime, int(n)
}

// Hours is the machine hours of a number of loads of one cycle each, s, where a
// machine works the share efficiency, in (0, 1], of each hour.
func Hours(loads, cycle, efficiency float64) float64 {
	return loads * cycle / efficiency / secondsPerHour
}

// secondsPerHour turns seconds into hours.
const secondsPerHour = 3600
