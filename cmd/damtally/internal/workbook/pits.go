package workbook

import (
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// pitCells are the figures of one pit that other sheets refer to.
type pitCells struct {
	name, bank, quick, loss *cell
	layers                  []*cell // dug of each layer, nil without test holes
}

// Columns of the sheet Pits.
const (
	pitName = iota + 1
	pitMaterial
	pitArea
	pitLand
	pitSlope
	pitTopsoil
	pitDeepest
	pitDugTo
	pitFloor
	pitDug
	pitStrip
	pitWaste
	pitUsable
	pitOpened
	pitMean
	pitCorners
	pitQuick
	pitNearIt
	pitLoss
)

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
	const last = pitLoss
	s.opening("Borrow pits", last,
		"Volumes in the bank, as the ground lies, before any loss. Usable = all that is dug less topsoil and waste. Waste lies below the topsoil and cannot go into the dam. These are figures from the pits' shapes, dug to their own floors: type your own over them, or run the plan again for another floor.",
		"Quick check: (area dug at the ground + area of the floor) / 2 x usable depth: at the test holes, or without any at the corners, from ground to floor less the topsoil. A capacity far from it needs a second look.")
	s.headings(rowPitHead, "Pit", "Material", in("Area", m.Area), in("Area", m.LandArea), "Side slope (h:v)", in("Topsoil depth", m.Length),
		in("Greatest depth", m.Length), in("Dug down to", m.Length), in("Floor area", m.Area), "All that is dug, "+m.vol("bank"),
		"Topsoil, "+m.vol("bank"), "Waste, "+m.vol("bank"), "Usable, "+m.vol("bank"), in("Area dug at the ground", m.Area), in("Mean usable depth", m.Length),
		in("Usable depth at holes or corners", m.Length), "Quick check, "+m.vol("bank"), "Near the quick check", "Loss of this pit")
	b.pit = make([]pitCells, len(b.r.Pits))
	for i := range b.r.Pits {
		b.layPit(rowPitHead+1+i, i)
	}
	row := rowPitHead + len(b.r.Pits) + 1
	s.blankRow(row, 1, last, total(""))
	s.put(row, pitName, text("All pits"), total(""))
	for _, sum := range []struct {
		col    int
		format string
	}{{pitArea, formatArea}, {pitLand, formatLand}, {pitDug, formatVolume}, {pitStrip, formatVolume}, {pitWaste, formatVolume}, {pitUsable, formatVolume}} {
		s.put(row, sum.col, span{s, sum.col, rowPitHead + 1, row - 1}.sum(), total(sum.format))
	}
	b.pitStrip = s.at(row, pitStrip)
	s.heads = [2]int{rowPitHead, rowPitHead}
	s.freeze = [2]int{rowPitHead, 1}
}

func (b *book) layPit(row, i int) {
	s, m, p, c := b.pits, b.m, &b.r.Pits[i], &b.pit[i]
	k := p.Capacity
	c.name = s.put(row, pitName, text(clean(p.Row.Name)), lookWord)
	s.put(row, pitMaterial, text(b.pitMaterials(p)), lookWord)
	area := s.put(row, pitArea, m.areaOf(k.Area), input(formatArea))
	s.put(row, pitLand, m.land(area.ref()), figure(formatLand))
	s.put(row, pitSlope, number(p.Row.SideSlope), figure(formatShort))
	s.put(row, pitTopsoil, m.lengthOf(p.Row.StripDepth), input(formatShort))
	s.put(row, pitDeepest, m.lengthOf(k.Deepest), input(formatShort))
	s.put(row, pitDugTo, m.lengthOf(k.DugTo), figure(formatLength))
	floor := s.put(row, pitFloor, m.areaOf(k.Floor), input(formatArea))
	dug := s.put(row, pitDug, m.volumeOf(k.Dug), input(formatVolume))
	soil := s.put(row, pitStrip, m.volumeOf(k.Strip), input(formatVolume))
	waste := s.put(row, pitWaste, m.volumeOf(k.Waste), input(formatVolume))
	usable := b.live(sub(sub(dug.ref(), soil.ref()), waste.ref()), m.volumeOf(k.Bank), "capacity of pit "+clean(p.Row.Name))
	c.bank = s.put(row, pitUsable, usable, figure(formatVolume))
	opened := s.put(row, pitOpened, m.areaOf(k.Opened), input(formatArea))
	depth := when(more(opened.ref(), number(0)), m.depth(c.bank.ref(), opened.ref()), blank())
	s.put(row, pitMean, depth, figure(formatShort))
	corners := s.put(row, pitCorners, m.lengthOf(p.UsableDepth), input(formatShort))
	mean := div(add(opened.ref(), floor.ref()), number(2))
	c.quick = s.put(row, pitQuick, ifKnown(m.volume(mul(mean, corners.ref())), corners.ref()), figure(formatVolume))
	near := when(within(c.bank.ref(), c.quick.ref(), b.pitNear()), text("near"), text("LOOK"))
	answer := s.put(row, pitNearIt, ifKnown(near, c.quick.ref()), lookAnswer)
	s.watch(answer, "near", "LOOK")
	s.watchNegative(c.bank)
	loss := exprLook{number(p.Loss), input(formatShare)}
	if !p.Row.Loss.Given && len(p.ByMaterial) > 0 {
		loss = b.materialLoss(p.ByMaterial[0].Material, loss, "loss of pit "+clean(p.Row.Name))
	}
	c.loss = s.put(row, pitLoss, loss.expr, loss.look)
}

// materialLoss is the loss typed for a material, other where none is known.
func (b *book) materialLoss(material string, other exprLook, what string) exprLook {
	if k := b.materialIndex(material); k >= 0 {
		return exprLook{b.live(b.soil[k].loss.ref(), other.expr, what), figure(formatShare)}
	}
	return other
}

// pitMaterials names what a pit holds.
func (b *book) pitMaterials(p *plan.Pit) string {
	var names []string
	for _, m := range p.ByMaterial {
		names = append(names, clean(m.Material))
	}
	return strings.Join(names, "; ")
}

// pitHolds is what a pit holds of a material: all that is usable, or for a pit of
// several the share that its layers give it.
func (b *book) pitHolds(pit int, material string) expr {
	p, c := &b.r.Pits[pit], &b.pit[pit]
	if len(p.ByMaterial) < 2 || len(c.layers) == 0 {
		return c.bank.ref()
	}
	var of, all expr
	sum := func(to *expr, c *cell) {
		if to.write == nil {
			*to = c.ref()
		} else {
			*to = add(*to, c.ref())
		}
	}
	for i, l := range p.Strata.Layers {
		if !l.Usable {
			continue
		}
		sum(&all, c.layers[i])
		if l.Material == material {
			sum(&of, c.layers[i])
		}
	}
	if of.write == nil {
		return number(0)
	}
	return when(more(all, number(0)), div(mul(c.bank.ref(), of), all), number(0))
}

// lossIn is the loss that applies to a material in a pit: the pit's own, else the
// material's.
func (b *book) lossIn(pit int, material string) expr {
	p := &b.r.Pits[pit]
	if k := b.materialIndex(material); k >= 0 && !p.Row.Loss.Given && len(p.ByMaterial) > 1 {
		return b.soil[k].loss.ref()
	}
	return b.pit[pit].loss.ref()
}
