package workbook

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// feedSheet is the name of the sheet that says which soil goes where.
const feedSheet = "Who feeds what"

// feedCells are the cells of that sheet while it is laid: by supply, and by flow.
type feedCells struct {
	source []sourceCells
	flow   []flowCells
	cols   []feedColumn
	first  int // row of the first flow
}

type sourceCells struct {
	name, material, share, loss, compacted, bank, holds *cell
	flows                                               span // of the column of shares; empty when nothing is taken
}

type flowCells struct{ share, compacted, bank, loose *cell }

// feedColumn is a column of the table of flows that stands only where something
// is known for it.
type feedColumn struct {
	key, head, format string
	sum               bool
}

const rowSources = 6 // headings of the first table

// layFeedShares lays which share of each material comes from where, and with
// which loss: what the sheet Materials needs. layFeed lays the rest.
func (b *book) layFeedShares() {
	a := b.r.Allocation
	if a == nil {
		return
	}
	s := b.feed
	b.fed.first = rowSources + len(a.Supplies) + 6
	b.fed.flow = make([]flowCells, len(a.Flows))
	b.fed.source = make([]sourceCells, len(a.Supplies))
	at := 0 // flows stand in the order of the supplies
	for i := range a.Supplies {
		u, c := &a.Supplies[i], &b.fed.source[i]
		begin := at
		for ; at < len(a.Flows) && sameSource(&a.Flows[at], u); at++ {
			f := &a.Flows[at]
			all := math.NaN()
			if k := b.materialIndex(f.Material); k >= 0 {
				all = b.r.Materials[k].Compacted
			}
			b.fed.flow[at].share = s.put(b.fed.first+at, 6, number(f.Compacted/all), input(formatFine))
		}
		c.flows = span{s, 6, b.fed.first + begin, b.fed.first + at - 1}
		row := rowSources + 1 + i
		c.name = s.put(row, 1, text(clean(u.Source)), lookWord)
		s.put(row, 2, text(string(u.Kind)), lookWord)
		c.material = s.put(row, 3, text(clean(u.Material)), lookWord)
		c.share = s.put(row, 4, c.flows.sum(), figure(formatFine))
		c.loss = s.put(row, 5, b.sourceLoss(u), figure(formatShare))
	}
}

// formatFine is for shares that are small and add up.
const formatFine = "0.00%"

func sameSource(f *plan.Flow, u *plan.Supplied) bool {
	return f.Source == u.Source && f.Kind == u.Kind && f.Material == u.Material
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

// layFeed lays the rest of who feeds what.
func (b *book) layFeed() {
	a := b.r.Allocation
	if a == nil {
		return
	}
	s, m := b.feed, b.m
	b.fed.cols = b.feedColumns()
	last := 9 + len(b.fed.cols)
	s.opening("Who feeds what: where the soil of each stretch of the dam comes from", max(last, 13), b.feedWords()...)
	s.headings(rowSources, "Source", "Kind", "Material", "Share of this material in the dam", "Loss", "In the dam, "+m.vol("compacted"), "To dig, "+m.vol("bank"),
		"Holds, "+m.vol("bank"), "Left, "+m.vol("bank"), "Enough")
	s.line(rowSources, 11, 3, "What one more there would do, by this plan", lookHead)
	b.layFlows()
	for i := range a.Supplies {
		b.laySource(i)
	}
	row := rowSources + len(a.Supplies) + 1
	s.put(row, 1, text("All sources"), total(""))
	s.blankRow(row, 2, 13, total(""))
	for _, col := range []int{6, 7} {
		s.put(row, col, span{s, col, rowSources + 1, row - 1}.sum(), total(formatVolume))
	}
	b.layAllFed(s.lastRow() + 2)
	s.widths[1], s.widths[2], s.widths[3], s.widths[4], s.widths[5] = 20, 13, 18, 18, 18
	for col := 11; col <= 13; col++ {
		s.widths[col] = 16
	}
	s.freeze = [2]int{0, 1}
}

// feedWords explains the sheet by what was made least.
func (b *book) feedWords() []string {
	first := "Each stretch of each zone is fed so that all hauls and what goes with them cost least: load, haul and water by working hours, rehandling, opening a pit."
	switch b.r.Allocation.Basis {
	case plan.ByDistance:
		first = "Each stretch of each zone is fed so that bank volume x haul distance is least over the whole job. Costs of hauling are not known on every way."
	case plan.ByVolume:
		first = "Each stretch of each zone is fed so that least is dug over the whole job. How far the sources lie from the dam is not known for all."
	}
	return []string{
		first + " No other sharing comes lower: the program proves that each time.",
		"Shares are the plan's. Type your own over the yellow ones: volumes, loads and losses follow, and the table at the foot says whether all is still fed. For the best shares after a change run the plan again.",
		"Bank = compacted / (shrink factor x (1 - loss of the source)). Loss stands here once; what a source holds is before loss.",
	}
}

// feedColumns lists the columns of the flows that depend on what is known.
func (b *book) feedColumns() []feedColumn {
	m, a := b.m, b.r.Allocation
	has := func(known func(f *plan.Flow) bool) bool {
		for i := range a.Flows {
			if known(&a.Flows[i]) {
				return true
			}
		}
		return false
	}
	var out []feedColumn
	add := func(when bool, key, head, format string, sum bool) {
		if when {
			out = append(out, feedColumn{key, head, format, sum})
		}
	}
	loose := has(func(f *plan.Flow) bool { return !math.IsNaN(f.Loose) })
	haul := has(func(f *plan.Flow) bool { return !math.IsNaN(f.Haul) })
	loads := has(func(f *plan.Flow) bool { return !math.IsNaN(f.Loads) })
	add(loose, "loose", "In trucks, "+m.vol("loose"), formatVolume, true)
	add(haul, "haul", in("Haul one way", m.Length), formatWhole, false)
	add(haul, "moved", m.vol("bank")+" x 100 "+m.Length.Name, formatVolume, true)
	add(loads, "load", "One load, "+m.vol("loose"), formatShort, false)
	add(loads, "loads", "Loads", formatVolume, true)
	add(a.Basis == plan.ByCost, "rate", "Cost of a bank "+m.Volume.Name+" ("+m.money+")", formatMoney, false)
	add(a.Basis == plan.ByCost, "cost", "Cost ("+m.money+")", formatVolume, true)
	return out
}

// layFlows lays the table of flows.
func (b *book) layFlows() {
	s, m, a := b.feed, b.m, b.r.Allocation
	head := b.fed.first - 1
	s.put(head-1, 1, text("Stretch by stretch"), lookPart)
	s.headings(head, "From station", "To station", "Zone", "Source", "Material", "Share of this material in the dam", "In the dam, "+m.vol("compacted"), "Loss", "To dig, "+m.vol("bank"))
	for k, col := range b.fed.cols {
		s.put(head, 10+k, text(col.head), lookHead)
	}
	source := 0
	for i := range a.Flows {
		for !sameSource(&a.Flows[i], &a.Supplies[source]) {
			source++
		}
		b.layFlow(b.fed.first+i, i, source)
	}
	row := b.fed.first + len(a.Flows)
	s.put(row, 1, text("All of it"), total(""))
	s.blankRow(row, 2, 9+len(b.fed.cols), total(""))
	sum := func(col int, format string) {
		s.put(row, col, span{s, col, b.fed.first, row - 1}.sumKnown(), total(format))
	}
	sum(7, formatVolume)
	sum(9, formatVolume)
	haul := 0
	for k, col := range b.fed.cols {
		switch {
		case col.sum:
			sum(10+k, col.format)
		case col.key == "haul":
			haul = 10 + k
		}
	}
	if haul > 0 { // the mean haul: what is moved over what is dug
		moved, dug := s.at(row, haul+1), s.at(row, 9)
		mean := ifKnown(div(mul(moved.ref(), number(100)), dug.ref()), moved.ref(), dug.ref())
		s.put(row, haul, when(more(span{s, 9, b.fed.first, row - 1}.sum(), number(0)), mean, blank()), total(formatWhole))
	}
	b.layOpening(row + 1)
}

// layOpening lays what opening pits adds to the cost of moving.
func (b *book) layOpening(row int) {
	s, a := b.feed, b.r.Allocation
	col := 9 + len(b.fed.cols)
	if a.Basis != plan.ByCost || a.Opening == 0 {
		return
	}
	sum := s.at(row-1, col).ref()
	for k := range b.r.Pits {
		p := &b.r.Pits[k].Row
		var used expr
		for i := range a.Supplies {
			if u := &a.Supplies[i]; u.Kind == borrow.FromPit && u.Source == p.Name {
				if used.write == nil {
					used = b.fed.source[i].share.ref()
				} else {
					used = add(used, b.fed.source[i].share.ref())
				}
			}
		}
		if !p.OpeningCost.Given || used.write == nil {
			continue
		}
		s.put(row, 1, join(text("Opening pit "), b.pit[k].name.ref()), lookWord)
		s.blankRow(row, 2, col-2, lookWord)
		cost := s.put(row, col-1, number(p.OpeningCost.Value), input(formatMoney))
		opened := s.put(row, col, when(more(used, number(0)), cost.ref(), number(0)), figure(formatVolume))
		sum = add(sum, opened.ref())
		row++
	}
	s.put(row, 1, text("Moving and opening"), total(""))
	s.blankRow(row, 2, col-1, total(""))
	s.put(row, col, b.live(sum, number(a.Moving+a.Opening), "cost of who feeds what"), total(formatVolume))
}

// layFlow lays one flow.
func (b *book) layFlow(row, i, source int) {
	s, m, f, c := b.feed, b.m, &b.r.Allocation.Flows[i], &b.fed.flow[i]
	what := clean(f.Material) + " to " + clean(f.Zone)
	s.put(row, 1, b.stationOf(f.From), lookWord)
	s.put(row, 2, b.stationOf(f.To), lookWord)
	s.put(row, 3, text(clean(f.Zone)), lookWord)
	s.put(row, 4, b.fed.source[source].name.ref(), lookWord)
	s.put(row, 5, b.fed.source[source].material.ref(), lookWord)
	k := b.materialIndex(f.Material)
	if k < 0 {
		return
	}
	soil := &b.soil[k]
	c.compacted = s.put(row, 7, b.live(mul(c.share.ref(), soil.compacted.ref()), m.volumeOf(f.Compacted), "flow of "+what), figure(formatVolume))
	loss := s.put(row, 8, b.live(b.fed.source[source].loss.ref(), number(f.Loss), "loss of "+what), figure(formatShare))
	bank := div(c.compacted.ref(), mul(soil.shrink.ref(), sub(number(1), loss.ref())))
	c.bank = s.put(row, 9, b.live(ifKnown(bank, soil.shrink.ref()), m.volumeOf(f.Bank), "bank volume of "+what), figure(formatVolume))
	var length, load, rate *cell
	for n, col := range b.fed.cols {
		content, l := blank(), figure(col.format)
		switch col.key {
		case "loose":
			content = b.live(ifKnown(mul(c.bank.ref(), add(number(1), soil.swell.ref())), c.bank.ref(), soil.swell.ref()), m.volumeOf(f.Loose), "loose volume of "+what)
		case "haul":
			content, l = m.lengthOf(f.Haul), input(col.format)
		case "moved":
			content = ifKnown(div(mul(c.bank.ref(), length.ref()), number(100)), c.bank.ref(), length.ref())
		case "load":
			content, l = m.volumeOf(f.Loose/f.Loads), input(col.format)
		case "loads":
			content = ifKnown(div(c.loose.ref(), load.ref()), c.loose.ref(), load.ref())
		case "rate":
			content, l = number(f.Rate*m.Volume.SI), input(col.format)
		case "cost":
			content = b.live(ifKnown(mul(c.bank.ref(), rate.ref()), c.bank.ref(), rate.ref()), number(f.Cost), "cost of "+what)
		}
		at := s.put(row, 10+n, content, l)
		switch col.key {
		case "loose":
			c.loose = at
		case "haul":
			length = at
		case "load":
			load = at
		case "rate":
			rate = at
		}
	}
}

// stationOf writes a station, nothing for a blanket.
func (b *book) stationOf(station float64) expr {
	if math.IsNaN(station) {
		return blank()
	}
	return text(b.m.Station(station))
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

// isZero says that a rounded number is zero.
func isZero(x expr) expr { return compare(x, "=", number(0), x.numeric() == 0) }
