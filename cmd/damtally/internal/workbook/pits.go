package workbook

// pitCells are the figures of one pit that other sheets refer to.
type pitCells struct {
	name, bank, quick, loss *cell
}

const rowPitHead = 5

// pitNear is how far a pit's capacity may lie from its mean area times its usable
// depth before it is worth a look: as far as in the plan's own check.
func (b *book) pitNear() float64 {
	for _, c := range b.r.Checks {
		if c.Key == "pit_capacity" {
			return c.Tolerance
		}
	}
	return 0
}

// layPits lays what the pits hold.
func (b *book) layPits() {
	s, m := b.pits, b.m
	if len(b.r.Pits) == 0 {
		return
	}
	const last = 17
	s.opening("Borrow pits", last,
		"Volumes in the bank, as the ground lies, before any loss. Usable = all that is dug less the topsoil. These are figures from the pits' shapes: type your own over them, or run the plan again for another floor.",
		"Quick check: (area at the top + area of the floor) / 2 x usable depth at the corners, the mean depth from ground to floor there less the topsoil. A capacity far from it needs a second look.")
	s.headings(rowPitHead, "Pit", "Material", in("Area", m.Area), in("Area", m.LandArea), "Side slope (h:v)", in("Topsoil depth", m.Length),
		in("Greatest depth", m.Length), in("Dug down to", m.Length), in("Floor area", m.Area), "All that is dug, "+m.vol("bank"),
		"Topsoil, "+m.vol("bank"), "Usable, "+m.vol("bank"), in("Mean usable depth", m.Length), in("Usable depth at the corners", m.Length), "Quick check, "+m.vol("bank"), "Near the quick check", "Loss of this pit")
	b.pit = make([]pitCells, len(b.r.Pits))
	for i := range b.r.Pits {
		b.layPit(rowPitHead+1+i, i)
	}
	row := rowPitHead + len(b.r.Pits) + 1
	s.blankRow(row, 1, last, total(""))
	s.put(row, 1, text("All pits"), total(""))
	for col, format := range map[int]string{3: formatArea, 4: formatLand, 10: formatVolume, 11: formatVolume, 12: formatVolume} {
		s.put(row, col, span{s, col, rowPitHead + 1, row - 1}.sum(), total(format))
	}
	s.heads = [2]int{rowPitHead, rowPitHead}
	s.freeze = [2]int{rowPitHead, 1}
}

func (b *book) layPit(row, i int) {
	s, m, p, c := b.pits, b.m, &b.r.Pits[i], &b.pit[i]
	k := p.Capacity
	c.name = s.put(row, 1, text(clean(p.Row.Name)), lookWord)
	s.put(row, 2, text(clean(p.Row.Material)), lookWord)
	area := s.put(row, 3, m.areaOf(k.Area), input(formatArea))
	s.put(row, 4, m.land(area.ref()), figure(formatLand))
	s.put(row, 5, number(p.Row.SideSlope), figure(formatShort))
	s.put(row, 6, m.lengthOf(p.Row.StripDepth), input(formatShort))
	s.put(row, 7, m.lengthOf(k.Deepest), input(formatShort))
	s.put(row, 8, m.lengthOf(k.DugTo), figure(formatLength))
	floor := s.put(row, 9, m.areaOf(k.Floor), input(formatArea))
	dug := s.put(row, 10, m.volumeOf(k.Dug), input(formatVolume))
	soil := s.put(row, 11, m.volumeOf(k.Strip), input(formatVolume))
	usable := b.live(sub(dug.ref(), soil.ref()), m.volumeOf(k.Bank), "capacity of pit "+clean(p.Row.Name))
	c.bank = s.put(row, 12, usable, figure(formatVolume))
	depth := when(more(area.ref(), number(0)), m.depth(c.bank.ref(), area.ref()), blank())
	s.put(row, 13, depth, figure(formatShort))
	corners := s.put(row, 14, m.lengthOf(p.UsableDepth), input(formatShort))
	mean := div(add(area.ref(), floor.ref()), number(2))
	c.quick = s.put(row, 15, ifKnown(m.volume(mul(mean, corners.ref())), corners.ref()), figure(formatVolume))
	near := when(within(c.bank.ref(), c.quick.ref(), b.pitNear()), text("near"), text("LOOK"))
	answer := s.put(row, 16, ifKnown(near, c.quick.ref()), lookAnswer)
	s.watch(answer, "near", "LOOK")
	s.watchNegative(c.bank)
	// A pit without a loss of its own takes its material's.
	loss := exprLook{number(p.Loss), input(formatShare)}
	if k := b.materialIndex(p.Row.Material); k >= 0 && !p.Row.Loss.Given {
		loss = exprLook{b.live(b.soil[k].loss.ref(), loss.expr, "loss of pit "+clean(p.Row.Name)), figure(formatShare)}
	}
	c.loss = s.put(row, 17, loss.expr, loss.look)
}
