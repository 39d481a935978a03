package workbook

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// Columns of the sheet How deep.
const (
	deepPit = iota + 1
	deepUsed
	deepFloor
	deepFloorIs
	deepLowest
	deepGreatest
	deepDug
	deepStrip
	deepWaste
	deepUsable
	deepOver
	deepLeft
	deepWet
	deepSetback
	deepDam
	deepCover
)

// layDepths lays how deep each pit is dug for what is taken of it.
func (b *book) layDepths() {
	s, m := b.deep, b.m
	if b.r.Allocation == nil || len(b.r.Pits) == 0 {
		return
	}
	bank := m.vol("bank")
	row := s.opening("How deep each pit is dug for its share", deepCover,
		"Taken is what the dam takes of the pit, as the sheet "+feedSheet+" shares it out. The floor is found on the pit's exact volume: dug to there, the pit gives just that. A pit of several materials is dug as deep as the one that lies lowest asks for.",
		"These depths hold no reserve: ground that proves worse than its tests needs a deeper floor, or more pit. Slopes of a pit can slide and water can fill it: follow local rules.")
	s.headings(row, "Pit", "Taken, "+bank, in("Floor", m.Length), "The floor is", in("Dug down to", m.Length), in("Greatest depth", m.Length),
		"All that is dug, "+bank, "Topsoil, "+bank, "Waste, "+bank, "Usable dug, "+bank, "Usable, not taken, "+bank, "Usable left in the pit, "+bank,
		"Dug below water, "+bank, in("Setback", m.Length), in("From the dam", m.Length), in("Cover to leave", m.Length))
	s.heads = [2]int{row, row}
	s.freeze = [2]int{row, 1}
	for i := range b.r.Pits {
		row++
		b.layDepth(row, i)
	}
}

func (b *book) layDepth(row, i int) {
	s, m, p := b.deep, b.m, &b.r.Pits[i]
	name := clean(p.Row.Name)
	s.put(row, deepPit, b.pit[i].name.ref(), lookWord)
	b.layKeptOff(row, p)
	d := p.Dig
	if d == nil {
		return
	}
	taken := s.put(row, deepUsed, b.live(b.takenFrom(p), m.volumeOf(d.Used), "volume taken from pit "+name), figure(formatVolume))
	if math.IsNaN(d.Floor) {
		s.line(row, deepFloor, 4, "nothing is taken of it", lookWhy)
		return
	}
	is := "elevation"
	if p.Row.Depth.Given {
		is = "depth"
	}
	s.put(row, deepFloor, m.lengthOf(d.Floor), figure(formatLength))
	s.put(row, deepFloorIs, text(is), lookWord)
	s.put(row, deepLowest, m.lengthOf(d.Capacity.DugTo), figure(formatLength))
	s.put(row, deepGreatest, m.lengthOf(d.Capacity.Deepest), figure(formatShort))
	dug := s.put(row, deepDug, m.volumeOf(d.Capacity.Dug), figure(formatVolume))
	strip := s.put(row, deepStrip, m.volumeOf(d.Capacity.Strip), figure(formatVolume))
	waste := s.put(row, deepWaste, m.volumeOf(d.Capacity.Waste), figure(formatVolume))
	usable := s.put(row, deepUsable, sub(sub(dug.ref(), strip.ref()), waste.ref()), figure(formatVolume))
	s.put(row, deepOver, rounded(sub(usable.ref(), taken.ref()), 3), figure(formatVolume))
	s.put(row, deepLeft, rounded(sub(b.pit[i].bank.ref(), usable.ref()), 3), figure(formatVolume))
	if d.Capacity.WaterSeen {
		s.put(row, deepWet, m.volumeOf(d.Capacity.BelowWater), figure(formatVolume))
	}
}

// layKeptOff lays what the pit keeps from its boundary, the dam and what lies below.
func (b *book) layKeptOff(row int, p *plan.Pit) {
	s, m := b.deep, b.m
	asked := func(col int, given bool, v float64) {
		if given {
			s.put(row, col, m.lengthOf(v), figure(formatShort))
		} else {
			s.put(row, col, text("ask"), lookWord)
		}
	}
	asked(deepSetback, p.Row.Setback.Given, p.Row.Setback.Value)
	if !math.IsNaN(p.FromDam) {
		s.put(row, deepDam, m.lengthOf(p.FromDam), figure(formatShort))
	}
	asked(deepCover, p.Row.CoverToLeave.Given, p.Row.CoverToLeave.Value)
}

// takenFrom is what the sheet of who feeds what takes of a pit.
func (b *book) takenFrom(p *plan.Pit) expr {
	sum := number(0)
	first := true
	for i, u := range b.r.Allocation.Supplies {
		if u.Kind != borrow.FromPit || u.Source != p.Row.Name || i >= len(b.fed.source) || b.fed.source[i].bank == nil {
			continue
		}
		if first {
			sum, first = b.fed.source[i].bank.ref(), false
		} else {
			sum = add(sum, b.fed.source[i].bank.ref())
		}
	}
	return sum
}
