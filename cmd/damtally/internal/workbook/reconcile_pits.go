package workbook

import (
	"math"
)

// layPitSurveys lays what each pit lost.
func (b *reconBook) layPitSurveys() {
	s, m := b.pits, b.m
	if len(b.rec.PitSeen) == 0 {
		return
	}
	row := s.opening("Pit surveys", 12,
		"The surface before and after, within the pit's boundary. The bank volume lost is the cut, less as much noise as shows on the other side. Days outside the two surveys are filled in from the tally.") + 1
	row = s.table(row, "What the pits lost by their surveys", "Error = area x sqrt(2 x survey^2 + point^2 x (1 / points before + 1 / points after)), and the error of stripping where it was not surveyed.",
		"Pit", "Before", "After", "Cut, "+m.vol("bank"), "Filled back", "Noise", "Lost, "+m.vol("bank"), in("Area changed", m.Area), "Points before", "Points after", "Standard error, "+m.vol("bank"))
	lost, off := map[int]*cell{}, map[int]*cell{}
	for i := range b.rec.Pits {
		row++
		p := &b.rec.Pits[i]
		name := clean(b.r.Pits[p.Pit].Row.Name)
		s.put(row, 1, text(name), lookWord)
		s.put(row, 2, text(clean(p.Before)+dateWords(p.From)), lookWord)
		s.put(row, 3, text(clean(p.After)+dateWords(p.To)), lookWord)
		cut := s.put(row, 4, m.volumeOf(p.Change.Cut), input(formatVolume))
		s.put(row, 5, m.volumeOf(p.Change.Fill), figure(formatVolume))
		noise := s.put(row, 6, m.volumeOf(p.Noise), input(formatVolume))
		lost[p.Pit] = s.put(row, 7, b.live(largest(number(0), sub(cut.ref(), noise.ref())), m.volumeOf(p.Lost()), "what pit "+name+" lost"), figure(formatVolume))
		area := s.put(row, 8, m.areaOf(p.Change.CutArea+p.Change.FillArea), figure("#,##0"))
		before := s.put(row, 9, number(float64(p.Points[0])), figure(formatCount))
		after := s.put(row, 10, number(float64(p.Points[1])), figure(formatCount))
		error := b.surveyVolumeError(area, before, after)
		if p.Strip > 0 {
			strip := m.volume(mul(b.accuracy.strip.ref(), m.areaOf(p.Change.CutArea)))
			error = root(add(square(error), square(strip)))
		}
		off[p.Pit] = s.put(row, 11, b.live(error, m.volumeOf(p.Error), "error of pit "+name), figure(formatVolume))
	}
	b.layPitsBySoil(b.layPitAccounts(row+2, lost, off) + 2)
	s.widths[2], s.widths[3] = 24, 24
}

// surveyVolumeError is the standard error of a volume between two surveys.
func (b *reconBook) surveyVolumeError(area, before, after *cell) expr {
	points := add(div(number(1), largest(number(1), before.ref())), div(number(1), largest(number(1), after.ref())))
	height := root(add(mul(number(2), square(b.accuracy.shift.ref())), mul(square(b.accuracy.point.ref()), points)))
	return b.m.volume(mul(area.ref(), height))
}

// dateWords puts a day behind a name.
func dateWords(day string) string {
	if day == "" {
		return ""
	}
	return ", " + day
}

// layPitAccounts lays each pit against its own loads.
func (b *reconBook) layPitAccounts(row int, lost, off map[int]*cell) int {
	s, m, t := b.pits, b.m, &b.counted
	row = s.table(row, "Each pit against its own loads", "Between its two surveys. Truck fill is what the trucks carried by the survey / what the tally counts. Beyond error = errors of measurement do not explain it (95 %).",
		"Pit", "Material", "Tally, "+m.vol("loose"), "Tally, "+m.vol("bank"), "Tally says more by", "Errors explain", "Verdict", "Truck fill seen", "from", "to", "On other days, "+m.vol("bank"), "Lost up to "+b.until()+", "+m.vol("bank"))
	for i := range b.rec.PitSeen {
		row++
		p := &b.rec.PitSeen[i]
		name := clean(b.r.Pits[p.Pit].Row.Name)
		at := s.put(row, 1, text(name), lookWord)
		s.put(row, 2, text(b.soilName(p.Material)), lookWord)
		s.blankRow(row, 3, 12, lookWord)
		state := b.states[p.Material]
		if state == nil {
			continue
		}
		of := func(where string) expr { return sumIf(t.loose, ifCell{t.pit, at.ref()}, ifCell{t.within, text(where)}) }
		if state.loose != nil && state.bank != nil && len(b.rec.Loads) > 0 {
			tally := s.put(row, 3, b.live(add(of(countedWithin), of(countedAhead)), m.volumeOf(p.Tally), "tally of pit "+name), figure(formatVolume))
			toBank := div(state.loose.ref(), state.bank.ref())
			bank := s.put(row, 4, mul(tally.ref(), toBank), figure(formatVolume))
			other := s.put(row, 11, b.live(mul(sub(of(countedOutside), of(countedAhead)), toBank), m.volumeOf(p.Outside*ratioOf(state)), "tally of other days of pit "+name), figure(formatVolume))
			if lost[p.Pit] != nil && p.Tally > 0 && p.Account.TruckFill.Seen.Known() {
				b.layPitVerdict(row, i, tally, bank, lost[p.Pit], off[p.Pit])
			}
			b.layLost(row, i, lost[p.Pit], off[p.Pit], other)
			continue
		}
		b.layLost(row, i, lost[p.Pit], off[p.Pit], nil)
	}
	return row
}

// layPitsBySoil adds up each soil's pits.
func (b *reconBook) layPitsBySoil(row int) {
	s, m := b.pits, b.m
	row = s.table(row, "By soil, up to "+b.until(), "The pits are a way of measuring only where every pit that was loaded from is surveyed.", "Material", "Lost, "+m.vol("bank"), "Standard error, "+m.vol("bank"), "Error, share")
	for i := range b.rec.Soils {
		a, c := &b.rec.Soils[i], &b.soils[i]
		sum, variance, n := number(0), number(0), 0
		for k := range b.rec.PitSeen {
			p := &b.rec.PitSeen[k]
			if p.Material != a.Material || b.lostBank[p.Pit] == nil {
				continue
			}
			lost, off := b.lostBank[p.Pit].ref(), square(b.lostOff[p.Pit].ref())
			if n++; n == 1 {
				sum, variance = lost, off
			} else {
				sum, variance = add(sum, lost), add(variance, off)
			}
		}
		if n == 0 {
			continue
		}
		row++
		s.put(row, 1, text(b.soilName(a.Material)), lookWord)
		c.gone = s.put(row, 2, b.live(sum, m.volumeOf(a.Lost), "what the pits lost"), figure(formatVolume))
		c.goneSE = s.put(row, 3, b.live(root(variance), m.volumeOf(a.LostError), "error of what the pits lost"), figure(formatVolume))
		share := s.put(row, 4, div(c.goneSE.ref(), c.gone.ref()), figure("0.00%"))
		if a.Season.Pit.Known() {
			c.pit, c.pitSE = c.gone, share
		}
	}
}

// ratioOf is bank volume in a loose volume as the cells have it.
func ratioOf(c *stateCells) float64 { return c.loose.content.val.num / c.bank.content.val.num }

// layPitVerdict lays whether a pit and its loads agree.
func (b *reconBook) layPitVerdict(row, i int, tally, bank, lost, off *cell) {
	s, p := b.pits, &b.rec.PitSeen[i]
	name := clean(b.r.Pits[p.Pit].Row.Name)
	state := b.states[p.Material]
	// Errors that stand in no cell of their own are laid out of sight of the table.
	loads := number(math.Max(1, p.Loads))
	scatter := div(b.accuracy.scatter.ref(), root(loads))
	tallySE := s.put(row, 14, root(add(square(b.accuracy.capacity.ref()), square(scatter))), figure("0.00%"))
	pitSE := s.put(row, 15, div(off.ref(), lost.ref()), figure("0.00%"))
	s.put(row-i-1, 14, text("Error of the tally"), lookHead)
	s.put(row-i-1, 15, text("Error of the survey"), lookHead)
	densities := present(errorCells{share: pitSE}, state.bankSE, state.looseSE)
	by := s.put(row, 5, sub(div(bank.ref(), lost.ref()), number(1)), figure(formatShare))
	explain := s.put(row, 6, half(append(densities, errorCells{share: tallySE})), figure(formatShare))
	b.layVerdict(s.put(row, 7, blank(), lookAnswer), add(number(1), by.ref()), explain.ref(), beyondOf(p.Account.Differences), "pit "+name)
	seen := div(mul(lost.ref(), div(state.bank.ref(), state.loose.ref())), tally.ref())
	fill := s.put(row, 8, b.live(seen, number(p.Account.TruckFill.Seen.Value), "truck fill of pit "+name), figure("0.0%"))
	wide := half(densities)
	s.put(row, 9, b.live(mul(fill.ref(), power(sub(number(0), wide))), number(p.Account.TruckFill.Interval.Low), "low truck fill of pit "+name), figure("0.0%"))
	s.put(row, 10, b.live(mul(fill.ref(), power(wide)), number(p.Account.TruckFill.Interval.High), "high truck fill of pit "+name), figure("0.0%"))
}

// layLost lays what a pit has lost up to the last day that counts.
func (b *reconBook) layLost(row, i int, lost, off, other *cell) {
	s, m, p := b.pits, b.m, &b.rec.PitSeen[i]
	if !p.Lost.Known() {
		return
	}
	name := clean(b.r.Pits[p.Pit].Row.Name)
	sum, variance := number(0), number(0)
	switch {
	case lost != nil && other != nil:
		sum, variance = add(lost.ref(), other.ref()), add(square(off.ref()), square(mul(other.ref(), b.otherError(p.Material))))
	case lost != nil:
		sum, variance = lost.ref(), square(off.ref())
	case other != nil:
		sum, variance = other.ref(), square(mul(other.ref(), b.otherError(p.Material)))
	}
	b.lostBank[p.Pit] = s.put(row, 12, b.live(sum, m.volumeOf(p.Lost.Value), "what pit "+name+" lost in all"), figure(formatVolume))
	b.lostOff[p.Pit] = s.put(row, 13, b.live(root(variance), m.volumeOf(p.Lost.Value*p.Lost.Error()), "error of what pit "+name+" lost"), figure(formatVolume))
	s.put(row-i-1, 13, text("Standard error, "+m.vol("bank")), lookHead)
}

// otherError is the error of a bank volume that the tally stands for.
func (b *reconBook) otherError(material int) expr {
	state := b.states[material]
	return root(variance(append(present(state.bankSE, state.looseSE), errorCells{share: b.accuracy.capacity})))
}
