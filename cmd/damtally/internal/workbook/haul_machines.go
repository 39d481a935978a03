package workbook

import (
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// layMachines lays the fleet as it was given, each figure yours to change.
func (s *haulSheet) layMachines(row int) {
	b, u := s.b, s.u
	s.put(row, 1, text("Machines: what they do"), lookPart)
	s.line(row+1, 1, 12, "Of a loader or an excavator the capacity is its bucket and the time to fill is one bucket. Of a water truck the time to dump is driving, spraying and coming back.", lookExplain)
	s.headings(row+2, "Machine", "Kind", "No.", "How many", "Capacity, "+b.m.vol("loose"), "Share of it filled", in("Most it carries", b.m.Bulk), in("Weight empty", b.m.Bulk), in("Power", u.power), "Time to fill (min)", "Time to dump (min)",
		in("Speed loaded", u.speed), in("Speed empty", u.speed), "Share of the hour worked", in("Width of a pass", b.m.Length), in("Speed on the fill", u.speed))
	s.machine = make([]machineCells, len(b.r.Site.Fleet))
	for i := range b.r.Site.Fleet {
		s.layMachine(row+3+i, i)
	}
}

func (s *haulSheet) layMachine(row, i int) {
	b, u := s.b, s.u
	f, c := &b.r.Site.Fleet[i], &s.machine[i]
	typed := func(col int, n site.Number, scale float64, format string) *cell {
		return s.put(row, col, number(n.Or(nan)/scale), input(format))
	}
	c.name = s.put(row, 1, text(clean(f.Name)), lookWord)
	s.put(row, 2, text(f.Kind), lookWord)
	s.put(row, 3, number(float64(i+1)), figure(formatCount))
	c.count = s.put(row, 4, number(s.countOf(i)), input(formatCount))
	c.capacity = typed(5, f.Capacity, b.m.Volume.SI, formatTenth)
	c.fill = s.put(row, 6, number(f.BucketFill.Or(1)), input(formatShare))
	if !f.Capacity.Given {
		c.fill = s.put(row, 6, blank(), lookTyped)
	}
	c.payload = typed(7, f.Payload, b.m.Bulk.SI, formatTenth)
	c.weight = typed(8, f.Weight, b.m.Bulk.SI, formatTenth)
	c.power = typed(9, f.Power, u.power.SI, formatLoads)
	c.load = typed(10, f.LoadTime, 60, formatMinutes)
	c.dump = typed(11, f.DumpTime, 60, formatMinutes)
	c.loaded = typed(12, f.LoadedSpeed, u.speed.SI, formatTenth)
	c.empty = typed(13, f.EmptySpeed, u.speed.SI, formatTenth)
	c.share = s.put(row, 14, number(plan.EfficiencyOf(f)), input(formatShare))
	c.width = typed(15, f.Width, b.m.Length.SI, formatTenth)
	c.speed = typed(16, f.Speed, u.speed.SI, formatTenth)
}

// countOf is how many of a machine the plan has at work, else how many there are.
func (s *haulSheet) countOf(i int) float64 {
	for _, m := range s.h.Machines {
		if m.Machine == i {
			return float64(m.Count)
		}
	}
	return s.b.r.Site.Fleet[i].Count.Or(nan)
}

// layWork lays the hours and the cost of the machines that work.
func (s *haulSheet) layWork(row int) {
	b := s.b
	s.put(row, 1, text("Machines: hours and cost"), lookPart)
	s.headings(row+1, "Machine", "Kind", "No.", "How many", "Working hours, all of them", "Hours on the job, all of them", "Share of the time at work", "Cost per hour, "+b.m.money,
		"Cost of the work, "+b.m.money, "Cost of waiting, "+b.m.money)
	row++
	s.costs, s.waits = span{s.sheet, 9, row + 1, row + len(s.h.Machines)}, span{s.sheet, 10, row + 1, row + len(s.h.Machines)}
	s.carrying = s.works.sumIfText("hauling", s.hours)
	for _, w := range s.h.Machines {
		row++
		f, c := &b.r.Site.Fleet[w.Machine], &s.machine[w.Machine]
		what := clean(f.Name)
		s.put(row, 1, c.name.ref(), lookWord)
		s.put(row, 2, text(f.Kind), lookWord)
		no := s.put(row, 3, number(float64(w.Machine+1)), figure(formatCount))
		s.put(row, 4, c.count.ref(), figure(formatCount))
		hours := s.put(row, 5, b.live(s.numbers.sumIf(no.ref(), s.hours), number(w.Hours), "working hours of "+what), figure(formatHours))
		paid := s.put(row, 6, b.live(mul(c.count.ref(), s.numbers.sumIf(no.ref(), s.onJob)), number(w.Paid), "hours on the job of "+what), figure(formatHours))
		s.put(row, 7, when(more(paid.ref(), number(0)), div(hours.ref(), paid.ref()), blank()), figure(formatShare))
		cost := s.put(row, 8, number(f.CostPerHour.Or(nan)), input(formatMoney))
		s.put(row, 9, b.live(ifKnown(mul(hours.ref(), cost.ref()), cost.ref()), number(w.Cost), "cost of "+what), figure(formatMoney))
		wait := mul(largest(number(0), sub(paid.ref(), hours.ref())), cost.ref())
		s.put(row, 10, b.live(ifKnown(wait, cost.ref()), number(w.Standing), "waiting of "+what), figure(formatMoney))
	}
}

// sumIfText is SUMIF: the sum of the numbers in other in the rows where this span
// shows the words, which hold no wildcard.
func (s span) sumIfText(words string, other span) expr {
	if s.empty() {
		return number(0)
	}
	total := 0.0
	for row := s.from; row <= s.to; row++ {
		mine, theirs := s.sheet.at(row, s.col), other.sheet.at(row, other.col)
		if mine != nil && theirs != nil && strings.EqualFold(mine.content.val.text, words) && theirs.content.val.kind == isNumber {
			total += theirs.content.val.num
		}
	}
	return call("SUMIF", num(total), s.expr(), text(words), other.expr())
}

// sumIf is SUMIF: the sum of the numbers in other in the rows where this span holds
// the number key.
func (s span) sumIf(key expr, other span) expr {
	if s.empty() {
		return number(0)
	}
	total := 0.0
	for row := s.from; row <= s.to; row++ {
		mine, theirs := s.sheet.at(row, s.col), other.sheet.at(row, other.col)
		if mine == nil || theirs == nil || mine.content.val.kind != isNumber || math.Abs(mine.content.val.num-key.numeric()) > 0 {
			continue
		}
		if theirs.content.val.kind == isNumber {
			total += theirs.content.val.num
		}
	}
	return call("SUMIF", num(total), s.expr(), key, other.expr())
}
