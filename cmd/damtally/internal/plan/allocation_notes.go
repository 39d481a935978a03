package plan

import (
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// allocationNotes says what decided who feeds what, what was taken for granted
// and what cannot be met.
func (j *Job) allocationNotes(r *Result) []site.Note {
	a := r.Allocation
	if a == nil {
		return nil
	}
	out := []site.Note{j.basisNote(a)}
	out = append(out, j.roadNotes(a)...)
	for _, s := range a.Short {
		if len(s.Sources) == 0 && len(r.Pits) == 0 {
			continue // where no pit is named, a note says that the borrow is not known
		}
		out = append(out, site.Note{Level: "danger", Ref: site.Ref{Table: "pits"}, Text: j.shortWords(s)})
	}
	for _, f := range a.Forced {
		out = append(out, site.Note{Level: "look", Ref: site.Ref{Table: "pits"}, Text: fmt.Sprintf(
			"the `least use` of %s cannot be dug for the dam: it makes %s, and all that its soil may go into (%s) takes %s; lower it by what makes %s, or plan where the rest goes",
			andList(f.Sources), j.volume(f.Least, "compacted"), andList(f.Zones), j.volume(f.Room, "compacted"), j.volume(f.Over, "compacted"))})
	}
	if len(a.Unheld) > 0 {
		out = append(out, site.Note{Level: "look", Ref: site.Ref{Table: "pits"}, Text: fmt.Sprintf(
			"the reserve, or `least use` and `most use`, of %s cannot all be held: at the least %s stand against them, so who feeds what goes without these limits", andList(unique(a.Unheld)), j.volume(a.Over, "compacted"))})
	}
	for i := range r.Pits {
		p := &r.Pits[i]
		if least := p.Row.LeastUse; least.Given && least.Value > p.Capacity.Bank*(1+sumTolerance) {
			out = append(out, site.Note{Level: "look", Ref: p.Row.Ref, Text: fmt.Sprintf("pit %s: its `least use` is %s, and it holds %s; all of it is taken as what must be dug",
				p.Row.Name, j.volume(least.Value, "bank"), j.volume(p.Capacity.Bank, "bank"))})
		}
	}
	for _, s := range a.Supplies {
		if s.Closed {
			out = append(out, site.Note{Level: "note", Ref: site.Ref{Table: "pits"}, Text: fmt.Sprintf(
				"pit %s stays closed: its opening cost is more than its %s would save", s.Source, s.Material)})
		}
	}
	return out
}

// basisNote says what was made as small as it can be.
func (j *Job) basisNote(a *Allocation) site.Note {
	n := site.Note{Level: "note", Ref: site.Ref{Table: "pits"}}
	sure := "; that it cannot be less is proved at every run"
	switch a.Basis {
	case ByCost:
		n.Text = "who feeds what is the cheapest way by working hours to load, haul and bring water, rehandling and opening costs" + sure
		if a.Cases > 1 {
			n.Text += fmt.Sprintf(", over %d sets of opened pits", a.Cases)
		}
	case ByDistance:
		n.Text = "the cost of a haul is not known on every way, so who feeds what has the least bank volume x haul distance" + sure +
			"; with trucks in `fleet` (capacity, times, speeds, cost per hour) and a swell it goes by cost"
		if j.hasPlaceCosts() {
			n.Level = "look"
			n.Text += "; until then `opening cost` and `rehandle cost` count for nothing"
		}
	default:
		n.Text = "nothing says how far every source lies from the dam, so who feeds what has the least bank volume dug" + sure +
			"; with a `centreline` or a table `hauls` distance counts"
	}
	return n
}

// hasPlaceCosts tells whether the tables hold costs that need others beside them.
func (j *Job) hasPlaceCosts() bool {
	for _, p := range j.site.Pits {
		if p.OpeningCost.Given {
			return true
		}
	}
	for _, s := range j.site.Stockpiles {
		if s.RehandleCost.Given {
			return true
		}
	}
	return false
}

// roadNotes tells of roads that no table gives.
func (j *Job) roadNotes(a *Allocation) []site.Note {
	var straight []string
	for _, f := range a.Flows {
		if !math.IsNaN(f.Haul) && !f.Road.Typed {
			straight = append(straight, f.Source)
		}
	}
	if len(straight) == 0 {
		return nil
	}
	n := site.Note{Level: "note", Ref: site.Ref{Table: "hauls"}, Text: fmt.Sprintf(
		"the haul from %s is the straight line from its middle to the middle of each stretch of the centreline", andList(unique(straight)))}
	if w := j.site.Settings.HaulWinding; w.Given {
		n.Text += fmt.Sprintf(" x %.2f (`haul winding`)", w.Value)
	} else {
		n.Level = "look"
		n.Text += "; real roads wind: set `haul winding`, or give their lengths in `hauls`"
	}
	return []site.Note{n}
}

// shortWords says what is short and why nothing can help.
func (j *Job) shortWords(s ShortOf) string {
	where := ""
	if !math.IsNaN(s.From) {
		where = fmt.Sprintf(" between stations %s and %s", j.station(s.From), j.station(s.To))
	}
	text := fmt.Sprintf("%s cannot be filled%s: short by %s of %s", andList(s.Zones), where, j.volume(s.Short, "compacted"), orList(s.Materials))
	if len(s.Sources) == 0 {
		return text + "; nothing in the tables holds it"
	}
	return text + fmt.Sprintf("; all that may go there is from %s and makes %s of the %s asked for", andList(s.Sources), j.volume(s.Available, "compacted"), j.volume(s.Needed, "compacted"))
}

// savingWords says what one more bank volume in a source would do.
func (j *Job) savingWords(a *Allocation, s *Supplied) string {
	one := "one more bank " + j.system.Volume.Name
	each := j.system.Volume.ToSI(1)
	switch {
	case s.Closed:
		return "left closed: opening it costs more than it saves"
	case math.IsInf(s.Saving, 1):
		return "the dam is short of it: every bank " + j.system.Volume.Name + " counts"
	case s.Used < s.Holds*(1-sumTolerance):
		return "not used up: more here would change nothing"
	case s.Saving <= 0:
		return one + " would save nothing"
	case a.Basis == ByCost:
		return one + " would save " + j.money(s.Saving*each)
	case a.Basis == ByDistance:
		return one + " would save a haul of " + j.length(s.Saving)
	}
	return fmt.Sprintf("%s would save digging %.2f bank %s elsewhere", one, s.Saving, j.system.Volume.Name)
}

// andList writes names as "a, b and c".
func andList(names []string) string { return wordList(names, " and ") }

// orList writes names as "a, b or c".
func orList(names []string) string { return wordList(names, " or ") }

func wordList(names []string, last string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + last + names[n-1]
	}
	return strings.Join(names, "")
}
