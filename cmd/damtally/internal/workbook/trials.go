package workbook

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

// layTrials lays the trial strips below the tests, as planned: a row a number of
// passes, and beside the last what the machine takes.
func (b *book) layTrials() {
	s := b.tests
	if len(b.r.Trials) == 0 {
		return
	}
	row := s.table(s.lastRow()+2, "Trial strips: percent compaction by machine and passes",
		"Means of the trial tests, as planned; these figures do not follow changes above. Evened out = raised where fewer passes did better. Passes needed reach the requirement on the mean; crews must average above it.",
		"Material", "Machine", "Passes", "Tests", "Mean", "Evened out", "Levels off at", "Required", "Passes needed", "How that is known")
	for _, t := range b.r.Trials {
		for k, step := range t.Growth.Steps {
			row++
			s.put(row, 1, text(clean(t.Material)), lookWord)
			s.put(row, 2, text(clean(t.Machine)), lookWord)
			s.put(row, 3, number(float64(step.Passes)), figure(formatCount))
			s.put(row, 4, number(float64(step.N)), figure(formatCount))
			s.put(row, 5, number(step.Compaction), figure(formatShare))
			s.put(row, 6, number(step.Smooth), figure(formatShare))
			s.blankRow(row, 7, 10, lookWord)
			if k == len(t.Growth.Steps)-1 {
				b.layTrialEnd(row, t)
			}
		}
	}
}

// reachWords says how a number of passes is known.
var reachWords = map[soil.Reach]string{
	soil.Tried:    "reached in the strips",
	soil.Beyond:   "by the curve, beyond what was tried",
	soil.OutReach: "the strips do not show it",
	soil.Never:    "NEVER: it levels off below",
}

func (b *book) layTrialEnd(row int, t plan.Trial) {
	s := b.tests
	if t.Growth.Fitted {
		s.put(row, 7, number(t.Growth.Ceiling), figure(formatShare))
	}
	if math.IsNaN(t.Required) {
		return
	}
	s.put(row, 8, number(t.Required), figure(formatShare))
	if t.Reach == soil.Tried || t.Reach == soil.Beyond {
		s.put(row, 9, number(float64(t.Passes)), figure(formatCount))
	}
	s.watch(s.put(row, 10, text(reachWords[t.Reach]), lookAnswer), reachWords[soil.Tried], reachWords[soil.Never])
}
