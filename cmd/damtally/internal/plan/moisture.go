package plan

import (
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork/soil"
)

// Moisture is the water that a soil lacks or has too much of, between its pits
// and the lift. Masses below zero are water to dry off.
type Moisture struct {
	// Present is the water content in the pit, fraction: that of the pits that feed
	// the dam, weighted by what each gives (Weighted), else the mean of the bank
	// tests, else of the layers in test holes.
	Present  float64
	Weighted bool
	Tests    int     // bank tests behind it
	Layers   int     // layers of test holes behind it, of pits without such tests
	Target   float64 // the optimum, or the middle of the required window, fraction
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
	Tests   int     // bank tests behind it, 0 where the layers of test holes tell
	Layers  int     // those layers, 0 where tests tell
	Used    float64 // bank m3 that the dam takes from it; 0 without an allocation
	PerBank float64 // kg per bank m3; NaN where the bank density is not known
	// Ordered is kg to bring for each compacted m3, with what evaporates, below zero
	// to dry off; NaN where the fill density is not known.
	Ordered float64
	TooWet  bool // as Moisture.TooWet, of this pit
	Over    float64
	Days    float64 // as Moisture.Days, of this pit
}

// moisture works out the water of a material; nil where nothing says how wet it
// lies, or how wet it should be. weighWater goes over it again.
func (j *Job) moisture(s *soilOf, m *Material) *Moisture {
	present := j.naturalWater(s.row.Name, "")
	if !present.known() || s.lab == nil || s.bought {
		return nil
	}
	w := &Moisture{
		Present: present.content, Tests: present.tests, Layers: present.layers,
		Target: soil.TargetWater(s.lab.Optimum, limit(s.row.WaterLow), limit(s.row.WaterHigh)),
	}
	j.balanceWater(w, m)
	for _, p := range j.pits {
		n := j.naturalWater(s.row.Name, p.Row.Name)
		if !n.known() {
			continue
		}
		pit := PitMoisture{
			Pit: p.Row.Name, Present: n.content, Tests: n.tests, Layers: n.layers,
			PerBank: waterTo(s.factors.Bank, n.content, w.Target),
			Ordered: waterTo(s.factors.Fill, n.content, w.Target) + w.lost(), Over: j.overWet(s, n.content),
		}
		pit.TooWet, pit.Days = pit.Over > 0, j.dryingDays(pit.Over)
		w.Pits = append(w.Pits, pit)
		if pit.Tests == 0 && w.Tests > 0 {
			w.Layers += pit.Layers
		}
	}
	return w
}

// balanceWater works out what follows from the water content in the pit.
func (j *Job) balanceWater(w *Moisture, m *Material) {
	s := j.soil(m.Row.Name)
	w.PerBank, w.PerCompacted = waterTo(s.factors.Bank, w.Present, w.Target), waterTo(s.factors.Fill, w.Present, w.Target)
	w.Mass = w.PerCompacted * m.Compacted
	w.Over = j.overWet(s, w.Present)
	w.TooWet, w.Days = w.Over > 0, j.dryingDays(w.Over)
	j.order(w, m)
}

// waterTo is the water, kg per m3 of a state, that brings a soil to its target;
// NaN where its dry density in that state is not known.
func waterTo(d soil.Density, present, target float64) float64 {
	if d.From == soil.Unknown {
		return math.NaN()
	}
	return soil.WaterMass(d.Value, present, target)
}

// overWet is by how much a water content lies above the most that is allowed, a
// fraction; 0 within it or without a limit.
func (j *Job) overWet(s *soilOf, water float64) float64 {
	if !s.row.WaterHigh.Given {
		return 0
	}
	return max(0, water-s.lab.Optimum-s.row.WaterHigh.Value)
}

// dryingDays is how many fair days it takes to dry so much off by the site's own
// rate; NaN where none is needed or no rate is given.
func (j *Job) dryingDays(over float64) float64 {
	rate := j.site.Settings.DryingRate
	if !(over > 0) || !rate.Given {
		return math.NaN()
	}
	return over / rate.Value
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

// leastWater is how far, as a fraction of the mass of solids, a soil must be from
// its target before water is spoken of: a gauge reads no closer.
const leastWater = 0.005

// moistureNotes says in words what must be added or dried off.
func (j *Job) moistureNotes(m *Material) []site.Note {
	w := m.Moisture
	if w == nil || math.IsNaN(w.Mass) || m.Compacted == 0 {
		return nil
	}
	var out []site.Note
	if words := w.wetWords(); words != "" {
		out = append(out, site.Note{Level: "look", Ref: m.Row.Ref, Source: "common practice", Text: m.Row.Name + " lies too wet in the pit: " + words})
		if w.TooWet { // as a whole, not one pit alone
			return out
		}
	}
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

// wetWords says how much too wet the soil lies, as a whole or in each pit where
// pits differ; "" where it can pass as it lies.
func (w *Moisture) wetWords() string {
	over := func(content, above, days float64, by string) string {
		text := fmt.Sprintf("%s by %s, %s above the most that is allowed", percent(content), by, points(above))
		if !math.IsNaN(days) {
			text += fmt.Sprintf(", which takes about %.1f fair days for each lot spread, at the site's drying rate", days)
		}
		return text
	}
	var parts []string
	for _, p := range w.Pits {
		if p.TooWet && len(w.Pits) > 1 {
			parts = append(parts, p.Pit+" has "+over(p.Present, p.Over, p.Days, behind(p.Tests, p.Layers)))
		}
	}
	if len(parts) == 0 && w.TooWet {
		parts = append(parts, over(w.Present, w.Over, w.Days, behind(w.Tests, w.Layers)))
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, "; ") + ". It must be spread and dried before it can pass, which costs days and good weather"
}

// behind says what a water content rests on.
func behind(tests, layers int) string {
	if tests > 0 {
		return fmt.Sprintf("%d bank test%s", tests, plural(tests))
	}
	return fmt.Sprintf("%d layer%s of test holes", layers, plural(layers))
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
		text += fmt.Sprintf("; %s loads of %s bring it", units.Number(w.Loads, 0), j.site.Fleet[w.Truck].Name)
	}
	return text
}

// volumeOfWater writes a mass of water, kg, as a volume: gallons or m3.
func (j *Job) volumeOfWater(mass float64) string {
	const gallon = 231 * 0.0254 * 0.0254 * 0.0254 // US gallon, 231 cubic inches
	volume := soil.WaterVolume(mass)
	if j.system.Name == "us" {
		return units.Number(math.Round(volume/gallon/100)*100, 0) + " gallons of water"
	}
	return units.Number(volume, 0) + " m3 of water"
}

// points writes a difference in water content.
func points(f float64) string { return fmt.Sprintf("%.1f points", 100*f) }
