package workbook

import (
	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

type sourceCells struct {
	name, material, share, loss, compacted, bank, holds *cell
	flows                                               span // of the column of shares; empty when nothing is taken
}

// sourceLoss is the loss that applies to a source: the pit's, else the material's.
func (b *book) sourceLoss(u *plan.Supplied) expr {
	if u.Kind == borrow.FromPit {
		for k := range b.r.Pits {
			if b.r.Pits[k].Row.Name == u.Source {
				return b.lossIn(k, u.Material)
			}
		}
	}
	if k := b.materialIndex(u.Material); k >= 0 {
		return b.soil[k].loss.ref()
	}
	return blank()
}

// lossByFeed is the loss that a material's need takes where its sources are known:
// each source's by what it gives, 1 - (all shares) / (sum of share / (1 - loss)).
// false where they are not, or where soil is short.
func (b *book) lossByFeed(i int) (expr, bool) {
	a := b.r.Allocation
	if a == nil {
		return expr{}, false
	}
	name := b.r.Materials[i].Row.Name
	for _, s := range a.Short {
		for _, m := range s.Materials {
			if m == name {
				return expr{}, false
			}
		}
	}
	var given, dug, only expr
	n := 0
	for k := range a.Supplies {
		c := &b.fed.source[k]
		if a.Supplies[k].Material != name || c.flows.empty() {
			continue
		}
		part := div(c.share.ref(), sub(number(1), c.loss.ref()))
		if n++; n == 1 {
			given, dug, only = c.share.ref(), part, c.loss.ref()
		} else {
			given, dug = add(given, c.share.ref()), add(dug, part)
		}
	}
	switch n {
	case 0:
		return expr{}, false
	case 1:
		return only, true
	}
	return sub(number(1), div(given, dug)), true
}

// laySource lays what a source gives and what is left in it.
func (b *book) laySource(i int) {
	s, m, u, c := b.feed, b.m, &b.r.Allocation.Supplies[i], &b.fed.source[i]
	row := rowSources + 1 + i
	name := clean(u.Source)
	moved := func(col int) span { return span{s, col, c.flows.from, c.flows.to} }
	c.compacted = s.put(row, 6, moved(7).sum(), figure(formatVolume))
	c.bank = s.put(row, 7, moved(9).sum(), figure(formatVolume))
	holds := exprLook{m.volumeOf(u.Holds), input(formatVolume)}
	for k := range b.r.Pits {
		p := &b.r.Pits[k]
		if u.Kind == borrow.FromPit && p.Row.Name == u.Source {
			holds = exprLook{b.live(b.pitHolds(k, u.Material), holds.expr, "what "+name+" holds"), figure(formatVolume)}
		}
	}
	if out := b.excavatedCell(u.Kind, u.Source); out != nil {
		holds = exprLook{b.live(out.ref(), holds.expr, "what "+name+" gives"), figure(formatVolume)}
	}
	held := s.put(row, 8, holds.expr, holds.look)
	c.holds = held
	left := s.put(row, 9, sub(held.ref(), c.bank.ref()), figure(formatVolume))
	// Rounded so that a pit that is used up to the last shovel still holds enough.
	enough := s.put(row, 10, when(atLeast(rounded(left.ref(), 3), number(0)), text("enough"), text("TOO MUCH")), lookAnswer)
	s.watch(enough, "enough", "TOO MUCH")
	s.line(row, 11, 3, clean(u.Words), lookWhy)
}

// layAllFed lays whether all of each material is fed.
func (b *book) layAllFed(row int) {
	s, m := b.feed, b.m
	s.put(row, 1, text("Is all of it fed?"), lookPart)
	s.headings(row+1, "Material", "Shares together", "In the dam, "+m.vol("compacted"), "Not fed, "+m.vol("compacted"), "All fed")
	row += 2
	for k := range b.r.Materials {
		mat := &b.r.Materials[k]
		var shares expr
		for i := range b.r.Allocation.Supplies {
			if u := &b.r.Allocation.Supplies[i]; u.Material == mat.Row.Name {
				if shares.write == nil {
					shares = b.fed.source[i].share.ref()
				} else {
					shares = add(shares, b.fed.source[i].share.ref())
				}
			}
		}
		if mat.Bought || !mat.Known || mat.Compacted == 0 {
			continue
		}
		if shares.write == nil {
			shares = number(0)
		}
		s.put(row, 1, b.soil[k].name.ref(), lookWord)
		all := s.put(row, 2, shares, figure(formatFine))
		volume := s.put(row, 3, b.soil[k].compacted.ref(), figure(formatVolume))
		s.put(row, 4, mul(volume.ref(), sub(number(1), all.ref())), figure(formatVolume))
		off := rounded(sub(all.ref(), number(1)), 6)
		answer := s.put(row, 5, when(isZero(off), text("yes"), when(more(off, number(0)), text("TOO MUCH"), text("NOT ALL"))), lookAnswer)
		s.watch(answer, "yes", "NOT ALL")
		s.watch(answer, "yes", "TOO MUCH")
		row++
	}
}
