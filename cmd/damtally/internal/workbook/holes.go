package workbook

import (
	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// Columns of the sheet Test holes.
const (
	holeName = iota + 1
	holePit
	holeX
	holeY
	holeGround
	holeFrom
	holeTo
	holeThick
	holeMaterial
	holeLayer
	holeUse
	holeWater
)

// layHoles lays what the test holes show: first what it comes to in each pit, layer
// by layer, then the holes themselves.
func (b *book) layHoles() {
	s, m := b.holes, b.m
	if len(b.r.Site.Holes) == 0 {
		return
	}
	row := s.opening("Test holes and layers", holeWater,
		"Between holes the bottom of a layer is a plane over each triangle of holes; beyond their outline the depth at its nearest point is taken. A layer that a hole lacks thins out on the way to it. What lies below the bottom of a hole is not known and is not counted.",
		"A pit of several materials parts its usable volume in proportion to the layers below: type your own figure over one, and the balance follows.") + 1
	row = b.layLayers(row)
	s.line(row, 1, holeWater, "The holes, as they were logged", lookPart)
	row++
	s.headings(row, "Hole", "Pit", in("x", m.Length), in("y", m.Length), in("Ground", m.Length), in("From", m.Length), in("To", m.Length),
		in("Thick", m.Length), "Soil", "Layer", "Into the dam", in("Water at depth", m.Length))
	s.heads = [2]int{row, row}
	for _, h := range b.r.Site.Holes {
		for i := range h.Layers {
			row++
			l := &h.Layers[i]
			s.put(row, holeName, text(clean(h.Name)), lookWord)
			s.put(row, holePit, text(clean(h.Pit)), lookWord)
			s.put(row, holeX, m.lengthOf(h.At[0]), figure(formatOffset))
			s.put(row, holeY, m.lengthOf(h.At[1]), figure(formatOffset))
			if z, ok := b.holeGround(h.Pit, h.Name); ok {
				s.put(row, holeGround, m.lengthOf(z), figure(formatLength))
			}
			from := s.put(row, holeFrom, m.lengthOf(l.From), figure(formatShort))
			to := s.put(row, holeTo, m.lengthOf(l.To), figure(formatShort))
			s.put(row, holeThick, sub(to.ref(), from.ref()), figure(formatShort))
			s.put(row, holeMaterial, text(clean(l.Material)), lookWord)
			s.put(row, holeLayer, text(clean(l.Layer)), lookWord)
			s.put(row, holeUse, text(useWord(l.Usable == "yes", l.Topsoil(), l.Hard())), lookWord)
			if i == 0 && h.Water.Given {
				s.put(row, holeWater, m.lengthOf(h.Water.Value), figure(formatShort))
			}
		}
	}
	s.widths[holeMaterial], s.widths[holePit] = 20, 18
}

// useWord says in a word what becomes of a layer.
func useWord(usable, topsoil, hard bool) string {
	switch {
	case usable:
		return "yes"
	case topsoil:
		return "topsoil"
	case hard:
		return "no: not dug"
	}
	return "no"
}

// holeGround is the elevation of the ground at a hole, as the plan took it.
func (b *book) holeGround(pit, hole string) (float64, bool) {
	for i := range b.r.Pits {
		p := &b.r.Pits[i]
		if p.Row.Name != pit || p.Strata == nil {
			continue
		}
		for _, h := range p.Strata.Holes {
			if h.Name == hole {
				return h.Elevation, true
			}
		}
	}
	return 0, false
}

// layLayers lays the layers of each pit and returns the row after them.
func (b *book) layLayers(row int) int {
	s, m := b.holes, b.m
	any := false
	for i := range b.r.Pits {
		any = any || b.r.Pits[i].Strata != nil
	}
	if !any {
		return row
	}
	s.line(row, 1, holeWater, "What the layers come to in each pit, dug to its own floor", lookPart)
	row++
	s.headings(row, "Pit", "Layer", "Soil", "Into the dam", "Dug, "+m.vol("bank"), "Share of the usable", "Test holes", in("Far from a hole is over", m.Length), "Usable far from a hole", "Thickness not sure by (1 sd)")
	for i := range b.r.Pits {
		p := &b.r.Pits[i]
		if p.Strata == nil {
			continue
		}
		first := row + 1
		for k, l := range p.Strata.Layers {
			row++
			b.layLayer(row, i, k, l)
		}
		b.laySureness(first, p)
	}
	return row + 2
}

func (b *book) layLayer(row, i, k int, l borrow.Layer) {
	s, m, p, c := b.holes, b.m, &b.r.Pits[i], &b.pit[i]
	s.put(row, 1, c.name.ref(), lookWord)
	s.put(row, 2, text(clean(l.Name)), lookWord)
	s.put(row, 3, text(clean(l.Material)), lookWord)
	s.put(row, 4, text(useWord(l.Usable, l.Topsoil, l.Hard)), lookWord)
	look := figure(formatVolume)
	if l.Usable && len(p.ByMaterial) > 1 {
		look = input(formatVolume)
	}
	dug := s.put(row, 5, m.volumeOf(p.Capacity.Layers[k]), look)
	c.layers = append(c.layers, dug)
	if l.Usable && p.Capacity.Bank > 0 {
		s.put(row, 6, when(more(c.bank.ref(), number(0)), div(dug.ref(), c.bank.ref()), blank()), figure(formatShare))
	}
}

// laySureness lays how well holes cover a pit, and how far its materials'
// thicknesses are from what the other holes foretell.
func (b *book) laySureness(first int, p *plan.Pit) {
	s, m := b.holes, b.m
	s.put(first, 7, number(float64(p.Holes)), figure(formatCount))
	s.put(first, 8, m.lengthOf(p.Beyond), figure(formatShort))
	s.put(first, 9, number(p.ShareBeyond), figure(formatShare))
	told := map[string]bool{}
	for k, l := range p.Strata.Layers {
		if !l.Usable || told[l.Material] {
			continue
		}
		told[l.Material] = true
		for _, own := range p.ByMaterial {
			if own.Material == l.Material {
				s.put(first+k, 10, number(own.Unsure), figure(formatShare))
			}
		}
	}
}
