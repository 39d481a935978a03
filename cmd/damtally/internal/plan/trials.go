package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
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

	Fleet    int     // index of the machine into Site.Fleet, -1 when it is not there
	Pressure float64 // on the ground, Pa; NaN where its weight or contact area is not known
	// Loose and Compacted are a lift's thickness, m, as spread and as rolled to what is
	// required, by the dry densities of spread and rolled soil; NaN where not known.
	Loose, Compacted float64
	// Work is what the machine takes for all of the material that the dam takes, beside
	// the others that reach what is required; nil where something of it is not known.
	Work *soil.Choice
}

// trials sums up the trial tests, in order of the tests.
func (j *Job) trials(r *Result) []Trial {
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
		j.lay(&t, strips[k])
		out = append(out, t)
	}
	j.sideBySide(r, out)
	return out
}

// lay adds to a trial what the fleet says of its machine, and the lift that it rolls.
// Spread soil is that of the strips with no passes, else of the loose tests.
func (j *Job) lay(t *Trial, strips []soil.Strip) {
	t.Fleet, t.Pressure, t.Loose, t.Compacted = -1, math.NaN(), math.NaN(), math.NaN()
	for i := range j.site.Fleet {
		f := &j.site.Fleet[i]
		if f.Name != t.Machine {
			continue
		}
		t.Fleet = i
		if f.Weight.Given && f.ContactArea.Given {
			t.Pressure = soil.GroundPressure(f.Weight.Value, f.ContactArea.Value)
		}
	}
	s := j.soil(t.Material)
	if s == nil || s.lab == nil || !s.row.LiftThickness.Given || math.IsNaN(t.Required) {
		return
	}
	spread := s.factors.Loose.Value
	if first := t.Growth.Steps[0]; first.Passes == 0 {
		spread = first.Compaction * s.lab.MaxDry
	}
	rolled := t.Required * s.lab.MaxDry
	if !(spread > 0) || spread >= rolled {
		return
	}
	t.Loose, t.Compacted = s.row.LiftThickness.Value, s.row.LiftThickness.Value
	if s.row.LiftMeasured == "compacted" {
		t.Loose = soil.LiftAfter(t.Compacted, rolled, spread)
	} else {
		t.Compacted = soil.LiftAfter(t.Loose, spread, rolled)
	}
}

// sideBySide sets the machines that reach the requirement of a material side by
// side, for all of it that the dam takes.
func (j *Job) sideBySide(r *Result, trials []Trial) {
	for i := range r.Materials {
		m := &r.Materials[i]
		var of []int
		var rollings []soil.Rolling
		for k := range trials {
			t := &trials[k]
			if t.Material != m.Row.Name || t.Fleet < 0 || !t.reaches() || !(m.Compacted > 0) {
				continue
			}
			if work, ok := j.rollingWith(t.Fleet, m, t.Passes); ok {
				of, rollings = append(of, k), append(rollings, work)
			}
		}
		if slices.ContainsFunc(rollings, func(x soil.Rolling) bool { return x.HourCost == 0 }) {
			for k := range rollings { // without all costs, time alone is compared
				rollings[k].HourCost = 0
			}
		}
		for _, c := range soil.Choose(m.Compacted, rollings) {
			for _, k := range of {
				if trials[k].Machine == c.Machine {
					trials[k].Work = &c
				}
			}
		}
	}
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
	for i := range r.Materials {
		if words := j.choiceWords(r, &r.Materials[i]); words != "" {
			out = append(out, site.Note{Level: "note", Ref: site.Ref{Table: "fleet"}, Text: words})
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

// reaches says that the machine gets there, in the strips or by their curve.
func (t Trial) reaches() bool {
	return (t.Reach == soil.Tried || t.Reach == soil.Beyond) && t.Passes > 0
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

// choiceWords says which machine that passes a material is the cheapest, and how
// much longer and dearer the others are; "" where there are not two to compare.
func (j *Job) choiceWords(r *Result, m *Material) string {
	var best *Trial
	var others []*Trial
	for k := range r.Trials {
		t := &r.Trials[k]
		if t.Material != m.Row.Name || t.Work == nil {
			continue
		}
		switch {
		case best == nil:
			best = t
		case t.Work.Dearer == 1 && best.Work.Dearer > 1 || t.Work.Cost == 0 && t.Work.Longer < best.Work.Longer:
			others, best = append(others, best), t
		default:
			others = append(others, t)
		}
	}
	if len(others) == 0 {
		return ""
	}
	words := fmt.Sprintf("of the machines whose strips reach %s on %s, %s", percent(best.Required), m.Row.Name, best.Machine)
	if best.Work.Cost > 0 {
		words += fmt.Sprintf(" costs least: %s for %s hours, %s a %s %s", j.money(best.Work.Cost), units.Number(best.Work.Hours, 0),
			j.money(best.Work.UnitCost*j.system.Volume.SI), "compacted "+j.system.Volume.Name, "in lifts of "+j.thickness(best.Work.Lift))
	} else {
		words += fmt.Sprintf(" is quickest: %s hours", units.Number(best.Work.Hours, 0))
	}
	for _, t := range others {
		words += fmt.Sprintf("; %s takes %.1f times as long", t.Machine, t.Work.Hours/best.Work.Hours)
		if best.Work.Cost > 0 && t.Work.Cost > 0 {
			words += fmt.Sprintf(" and costs %.1f times as much", t.Work.Cost/best.Work.Cost)
		}
	}
	return words
}

func passes(n int) string {
	if n == 1 {
		return ""
	}
	return "es"
}
