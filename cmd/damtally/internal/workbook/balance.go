package workbook

// balanceCells are the figures of one material's balance for the summary.
type balanceCells struct {
	name, needed, available, to, ratio, enough, short *cell
}

// layBalance lays need against supply.
func (b *book) layBalance() {
	s, m := b.balance, b.m
	if len(b.r.Balance) == 0 {
		return
	}
	const last = 11
	row := s.opening("Balance: what is needed against what the pits hold", last,
		"Enough means that the pits hold the reserve ratio times the base, and never less than the bank volume needed. Ratio and base stand on the sheet Settings.",
		"Loss is a share of what is dug. It stands in the need alone; what the pits hold is before loss.") + 1
	first := row + 1
	fromPits := b.layByPit(row + len(b.r.Balance) + 2)
	s.headings(row, "Material", "In the dam, "+m.vol("compacted"), "Needed, "+m.vol("bank"), "In the pits, "+m.vol("bank"), "Base of the reserve",
		m.Volume.Name+" of the base", "Reserve ratio", "To be available, "+m.vol("bank"), "In the pits / base", "Enough", "Short by, "+m.vol("bank"))
	b.weighed = make([]balanceCells, len(b.r.Balance))
	for i := range b.r.Balance {
		b.layWeighed(first+i, i, fromPits[i])
	}
	s.heads = [2]int{row, row}
	s.widths[1] = 24
}

func (b *book) layWeighed(row, i int, pits span) {
	s, m, w, c := b.balance, b.m, &b.r.Balance[i], &b.weighed[i]
	name := clean(w.Material)
	c.name = s.put(row, 1, text(name), lookWord)
	inDam, need := m.volumeOf(w.Compacted), m.volumeOf(w.Needed)
	if k := b.materialIndex(w.Material); k >= 0 && !b.r.Materials[k].Bought {
		inDam = b.live(b.soil[k].compacted.ref(), inDam, "compacted volume in the balance of "+name)
		bank := b.soil[k].bankVolume.ref()
		need = b.live(ifKnown(bank, bank), need, "need of "+name)
	}
	dam := s.put(row, 2, inDam, figure(formatVolume))
	c.needed = s.put(row, 3, need, figure(formatVolume))
	available := blank() // without pits nothing was said of it
	if len(b.r.Pits) > 0 {
		available = b.live(pits.sum(), m.volumeOf(w.Available), "volume available of "+name)
	}
	c.available = s.put(row, 4, available, figure(formatVolume))
	s.put(row, 5, b.set.reserveOn.ref(), lookWord)
	onBank := same(b.set.reserveOn.ref(), "bank")
	base := s.put(row, 6, b.live(when(onBank, ifKnown(c.needed.ref(), c.needed.ref()), dam.ref()), m.volumeOf(w.Base), "base of the reserve of "+name), figure(formatVolume))
	ratio := s.put(row, 7, b.live(b.set.reserve.ref(), number(w.ReserveRatio), "reserve ratio"), figure(formatShort))
	reserve := mul(ratio.ref(), base.ref())
	required := when(known(base.ref(), c.needed.ref()), largest(reserve, c.needed.ref()), ifKnown(reserve, base.ref()))
	c.to = s.put(row, 8, b.live(required, m.volumeOf(w.Required), "volume to be available of "+name), figure(formatVolume))
	share := when(known(base.ref(), c.available.ref()), when(more(base.ref(), number(0)), div(c.available.ref(), base.ref()), blank()), blank())
	c.ratio = s.put(row, 9, b.live(share, number(w.Ratio), "ratio of "+name), figure(formatShort))
	b.layVerdictOn(row, i)
}

// layVerdictOn lays whether the pits hold what must be available. Without pits,
// or without a bank need, it cannot be said.
func (b *book) layVerdictOn(row, i int) {
	s, w, c := b.balance, &b.r.Balance[i], &b.weighed[i]
	name := clean(w.Material)
	verdict, short := text(notKnown), blank()
	if len(b.r.Pits) > 0 {
		// Rounded so that a pit drawn to hold just what is needed does.
		gap := rounded(sub(c.to.ref(), c.available.ref()), 6)
		sayable := known(c.to.ref(), c.needed.ref())
		verdict = when(sayable, when(atMost(gap, number(0)), text("enough"), text("NOT ENOUGH")), text(notKnown))
		short = when(sayable, when(more(gap, number(0)), sub(c.to.ref(), c.available.ref()), number(0)), blank())
	}
	want := blank()
	if w.Enough != nil {
		want = b.m.volumeOf(w.Short)
	}
	c.enough = s.put(row, 10, b.live(verdict, enoughWord(w.Enough), "verdict on "+name), lookAnswer)
	s.watch(c.enough, "enough", "NOT ENOUGH")
	c.short = s.put(row, 11, b.live(short, want, "shortfall of "+name), figure(formatVolume))
}

func enoughWord(enough *bool) expr {
	switch {
	case enough == nil:
		return text(notKnown)
	case *enough:
		return text("enough")
	}
	return text("NOT ENOUGH")
}

// layByPit lays what each pit gives to each material, one block of rows a
// material, and returns the blocks.
func (b *book) layByPit(row int) []span {
	s, m := b.balance, b.m
	out := make([]span, len(b.r.Balance))
	for i := range out {
		out[i] = span{s, 3, 1, 0}
	}
	if len(b.r.Pits) == 0 {
		s.line(row, 1, 8, "There is no pit in the tables, so nothing is available. Add the tables pits and outlines.", lookExplain)
		return out
	}
	s.put(row, 1, text("Where it comes from"), lookPart)
	s.headings(row+1, "Material", "Pit", "Usable, "+m.vol("bank"))
	row++
	for i, w := range b.r.Balance {
		out[i].from, out[i].to = row+1, row+len(w.Pits)
		for _, p := range w.Pits {
			row++
			s.put(row, 1, text(clean(w.Material)), lookWord)
			s.put(row, 2, b.pit[p].name.ref(), lookWord)
			s.put(row, 3, b.pit[p].bank.ref(), figure(formatVolume))
		}
	}
	return out
}
