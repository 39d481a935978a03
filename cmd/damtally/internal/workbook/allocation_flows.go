package workbook

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

type flowCells struct{ share, compacted, bank, loose *cell }

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

// layFlows lays the table of flows.
func (b *book) layFlows() {
	s, m, a := b.feed, b.m, b.r.Allocation
	head := b.fed.first - 1
	s.put(head-1, 1, text("Stretch by stretch"), lookPart)
	s.headings(head, "From station", "To station", "Zone", "Source", "Material", "Share of this material in the dam", "In the dam, "+m.vol("compacted"), "Loss", "To dig, "+m.vol("bank"))
	for k, col := range b.fed.cols {
		s.put(head, 10+k, text(col.head), lookHead)
	}
	s.heads = [2]int{head, head}
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

// isZero says that a rounded number is zero.
func isZero(x expr) expr { return compare(x, "=", number(0), x.numeric() == 0) }
