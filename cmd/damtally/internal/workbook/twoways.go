package workbook

// twoWay is a figure of the workbook worked out by two formulas that share no
// step but the measured values.
type twoWay struct {
	what, how, unit, format string
	one, other              expr
}

// bothWays has the sheet Checks set two formulas of one figure side by side. how
// says in words what each does. Any sheet may add its own while it is laid; sheets
// laid after Checks cannot.
func (b *book) bothWays(what, how, unit, format string, one, other expr) {
	b.ways = append(b.ways, twoWay{what, how, unit, format, one, other})
}

// layTwoWays lays the figures that were worked out in two ways, and returns the
// last row.
func (b *book) layTwoWays(row int) int {
	b.volumeWays()
	b.soilWays()
	b.supplyWays()
	s := b.checks
	if len(b.ways) == 0 {
		return row
	}
	s.put(row, 1, text("Worked out in two ways on these sheets"), lookPart)
	s.line(row+1, 1, checksLast, "The same measured values, two formulas: a cell typed over by mistake, or a formula broken, shows here.", lookExplain)
	row += 2
	s.headings(row, "Figure", "One way", "The other way", "Unit", "Differs by", "Answer", "The two ways")
	for _, w := range b.ways {
		row++
		s.put(row, 1, text(clean(w.what)), lookWord)
		one := s.put(row, 2, w.one, figure(w.format))
		other := s.put(row, 3, w.other, figure(w.format))
		s.put(row, 4, text(w.unit), lookWord)
		s.put(row, 5, differs(one.ref(), other.ref()), figure(formatPoints))
		answer := when(known(one.ref(), other.ref()), when(equal(one.ref(), other.ref()), text("holds"), text("LOOK")), text(notKnown))
		s.watch(s.put(row, 6, answer, lookAnswer), "holds", "LOOK")
		s.put(row, 7, text(w.how), lookWhy)
	}
	return row
}

// equal says that two figures differ by rounding alone.
func equal(a, c expr) expr {
	limit := mul(number(agrees), largest(number(1), largest(magnitude(a), magnitude(c))))
	return atMost(magnitude(sub(a, c)), limit)
}

// endAreas is the volume by average end area as two sums over all reaches, from
// areas in one column and lengths on the sheet Volumes.
func (b *book) endAreas(areas span) expr {
	n := len(b.r.Quantities.Sections)
	if n < 2 {
		return number(0)
	}
	lengths := span{b.volumes, volLength, rowFirst + 1, rowFirst + n - 1}
	above := span{areas.sheet, areas.col, rowFirst, rowFirst + n - 2}
	sum := add(sumProduct(lengths, above), sumProduct(lengths, above.moved(1)))
	return b.m.volume(div(sum, number(2)))
}

// volumeWays sets sums by reach beside sums over all reaches at once, and the
// zones beside the dam.
func (b *book) volumeWays() {
	m, compacted := b.m, b.m.vol("compacted")
	const how = "reach by reach on the sheet Volumes, beside (sum of lengths x areas above + sum of lengths x areas here) / 2"
	column := func(s *sheet, col int) span { return b.column(s, col) }
	for _, w := range []struct {
		what, unit string
		col, area  int
	}{
		{"neat fill, without bends", compacted, volEndArea, secNeat},
		{"backfill of the cutoff trench, without bends", compacted, volTrench, secTrench},
		{"stripping under the dam, without bends", m.Volume.Name + " in place", volStrip, secStrip},
		{"overbuild, without bends", compacted, volOver, secOver},
	} {
		b.bothWays(w.what, how, w.unit, formatVolume, b.volumes.at(rowSum, w.col).ref(), b.endAreas(column(b.sections, w.area)))
	}
	var neat, trench expr
	for k := range b.zone {
		if k == 0 {
			neat, trench = b.zone[k].neat.ref(), b.zone[k].trench.ref()
		} else {
			neat, trench = add(neat, b.zone[k].neat.ref()), add(trench, b.zone[k].trench.ref())
		}
	}
	if len(b.zone) > 0 {
		b.bothWays("neat fill, by zone", "the dam as a whole on the sheet Volumes, beside the sum of the zones' own sheets", compacted, formatVolume, b.fill.neat.ref(), neat)
		b.bothWays("trench backfill, by zone", "the dam as a whole on the sheet Volumes, beside the sum of the zones' own sheets", compacted, formatVolume, b.fill.trench.ref(), trench)
	}
	if len(b.lift.sets) > 0 {
		b.liftWay(compacted)
	}
}

// liftWay sets the lifts with the settlement allowance beside all that is
// compacted.
func (b *book) liftWay(compacted string) {
	sum := b.fill.settlement.ref()
	for i := range b.lift.sets {
		sum = add(sum, b.lift.sets[i].compacted.ref())
	}
	// Lifts are drawn: they follow no change on the sheets, so they are set beside
	// the volume that was planned.
	planned := b.m.volumeOf(b.r.Quantities.Total - b.r.Quantities.Settlement)
	b.bothWays("all lifts together", "lifts added up with the allowance, beside the planned fill with the allowance", compacted, formatVolume,
		sum, add(planned, b.fill.settlement.ref()))
}

// soilWays sets volumes by factors beside volumes by dry mass, and what is dug
// beside what is lost and placed.
func (b *book) soilWays() {
	m := b.m
	soils, _ := b.soilsAndStone()
	var in, out expr
	for _, i := range soils {
		c, name := &b.soil[i], clean(b.r.Materials[i].Row.Name)
		keep := sub(number(1), c.lossTaken.ref())
		if c.bank.content.val.kind == isNumber && c.fill.content.val.kind == isNumber {
			mass := ifKnown(div(mul(c.compacted.ref(), c.fill.ref()), mul(c.bank.ref(), keep)), c.fill.ref(), c.bank.ref())
			b.bothWays(name+" to dig", "by shrink factor and loss, beside dry mass in the dam / (bank dry density x what is kept)", m.vol("bank"), formatVolume, c.bankVolume.ref(), mass)
		}
		if c.bank.content.val.kind == isNumber && c.loose.content.val.kind == isNumber {
			mass := ifKnown(div(mul(c.bankVolume.ref(), c.bank.ref()), c.loose.ref()), c.bankVolume.ref(), c.bank.ref(), c.loose.ref())
			b.bothWays(name+" to haul", "by swell, beside dry mass in the pit / loose dry density", m.vol("loose"), formatVolume, c.looseVol.ref(), mass)
		}
		if c.inPit.content.val.kind != isNumber || c.inDam.content.val.kind != isNumber {
			continue
		}
		placed := add(mul(c.inPit.ref(), c.lossTaken.ref()), c.inDam.ref())
		if in.write == nil {
			in, out = c.inPit.ref(), placed
		} else {
			in, out = add(in, c.inPit.ref()), add(out, placed)
		}
	}
	if in.write != nil {
		b.bothWays("dry mass in = dry mass out", "what is dug of all soils, beside what is lost and what lies in the dam", "dry "+m.Bulk.Name, formatTons, in, out)
	}
}

// supplyWays sets the lake's storage by reach beside sums over all rises.
func (b *book) supplyWays() {
	if !b.stored() {
		return
	}
	s, n := b.lakeSheet, b.storage
	col := lakeArea
	if b.m.perLand == 43560 { // acres x feet = acre-ft
		col = lakeLand
	}
	rises := span{s, lakeRise, n.from + 1, n.to}
	above := span{s, col, n.from, n.to - 1}
	sum := div(add(sumProduct(rises, above), sumProduct(rises, above.moved(1))), number(2))
	b.bothWays("storage by end area, whole lake", "rise by rise on the sheet Lake, beside (sum of rises x areas below + sum of rises x areas above) / 2",
		b.storageUnit().Name, b.formatStorage(), s.at(n.to, lakeEndArea).ref(), sum)
}
