package plan

import (
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// Trial is what one machine did to one material in trial strips.
type Trial struct {
	Material, Machine string
	Growth            soil.Growth
	Required          float64 // least compaction, fraction; NaN where none is required
	// Passes is how many reach Required on the mean, and Reach how that is known;
	// blank where nothing is required.
	Passes int
	Reach  soil.Reach
}

// trials sums up the trial tests, in order of the tests.
func (j *Job) trials() []Trial {
	type key struct{ material, machine string }
	var order []key
	strips := map[key][]soil.Strip{}
	for _, t := range j.tests {
		if t.Row.State != "trial" || t.Row.Machine == "" || !t.Row.Passes.Given || math.IsNaN(t.Compaction) {
			continue
		}
		k := key{t.Row.Material, t.Row.Machine}
		if _, seen := strips[k]; !seen {
			order = append(order, k)
		}
		strips[k] = append(strips[k], soil.Strip{Passes: int(math.Round(t.Row.Passes.Value)), Compaction: t.Compaction})
	}
	var out []Trial
	for _, k := range order {
		t := Trial{Material: k.material, Machine: k.machine, Growth: soil.MeasureGrowth(strips[k]), Required: math.NaN()}
		if least := j.least(k.material); least != nil {
			t.Required = *least
			t.Passes, t.Reach = t.Growth.Needed(*least)
		}
		out = append(out, t)
	}
	return out
}

// leavesSmooth are words in the names of machines that leave a surface to which
// the next lift does not bond.
var leavesSmooth = []string{"smooth", "rubber", "pneumatic", "tyre", "tire", "hauler", "truck", "scraper", "loader"}

// trialNotes says in words what the strips show, and what of them is not used.
func (j *Job) trialNotes(r *Result) []site.Note {
	var out []site.Note
	for _, t := range r.Trials {
		if words := j.trialWords(t); words != "" {
			out = append(out, site.Note{Level: "note", Ref: site.Ref{Table: "density"}, Text: words})
		}
		if t.reached() && t.smooth() {
			out = append(out, site.Note{Level: "look", Ref: site.Ref{Table: "density"}, Source: "common practice", Text: fmt.Sprintf(
				"%s compacts %s, but leaves it smooth: scarify each lift before the next, or the lifts do not bond and water finds the seam", t.Machine, t.Material)})
		}
	}
	unused := 0
	for _, x := range j.tests {
		if x.Row.State == "trial" && (x.Row.Machine == "" || !x.Row.Passes.Given) {
			unused++
		}
	}
	if unused > 0 {
		out = append(out, site.Note{Level: "note", Ref: site.Ref{Table: "density"}, Text: fmt.Sprintf(
			"%d trial test%s without a machine or passes, so nothing is said of the growth of compaction by them", unused, haveHas(unused))})
	}
	return out
}

func haveHas(n int) string {
	if n == 1 {
		return " is"
	}
	return "s are"
}

// reached says that the strips themselves reached the requirement.
func (t Trial) reached() bool { return t.Reach == soil.Tried }

func (t Trial) smooth() bool {
	name := strings.ToLower(t.Machine)
	for _, w := range leavesSmooth {
		if strings.Contains(name, w) {
			return true
		}
	}
	return false
}

// trialWords says how many passes the requirement takes.
func (j *Job) trialWords(t Trial) string {
	if t.Reach == "" {
		return ""
	}
	head := fmt.Sprintf("trial strips: %s on %s", t.Machine, t.Material)
	need := percent(t.Required)
	last := t.Growth.Steps[len(t.Growth.Steps)-1]
	switch t.Reach {
	case soil.Tried:
		return fmt.Sprintf("%s reached %s on the mean with %d pass%s; crews must average above the least, so plan for more", head, need, t.Passes, passes(t.Passes))
	case soil.Beyond:
		return fmt.Sprintf("%s reached %s with the %d pass%s tried; by the curve through them %s takes %d, which was not tried", head, percent(last.Smooth), last.Passes, passes(last.Passes), need, t.Passes)
	case soil.Never:
		return fmt.Sprintf("%s levels off at about %s, below the required %s: more passes do not get there", head, percent(t.Growth.Ceiling), need)
	}
	return fmt.Sprintf("%s reached %s with %d pass%s, short of %s; the strips do not show how many passes it takes", head, percent(last.Smooth), last.Passes, passes(last.Passes), need)
}

func passes(n int) string {
	if n == 1 {
		return ""
	}
	return "es"
}
