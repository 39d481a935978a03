package plan

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// Conduit is a pipe through the dam and what it takes.
type Conduit struct {
	Row site.Conduit
	earthwork.ConduitVolume
	// Lifts is how many lifts of LiftThickness, m, the soil compacted by hand beside
	// the pipe takes, and Tests how many density tests are due in it by the site's
	// rule, 0 where none is set.
	Lifts         int
	LiftThickness float64
	Tests         int
	// FilledWith is the material that is taken to fill the trench again, "" without a
	// trench. Kept is what one bank volume of it makes, shrink factor x (1 - loss), and
	// BackfillBank is what must be dug for it, bank m3, in no material's need; both are
	// NaN where its factors are not known or it is bought.
	FilledWith         string
	Kept, BackfillBank float64
}

// conduits measures the pipes of the site in a design.
func (j *Job) conduits(d earthwork.Design) ([]Conduit, site.Problems) {
	var out []Conduit
	var ps site.Problems
	for _, row := range j.site.Conduits {
		v, err := earthwork.Conduit{
			Name: row.Name, Station: row.Station, Diameter: row.Diameter,
			Invert: row.Invert.Or(math.Inf(-1)), OutletInvert: row.OutletInvert.Or(row.Invert.Or(math.Inf(-1))),
			From: row.OffsetFrom.Or(math.Inf(-1)), To: row.OffsetTo.Or(math.Inf(1)),
			TrenchWidth: row.TrenchWidth, HandWidth: row.HandWidth,
		}.Measure(d, j.place)
		var wrong *earthwork.ConduitError
		switch {
		case errors.As(err, &wrong):
			ps = append(ps, site.Problem{
				Ref:  row.Ref,
				What: fmt.Sprintf("%s at station %s: %s", row.Name, j.station(row.Station), wrong.What),
				Mend: "check its station, offsets and elevation",
			})
		case err != nil:
			ps = append(ps, j.problemsOf(err)...)
		default:
			out = append(out, Conduit{Row: row, ConduitVolume: v})
		}
	}
	return out, ps
}

// conduitFills says what fills the pipes' trenches again: the material that fills the
// cutoff trench, which holds the water back along the pipe as well.
func (j *Job) conduitFills(r *Result) {
	names := j.zoneMaterials(earthwork.TrenchZone(r.Design.Zones))
	for i := range r.Conduits {
		c := &r.Conduits[i]
		c.Kept, c.BackfillBank = math.NaN(), math.NaN()
		if c.Backfill <= 0 || len(names) == 0 {
			continue
		}
		c.FilledWith = names[0]
		if m := materialNamed(r, names[0]); m != nil && m.Known && !m.Bought {
			c.Kept = m.Factors.Shrink * (1 - m.Loss)
			c.BackfillBank = borrow.BankFor(c.Backfill, m.Factors.Shrink, m.Loss)
		}
	}
}

// conduitSum adds a figure up over all pipes.
func conduitSum(list []Conduit, of func(Conduit) float64) float64 {
	sum := 0.0
	for _, c := range list {
		sum += of(c)
	}
	return sum
}

// conduitResults are the results of pipes that a pay item may name.
func conduitResults(set func(name string, kind units.Kind, value func() float64), conduits func() []Conduit) {
	set("conduit length", units.Length, func() float64 { return conduitSum(conduits(), func(c Conduit) float64 { return c.Length }) })
	set("conduit trench", units.Volume, func() float64 { return conduitSum(conduits(), func(c Conduit) float64 { return c.Dug }) })
	set("conduit backfill", units.Volume, func() float64 { return conduitSum(conduits(), func(c Conduit) float64 { return c.Backfill }) })
	set("conduit hand compacted", units.Volume, func() float64 { return conduitSum(conduits(), func(c Conduit) float64 { return c.ByHand }) })
}

// promptConduits tells what the pipes take and what to ask about them.
func (j *Job) promptConduits(r *Result) []site.Note {
	if len(r.Conduits) == 0 {
		return nil
	}
	var words []string
	deepest := 0.0
	for _, c := range r.Conduits {
		text := fmt.Sprintf("%s, %s long", c.Row.Name, j.length(c.Length))
		if c.Dug > 0 {
			text += fmt.Sprintf(", its trench %s up to %s deep and %s to fill it again", j.volume(c.Dug, "bank"), j.length(c.Deepest), j.volume(c.Backfill, "compacted"))
			if c.FilledWith != "" {
				text += " with " + c.FilledWith
			}
			if !math.IsNaN(c.BackfillBank) {
				text += ", for which " + j.volume(c.BackfillBank, "bank") + " must be dug"
			}
		}
		if c.ByHand > 0 {
			text += fmt.Sprintf(", %s beside it compacted by hand", j.volume(c.ByHand, "compacted"))
		}
		words = append(words, text)
		deepest = max(deepest, c.Deepest)
	}
	ref := site.Ref{Table: "conduits"}
	out := prompt(false, ref, "pipes: "+strings.Join(words, "; ")+
		"; the soil beside a pipe above the stripped ground is part of the dam's own volume and not added to it; what fills a pipe's trench again is taken as the material that fills the cutoff trench, and is in neither the dam's volume nor the need of a material: see that the pits hold it too; walls of trenches are taken as upright", "")
	out = append(out, j.conduitSlopes(r)...)
	out = append(out, prompt(true, ref,
		"water follows a pipe, and many small dams have failed there: soil beside it must be compacted by hand in thin layers and tested there, and a filter round its downstream part catches what seeps along it; none of that is checked here"+askEngineer, "common practice")...)
	if deepest > 0 && r.Quantities.Trench <= 0 { // else the cutoff trench says it
		out = append(out, site.Note{Level: "danger", Ref: ref, Text: trenchCaution, Source: trenchSource})
	}
	return out
}

// conduitSlopes tells what was taken for the pipes' slopes.
func (j *Job) conduitSlopes(r *Result) []site.Note {
	var out []site.Note
	for _, c := range r.Conduits {
		in, end := c.Row.Invert, c.Row.OutletInvert
		switch {
		case in.Given && !end.Given:
			out = append(out, site.Note{Level: "note", Ref: c.Row.Ref, Text: c.Row.Name + " is taken as level, since `outlet invert elevation` is blank; pipes are laid to a slope, so its length and trench may differ"})
		case end.Given && end.Value > in.Value:
			out = append(out, site.Note{Level: "look", Ref: c.Row.Ref, Text: fmt.Sprintf("%s rises downstream, from %s to %s; check its two elevations", c.Row.Name, j.level(in.Value), j.level(end.Value))})
		}
	}
	return out
}

// conduitTests counts the tests in the soil that is compacted by hand, which is a
// part of its own: in lifts as thin as the dam's thinnest.
func (j *Job) conduitTests(r *Result) {
	if r.Lifts == nil || len(r.Lifts.Sets) == 0 {
		return
	}
	for i := range r.Conduits {
		c := &r.Conduits[i]
		if c.ByHand <= 0 {
			continue
		}
		c.LiftThickness = r.Lifts.Sets[0].Thickness
		c.Lifts = int(math.Ceil((c.Row.Diameter - sameLift) / c.LiftThickness))
		if r.Lifts.Asked {
			c.Tests = c.Lifts * earthwork.TestsDue(c.ByHand/float64(c.Lifts), r.Lifts.TestEvery, r.Lifts.LeastTests)
		}
	}
}

// The caution about trenches.
const (
	trenchCaution = "a trench can cave in and kill: slope or shore it, keep soil and machines back from its edge, and let a competent person look at it every day; local rules come first"
	trenchSource  = "29 CFR 1926.652: protection from 5 ft of depth, an engineer's design above 20 ft"
)
