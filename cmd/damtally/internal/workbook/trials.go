package workbook

import (
	"cmp"
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork/soil"
)

// Columns of the trial strips that a chart is drawn from.
const (
	trialPasses   = 3
	trialMean     = 5
	trialRequired = 8
)

// layTrials lays the trial strips: a row a number of passes, whose mean follows the
// tests, and beside the last what the machine takes, as planned.
func (b *book) layTrials() {
	s := b.trials
	if len(b.r.Trials) == 0 {
		return
	}
	lift := newHaulUnits(b.m).lift
	row := s.opening("Trial strips: percent compaction by machine and passes", 12,
		"Means follow the trial tests on the sheet Tests; columns that say so, and those after them, are as planned. Evened out = raised where fewer passes did better.",
		"Passes needed reach the requirement on the mean; crews must average above it. Lift as rolled = lift as spread x dry density of spread soil / required dry density.") + 1
	s.headings(row, "Material", "Machine", "Passes", "Tests", "Mean", "Evened out, as planned", "Levels off at, as planned", "Required", "Passes needed, as planned", "How that is known",
		in("On the ground", pressureUnit(b.m.System)), in("Lift as spread", lift), in("Lift as rolled", lift))
	s.widths[1], s.widths[2], s.widths[10] = 20, 20, 27
	for _, t := range b.r.Trials {
		b.strips = append(b.strips, span{s, trialPasses, row + 1, row + len(t.Growth.Steps)})
		for k, step := range t.Growth.Steps {
			row++
			s.put(row, 1, text(clean(t.Material)), lookWord)
			s.put(row, 2, text(clean(t.Machine)), lookWord)
			s.put(row, 3, number(float64(step.Passes)), figure(formatCount))
			b.layTrialMean(row, t, step)
			s.put(row, 6, number(step.Smooth), figure(formatShare))
			s.blankRow(row, 7, 13, lookWord)
			if i := b.materialIndex(t.Material); i >= 0 && !math.IsNaN(t.Required) {
				s.put(row, trialRequired, b.live(b.soil[i].required.ref(), number(t.Required), "required compaction of "+clean(t.Material)), figure(formatShare))
			}
			if k == len(t.Growth.Steps)-1 {
				b.layTrialEnd(row, t)
			}
		}
	}
	b.layTrialWork()
}

// layTrialMean lays the mean of the tests of one machine after a number of passes.
func (b *book) layTrialMean(row int, t plan.Trial, step soil.Step) {
	s := b.trials
	rows := b.testRows(func(x *plan.Test) bool {
		r := &x.Row
		return r.State == "trial" && r.Material == t.Material && r.Machine == t.Machine && r.Passes.Given &&
			int(math.Round(r.Passes.Value)) == step.Passes && !math.IsNaN(x.Compaction)
	})
	if rows.tooMany() {
		s.put(row, 4, number(float64(step.N)), figure(formatCount))
		s.put(row, 5, number(step.Compaction), figure(formatShare))
		return
	}
	what := " of " + clean(t.Machine) + " after " + itoa(step.Passes) + " passes"
	compaction := rows.in(testCompaction)
	n := s.put(row, 4, b.live(compaction.count(), number(float64(step.N)), "trial tests"+what), figure(formatCount))
	s.put(row, 5, b.live(compaction.of("AVERAGE", n, 1), number(step.Compaction), "mean compaction"+what), figure(formatShare))
}

// pressureUnit is the unit of ground pressure.
func pressureUnit(system units.System) units.Unit {
	name := "kPa"
	if system.Name == units.US.Name {
		name = "psi"
	}
	u, _ := units.Lookup(name)
	return u
}

// reachWords says how a number of passes is known.
var reachWords = map[soil.Reach]string{
	soil.Tried:    "reached in the strips",
	soil.Beyond:   "by the curve, beyond what was tried",
	soil.OutReach: "the strips do not show it",
	soil.Never:    "NEVER: it levels off below",
}

func (b *book) layTrialEnd(row int, t plan.Trial) {
	s := b.trials
	if t.Growth.Fitted {
		s.put(row, 7, number(t.Growth.Ceiling), figure(formatShare))
	}
	lift := newHaulUnits(b.m).lift
	s.put(row, 11, number(pressureUnit(b.m.System).FromSI(t.Pressure)), figure(formatTenth))
	s.put(row, 12, number(lift.FromSI(t.Loose)), figure(formatTenth))
	s.put(row, 13, number(lift.FromSI(t.Compacted)), figure(formatTenth))
	if math.IsNaN(t.Required) {
		return
	}
	if t.Reach == soil.Tried || t.Reach == soil.Beyond {
		s.put(row, 9, number(float64(t.Passes)), figure(formatCount))
	}
	s.watch(s.put(row, 10, text(reachWords[t.Reach]), lookAnswer), reachWords[soil.Tried], reachWords[soil.Never])
}

// layTrialWork sets the machines that reach what is required side by side for all of
// the material that the dam takes, the cheapest first.
func (b *book) layTrialWork() {
	s, u := b.trials, newHaulUnits(b.m)
	var work []*plan.Trial
	for i := range b.r.Trials {
		if b.r.Trials[i].Work != nil {
			work = append(work, &b.r.Trials[i])
		}
	}
	if len(work) == 0 {
		return
	}
	slices.SortStableFunc(work, func(x, y *plan.Trial) int {
		return cmp.Or(cmp.Compare(b.materialIndex(x.Material), b.materialIndex(y.Material)), cmp.Compare(x.Work.Cost, y.Work.Cost), cmp.Compare(x.Work.Hours, y.Work.Hours))
	})
	c := b.m.vol("compacted")
	row := s.table(s.lastRow()+2, "Machines that pass, side by side",
		"One machine, "+c+" an hour = width x speed x compacted lift x share of the hour worked / passes"+u.sixteen()+". For all of the material that the dam takes; the cheapest first. The compacted lift here is the plan's, from the loose tests in a truck or box; soil spread by a machine is often denser, so the lift as rolled above may be thicker.",
		"Material", "Machine", "Passes", in("Width of a pass", b.m.Length), in("Speed", u.speed), in("Compacted lift", u.lift), "Share of the hour worked", "One machine, "+c+" an hour",
		c+" in the dam", "Hours", "Cost per hour, "+b.m.money, "Cost, "+b.m.money, "For each "+c+", "+b.m.money, "Times as long as the quickest", "Times as dear as the cheapest")
	first := row + 1
	for _, t := range work {
		row++
		b.layTrialMachine(row, t, u)
	}
	for from := first; from <= row; { // each material's machines among themselves
		to := from
		for to < row && work[to+1-first].Material == work[from-first].Material {
			to++
		}
		b.layTrialShares(from, to, work[from-first:to+1-first])
		from = to + 1
	}
}

// sixteen says what the handbooks' number stands for.
func (u haulUnits) sixteen() string {
	if u.over > 1 {
		return ", x 16.3 in feet, mph and inches (16.3 stands for 5,280 / 324)"
	}
	return ""
}

func (b *book) layTrialMachine(row int, t *plan.Trial, u haulUnits) {
	s, w, m := b.trials, t.Work, b.m
	name := clean(t.Machine)
	s.put(row, 1, text(clean(t.Material)), lookWord)
	s.put(row, 2, text(name), lookWord)
	passes := s.put(row, 3, number(float64(w.Passes)), input(formatCount))
	width := s.put(row, 4, m.lengthOf(w.Width), input(formatTenth))
	speed := s.put(row, 5, number(u.speed.FromSI(w.Speed)), input(formatTenth))
	lift := s.put(row, 6, number(u.lift.FromSI(w.Lift)), input(formatTenth))
	share := s.put(row, 7, number(w.Efficiency), input(formatShare))
	over := passes.ref()
	if u.over != 1 {
		over = mul(number(u.over), over)
	}
	rate := div(mul(mul(mul(mul(number(u.rolled), width.ref()), speed.ref()), lift.ref()), share.ref()), over)
	each := s.put(row, 8, b.live(rate, number(m.Volume.FromSI(w.Production())*3600), "production of "+name), figure(formatTenth))
	k := b.materialIndex(t.Material)
	volume := s.put(row, 9, b.m.volumeOf(b.r.Materials[k].Compacted), figure(formatVolume))
	hours := s.put(row, 10, b.live(div(volume.ref(), each.ref()), number(w.Hours), "hours of "+name), figure(formatHours))
	perHour := s.put(row, 11, number(b.r.Site.Fleet[t.Fleet].CostPerHour.Or(nan)), input(formatMoney))
	cost := s.put(row, 12, ifKnown(mul(hours.ref(), perHour.ref()), perHour.ref()), figure(formatMoney))
	s.put(row, 13, ifKnown(div(cost.ref(), volume.ref()), cost.ref()), figure(formatMoney))
}

func (b *book) layTrialShares(from, to int, work []*plan.Trial) {
	s := b.trials
	hours, cost := span{s, 10, from, to}, span{s, 12, from, to}
	all := compare(cost.count(), "=", number(float64(to-from+1)), len(cost.numbers()) == to-from+1)
	for row := from; row <= to; row++ {
		w := work[row-from].Work
		s.put(row, 14, b.live(div(s.at(row, 10).ref(), hours.least()), number(w.Longer), "times as long"), figure(formatTenth))
		dear := blank()
		if w.Cost > 0 {
			dear = number(w.Dearer)
		}
		least := cost.least()
		s.put(row, 15, b.live(when(all, div(s.at(row, 12).ref(), least), blank()), dear, "times as dear"), figure(formatTenth))
	}
}
