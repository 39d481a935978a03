package plan

import (
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// Moisture is the water that a soil lacks or has too much of, between its pits
// and the lift. Masses below zero are water to dry off.
type Moisture struct {
	Present float64 // mean water content of its bank tests, fraction
	Tests   int     // behind it
	Target  float64 // the optimum, or the middle of the required window, fraction
	// PerBank and PerCompacted are the water to add, kg per m3 bank and compacted;
	// NaN where that dry density is not known.
	PerBank, PerCompacted float64
	Mass                  float64 // kg to add to all that the dam takes, without what evaporates; NaN as above
	// Lift is the compacted lift, m, that Evaporates is worked out for: the water, kg
	// per compacted m3, that dries off it in a day. NaN where the site gives no rate.
	Lift, Evaporates float64
	// Ordered is Mass with what evaporates, kg: what must be brought, or below zero
	// dried off. Truck is the water truck of the fleet, an index, -1 for none, and
	// Loads how many of its loads bring it, 0 where nothing is to be brought.
	Ordered float64
	Truck   int
	Loads   float64
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
	// Ordered is kg to bring for each compacted m3, with what evaporates, below zero
	// to dry off; NaN where the fill density is not known.
	Ordered float64
	TooWet  bool // as Moisture.TooWet, of this pit
	Over    float64
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
	over := func(water float64) float64 {
		if !s.row.WaterHigh.Given {
			return 0
		}
		return max(0, water-s.lab.Optimum-s.row.WaterHigh.Value)
	}
	w.Over = over(present)
	w.TooWet = w.Over > 0
	j.order(w, m)
	w.Days = math.NaN()
	if rate := j.site.Settings.DryingRate; rate.Given && w.TooWet {
		w.Days = w.Over / rate.Value
	}
	for _, p := range j.pits {
		water, n := j.presentWater(s.row.Name, p.Row.Name)
		if n == 0 {
			continue
		}
		wet := over(water)
		w.Pits = append(w.Pits, PitMoisture{
			Pit: p.Row.Name, Present: water, Tests: n, PerBank: per(s.factors.Bank, water),
			Ordered: per(s.factors.Fill, water) + w.lost(), TooWet: wet > 0, Over: wet,
		})
	}
	return w
}

// lost is what evaporates, kg per compacted m3, 0 where no rate is given.
func (w *Moisture) lost() float64 {
	if math.IsNaN(w.Evaporates) {
		return 0
	}
	return w.Evaporates
}

// order works out what evaporates and what the water truck has to bring.
func (j *Job) order(w *Moisture, m *Material) {
	w.Lift, w.Evaporates, w.Truck = j.liftOf(m), math.NaN(), -1
	if rate := j.site.Settings.Evaporation; rate.Given {
		w.Evaporates = soil.Evaporated(rate.Value, w.Lift)
	}
	w.Ordered = w.Mass + w.lost()*m.Compacted
	for i, f := range j.site.Fleet {
		if f.Kind == "water truck" && f.Capacity.Given && f.Count.Or(1) > 0 && w.Truck < 0 {
			w.Truck = i
			w.Loads = borrow.Loads(max(0, soil.WaterVolume(w.Ordered)), f.Capacity.Value)
		}
	}
}

// liftOf is the compacted lift of a material, m: its own, else the usual one.
func (j *Job) liftOf(m *Material) float64 {
	if !m.Row.LiftThickness.Given {
		return j.commonLift()
	}
	lift, _ := j.compactedLift(m)
	return lift
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
	var out []site.Note
	if w.Ordered > leastWater*m.DryMass {
		out = append(out, site.Note{Level: "note", Ref: m.Row.Ref, Text: j.orderWords(m)})
	}
	if math.Abs(w.Target-w.Present) >= leastWater && w.Mass < 0 {
		out = append(out, site.Note{Level: "note", Ref: m.Row.Ref, Text: fmt.Sprintf(
			"%s lies wetter in the pit (%s) than it is best placed (%s), yet within what is allowed",
			m.Row.Name, percent(w.Present), percent(w.Target))})
	}
	return out
}

// orderWords says how much water a soil takes, and what brings it.
func (j *Job) orderWords(m *Material) string {
	w := m.Moisture
	text := fmt.Sprintf("%s needs water: from %s in the pit to %s on the lift", m.Row.Name, percent(w.Present), percent(w.Target))
	if math.IsNaN(w.Evaporates) {
		text += fmt.Sprintf(" takes %s in all, without what evaporates on the way (set `evaporation`)", j.volumeOfWater(w.Ordered))
	} else {
		text += fmt.Sprintf(" takes %s in all. Of that, %s make up for what dries off each lift of %s while it lies open, taken as one day",
			j.volumeOfWater(w.Ordered), strings.TrimSuffix(j.volumeOfWater(min(w.Ordered, w.lost()*m.Compacted)), " of water"), j.thickness(w.Lift))
	}
	if w.Truck >= 0 {
		text += fmt.Sprintf("; %s loads of %s bring it", grouped(fmt.Sprintf("%.0f", w.Loads)), j.site.Fleet[w.Truck].Name)
	}
	return text
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
