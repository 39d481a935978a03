package soil

import (
	"cmp"
	"slices"
)

// gravity is standard gravity, m/s2.
const gravity = 9.80665

// GroundPressure is the mean pressure, Pa, under a machine of the given mass
// (kg) on the area (m2, above zero) of its tracks or tyres.
func GroundPressure(mass, area float64) float64 { return mass * gravity / area }

// Rolling is a machine at work on lifts: what one pass covers and how fast.
type Rolling struct {
	Machine    string
	Width      float64 // that one pass covers, m
	Speed      float64 // m/s
	Lift       float64 // compacted thickness, m
	Efficiency float64 // working minutes of an hour / 60
	Passes     int     // that the requirement takes, 1 or more
	HourCost   float64 // in the site's currency
}

// Production is the compacted volume per time, m3/s: W S L E / P. With feet,
// miles an hour, inches and cubic yards an hour it is the handbooks' 16.3 W S L E
// / P, where 16.3 stands for 5280 / (12 x 27) = 16.296 (US Army FM 5-434, 2000).
func (r Rolling) Production() float64 {
	return r.Width * r.Speed * r.Lift * r.Efficiency / float64(r.Passes)
}

// Choice is what a machine takes to compact a volume.
type Choice struct {
	Rolling
	Hours    float64 // to compact the volume
	Cost     float64 // of those hours
	UnitCost float64 // per compacted m3
	Longer   float64 // times the hours of the fastest
	Dearer   float64 // times the cost of the cheapest
}

// secondsPerHour turns production per second into hours.
const secondsPerHour = 3600

// Choose sets machines that reach the requirement side by side for a compacted
// volume (m3, above zero), the cheapest first, those alike in the order given.
func Choose(volume float64, machines []Rolling) []Choice {
	out := make([]Choice, 0, len(machines))
	for _, m := range machines {
		hours := volume / m.Production() / secondsPerHour
		out = append(out, Choice{Rolling: m, Hours: hours, Cost: hours * m.HourCost, UnitCost: hours * m.HourCost / volume})
	}
	slices.SortStableFunc(out, func(a, b Choice) int { return cmp.Compare(a.Cost, b.Cost) })
	if len(out) == 0 {
		return out
	}
	fastest := slices.MinFunc(out, func(a, b Choice) int { return cmp.Compare(a.Hours, b.Hours) }).Hours
	for i := range out {
		out[i].Longer, out[i].Dearer = out[i].Hours/fastest, 1
		if out[0].Cost > 0 {
			out[i].Dearer = out[i].Cost / out[0].Cost
		}
	}
	return out
}
