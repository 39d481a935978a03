package workbook

import (
	"math"
	"strings"
)

// tallyColumns are the columns of the truck tally that sums are taken of.
type tallyColumns struct {
	soil, pit, within, loads, rejected, loose, sent, weighedLoose, dry span
}

// Columns of the truck tally.
const (
	tallyDate = iota + 1
	tallyPit
	tallySoil
	tallyTruck
	tallyLoads
	tallyRejected
	tallyCapacity
	tallyMeasured
	tallyFill
	tallyLoose
	tallySent
	tallyWeight
	tallyWater
	tallyDry
	tallyWeighed
	tallyWithin
)

// sumIf is SUMIF over a column, or SUMIFS with two conditions: the sum of what
// stands beside cells that show the text of a cell.
func sumIf(sum span, conditions ...ifCell) expr {
	total := 0.0
	for row := sum.from; row <= sum.to; row++ {
		holds := true
		for _, c := range conditions {
			at := c.in.sheet.at(row, c.in.col)
			holds = holds && at != nil && strings.EqualFold(at.content.val.text, c.is.val.text)
		}
		if at := sum.sheet.at(row, sum.col); holds && at != nil && at.content.val.kind == isNumber {
			total += at.content.val.num
		}
	}
	args := []expr{sum.expr()}
	for _, c := range conditions {
		args = append(args, c.in.expr(), c.is)
	}
	return call("SUMIFS", num(total), args...)
}

// ifCell is a condition: a column shows a text.
type ifCell struct {
	in span
	is expr
}

// layTally lays the truck tally and its sums by soil.
func (b *reconBook) layTally() {
	s, m := b.tally, b.m
	if len(b.rec.Loads) == 0 {
		return
	}
	row := s.opening("Truck tally", tallyWithin,
		"Loose volume = loads x capacity x how full. Rejected loads left the pit and are among the loads; they stand apart since they never reached the dam. Dry weight = net weight / (1 + water content).",
		"Rows after the last survey are listed and not counted.") + 1
	sums := row
	row += len(b.rec.Soils) + 4
	s.put(row-1, 1, text("Line by line"), lookPart)
	s.headings(row, "Date", "From", "Material", "Truck", "Loads", "Of them rejected", "Capacity, "+m.vol("loose"), "Capacity is", "How full", m.vol("loose"), "Rejected, "+m.vol("loose"),
		in("Net weight of a load", m.Bulk), "Water content", in("Dry weight of all", m.Bulk), "Weighed, "+m.vol("loose"), "Counted")
	first := row + 1
	for i := range b.rec.Loads {
		row++
		b.layLoad(row, i)
	}
	col := func(c int) span { return span{s, c, first, row} }
	b.counted = tallyColumns{
		soil: col(tallySoil), pit: col(tallyPit), within: col(tallyWithin), loads: col(tallyLoads), rejected: col(tallyRejected),
		loose: col(tallyLoose), sent: col(tallySent), weighedLoose: col(tallyWeighed), dry: col(tallyDry),
	}
	b.layTallySums(sums)
	s.heads = [2]int{first - 1, first - 1}
}

// The words of the column that says where a row counts.
const (
	countedWithin  = "between the pit's surveys"
	countedOutside = "outside the pit's surveys"
	countedNot     = "no, later"
	countedAhead   = "later, but between the pit's surveys"
)

// layLoad lays one row of the tally.
func (b *reconBook) layLoad(row, i int) {
	s, m, l := b.tally, b.m, &b.rec.Loads[i]
	s.put(row, tallyDate, text(l.Row.Date), lookWord)
	s.put(row, tallyPit, text(clean(l.Row.Pit)), lookWord)
	s.put(row, tallySoil, text(b.soilName(l.Material)), lookWord)
	s.put(row, tallyTruck, text(clean(l.Row.Truck)), lookWord)
	loads := s.put(row, tallyLoads, number(l.Row.Loads), input(formatCount))
	rejected := s.put(row, tallyRejected, number(l.Row.Rejected.Value), input(formatCount))
	capacity := s.put(row, tallyCapacity, m.volumeOf(l.Row.Capacity), input("0.0"))
	s.put(row, tallyMeasured, text(l.Row.CapacityMeasured), lookWord)
	fill := s.put(row, tallyFill, number(l.Row.Fill.Or(1)), input("0%"))
	loose := s.put(row, tallyLoose, b.live(mul(mul(loads.ref(), capacity.ref()), fill.ref()), m.volumeOf(l.Loose), "loose volume of a load"), figure("#,##0.0"))
	sent := when(more(loads.ref(), number(0)), div(mul(loose.ref(), rejected.ref()), loads.ref()), number(0))
	s.put(row, tallySent, b.live(sent, m.volumeOf(l.Rejected), "rejected volume"), figure("#,##0.0"))
	s.blankRow(row, tallyWeight, tallyWeighed, lookWord)
	if !math.IsNaN(l.Weighed) {
		weight := s.put(row, tallyWeight, m.bulkOf(l.Row.NetWeight.Value), input("0.00"))
		if !math.IsNaN(l.Water) {
			water := s.put(row, tallyWater, number(l.Water), input(formatShare))
			dry := div(mul(loads.ref(), weight.ref()), add(number(1), water.ref()))
			s.put(row, tallyDry, b.live(dry, m.bulkOf(l.Solids()), "dry weight of a load"), figure("#,##0.0"))
			s.put(row, tallyWeighed, loose.ref(), figure("#,##0.0"))
		}
	}
	s.put(row, tallyWithin, text(b.countedAs(i)), lookWord)
}

// countedAs says where a row of the tally counts.
func (b *reconBook) countedAs(i int) string {
	l := &b.rec.Loads[i]
	surveyed := false
	for _, p := range b.rec.Pits {
		surveyed = surveyed || b.r.Pits[p.Pit].Row.Name == l.Row.Pit && l.Row.Date > p.From && l.Row.Date <= p.To
	}
	switch {
	case surveyed && l.Counted:
		return countedWithin
	case surveyed:
		return countedAhead
	case l.Counted:
		return countedOutside
	}
	return countedNot
}

// layTallySums lays the sums by soil.
func (b *reconBook) layTallySums(row int) {
	s, m := b.tally, b.m
	row = s.table(row, "By soil, up to "+b.until(), "", "Material", "Loads", "Of them rejected", m.vol("loose"), "Rejected, "+m.vol("loose"), "Weighed, "+m.vol("loose"), in("Dry weight of it", m.Bulk), in("Dry weight of all", m.Bulk), "Error of the volume", "Error of the weight")
	t := &b.counted
	for i := range b.rec.Soils {
		row++
		a, c := &b.rec.Soils[i], &b.soils[i]
		name := s.put(row, 1, text(b.soilName(a.Material)), lookWord)
		of := func(sum span) expr {
			within := sumIf(sum, ifCell{t.soil, name.ref()}, ifCell{t.within, text(countedWithin)})
			return add(within, sumIf(sum, ifCell{t.soil, name.ref()}, ifCell{t.within, text(countedOutside)}))
		}
		c.loads = s.put(row, 2, b.live(of(t.loads), number(a.Loads), "loads"), figure("#,##0"))
		c.rejected = s.put(row, 3, b.live(of(t.rejected), number(a.Rejected), "rejected loads"), figure("#,##0"))
		s.blankRow(row, 4, 10, lookWord)
		if !a.Season.Tally.Known() {
			continue
		}
		c.loose = s.put(row, 4, b.live(of(t.loose), m.volumeOf(a.Season.Tally.Value), "loose volume of the tally"), figure(formatVolume))
		c.rejectedLoose = s.put(row, 5, b.live(of(t.sent), m.volumeOf(a.RejectedLoose), "rejected loose volume"), figure(formatVolume))
		scatter := div(b.accuracy.scatter.ref(), root(largest(number(1), c.loads.ref())))
		c.tallySE = s.put(row, 9, b.live(root(add(square(b.accuracy.capacity.ref()), square(scatter))), number(a.Season.Tally.Error()), "error of the tally"), figure("0.00%"))
		if !a.Season.Weighed.Known() {
			continue
		}
		weighed := s.put(row, 6, of(t.weighedLoose), figure(formatVolume))
		dry := s.put(row, 7, of(t.dry), figure(formatTons))
		share := div(weighed.ref(), c.loose.ref())
		c.dryTons = s.put(row, 8, b.live(div(dry.ref(), share), m.bulkOf(a.Season.Weighed.Value), "dry weight of all loads"), figure(formatTons))
		rest := div(mul(sub(number(1), share), b.accuracy.scatter.ref()), root(largest(number(1), mul(c.loads.ref(), share))))
		off := root(add(add(square(b.accuracy.scale.ref()), square(b.accuracy.water.ref())), square(rest)))
		c.scaleSE = s.put(row, 10, b.live(off, number(a.Season.Weighed.Error()), "error of the weights"), figure("0.00%"))
	}
}

// until is the day up to which everything is counted.
func (b *reconBook) until() string {
	if b.rec.Until == "" {
		return "now"
	}
	return b.rec.Until
}
