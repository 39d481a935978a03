package plan

import (
	"slices"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
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
