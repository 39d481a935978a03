package units

import (
	"math"
	"strconv"
	"strings"
)

// System is the set of units in which results are shown.
type System struct {
	Name     string // "us" or "metric"
	Length   Unit
	Area     Unit
	LandArea Unit // of pits and footprints
	Volume   Unit
	Density  Unit
	Mass     Unit // of a sample
	Bulk     Unit // mass by the truck

	stationDigits int // digits after the plus of a station
}

// US shows feet, square feet, acres, cubic yards, pounds per cubic foot, pounds
// and tons of 2,000 lb. Metric shows metres, hectares, cubic metres, kg/m3, kg
// and metric tons.
var (
	US     = system("us", 2, "ft", "ft2", "acre", "yd3", "pcf", "lb", "ton")
	Metric = system("metric", 3, "m", "m2", "ha", "m3", "kg/m3", "kg", "t")
)

func system(name string, digits int, of ...string) System {
	u := make([]Unit, len(of))
	for i, n := range of {
		u[i] = byName[n]
	}
	return System{name, u[0], u[1], u[2], u[3], u[4], u[5], u[6], digits}
}

// SystemOf returns the system of a name, US for "us" and Metric for all else.
func SystemOf(name string) System {
	if name == "us" {
		return US
	}
	return Metric
}

// Station writes a station, given in metres, as the trade does: hundreds of
// feet before the plus ("12+50", "12+50.25"), or thousands of metres ("1+250").
// It has at most two decimals and no trailing zeros; a station before the start
// is written with a leading minus. What is no finite number is written as such.
func (s System) Station(m float64) string {
	if math.IsNaN(m) || math.IsInf(m, 0) {
		return strconv.FormatFloat(m, 'g', -1, 64)
	}
	text := strconv.FormatFloat(math.Abs(s.Length.FromSI(m)), 'f', 2, 64)
	text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	whole, decimals, _ := strings.Cut(text, ".")
	for len(whole) <= s.stationDigits {
		whole = "0" + whole
	}
	cut := len(whole) - s.stationDigits
	station := whole[:cut] + "+" + whole[cut:]
	if decimals != "" {
		station += "." + decimals
	}
	if m < 0 && strings.Trim(station, "0+.") != "" {
		station = "-" + station
	}
	return station
}
