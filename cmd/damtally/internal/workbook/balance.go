package workbook

import (
	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

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
	const last = 14
	row := s.opening("Balance: what is needed against what there is", last,
		"Enough means that pits, usable cuts and heaps hold the reserve ratio times the base, and never less than the bank volume needed. Ratio and base stand on the sheet Settings.",
		"Loss is a share of what is dug. It stands in the need alone; what a pit holds is before loss. Settlement and trench are in the need.") + 1
	first := row + 1
	sources, next := b.layBySource(row + len(b.r.Balance) + 2)
	s.headings(row, "Material", "In the dam, "+m.vol("compacted"), "Needed, "+m.vol("bank"), "There is, "+m.vol("bank"), "Base of the reserve",
		m.Volume.Name+" of the base", "Reserve ratio", "To be available, "+m.vol("bank"), "There is / base", "Enough", "Short by, "+m.vol("bank"),
		"Need, 1 in 10 below, "+m.vol("bank"), "Need, 1 in 10 above, "+m.vol("bank"), "Chance of enough")
	b.weighed = make([]balanceCells, len(b.r.Balance))
	for i := range b.r.Balance {
		b.layWeighed(first+i, i, sources[i])
		b.layDoubt(first+i, i)
	}
	b.layExcavated(b.layByZone(next))
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
	available := blank() // without pits and others nothing was said of it
	if b.saidAvailable(w) {
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
	if b.saidAvailable(w) {
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

// saidAvailable tells whether the tables say what there is of a material.
func (b *book) saidAvailable(w *plan.Balance) bool { return len(b.r.Pits) > 0 || len(w.Beside) > 0 }

// layBySource lays what each pit and other source holds of each material, one
// block of rows a material. It returns the blocks and the next free row.
func (b *book) layBySource(row int) ([]span, int) {
	s, m := b.balance, b.m
	out := make([]span, len(b.r.Balance))
	said := false
	for i := range b.r.Balance {
		out[i] = span{s, 4, 1, 0}
		said = said || b.saidAvailable(&b.r.Balance[i])
	}
	if !said {
		s.line(row, 1, 8, "There is no pit in the tables, so nothing is available. Add the tables pits and outlines.", lookExplain)
		return out, row + 2
	}
	s.put(row, 1, text("Where it comes from"), lookPart)
	s.headings(row+1, "Material", "Source", "Kind", "Holds, "+m.vol("bank"))
	row++
	for i, w := range b.r.Balance {
		out[i].from, out[i].to = row+1, row+len(w.Pits)+len(w.Beside)
		line := func(source expr, kind string, holds exprLook) {
			row++
			s.put(row, 1, text(clean(w.Material)), lookWord)
			s.put(row, 2, source, lookWord)
			s.put(row, 3, text(kind), lookWord)
			s.put(row, 4, holds.expr, holds.look)
		}
		for _, p := range w.Pits {
			line(b.pit[p].name.ref(), "pit", exprLook{b.pitHolds(p, w.Material), figure(formatVolume)})
		}
		for _, o := range w.Beside {
			holds := exprLook{m.volumeOf(o.Bank), input(formatVolume)}
			if c := b.heldCell(o.Kind, o.Source, w.Material); c != nil {
				holds = exprLook{b.live(c.ref(), holds.expr, "what "+clean(o.Source)+" gives"), figure(formatVolume)}
			}
			line(text(clean(o.Source)), string(o.Kind), holds)
		}
	}
	return out, row + 2
}

// heldCell is the cell on another sheet that says what a source beside the pits
// holds; nil where none does.
func (b *book) heldCell(kind borrow.SupplyKind, source, material string) *cell {
	if c := b.excavatedCell(kind, source); c != nil || b.r.Allocation == nil {
		return c
	}
	for i := range b.r.Allocation.Supplies {
		if u := &b.r.Allocation.Supplies[i]; u.Kind == kind && u.Source == source && u.Material == material {
			return b.fed.source[i].holds
		}
	}
	return nil
}

// excavatedCell is the cell that holds what comes out of a required excavation,
// bank; nil where no other sheet has it.
func (b *book) excavatedCell(kind borrow.SupplyKind, source string) *cell {
	switch kind {
	case borrow.FromTrench:
		return b.fill.trench
	case borrow.FromCut:
		for i := range b.r.Cuts {
			if b.r.Cuts[i].Row.Name == source && i < len(b.work.cuts) {
				return b.work.cuts[i]
			}
		}
	case borrow.FromStripping:
		for i := range b.r.Pits {
			if b.r.Pits[i].Row.Name == source {
				return b.pits.at(b.pit[i].name.row, pitStrip)
			}
		}
		return b.fill.strip
	}
	return nil
}

// layDoubt lays how sure a material's need is, as far as it is known.
func (b *book) layDoubt(row, i int) {
	s, w := b.balance, &b.r.Balance[i]
	low, high := blank(), blank()
	if k := b.materialIndex(w.Material); k >= 0 && b.soil[k].bankLow != nil && b.soil[k].bankHigh != nil {
		low, high = ifKnown(b.soil[k].bankLow.ref(), b.soil[k].bankLow.ref()), ifKnown(b.soil[k].bankHigh.ref(), b.soil[k].bankHigh.ref())
	}
	s.put(row, 12, low, figure(formatVolume))
	s.put(row, 13, high, figure(formatVolume))
	chance := blank()
	if w.Chance != nil {
		chance = number(*w.Chance)
	}
	s.put(row, 14, chance, figure(formatChance))
}

// layByZone lays what each zone and blanket needs of each material, and returns
// the next free row.
func (b *book) layByZone(row int) int {
	s, m := b.balance, b.m
	s.put(row, 1, text("Zone by zone"), lookPart)
	s.headings(row+1, "Material", "Zone", "", "In the dam, "+m.vol("compacted"), "Needed, "+m.vol("bank"))
	s.put(row+1, 3, blank(), lookHead)
	row += 2
	for k := range b.r.Materials {
		mat, c := &b.r.Materials[k], &b.soil[k]
		if mat.Bought || c.lossTaken == nil {
			continue
		}
		line := func(name string, volume float64, part *cell) {
			s.put(row, 1, c.name.ref(), lookWord)
			s.put(row, 2, text(clean(name)), lookWord)
			s.put(row, 3, blank(), lookWord)
			inDam := m.volumeOf(volume)
			if part != nil {
				inDam = b.live(part.ref(), inDam, "need of "+clean(name))
			}
			dam := s.put(row, 4, inDam, figure(formatVolume))
			need := ifKnown(div(dam.ref(), mul(c.shrink.ref(), sub(number(1), c.lossTaken.ref()))), c.shrink.ref())
			s.put(row, 5, need, figure(formatVolume))
			row++
		}
		for n, share := range mat.Shares {
			var part *cell
			if n < len(c.parts) {
				part = c.parts[n]
			}
			line(b.r.Quantities.Zones[share.Zone].Zone, share.Compacted, part)
		}
		for n, share := range mat.Blankets {
			var part *cell
			if at := len(mat.Shares) + n; at < len(c.parts) {
				part = c.parts[at]
			}
			line("blanket "+b.r.Blankets[share.Blanket].Row.Name, share.Compacted, part)
		}
	}
	return row + 1
}

// layExcavated lays what comes out whatever the borrow, and where it goes.
func (b *book) layExcavated(row int) {
	s, m := b.balance, b.m
	if len(b.r.Excavated) == 0 {
		return
	}
	s.put(row, 1, text("What comes out whatever the borrow"), lookPart)
	s.line(row+1, 1, 11, "Topsoil, trench and cuts are dug in any case. What of it goes into the dam costs no extra digging. The rest lies in a heap or goes to waste; trench soil comes out before the fill can take it, so it needs a heap in any case.", lookExplain)
	s.headings(row+2, "From", "Counts as", "", "Comes out, "+m.vol("bank"), "Into the dam, "+m.vol("bank"), "Left over, "+m.vol("bank"), "Left over, "+m.vol("loose"))
	s.put(row+2, 3, blank(), lookHead)
	first := row + 3
	row = first
	for i := range b.r.Excavated {
		e := &b.r.Excavated[i]
		s.put(row, 1, text(clean(e.What)), lookWord)
		counts := "no soil for the dam"
		if e.Material != "" {
			counts = clean(e.Material)
		}
		s.line(row, 2, 2, counts, lookWord)
		out := exprLook{m.volumeOf(e.Bank), input(formatVolume)}
		if c := b.excavatedCell(e.Kind, e.Source); c != nil {
			out = exprLook{b.live(c.ref(), out.expr, clean(e.What)), figure(formatVolume)}
		}
		bank := s.put(row, 4, out.expr, out.look)
		used := exprLook{m.volumeOf(e.Used), figure(formatVolume)}
		if c := b.fedBank(e.Kind, e.Source, e.Material); c != nil {
			used.expr = b.live(c.ref(), used.expr, "what of "+clean(e.What)+" goes into the dam")
		}
		taken := s.put(row, 5, used.expr, used.look)
		left := s.put(row, 6, sub(bank.ref(), taken.ref()), figure(formatVolume))
		loose := blank()
		if k := b.materialIndex(e.Material); k >= 0 && e.Material != "" {
			swell := b.soil[k].swell
			loose = b.live(ifKnown(mul(left.ref(), add(number(1), swell.ref())), swell.ref()), m.volumeOf(e.LeftLoose), "left over of "+clean(e.What))
		}
		s.put(row, 7, loose, figure(formatVolume))
		row++
	}
	s.put(row, 1, text("All of it"), total(""))
	s.blankRow(row, 2, 7, total(""))
	for _, col := range []int{4, 5, 6} {
		s.put(row, col, span{s, col, first, row - 1}.sum(), total(formatVolume))
	}
}

// fedBank is the cell of what a source gives; nil where it feeds nothing.
func (b *book) fedBank(kind borrow.SupplyKind, source, material string) *cell {
	if b.r.Allocation == nil {
		return nil
	}
	for i := range b.r.Allocation.Supplies {
		if u := &b.r.Allocation.Supplies[i]; u.Kind == kind && u.Source == source && u.Material == material {
			return b.fed.source[i].bank
		}
	}
	return nil
}
