package workbook

import (
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork/soil"
)

// layIntervals lays the confidence intervals of densities and factors, as the
// plan worked them out.
func (b *book) layIntervals(row int, soils []int) int {
	s, m := b.materials, b.m
	if len(soils) == 0 {
		return row
	}
	row = s.table(row, "How sure the densities and factors are",
		"95 % confidence intervals of the means by Student's t, from the tests alone, as planned. Few tests make them wide. They do not follow changes on these sheets.",
		"Material", in("Bank, from", m.Density), in("Bank, to", m.Density), in("Loose, from", m.Density), in("Loose, to", m.Density),
		in("Fill, from", m.Density), in("Fill, to", m.Density), "Shrink factor, from", "Shrink factor, to", "Swell, from", "Swell, to", "Spread taken from practice")
	for _, i := range soils {
		row++
		s.put(row, 1, b.soil[i].name.ref(), lookWord)
		s.blankRow(row, 2, 12, lookWord)
		spread := b.r.Materials[i].Spread
		if spread == nil {
			continue
		}
		for k, interval := range []*soil.Interval{spread.BankDensity, spread.LooseDensity, spread.FillDensity} {
			if interval != nil {
				s.put(row, 2+2*k, m.densityOf(interval.Low), figure(m.density()))
				s.put(row, 3+2*k, m.densityOf(interval.High), figure(m.density()))
			}
		}
		for k, interval := range []*soil.Interval{spread.Factors.Shrink, spread.Factors.Swell} {
			if interval != nil {
				s.put(row, 8+2*k, number(interval.Low), figure(formatFactor))
				s.put(row, 9+2*k, number(interval.High), figure(formatFactor))
			}
		}
		s.put(row, 12, text(assumedWords(spread)), lookWhy)
	}
	return row + 2
}

// assumedWords names the states whose spread is stated practice.
func assumedWords(spread *plan.Spread) string {
	var words []string
	for _, a := range spread.Assumed {
		words = append(words, string(a))
	}
	return strings.Join(words, ", ")
}

// layRanges lays what the bank and loose volumes may come to. The ends are the
// planned shares of the volumes beside them, so they follow the dam.
func (b *book) layRanges(row int, soils []int) int {
	s, m := b.materials, b.m
	ranged := false
	for _, i := range soils {
		spread := b.r.Materials[i].Spread
		ranged = ranged || spread != nil && (spread.Bank != nil || spread.Loose != nil)
	}
	if !ranged {
		return row
	}
	row = s.table(row, "How sure the volumes are: density tests only",
		"1 in 10 lies below the low and 1 in 10 above the high figure, by random draws of the mean densities. Layer thickness, survey and loss are not in it. The other way is first-order propagation.",
		"Material", m.vol("bank")+" to dig", "Low, "+m.vol("bank"), "High, "+m.vol("bank"), "Low the other way", "High the other way",
		m.vol("loose")+" to haul", "Low, "+m.vol("loose"), "High, "+m.vol("loose"), "Driven most by", "Chance that the pits hold the need", "Tests to buy next")
	for _, i := range soils {
		row++
		b.layRange(row, i)
	}
	return row + 2
}

func (b *book) layRange(row, i int) {
	s, m, c, mat := b.materials, b.m, &b.soil[i], &b.r.Materials[i]
	name := clean(mat.Row.Name)
	s.put(row, 1, c.name.ref(), lookWord)
	s.blankRow(row, 2, 12, lookWord)
	if mat.Spread == nil {
		return
	}
	lay := func(col int, volume *cell, planned, end float64, what string) *cell {
		share := mul(volume.ref(), number(end/planned))
		return s.put(row, col, b.live(ifKnown(share, volume.ref()), m.volumeOf(end), what+" of "+name), figure(formatVolume))
	}
	if r := mat.Spread.Bank; r != nil {
		s.put(row, 2, ifKnown(c.bankVolume.ref(), c.bankVolume.ref()), figure(formatVolume))
		c.bankLow = lay(3, c.bankVolume, mat.Bank, r.Low, "low bank volume")
		c.bankHigh = lay(4, c.bankVolume, mat.Bank, r.High, "high bank volume")
		lay(5, c.bankVolume, mat.Bank, r.FirstLow, "low bank volume to first order")
		lay(6, c.bankVolume, mat.Bank, r.FirstHigh, "high bank volume to first order")
	}
	if r := mat.Spread.Loose; r != nil {
		s.put(row, 7, ifKnown(c.looseVol.ref(), c.looseVol.ref()), figure(formatVolume))
		lay(8, c.looseVol, mat.Loose, r.Low, "low loose volume")
		lay(9, c.looseVol, mat.Loose, r.High, "high loose volume")
	}
	if d := mat.Spread.Drivers; len(d) > 0 {
		s.put(row, 10, text(string(d[0].State)+" density, "+shareWords(d[0].Share)), lookWord)
	}
	for _, l := range b.r.Balance {
		if l.Material == mat.Row.Name && l.Chance != nil {
			s.put(row, 11, number(*l.Chance), figure("0%"))
		}
	}
	s.put(row, 12, text(purchaseWords(mat.Spread.Next)), lookWhy)
}

// shareWords writes a share in percent, to a tenth.
func shareWords(share float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(100*share, 'f', 1, 64), ".0") + " %"
}

// purchaseWords says which tests to buy next.
func purchaseWords(p *plan.Purchase) string {
	if p == nil {
		return ""
	}
	where := ""
	if p.Pit != "" {
		where = " in pit " + clip(clean(p.Pit), 40)
	}
	return itoa(p.Tests) + " " + string(p.State) + " tests" + where + ": from +-" + shareWords(p.Before) + " to +-" + shareWords(p.After)
}

// layMoisture lays the water between pit and lift.
func (b *book) layMoisture(row int, soils []int) int {
	s, m := b.materials, b.m
	some := false
	for _, i := range soils {
		some = some || b.r.Materials[i].Moisture != nil
	}
	if !some {
		return row
	}
	small, large := waterUnits(m.System)
	row = s.table(row, "Water between pit and lift",
		"Water = dry density x (target - pit). The target is the optimum, or the middle of the window where both ends are required. Below zero it is water to dry off. Evaporation is not in it.",
		"Material", "In the pit", "Tests", "Target", "To add, share of dry mass", small.Name+" for each "+m.vol("bank"), small.Name+" for each "+m.vol("compacted"),
		large.Name+" for the dam", "Most that is allowed", "Can it pass as it lies?")
	for _, i := range soils {
		if w := b.r.Materials[i].Moisture; w != nil {
			row++
			b.layWater(row, i, w, small, large)
		}
	}
	return row + 2
}

// waterUnits are the units of water on one volume of soil and on the whole dam.
func waterUnits(system units.System) (small, large units.Unit) {
	unit := func(name string) units.Unit {
		u, _ := units.Lookup(name)
		return u
	}
	if system.Name == units.US.Name {
		return unit("gal"), unit("gal")
	}
	return unit("L"), unit("m3")
}

func (b *book) layWater(row, i int, w *plan.Moisture, small, large units.Unit) {
	s, m, c, mat := b.materials, b.m, &b.soil[i], &b.r.Materials[i]
	name := clean(mat.Row.Name)
	s.put(row, 1, c.name.ref(), lookWord)
	present := s.put(row, 2, number(w.Present), input(formatShare))
	s.put(row, 3, number(float64(w.Tests)), figure(formatCount))
	middle := add(c.optimum.ref(), div(add(c.low.ref(), c.high.ref()), number(2)))
	wet := all(known(c.low.ref()), more(c.low.ref(), number(0)))
	dry := all(known(c.high.ref()), less(c.high.ref(), number(0)))
	goal := when(known(c.low.ref(), c.high.ref()), middle,
		when(wet, add(c.optimum.ref(), c.low.ref()), when(dry, add(c.optimum.ref(), c.high.ref()), c.optimum.ref())))
	target := s.put(row, 4, b.live(goal, number(w.Target), "target water content of "+name), figure(formatShare))
	lacks := s.put(row, 5, sub(target.ref(), present.ref()), figure(formatPoints))
	// One unit of density times one of volume, as units of water.
	per := func(unit units.Unit) expr {
		return number(m.Density.SI * m.Volume.SI / (soil.WaterDensity * unit.SI))
	}
	each := func(col int, density *cell, want float64, what string) *cell {
		formula := ifKnown(mul(mul(density.ref(), lacks.ref()), per(small)), density.ref())
		si := number(want * m.Volume.SI / (soil.WaterDensity * small.SI))
		return s.put(row, col, b.live(formula, si, what+" of "+name), figure(formatShort))
	}
	each(6, c.bank, w.PerBank, "water per bank volume")
	each(7, c.fill, w.PerCompacted, "water per compacted volume")
	whole := ifKnown(mul(mul(mul(c.compacted.ref(), c.fill.ref()), lacks.ref()), per(large)), c.compacted.ref(), c.fill.ref())
	s.watchNegative(s.put(row, 8, b.live(whole, number(w.Mass/(soil.WaterDensity*large.SI)), "water of "+name), figure(formatVolume)))
	most := s.put(row, 9, ifKnown(add(c.optimum.ref(), c.high.ref()), c.high.ref(), c.optimum.ref()), figure(formatShare))
	passes := when(known(most.ref()), when(more(present.ref(), most.ref()), text("TOO WET"), text("yes")), blank())
	word := blank()
	if mat.Row.WaterHigh.Given {
		word = text("yes")
		if w.TooWet {
			word = text("TOO WET")
		}
	}
	s.watch(s.put(row, 10, b.live(passes, word, "wetness of "+name), lookAnswer), "yes", "TOO WET")
}

// layLots lays the fill tests by zone and lift below the tests, as planned.
func (b *book) layLots() {
	s := b.tests
	if len(b.r.Lots) == 0 {
		return
	}
	due := false
	for _, l := range b.r.Lots {
		due = due || l.Due > 0
	}
	row := s.table(s.lastRow()+2, "Percent compaction of the fill, by zone and lift",
		"Of the tests that no retest replaces, as planned; these figures do not follow changes above. Within the limit = the estimated share of the fill at or above the required compaction, by quality index (FHWA T 5080.12); it takes three tests.",
		"Material", "Zone", "Lift", "Tests made", "Tests due", "Tests that count", "Failed without a passing retest", "Mean", "Standard deviation", "Lowest", "Within the limit")
	for _, l := range b.r.Lots {
		row++
		lift := clean(l.Lift)
		if lift == "" {
			lift = "all"
		}
		s.put(row, 1, text(clean(l.Material)), lookWord)
		s.put(row, 2, text(clean(l.Zone)), lookWord)
		s.put(row, 3, text(lift), lookWord)
		s.put(row, 4, number(float64(l.Done)), figure(formatCount))
		s.put(row, 5, blank(), figure(formatCount))
		if due && l.Lift == "" {
			s.put(row, 5, number(float64(l.Due)), figure(formatCount))
		}
		s.put(row, 6, number(float64(l.N)), figure(formatCount))
		s.put(row, 7, number(float64(l.Failed)), figure(formatCount))
		s.blankRow(row, 8, 11, lookWord)
		if l.N == 0 {
			continue
		}
		s.put(row, 8, number(l.Mean), figure(formatShare))
		if l.N > 1 {
			s.put(row, 9, number(l.SD), figure(formatShare))
		}
		s.put(row, 10, number(l.Lowest), figure(formatShare))
		s.put(row, 11, number(l.Within), figure(formatShare))
	}
}
