package workbook

import (
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork/soil"
)

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
		"Water = dry density x (target - pit). The target is the optimum, or the middle of the window where both ends are required. Below zero it is water to dry off.",
		"Material", "In the pit", "Known by", "Target", "To add, share of dry mass", small.Name+" for each "+m.vol("bank"), small.Name+" for each "+m.vol("compacted"),
		large.Name+" for the dam", "Most that is allowed", "Can it pass as it lies?")
	cells := map[int]waterCells{}
	for _, i := range soils {
		if w := b.r.Materials[i].Moisture; w != nil {
			row++
			cells[i] = b.layWater(row, i, w, small, large)
		}
	}
	row = s.table(row+2, "Water to bring",
		"What dries off a lift while it lies open comes on top of the water for the dam, by the evaporation of a day.",
		"Material", large.Name+" for the dam", "Dries off a lift, "+small.Name+" for each "+m.vol("compacted"), "To bring in all, "+large.Name,
		"One load of the water truck, "+large.Name, "Loads of water")
	for _, i := range soils {
		if c, ok := cells[i]; ok {
			row++
			c.dries = b.layOrder(row, i, c.need, small, large)
			cells[i] = c
		}
	}
	return b.layWaterByPit(row+2, soils, cells, small)
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

// waterCells are the cells of one material that its pits refer to.
type waterCells struct {
	present, target, most, need, dries *cell
}

func (b *book) layWater(row, i int, w *plan.Moisture, small, large units.Unit) waterCells {
	s, m, c, mat := b.materials, b.m, &b.soil[i], &b.r.Materials[i]
	name := clean(mat.Row.Name)
	s.put(row, 1, c.name.ref(), lookWord)
	present := s.put(row, 2, number(w.Present), input(formatShare))
	s.put(row, 3, text(restsOn(w.Tests, w.Layers)), lookWord)
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
	need := s.put(row, 8, b.live(whole, number(w.Mass/(soil.WaterDensity*large.SI)), "water of "+name), figure(formatVolume))
	s.watchNegative(need)
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
	return waterCells{present: present, target: target, most: most, need: need}
}

// counted writes a number of things.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return itoa(n) + " " + what + "s"
}

// restsOn says in few words what a water content rests on.
func restsOn(tests, layers int) string {
	var parts []string
	if tests > 0 {
		parts = append(parts, counted(tests, "bank test"))
	}
	if layers > 0 {
		parts = append(parts, counted(layers, "layer"))
	}
	return strings.Join(parts, ", ")
}

// layOrder lays what must be brought: the need with what dries off the lifts, and
// the loads of the water truck.
func (b *book) layOrder(row, i int, need *cell, small, large units.Unit) (dries *cell) {
	s, m, c, w := b.materials, b.m, &b.soil[i], b.r.Materials[i].Moisture
	name := clean(b.r.Materials[i].Row.Name)
	s.put(row, 1, c.name.ref(), lookWord)
	need = s.put(row, 2, ifKnown(need.ref(), need.ref()), figure(formatVolume))
	dries = s.put(row, 3, number(w.Evaporates*m.Volume.SI/(soil.WaterDensity*small.SI)), input(formatShort))
	lost := mul(dries.ref(), c.compacted.ref())
	if small != large {
		lost = mul(lost, number(small.SI/large.SI))
	}
	brought := ifKnown(when(known(dries.ref()), add(need.ref(), lost), need.ref()), need.ref())
	order := s.put(row, 4, b.live(brought, number(w.Ordered/(soil.WaterDensity*large.SI)), "water to bring to "+name), figure(formatVolume))
	s.blankRow(row, 5, 6, lookWord)
	if w.Truck < 0 {
		return dries
	}
	load := s.put(row, 5, number(b.r.Site.Fleet[w.Truck].Capacity.Value/large.SI), input(formatVolume))
	loads := ifKnown(roundedUp(div(largest(number(0), order.ref()), load.ref())), order.ref(), load.ref())
	s.put(row, 6, b.live(loads, number(w.Loads), "loads of water for "+name), figure(formatVolume))
	return dries
}
