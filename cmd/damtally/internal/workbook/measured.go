package workbook

import "math"

// Columns of the table by station on the sheet of what was dug.
const (
	dugStation = iota + 1
	dugDistance
	dugSide
	dugLength
	dugSeen
	dugStripPlanned
	dugStrip
	dugTrenchPlanned
	dugTrench
	dugBottomPlanned
	dugBottom
	dugAbove
	dugStripPlannedVolume
	dugStripVolume
	dugTrenchPlannedVolume
	dugTrenchVolume
)

// layDug lays what was measured after stripping and digging beside what was
// planned.
func (b *book) layDug() {
	d := b.r.Dug
	if d == nil {
		return
	}
	s, m := b.dugSheet, b.m
	row := s.opening("Planned against dug", dugTrenchVolume,
		"Ground surveyed after stripping and the trench surveyed open, beside the depths of the tables. All volumes of this plan rest on what was measured, and on the planned depths where nothing was.",
		"A trench that is less deep than planned is a question: did it reach the layer that holds the water back? Let your engineer see it open.")
	row = b.layDugTotals(row + 1)
	row += 2
	s.line(row, dugStripPlanned, 2, "Area of topsoil", lookHead)
	s.line(row, dugTrenchPlanned, 2, "Area of the trench", lookHead)
	s.line(row, dugBottomPlanned, 3, "Bottom of the trench", lookHead)
	s.line(row, dugStripPlannedVolume, 2, "Topsoil in this reach", lookHead)
	s.line(row, dugTrenchPlannedVolume, 2, "Trench in this reach", lookHead)
	row++
	place, bank := m.Volume.Name+" in place", m.vol("bank")
	s.headings(row, "To station", in("Distance", m.Length), "Side", in("Length of reach", m.Length), "Width that was measured",
		in("Planned", m.Area), in("Measured", m.Area), in("Planned", m.Area), in("Measured", m.Area),
		in("Planned", m.Length), in("Measured", m.Length), in("Above the plan", m.Length),
		"Planned, "+place, "Measured, "+place, "Planned, "+bank, "Measured, "+bank)
	s.heads = [2]int{row - 1, row}
	first := row + 1
	for i := range b.r.Quantities.Sections {
		b.layDugRow(first+i, i)
	}
	last := first + len(b.r.Quantities.Sections) - 1
	s.blankRow(last+1, 1, dugTrenchVolume, total(""))
	s.put(last+1, 1, text("Sum"), total(""))
	for col := dugStripPlannedVolume; col <= dugTrenchVolume; col++ {
		s.put(last+1, col, span{s, col, first, last}.sum(), total(formatVolume))
	}
	s.line(last+2, 1, dugTrenchVolume, "Sums are without what curves and bends of the centreline add; the table at the top has it.", lookExplain)
	s.freeze = [2]int{0, 1}
	s.widths[1] = 30
}

// layDugTotals lays the totals of the dam, planned and measured.
func (b *book) layDugTotals(row int) int {
	s, m, p := b.dugSheet, b.m, &b.r.Dug.Planned
	s.headings(row, "What", "Planned", "As measured", "More than planned", "Unit")
	s.line(row, 6, 6, "Measured from", lookHead)
	put := func(words string, planned float64, now *cell, unit, from string) {
		row++
		s.put(row, 1, text(words), lookWord)
		was := s.put(row, 2, m.volumeOf(planned), input(formatVolume))
		is := s.put(row, 3, now.ref(), figure(formatVolume))
		s.put(row, 4, sub(is.ref(), was.ref()), figure(formatOffset0))
		s.put(row, 5, text(unit), lookWord)
		s.line(row, 6, 6, from, lookWord)
	}
	put("Topsoil stripped under the dam", p.Stripping, b.fill.strip, m.Volume.Name+" in place", surfacesOr(b.r.Dug.Stripped))
	put("Trench, dug and filled again", p.Trench, b.fill.trench, m.vol("compacted"), surfacesOr(b.r.Dug.Trench))
	put("Neat fill to the drawn faces", p.Fill.EndArea+p.Fill.Bend, b.fill.neat, m.vol("compacted"), "the ground stripped as above")
	return row
}

// formatOffset0 is whole figures of either sign, neither of which is a fault.
const formatOffset0 = "#,##0"

// surfacesOr lists the names of surfaces.
func surfacesOr(names []string) string {
	if len(names) == 0 {
		return "nothing: the planned depths stand"
	}
	list := names[0]
	for _, n := range names[1:] {
		list += "; " + n
	}
	return clip(clean(list), 200)
}

func (b *book) layDugRow(row, i int) {
	s, m, sec, d := b.dugSheet, b.m, &b.r.Quantities.Sections[i], &b.r.Dug.Rows[i]
	s.put(row, dugStation, text(m.Station(sec.Station)), lookWord)
	s.put(row, dugDistance, b.areas.distance[i].ref(), figure(formatLength))
	s.put(row, dugSide, text(sides[sec.At]), lookWord)
	seen := blank()
	if sec.Width.Area > 0 {
		seen = number(sec.StrippedSeen / sec.Width.Area)
	}
	s.put(row, dugSeen, seen, figure(formatShare))
	s.put(row, dugStripPlanned, m.areaOf(d.PlannedStripping), input(formatArea))
	s.put(row, dugStrip, b.areas.strip[i].ref(), figure(formatArea))
	s.put(row, dugTrenchPlanned, m.areaOf(d.PlannedTrench), input(formatArea))
	s.put(row, dugTrench, b.areas.trench[i].ref(), figure(formatArea))
	level := func(z float64) expr {
		if math.IsNaN(z) {
			return blank()
		}
		return m.lengthOf(z)
	}
	planned := s.put(row, dugBottomPlanned, level(d.PlannedBottom), input(formatLength))
	bottom := s.put(row, dugBottom, level(d.Bottom), input(formatLength))
	s.put(row, dugAbove, ifKnown(sub(bottom.ref(), planned.ref()), bottom.ref(), planned.ref()), figure(formatOffset))
	length := b.fill.length[i]
	s.blankRow(row, dugLength, dugLength, lookWord)
	s.blankRow(row, dugStripPlannedVolume, dugTrenchVolume, lookWord)
	if length == nil {
		return
	}
	l := s.put(row, dugLength, length.ref(), figure(formatLength))
	for k, col := range []int{dugStripPlanned, dugStrip, dugTrenchPlanned, dugTrench} {
		s.put(row, dugStripPlannedVolume+k, m.between(l.ref(), s.at(row-1, col).ref(), s.at(row, col).ref()), figure(formatVolume))
	}
}
