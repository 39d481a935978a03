package workbook

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// layFillSurveys lays how much of the dam is built.
func (b *reconBook) layFillSurveys() {
	s, m := b.fill, b.m
	n := len(b.rec.Fills)
	if n == 0 {
		return
	}
	last := &b.rec.Fills[n-1]
	zones := len(b.r.Quantities.Zones)
	row := s.opening("Fill surveys: how much of the dam is built", max(8, 5+zones),
		"The last survey, cut at the dam's sections. What lies within the design's lines is parted by zone; a volume is area x the length that a section stands for, which is average end area.",
		baseWords(last)) + 1
	heads := []string{"Zone", "Placed, " + m.vol("compacted"), "Design, " + m.vol("compacted"), "Complete"}
	for _, f := range b.rec.Fills[:n-1] {
		heads = append(heads, "Complete on "+f.Date)
	}
	row = s.table(row, "Percent complete on "+last.Date, "Design = neat fill, trench and layers outside the outline; the settlement allowance is not in it.", heads...)
	top := row
	sections := top + zones + len(b.rec.Soils) + 18 // below the tables that add them up
	columns := b.layFillSections(sections, last)
	for k := range b.r.Quantities.Zones {
		row++
		b.layZoneProgress(row, k, columns, last)
	}
	row++
	s.put(row, 1, text("All zones"), total(""))
	b.layFillTotal(row, top+1)
	row = b.layBeyond(row+2, columns, last)
	b.layFillBySoil(row + 2)
	s.widths[1] = 34
}

// baseWords says what the fill was measured from.
func baseWords(f *plan.FillSurvey) string {
	if f.Base == "" {
		return "No survey shows the ground as stripped and dug, so the fill is measured from the design's own stripped ground and trench."
	}
	return "The fill is measured from the survey " + clean(f.Base) + "; what was dug deeper or less deep than the design stands as undercut."
}

// fillColumns are the columns of the sections.
type fillColumns struct {
	length                  span
	zones                   []span
	above, beside, undercut span
}

// layFillSections lays the areas at each section.
func (b *reconBook) layFillSections(row int, f *plan.FillSurvey) fillColumns {
	s, m, q := b.fill, b.m, &b.r.Quantities
	zones := len(q.Zones)
	heads := []string{"Station", in("Stands for", m.Length)}
	for _, z := range q.Zones {
		heads = append(heads, in(clean(z.Zone)+" placed", m.Area))
	}
	heads = append(heads, in("Above the lines", m.Area), in("Beside the toes", m.Area), in("Undercut", m.Area), "Surveyed")
	row = s.table(row, "At each section", "Areas below the surveyed surface. Beside = outside the toes, where fill stands out of the ground.", heads...)
	s.heads = [2]int{row, row}
	first := row + 1
	length := make([]float64, len(q.Sections))
	for _, r := range q.Reaches {
		length[r.From] += r.Length / 2
		length[r.To] += r.Length / 2
	}
	for i := range f.Progress.Sections {
		row++
		p := &f.Progress.Sections[i]
		s.put(row, 1, text(m.Station(q.Sections[i].Station)), lookWord)
		s.put(row, 2, m.lengthOf(length[i]), figure(formatLength))
		for k := range q.Zones {
			area := 0.0
			if k < len(p.Zones) {
				area = p.Zones[k]
			}
			s.put(row, 3+k, m.areaOf(area), input(formatArea))
		}
		s.put(row, 3+zones, m.areaOf(p.Above), input(formatArea))
		s.put(row, 4+zones, m.areaOf(p.Beside), input(formatArea))
		s.put(row, 5+zones, m.areaOf(p.Undercut), input(formatArea))
		word := text(shareWords(math.Round(1000*p.Covered) / 1000))
		if p.NotBegun {
			word = text("not stripped yet")
		}
		s.put(row, 6+zones, word, lookWord)
	}
	col := func(c int) span { return span{s, c, first, row} }
	out := fillColumns{length: col(2), above: col(3 + zones), beside: col(4 + zones), undercut: col(5 + zones)}
	for k := range q.Zones {
		out.zones = append(out.zones, col(3+k))
	}
	return out
}

// volumeOfColumn is a volume by average end area of a column of areas.
func (b *reconBook) volumeOfColumn(c fillColumns, areas span) expr {
	sum := 0.0
	for row := areas.from; row <= areas.to; row++ {
		sum += c.length.sheet.at(row, c.length.col).content.val.num * areas.sheet.at(row, areas.col).content.val.num
	}
	return b.m.volume(call("SUMPRODUCT", num(sum), c.length.expr(), areas.expr()))
}

// layZoneProgress lays one zone.
func (b *reconBook) layZoneProgress(row, k int, c fillColumns, last *plan.FillSurvey) {
	s, m := b.fill, b.m
	name := clean(b.r.Quantities.Zones[k].Zone)
	z := last.Progress.Zones[k]
	s.put(row, 1, text(name), lookWord)
	placed := s.put(row, 2, b.live(b.volumeOfColumn(c, c.zones[k]), m.volumeOf(z.Placed), "placed volume of "+name), figure(formatVolume))
	design := s.put(row, 3, m.volumeOf(z.Design), figure(formatVolume))
	s.put(row, 4, when(more(design.ref(), number(0)), div(placed.ref(), design.ref()), blank()), figure(formatShare))
	for i, f := range b.rec.Fills[:len(b.rec.Fills)-1] {
		share := blank()
		if at := f.Progress.Zones[k]; at.Design > 0 {
			share = number(at.Placed / at.Design)
		}
		s.put(row, 5+i, share, figure(formatShare))
	}
	b.zones = append(b.zones, placed)
}

// layFillTotal lays the sum of the zones.
func (b *reconBook) layFillTotal(row, first int) {
	s := b.fill
	placed := s.put(row, 2, span{s, 2, first, row - 1}.sum(), total(formatVolume))
	design := s.put(row, 3, span{s, 3, first, row - 1}.sum(), total(formatVolume))
	s.put(row, 4, when(more(design.ref(), number(0)), div(placed.ref(), design.ref()), blank()), total(formatShare))
	b.placedAll = placed
}

// layBeyond lays what lies beyond the design, the whole and its error.
func (b *reconBook) layBeyond(row int, c fillColumns, f *plan.FillSurvey) int {
	s, m, p := b.fill, b.m, &f.Progress
	s.put(row, 1, text("All that was placed"), lookPart)
	for i, l := range []struct {
		name, why string
		of        span
		want      float64
	}{
		{"Above the design lines", "settlement allowance, overbuild, heaps", c.above, p.Above},
		{"Beside the toes", "overbuild or spill", c.beside, p.Beside},
		{"Undercut, filled again", "dug below the design's stripped ground and trench", c.undercut, p.Undercut},
	} {
		row++
		s.put(row, 1, text(l.name), lookText)
		b.beyond[i] = s.put(row, 2, b.live(b.volumeOfColumn(c, l.of), m.volumeOf(l.want), l.name), figure(formatVolume))
		s.line(row, 3, 4, l.why, lookExplain)
	}
	row++
	s.put(row, 1, text("All, "+m.vol("compacted")), total(""))
	all := add(add(add(b.placedAll.ref(), b.beyond[0].ref()), b.beyond[1].ref()), b.beyond[2].ref())
	b.filled = s.put(row, 2, b.live(all, m.volumeOf(p.Total()), "all that was placed"), total(formatVolume))
	at := func(name string, value expr, format string) *cell {
		row++
		s.put(row, 1, text(name), lookText)
		return s.put(row, 2, value, figure(format))
	}
	area := at(in("Area under fill", m.Area), m.areaOf(f.Area), "#,##0")
	before := at("Points of the base", number(float64(f.Points[0])), formatCount)
	after := at("Points of the fill", number(float64(f.Points[1])), formatCount)
	error := b.surveyVolumeError(area, before, after)
	if f.Base == "" && len(b.r.Design.Stripping) > 0 {
		error = root(add(square(error), square(m.volume(mul(b.accuracy.strip.ref(), area.ref())))))
	}
	b.filledSE = at("Standard error of all, "+m.vol("compacted"), b.live(error, m.volumeOf(f.Error), "error of the fill survey"), formatVolume)
	row++
	s.put(row, 1, text("Between the surfaces, within the toes"), lookText)
	if math.IsNaN(f.Between) {
		s.put(row, 2, text(notKnown), lookWhy)
		return row
	}
	other := s.put(row, 2, m.volumeOf(f.Between), figure(formatVolume))
	within := sub(b.filled.ref(), b.beyond[1].ref())
	s.put(row, 3, sub(div(within, other.ref()), number(1)), figure(formatPoints))
	s.line(row, 4, 5, "how far the sections lie from it: two ways of measuring the same fill", lookExplain)
	return row
}

// layFillBySoil lays each soil's part of the fill: of each zone by its share of
// the zone's design, of what lies beyond the lines by its share of all.
func (b *reconBook) layFillBySoil(row int) {
	s, m := b.fill, b.m
	row = s.table(row, "By soil", "", "Material", "Within the lines, "+m.vol("compacted"), "With its part of the rest", "Error, share", "Counts as built")
	for i := range b.rec.Soils {
		row++
		a, c := &b.rec.Soils[i], &b.soils[i]
		name := b.soilName(a.Material)
		s.put(row, 1, text(name), lookWord)
		s.blankRow(row, 2, 5, lookWord)
		within, settled, n := number(0), 0.0, 0
		for _, share := range b.r.Materials[a.Material].Shares {
			part := b.zones[share.Zone].ref()
			if share.Fraction != 1 {
				part = mul(number(share.Fraction), part)
			}
			settled += share.Fraction * b.r.Quantities.Zones[share.Zone].Settlement
			if n++; n == 1 {
				within = part
			} else {
				within = add(within, part)
			}
		}
		if n == 0 || !a.Season.Fill.Known() {
			continue
		}
		placed := s.put(row, 2, within, figure(formatVolume))
		share := div(placed.ref(), b.placedAll.ref())
		c.fill = s.put(row, 3, b.live(mul(share, b.filled.ref()), m.volumeOf(a.Season.Fill.Value), "fill of "+name), figure(formatVolume))
		off := div(mul(b.filledSE.ref(), share), c.fill.ref())
		c.fillSE = s.put(row, 4, b.live(off, number(a.Season.Fill.Error()), "error of the fill of "+name), figure("0.00%"))
		built := add(placed.ref(), smallest(m.volumeOf(settled), mul(share, b.beyond[0].ref())))
		c.built = s.put(row, 5, b.live(built, m.volumeOf(a.Placed), "volume of "+name+" that is built"), figure(formatVolume))
	}
}

// smallest is MIN.
func smallest(a, b expr) expr { return call("MIN", num(math.Min(a.numeric(), b.numeric())), a, b) }
