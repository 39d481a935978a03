package plan

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// Conduit is a pipe through the dam and what it takes.
type Conduit struct {
	Row site.Conduit
	earthwork.ConduitVolume
}

// conduits measures the pipes of the site in a design.
func (j *Job) conduits(d earthwork.Design) ([]Conduit, site.Problems) {
	var out []Conduit
	var ps site.Problems
	for _, row := range j.site.Conduits {
		v, err := earthwork.Conduit{
			Name: row.Name, Station: row.Station, Diameter: row.Diameter, Invert: row.Invert.Or(math.Inf(-1)),
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
			out = append(out, Conduit{row, v})
		}
	}
	return out, ps
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
			text += fmt.Sprintf(", its trench %s up to %s deep", j.volume(c.Dug, "bank"), j.length(c.Deepest))
		}
		if c.ByHand > 0 {
			text += fmt.Sprintf(", %s beside it compacted by hand", j.volume(c.ByHand, "compacted"))
		}
		words = append(words, text)
		deepest = max(deepest, c.Deepest)
	}
	ref := site.Ref{Table: "conduits"}
	out := prompt(false, ref, "pipes: "+strings.Join(words, "; ")+
		"; the soil beside a pipe is part of the dam's own volume and not added to it; walls of trenches are taken as upright", "")
	out = append(out, prompt(true, ref,
		"water follows a pipe, and many small dams have failed there: soil beside it must be compacted by hand in thin layers and tested there, and a filter round its downstream part catches what seeps along it; none of that is checked here"+askEngineer, "common practice")...)
	if deepest > 0 && r.Quantities.Trench <= 0 { // else the cutoff trench says it
		out = append(out, site.Note{Level: "danger", Ref: ref, Text: trenchCaution, Source: trenchSource})
	}
	return out
}

// The caution about trenches.
const (
	trenchCaution = "a trench can cave in and kill: slope or shore it, keep soil and machines back from its edge, and let a competent person look at it every day; local rules come first"
	trenchSource  = "29 CFR 1926.652: protection from 5 ft of depth, an engineer's design above 20 ft"
)
