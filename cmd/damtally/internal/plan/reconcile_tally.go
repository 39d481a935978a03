package plan

import (
	"fmt"
	"math"
	"slices"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// tally reads the rows of the truck tally.
func (j *reconciler) tally(r *Result, rec *Reconciliation) {
	later, noMaterial, dry := 0, 0, 0
	for _, row := range j.site.Loads {
		l := LoadLine{Row: row, Counted: row.Date <= rec.Until, Weighed: math.NaN(), Water: math.NaN()}
		l.Material = materialIndex(r, j.loadMaterial(row))
		fill := row.Fill.Or(1)
		l.Loose = row.Loads * row.Capacity * fill
		if row.Loads > 0 {
			l.Rejected = l.Loose * row.Rejected.Value / row.Loads
		}
		if row.NetWeight.Given {
			l.Weighed = row.Loads * row.NetWeight.Value
			l.Water = row.WaterContent.Or(j.waterOf(r, l.Material))
			if math.IsNaN(l.Water) {
				dry++
			}
		}
		if !l.Counted {
			later++
		}
		if l.Material < 0 {
			noMaterial++
		}
		rec.Loads = append(rec.Loads, l)
	}
	ref := site.Ref{Table: "loads"}
	if later > 0 {
		j.note("note", ref, fmt.Sprintf("%d rows of the tally are after %s, the day of the last survey, and are not counted yet", later, rec.Until), "")
	}
	if noMaterial > 0 {
		j.note("look", ref, fmt.Sprintf("%d rows of the tally do not tell what was carried; name the `material`", noMaterial), "")
	}
	if dry > 0 {
		j.note("look", ref, fmt.Sprintf("%d rows were weighed, but no water content is known for them, so their dry weight is not; give `water content`, or with the density tests", dry), "")
	}
	if slices.ContainsFunc(j.site.Loads, func(l site.Load) bool { return !l.Fill.Given }) {
		j.note("note", ref, "where `fill` is blank the trucks are counted as filled to their capacity", "")
	}
}

// loadMaterial is the material of a row: its own, else the only one of its zone,
// else that of its pit, cut or stockpile.
func (j *reconciler) loadMaterial(row site.Load) string {
	if row.MaterialName != "" {
		return row.MaterialName
	}
	for _, z := range j.site.Zones {
		if z.Zone == row.Zone && len(z.Materials) == 1 {
			return z.Materials[0]
		}
	}
	for _, p := range j.site.Pits {
		if p.Name == row.Pit && p.Material != "" {
			return p.Material
		}
	}
	for _, c := range j.site.Cuts {
		if c.Name == row.Pit {
			return c.Material
		}
	}
	for _, s := range j.site.Stockpiles {
		if s.Name == row.Pit {
			return s.Material
		}
	}
	return ""
}

func materialIndex(r *Result, name string) int {
	return slices.IndexFunc(r.Materials, func(m Material) bool { return name != "" && m.Row.Name == name })
}

// waterOf is the mean water content of a material's tests in the pit and in the
// truck, NaN without any.
func (j *reconciler) waterOf(r *Result, material int) float64 {
	if material < 0 {
		return math.NaN()
	}
	sum, n := 0.0, 0
	for _, t := range j.site.Density {
		if t.Material == r.Materials[material].Row.Name && t.WaterContent.Given && (t.State == "bank" || t.State == "loose") {
			sum += t.WaterContent.Value
			n++
		}
	}
	if n == 0 {
		return math.NaN()
	}
	return sum / float64(n)
}

// seasonOf begins a season of a material: what is known of its densities and of
// its loss.
func seasonOf(m *Material) borrow.Season {
	f := m.Factors
	s := borrow.Season{Level: Confidence}
	s.Bank = borrow.MeasuredDensity(f.Bank, soil.Bank)
	s.Loose = borrow.MeasuredDensity(f.Loose, soil.Loose)
	s.Placed = borrow.MeasuredDensity(f.Fill, soil.Fill)
	if !s.Bank.Known() && s.Placed.Known() && f.Shrink > 0 {
		s.Bank = borrow.Measure(s.Placed.Value*f.Shrink, assumed.Typed, 0)
	}
	if !s.Bank.Known() && (f.Shrink > 0 || f.LoadFactor > 0) {
		s.Bank = borrow.Exact(1) // all three are relative to it
	}
	if !s.Loose.Known() && f.LoadFactor > 0 {
		s.Loose = borrow.Measure(s.Bank.Value*f.LoadFactor, assumed.Typed, 0)
	}
	if !s.Placed.Known() && f.Shrink > 0 {
		s.Placed = borrow.Measure(s.Bank.Value/f.Shrink, assumed.Typed, 0)
	}
	s.Kept = keptOf(m.Loss)
	return s
}

// Relative tells that a season's densities are only relative to that of the bank,
// since factors were typed, so that solids are bank m3 and nothing can be weighed.
func (s *SoilAccount) Relative() bool { return s.Season.Bank.Value == 1 }

// keptOf is the share that stays of what is dug.
func keptOf(loss float64) borrow.Measured {
	return borrow.Measure(1-loss, assumed.Loss*loss/(1-loss), 0)
}

// sums are rows of the tally added up.
type sums struct {
	loads, rejected      float64
	loose, rejectedLoose float64
	weighedLoose, solids float64
}

func (s *sums) add(l *LoadLine) {
	s.loads += l.Row.Loads
	s.rejected += l.Row.Rejected.Value
	s.loose += l.Loose
	s.rejectedLoose += l.Rejected
	if solids := l.Solids(); !math.IsNaN(solids) {
		s.weighedLoose += l.Loose
		s.solids += solids
	}
}

// measured is the tally and the weights with their errors. Loads that were not
// weighed are taken to weigh as those that were.
func (s *sums) measured() (tally, weighed borrow.Measured) {
	if s.loose == 0 {
		return tally, weighed
	}
	scatter := assumed.LoadScatter / math.Sqrt(max(1, s.loads))
	tally = borrow.Measure(s.loose, math.Hypot(assumed.TruckFill, scatter), 0)
	if s.weighedLoose > 0 {
		share := s.weighedLoose / s.loose
		rest := (1 - share) * assumed.LoadScatter / math.Sqrt(max(1, s.loads*share))
		weighed = borrow.Measure(s.solids/share, math.Sqrt(assumed.Scale*assumed.Scale+assumed.Water*assumed.Water+rest*rest), 0)
	}
	return tally, weighed
}
