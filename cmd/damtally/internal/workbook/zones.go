package workbook

import (
	"math"

	"github.com/damtally/damtally/earthwork"
)

// Columns of a zone's own sheet.
const (
	zoneStation = iota + 1
	zoneDistance
	zoneLength
	zoneNeat
	zoneTrench
	zoneAdded
	zoneNeatVolume
	zoneTrenchVolume
	zoneAddedVolume
	zoneAll
	zoneRunning
	// The columns of layers: only on the sheets of zones that have them.
	zoneOutside
	zoneOutsideVolume
	zoneFace
	zoneSurface
)

// zoneCells are a zone's totals.
type zoneCells struct {
	neat, trench, added *cell // on its own sheet, bends included
	bend, endArea       *cell
	outside, surface    *cell // nil where the zone is no such layer
	settlement          *cell // on the sheet Zones, by the basis chosen
	compacted           *cell
}

// layZoneAreas lays the areas of each zone, which everything is summed from.
func (b *book) layZoneAreas() {
	m := b.m
	b.zone = make([]zoneCells, len(b.zoneSheets))
	for k, s := range b.zoneSheets {
		c := m.vol("compacted")
		s.headings(rowVolumeHead, "To station", in("Distance", m.Length), in("Length of reach", m.Length),
			in("Neat area", m.Area), in("Trench area", m.Area), in("Added for settlement", m.Area),
			"Neat, "+c, "Trench, "+c, "Settlement, "+c, "Together, "+c, "Running total, "+c)
		b.layLayerAreas(k, s)
		lines := []string{"Each row is the reach from the section above to this one: length x (area above + area here) / 2" + b.divided() + ". Areas are drawn and yours to change; the rest follows. The area added for settlement is the one of the basis on the sheet Settings as first planned."}
		across := zoneRunning
		if b.allOutside(k) {
			across = s.lastCol
			for _, col := range []int{zoneNeat, zoneTrench, zoneAdded, zoneNeatVolume, zoneTrenchVolume, zoneAddedVolume} {
				s.hidden[col] = true
			}
			lines = append(lines, "This layer lies outside the outline all along the dam. The columns of what lies inside, all 0, are out of view; show columns D to I to see them.")
		}
		s.opening("Zone "+clean(b.r.Quantities.Zones[k].Zone), across, lines...)
		for i := range b.r.Quantities.Sections {
			row, area := rowFirst+i, zoneArea(&b.r.Quantities.Sections[i], k)
			s.put(row, zoneStation, b.sections.at(row, secStation).content, lookWord)
			s.put(row, zoneDistance, b.areas.distance[i].ref(), figure(formatLength))
			neat := s.put(row, zoneNeat, m.areaOf(area.Neat.Area), input(formatArea))
			s.put(row, zoneTrench, m.areaOf(area.Trench.Area), input(formatArea))
			s.put(row, zoneAdded, m.areaOf(area.Settlement.Area), input(formatArea))
			if b.r.Design.Settlement.Basis != earthwork.OnHeight {
				added := b.unlessBuilt(mul(b.set.allowance.ref(), neat.ref()))
				s.put(row, zoneAdded, b.live(added, m.areaOf(area.Settlement.Area), "area added in a zone"), figure(formatArea))
			}
		}
		s.heads = [2]int{rowVolumeHead, rowVolumeHead}
		s.freeze = [2]int{rowTotal, 2}
	}
}

// zoneArea is a zone's part of a section, nothing where the section has none.
func zoneArea(s *earthwork.Section, zone int) earthwork.ZoneArea {
	if zone >= len(s.Zones) {
		return earthwork.ZoneArea{}
	}
	return s.Zones[zone]
}

// layZoneVolumes lays the volumes on each zone's own sheet.
func (b *book) layZoneVolumes() {
	for k, s := range b.zoneSheets {
		for i := range b.r.Quantities.Sections {
			if length := b.fill.length[i]; length != nil {
				b.layZoneReach(s, rowFirst+i, length)
			} else {
				s.blankRow(rowFirst+i, zoneLength, zoneLength, lookWord)
				s.blankRow(rowFirst+i, zoneNeatVolume, zoneRunning, lookWord)
			}
		}
		b.layZoneTotals(k, s)
	}
}

func (b *book) layZoneReach(s *sheet, row int, length *cell) {
	l := s.put(row, zoneLength, length.ref(), figure(formatLength))
	pairs := [][2]int{{zoneNeat, zoneNeatVolume}, {zoneTrench, zoneTrenchVolume}, {zoneAdded, zoneAddedVolume}}
	var sum expr
	for n, p := range pairs {
		v := s.put(row, p[1], b.m.between(l.ref(), s.at(row-1, p[0]).ref(), s.at(row, p[0]).ref()), figure(formatVolume))
		if n == 0 {
			sum = v.ref()
		} else {
			sum = add(sum, v.ref())
		}
	}
	if over := b.layLayerReach(s, row, l); over != nil {
		sum = add(sum, over.ref())
	}
	all := s.put(row, zoneAll, sum, figure(formatVolume))
	running := all.ref()
	for r := row - 1; r >= rowFirst; r-- {
		if above := s.at(r, zoneRunning); above.content.val.kind == isNumber {
			running = add(above.ref(), running)
			break
		}
	}
	s.put(row, zoneRunning, running, figure(formatVolume))
}

func (b *book) layZoneTotals(k int, s *sheet) {
	m, z := b.m, b.r.Quantities.Zones[k]
	for row, words := range map[int]string{rowSum: "Sum", rowBends: "Bends", rowTotal: "Total"} {
		s.put(row, zoneStation, text(words), total(""))
		s.blankRow(row, zoneDistance, zoneRunning, total(""))
	}
	endArea := s.put(rowSum, zoneNeatVolume, b.live(b.column(s, zoneNeatVolume).sum(), m.volumeOf(z.Neat.EndArea), "neat volume of a zone"), total(formatVolume))
	bend := s.put(rowBends, zoneNeatVolume, m.volumeOf(z.Neat.Bend), input(formatVolume))
	neat := s.put(rowTotal, zoneNeatVolume, add(endArea.ref(), bend.ref()), total(formatVolume))
	trench := b.layTotal(s, zoneTrenchVolume, m.volumeOf(z.Trench), formatVolume)
	added := b.layTotal(s, zoneAddedVolume, m.volumeOf(z.Settlement), formatVolume)
	b.zone[k] = zoneCells{neat: neat, trench: trench, added: added, bend: bend, endArea: endArea}
	b.layLayerTotals(k, s)
	all := add(add(neat.ref(), trench.ref()), added.ref())
	if over := b.zone[k].outside; over != nil {
		all = add(all, over.ref())
	}
	s.put(rowTotal, zoneAll, all, total(formatVolume))
}

// layZones lays the sheet of the zones' totals and the settlement chosen.
func (b *book) layZones() {
	s, m, q := b.zones, b.m, b.r.Quantities
	c := m.vol("compacted")
	row := s.opening("Zones and settlement", 8,
		"What the dam takes, compacted, by zone. Settlement is the figure of the basis chosen on the sheet Settings, shared among the zones as drawn.",
		"If you choose another basis there, the total is right and the shares of the zones are an estimate until the plan is run again.")
	row++
	s.put(row, 1, text("Settlement allowance"), lookPart)
	row++
	s.headings(row, "Taken", "Adds, "+c)
	s.line(row, 3, 6, "What it means", lookHead)
	add3 := func(words string, from *cell, means string) {
		row++
		s.put(row, 1, text(words), lookWord)
		s.put(row, 2, from.ref(), figure(formatVolume))
		s.line(row, 3, 6, means, lookWord)
	}
	add3("on volume", b.fill.volume, "the neat volume times the allowance")
	add3("on height, slopes kept", b.fill.height, "the crest rises by the allowance times the height; the toes move out")
	add3("on height, toes kept", b.fill.toes, "the section is stretched upwards between its toes; the slopes become steeper")
	row++
	chosen := b.unlessBuilt(b.byBasis(b.fill.volume.ref(), b.fill.toes.ref(), b.fill.height.ref()))
	s.put(row, 1, text("chosen"), total(""))
	b.fill.settlement = s.put(row, 2, b.live(chosen, m.volumeOf(q.Settlement), "settlement"), total(formatVolume))
	words := join(join(join(text("on "), b.set.basis.ref()), text(", crest ")), b.set.crestIs.ref())
	s.line(row, 3, 6, "", total(""))
	s.put(row, 3, words, total("")).across = 6
	row++
	s.put(row, 1, text("as drawn, all zones"), lookWord)
	drawn := s.put(row, 2, b.drawnSettlement(), figure(formatVolume))
	s.line(row, 3, 6, "the sum of the zones' own sheets; it sets how the figure chosen is shared among them", lookWord)
	b.layZoneTable(row+2, drawn.ref())
	s.widths[1] = 24
}

func (b *book) layZoneTable(row int, drawn expr) {
	s, m := b.zones, b.m
	c := m.vol("compacted")
	s.put(row, 1, text("Compacted volume by zone"), lookPart)
	row++
	s.headings(row, "Zone", "Neat by end area, "+c, "Curves and bends, "+c, "Trench, "+c, "Settlement, "+c, "Together, "+c, "Share of the dam", "Neat by prismoid, "+c)
	if b.layered() {
		s.put(row, totalsOutside, text("Outside the outline, "+c), lookHead)
		s.put(row, totalsSurface, text(in("Surface of layers", m.Area)), lookHead)
	}
	first := row + 1
	last := row + len(b.zone)
	for k := range b.zone {
		row++
		z, want := &b.zone[k], b.r.Quantities.Zones[k]
		s.put(row, 1, text(clean(want.Zone)), lookWord)
		endArea := s.put(row, 2, z.endArea.ref(), figure(formatVolume))
		bend := s.put(row, 3, z.bend.ref(), figure(formatVolume))
		trench := s.put(row, 4, z.trench.ref(), figure(formatVolume))
		z.settlement = s.put(row, 5, b.live(b.zoneSettlement(z, drawn), m.volumeOf(want.Settlement), "settlement of a zone"), figure(formatVolume))
		sum := add(add(add(endArea.ref(), bend.ref()), trench.ref()), z.settlement.ref())
		if over := b.layLayerShare(row, k); over != nil {
			sum = add(sum, over.ref())
		}
		z.compacted = s.put(row, 6, b.live(sum, m.volumeOf(want.Compacted), "compacted volume of a zone"), figure(formatVolume))
		s.put(row, 8, m.volumeOf(want.Neat.Prismoidal+want.Neat.Bend), figure(formatVolume))
	}
	row++
	s.put(row, 1, text("The dam"), total(""))
	for col := 2; col <= 8; col++ {
		if col != 7 {
			s.put(row, col, span{s, col, first, last}.sum(), total(formatVolume))
		}
	}
	b.layLayerSum(row, first, last)
	b.fill.all = s.at(row, 6)
	for r := first; r <= last; r++ {
		share := when(more(b.fill.all.ref(), number(0)), div(s.at(r, 6).ref(), b.fill.all.ref()), blank())
		s.put(r, 7, share, figure(formatShare))
	}
	s.put(row, 7, span{s, 7, first, last}.sum(), total(formatShare))
}

// drawnSettlement is the sum of what the zones' own sheets add for settlement.
func (b *book) drawnSettlement() expr {
	sum := number(0)
	for k, z := range b.zone {
		if k == 0 {
			sum = z.added.ref()
		} else {
			sum = add(sum, z.added.ref())
		}
	}
	return sum
}

// zoneSettlement is a zone's share of the settlement chosen: as drawn, or by
// neat volume where nothing was drawn.
func (b *book) zoneSettlement(z *zoneCells, drawn expr) expr {
	asDrawn := div(mul(b.fill.settlement.ref(), z.added.ref()), drawn)
	byNeat := div(mul(b.fill.settlement.ref(), z.neat.ref()), b.fill.neat.ref())
	if math.Abs(b.fill.neat.content.numeric()) == 0 && drawn.numeric() == 0 {
		return number(0)
	}
	return when(more(magnitude(drawn), number(0)), asDrawn,
		when(more(magnitude(b.fill.neat.ref()), number(0)), byNeat, number(0)))
}
