package plan

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// Moisture is the water that a soil lacks or has too much of, between its pits
// and the lift. Masses below zero are water to dry off. Evaporation on the way is
// not in it.
type Moisture struct {
	Present float64 // mean water content of its bank tests, fraction
	Tests   int     // behind it
	Target  float64 // the optimum, or the middle of the required window, fraction
	// PerBank and PerCompacted are the water to add, kg per m3 bank and compacted;
	// NaN where that dry density is not known.
	PerBank, PerCompacted float64
	Mass                  float64 // kg to add to all that the dam takes; NaN as above
	// TooWet says that the soil, as it lies, is wetter than the window allows, by
	// Over (fraction): it must dry before it can pass.
	TooWet bool
	Over   float64
	// Days is how many fair days of drying that takes by the site's own rate, for
	// each lot that is spread; NaN where no rate is given or none is needed.
	Days float64
	Pits []PitMoisture
}

// PitMoisture is the part of one pit.
type PitMoisture struct {
	Pit     string
	Present float64
	Tests   int
	PerBank float64 // kg per bank m3; NaN where the bank density is not known
}

// moisture works out the water of a material; nil where no bank test says how
// wet it is, or nothing says how wet it should be.
func (j *Job) moisture(s *soilOf, m *Material) *Moisture {
	present, tests := j.presentWater(s.row.Name, "")
	if tests == 0 || s.lab == nil || s.bought {
		return nil
	}
	w := &Moisture{Present: present, Tests: tests, Target: soil.TargetWater(s.lab.Optimum, limit(s.row.WaterLow), limit(s.row.WaterHigh))}
	per := func(d soil.Density, water float64) float64 {
		if d.From == soil.Unknown {
			return math.NaN()
		}
		return soil.WaterMass(d.Value, water, w.Target)
	}
	w.PerBank, w.PerCompacted = per(s.factors.Bank, present), per(s.factors.Fill, present)
	w.Mass = w.PerCompacted * m.Compacted
	if s.row.WaterHigh.Given {
		w.Over = max(0, present-s.lab.Optimum-s.row.WaterHigh.Value)
		w.TooWet = w.Over > 0
	}
	w.Days = math.NaN()
	if rate := j.site.Settings.DryingRate; rate.Given && w.TooWet {
		w.Days = w.Over / rate.Value
	}
	for _, p := range j.pits {
		if p.Row.Material != s.row.Name {
			continue
		}
		if water, n := j.presentWater(s.row.Name, p.Row.Name); n > 0 {
			w.Pits = append(w.Pits, PitMoisture{p.Row.Name, water, n, per(s.factors.Bank, water)})
		}
	}
	return w
}

// limit is one end of a window, nil where it is blank.
func limit(n site.Number) *float64 {
	if !n.Given {
		return nil
	}
	return &n.Value
}

// presentWater is the mean water content of a material's bank tests, in one pit
// or, with pit blank, in all.
func (j *Job) presentWater(material, pit string) (mean float64, tests int) {
	var values []float64
	for _, t := range j.site.Density {
		if t.State == "bank" && t.Material == material && t.WaterContent.Given && (pit == "" || t.Pit == pit) && !j.retested(t.ID) {
			values = append(values, t.WaterContent.Value)
		}
	}
	mean, _ = soil.Mean(values)
	return mean, len(values)
}

// leastWater is how far, as a fraction of the mass of solids, a soil must be from
// its target before water is spoken of: a gauge reads no closer.
const leastWater = 0.005

// moistureNotes says in words what must be added or dried off.
func (j *Job) moistureNotes(m *Material) []site.Note {
	w := m.Moisture
	if w == nil || math.IsNaN(w.Mass) || m.Compacted == 0 {
		return nil
	}
	if w.TooWet {
		days := "which costs days and good weather"
		if !math.IsNaN(w.Days) {
			days = fmt.Sprintf("which takes about %.1f fair days for each lot spread, at the site's drying rate", w.Days)
		}
		return []site.Note{{Level: "look", Ref: m.Row.Ref, Source: "common practice", Text: fmt.Sprintf(
			"%s lies too wet in the pit: %s by %d bank tests, %s above the most that is allowed; it must be spread and dried before it can pass, %s",
			m.Row.Name, percent(w.Present), w.Tests, points(w.Over), days)}}
	}
	if math.Abs(w.Target-w.Present) < leastWater {
		return nil
	}
	if w.Mass > 0 {
		return []site.Note{{Level: "note", Ref: m.Row.Ref, Text: fmt.Sprintf(
			"%s needs water: from %s in the pit to %s on the lift takes %s in all, without what evaporates on the way",
			m.Row.Name, percent(w.Present), percent(w.Target), j.volumeOfWater(w.Mass))}}
	}
	return []site.Note{{Level: "note", Ref: m.Row.Ref, Text: fmt.Sprintf(
		"%s lies wetter in the pit (%s) than it is best placed (%s), yet within what is allowed",
		m.Row.Name, percent(w.Present), percent(w.Target))}}
}

// volumeOfWater writes a mass of water, kg, as a volume: gallons or m3.
func (j *Job) volumeOfWater(mass float64) string {
	const gallon = 231 * 0.0254 * 0.0254 * 0.0254 // US gallon, 231 cubic inches
	volume := soil.WaterVolume(mass)
	if j.system.Name == "us" {
		return grouped(fmt.Sprintf("%.0f", math.Round(volume/gallon/100)*100)) + " gallons of water"
	}
	return grouped(fmt.Sprintf("%.0f", volume)) + " m3 of water"
}

// points writes a difference in water content.
func points(f float64) string { return fmt.Sprintf("%.1f points", 100*f) }
