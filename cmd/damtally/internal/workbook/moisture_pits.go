package workbook

import (
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork/soil"
)

// Columns of the table of the water by pit.
const (
	pitWaterPresent = iota + 4
	pitWaterUsed
	pitWaterPerBank
	pitWaterOrdered
	pitWaterPasses
	pitWaterRate
	pitWaterDays
)

// layWaterByPit lays the water by pit and material, and lets the water content of
// each material follow from its pits.
func (b *book) layWaterByPit(row int, soils []int, cells map[int]waterCells, small units.Unit) int {
	s, m := b.materials, b.m
	some := false
	for _, i := range soils {
		some = some || b.r.Materials[i].Moisture != nil && len(b.r.Materials[i].Moisture.Pits) > 0
	}
	if !some {
		return row
	}
	row = s.table(row, "Water by pit", "By the bank tests of each pit, else the layers of its test holes, weighted by the thickness dug. What is taken from a pit is as planned; it weighs the pits in the table above. To bring = with what dries off a lift. Below zero it is water to dry off. Days = above the most that is allowed / drying rate, for each lot spread.",
		"Material", "Pit", "Known by", "In the pit", "Taken from it, "+m.vol("bank")+", as planned", small.Name+" for each "+m.vol("bank"), "To bring, "+small.Name+" for each "+m.vol("compacted"),
		"Can it pass as it lies?", "Drying rate, a day", "Fair days of drying a lot")
	for _, i := range soils {
		w := b.r.Materials[i].Moisture
		if w == nil || len(w.Pits) == 0 {
			continue
		}
		first := row + 1
		for k := range w.Pits {
			row++
			b.layPitWater(row, i, &w.Pits[k], cells[i], small)
		}
		if w.Weighted {
			b.weighPits(i, w, cells[i].present, first, row)
		}
	}
	return row + 2
}

// weighPits makes a material's water content that of its pits, weighted by what is
// taken from each.
func (b *book) weighPits(i int, w *plan.Moisture, present *cell, first, last int) {
	s := b.materials
	mean := s.at(first, pitWaterPresent).ref()
	if last > first {
		used := span{s, pitWaterUsed, first, last}
		mean = div(sumProduct(span{s, pitWaterPresent, first, last}, used), used.sum())
	}
	present.content = b.live(mean, number(w.Present), "water content of "+clean(b.r.Materials[i].Row.Name))
	present.look = figure(formatShare)
}

// layPitWater lays the water of one material in one pit.
func (b *book) layPitWater(row, i int, p *plan.PitMoisture, c waterCells, small units.Unit) {
	s, m, mat := b.materials, b.m, &b.soil[i]
	what := " of " + clean(b.r.Materials[i].Row.Name) + " in pit " + clean(p.Pit)
	s.put(row, 1, mat.name.ref(), lookWord)
	s.put(row, 2, text(clean(p.Pit)), lookWord)
	s.put(row, 3, text(restsOn(p.Tests, p.Layers)), lookWord)
	present := s.put(row, pitWaterPresent, number(p.Present), input(formatShare))
	s.put(row, pitWaterUsed, m.volumeOf(p.Used), figure(formatVolume))
	lacks := sub(c.target.ref(), present.ref())
	per := number(m.Density.SI * m.Volume.SI / (soil.WaterDensity * small.SI))
	inUnit := func(kg float64) expr { return number(kg * m.Volume.SI / (soil.WaterDensity * small.SI)) }
	bank := ifKnown(mul(mul(mat.bank.ref(), lacks), per), mat.bank.ref())
	s.put(row, pitWaterPerBank, b.live(bank, inUnit(p.PerBank), "water per bank volume"+what), figure(formatShort))
	order := mul(mul(mat.fill.ref(), lacks), per)
	order = ifKnown(when(known(c.dries.ref()), add(order, c.dries.ref()), order), mat.fill.ref())
	s.put(row, pitWaterOrdered, b.live(order, inUnit(p.Ordered), "water to bring"+what), figure(formatShort))
	s.blankRow(row, pitWaterPasses, pitWaterDays, lookWord)
	high := b.r.Materials[i].Row.WaterHigh
	if !high.Given {
		return
	}
	over := sub(present.ref(), c.most.ref())
	wet := "yes"
	if p.TooWet {
		wet = "TOO WET"
	}
	passes := when(known(c.most.ref()), when(more(over, number(0)), text("TOO WET"), text("yes")), blank())
	s.watch(s.put(row, pitWaterPasses, b.live(passes, text(wet), "wetness"+what), lookAnswer), "yes", "TOO WET")
	b.layDrying(row, p, over, b.r.Site.Settings.DryingRate, what)
}

// layDrying lays how many fair days a lot of a pit's soil dries.
func (b *book) layDrying(row int, p *plan.PitMoisture, over expr, rate site.Number, what string) {
	if !rate.Given {
		return
	}
	s := b.materials
	each := s.put(row, pitWaterRate, number(rate.Value), input(formatShare))
	days := when(more(over, number(0)), div(over, each.ref()), blank())
	want := blank()
	if p.TooWet {
		want = number(p.Days)
	}
	s.put(row, pitWaterDays, b.live(days, want, "days of drying"+what), figure(formatTenth))
}
