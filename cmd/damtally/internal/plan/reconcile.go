package plan

import (
	"fmt"
	"math"
	"slices"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/earthwork/soil"
)

// Accuracy is how far off the ways of measuring are taken to be, standard
// deviations. No table holds them; the workbook shows each as a cell to change.
type Accuracy struct {
	Shift       float64 // of a whole survey in elevation, m
	Point       float64 // of single points, roughness of the ground between them included, m
	Strip       float64 // of topsoil or stripping that was not surveyed, m
	TruckFill   float64 // of the capacity of the trucks, all alike, a share
	LoadScatter float64 // of how full single loads are, a share
	Scale       float64 // of a weighbridge, a share
	Water       float64 // of the water content of what was weighed, points as a fraction
	Loss        float64 // of the loss, as a share of the loss
	Typed       float64 // of a typed factor, a share
}

// assumed are common practice: satellite survey holds about 2 cm in elevation,
// rough ground is off by 5 cm between points, stripping by as much; the capacity
// of a bed is known to 2 %, single loads are filled to 10 % of it, and a weighbridge
// in trade weighs to 1 %. Whether all trucks were as full as counted is not in it:
// that is what the comparison finds.
var assumed = Accuracy{
	Shift: 0.015, Point: 0.05, Strip: 0.05, TruckFill: 0.02, LoadScatter: 0.10,
	Scale: 0.01, Water: 0.01, Loss: 0.5, Typed: 0.05,
}

func (a Accuracy) survey() borrow.SurveyError {
	return borrow.SurveyError{Shift: a.Shift, Point: a.Point}
}

// Reconciliation sets what was counted, weighed and surveyed up to a day side by
// side.
type Reconciliation struct {
	Until   string // the day, year-month-day; "" when nothing is dated
	Assumed Accuracy
	Loads   []LoadLine   // every row of the tally, in its order
	Pits    []PitSurveys // pits with two surveys, in the order of the table
	Fills   []FillSurvey // by day; the last one counts
	Soils   []SoilAccount
	PitSeen []PitAccount // one a pit that was surveyed or loaded from
	Said    []site.Note  // what it has to say; stands in Result.Notes too
}

// LoadLine is a row of the truck tally.
type LoadLine struct {
	Row      site.Load
	Material int     // index into Result.Materials, -1 where nothing tells
	Counted  bool    // not after Until
	Loose    float64 // m3, all loads of the row
	Rejected float64 // m3 of it that was sent back
	Weighed  float64 // kg of soil with its water, NaN where it was not weighed
	Water    float64 // water content taken for it, NaN where not known
}

// Solids is the dry mass of a weighed row, kg; NaN where it is not known.
func (l *LoadLine) Solids() float64 { return l.Weighed / (1 + l.Water) }

// PitAccount is one pit.
type PitAccount struct {
	Pit      int // index into Result.Pits
	Surveys  int // index into Reconciliation.Pits, -1 without
	Material int // what it gave, index into Result.Materials, -1 where nothing tells
	// Tally is what was loaded there between its two surveys, and Outside what was
	// loaded before or after them up to the last day that counts; loose m3.
	Tally, Outside float64
	Loads          float64 // behind Tally
	Account        borrow.Reconciliation
	// Lost is what the pit has lost up to the last day that counts, bank m3: by its
	// surveys and the tally of the days outside them, else by the tally.
	Lost borrow.Measured
}

// SoilAccount is one soil.
type SoilAccount struct {
	Material int // index into Result.Materials
	Season   borrow.Season
	Account  borrow.Reconciliation

	Loads, Rejected float64 // numbers of loads
	RejectedLoose   float64 // m3 of Season.Tally that was sent back
	WeighedShare    float64 // of the loose volume that was weighed
	FillError       float64 // standard error of Season.Fill, m3

	Design, Placed float64 // compacted m3 of the design, and what of it is placed
	Capacity       float64 // bank m3 in its pits before the digging
	Lost           float64 // bank m3 of it that is gone
	LostError      float64
	// Left is what is still to be done with the factor that tests and work show
	// together; Planned with the factor of the tests alone.
	Left, Planned borrow.Remaining
}

// reconciler works out a reconciliation of a job and gathers what there is to say.
type reconciler struct {
	*Job
	said []site.Note
}

// note adds a note for the user; the job itself stays as it is.
func (j *reconciler) note(level string, ref site.Ref, text, source string) {
	j.said = append(j.said, site.Note{Level: level, Ref: ref, Text: text, Source: source})
}

// Reconcile is Run with the reconciliation of the work so far. What it has to say
// stands before the plan's own notes. The error is site.Problems.
func (j *Job) Reconcile(d earthwork.Design) (*Result, error) {
	s := &j.site
	if len(s.Loads) == 0 && !slices.ContainsFunc(s.Surfaces, func(f site.SurfaceFile) bool { return f.Use == usePitSurvey || f.Use == useFillSurvey }) {
		return nil, site.Problems{{
			Ref: site.Ref{Table: "loads"}, What: "nothing was counted or surveyed yet, so there is nothing to set side by side",
			Mend: "give a truck tally in loads, or surveys in surfaces with the use pit survey or fill survey",
		}}
	}
	r, err := j.Run(d)
	if err != nil {
		return nil, err
	}
	k := &reconciler{Job: j}
	rec, ps := k.reconcile(r)
	if len(ps) > 0 {
		return nil, ps
	}
	rec.Said = k.said
	r.Reconciliation = rec
	r.Notes = append(k.said, r.Notes...)
	return r, nil
}

// reconcile measures the surveys, adds up the tally and sets them side by side.
func (j *reconciler) reconcile(r *Result) (*Reconciliation, site.Problems) {
	work, ps := j.readWork()
	if len(ps) > 0 {
		return nil, ps
	}
	out := &Reconciliation{Assumed: assumed}
	if out.Pits, ps = j.measurePits(work); len(ps) > 0 {
		return nil, ps
	}
	out.Fills = j.measureFills(r, work)
	out.Until = lastDay(j.site.Loads, out)
	j.tally(r, out)
	for i := range r.Pits {
		j.accountPit(r, out, i)
	}
	for i := range r.Materials {
		j.accountSoil(r, out, i)
	}
	j.findings(r, out)
	return out, nil
}

// lastDay is the day up to which everything is counted: that of the last survey
// of the fill, else of the last pit survey, else of the last load.
func lastDay(loads []site.Load, rec *Reconciliation) string {
	if n := len(rec.Fills); n > 0 {
		return rec.Fills[n-1].Date
	}
	day := ""
	for _, p := range rec.Pits {
		day = max(day, p.To)
	}
	if day == "" {
		for _, l := range loads {
			day = max(day, l.Date)
		}
	}
	return day
}

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
