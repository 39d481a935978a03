package workbook

// Rows of totals, above the sections so that they stay in view.
const (
	rowVolumeHead = 4
	rowSum        = 5
	rowBends      = 6
	rowTotal      = 7
)

// Columns of the sheet Volumes.
const (
	volStation = iota + 1
	volDistance
	volLength
	volNeat
	volMiddle
	volEndArea
	volRunning
	volPrismoidal
	volBend
	volTrench
	volHeight
	volToes
	volVolume
	volStrip
	volOver
	volFootprint
	volLand
)

// volumeCells are the totals of the dam.
type volumeCells struct {
	length                          []*cell // by section, nil in the first row
	endArea, bend, neat, prismoidal *cell   // neat = end area with bends
	trench, height, toes, volume    *cell
	strip, over, footprint, land    *cell
	settlement, all                 *cell // on the sheet Zones
	outside                         *cell // there, nil without layers outside
}

// layVolumes lays the arithmetic of average end area, one reach a row.
func (b *book) layVolumes() {
	s, m := b.volumes, b.m
	s.opening("Volumes by average end area", volLand,
		"Each row is the reach from the section above to this one: length x (area above + area here) / 2"+b.divided()+". Prismoidal: length x (area above + 4 x middle area + area here) / 6"+b.divided()+". Volumes are compacted, that is, measured in the dam; stripping is topsoil in place. What curves and bends add comes from the plan of the centreline; it does not follow changes of area.")
	c := m.vol("compacted")
	s.headings(rowVolumeHead,
		"To station", in("Distance", m.Length), in("Length of reach", m.Length), in("Neat area", m.Area), in("Middle area", m.Area),
		"Neat fill by end area, "+c, "Running total, "+c, "Neat fill by prismoid, "+c, "Curves and bends add, "+c, "Trench backfill, "+c,
		"Settlement on height, "+c, "Settlement, toes kept, "+c, "Settlement on volume, "+c,
		"Stripping, "+m.Volume.Name+" in place", "Overbuild, "+c, in("Footprint", m.Area), in("Footprint", m.LandArea))
	b.layReaches()
	b.layVolumeTotals()
	s.heads = [2]int{rowVolumeHead, rowVolumeHead}
	s.freeze = [2]int{rowTotal, 2}
}

// divided is how the volume's unit enters the formulas, in words.
func (b *book) divided() string {
	if b.m.perVolume == 1 {
		return ""
	}
	return " / " + number(b.m.perVolume).write(nil)
}

func (b *book) layReaches() {
	s, q := b.volumes, b.r.Quantities
	reachTo := map[int]int{}
	for k, r := range q.Reaches {
		if r.From == r.To-1 {
			reachTo[r.To] = k
		}
	}
	for i := range q.Sections {
		row := rowFirst + i
		s.put(row, volStation, b.sections.at(row, secStation).content, lookWord)
		s.put(row, volDistance, b.areas.distance[i].ref(), figure(formatLength))
		s.put(row, volNeat, b.areas.neat[i].ref(), figure(formatArea))
		b.fill.length = append(b.fill.length, nil)
		s.blankRow(row, volLength, volLength, lookWord)
		s.blankRow(row, volMiddle, volFootprint, lookWord)
		if k, ok := reachTo[i]; ok {
			b.layReach(row, i, k)
		}
	}
}

// layReach lays the reach that ends at section i.
func (b *book) layReach(row, i, k int) {
	s, m, r := b.volumes, b.m, b.r.Quantities.Reaches[k]
	what := "reach to station " + m.Station(b.r.Quantities.Sections[i].Station)
	length := s.put(row, volLength, sub(s.at(row, volDistance).ref(), s.at(row-1, volDistance).ref()), figure(formatLength))
	b.fill.length[i] = length
	pair := func(cells []*cell) expr { return m.between(length.ref(), cells[i-1].ref(), cells[i].ref()) }

	a1, a2 := s.at(row-1, volNeat).ref(), s.at(row, volNeat).ref()
	endArea := s.put(row, volEndArea, b.live(m.between(length.ref(), a1, a2), m.volumeOf(r.Fill.EndArea), what), figure(formatVolume))
	running := endArea.ref()
	if above := b.runningAbove(row); above != nil {
		running = add(above.ref(), running)
	}
	s.put(row, volRunning, running, figure(formatVolume))
	// The plan gives the prismoidal volume; the middle area is what makes it.
	am := (6*r.Fill.Prismoidal/r.Length - b.r.Quantities.Sections[i-1].Neat.Area - b.r.Quantities.Sections[i].Neat.Area) / 4
	middle := s.put(row, volMiddle, m.areaOf(am), input(formatArea))
	s.put(row, volPrismoidal, b.live(m.prismoid(length.ref(), a1, middle.ref(), a2), m.volumeOf(r.Fill.Prismoidal), "prismoidal "+what), figure(formatVolume))
	s.put(row, volBend, m.volumeOf(r.Fill.Bend), input(formatVolume))

	s.put(row, volTrench, pair(b.areas.trench), figure(formatVolume))
	s.put(row, volHeight, pair(b.areas.height), figure(formatVolume))
	s.put(row, volToes, pair(b.areas.toes), figure(formatVolume))
	s.put(row, volVolume, pair(b.areas.volume), figure(formatVolume))
	s.put(row, volStrip, pair(b.areas.strip), figure(formatVolume))
	s.put(row, volOver, pair(b.areas.over), figure(formatVolume))
	w1, w2 := b.areas.width[i-1].ref(), b.areas.width[i].ref()
	s.put(row, volFootprint, div(mul(length.ref(), add(w1, w2)), number(2)), figure(formatArea))
}

// runningAbove is the last running total above a row.
func (b *book) runningAbove(row int) *cell {
	for r := row - 1; r >= rowFirst; r-- {
		if c := b.volumes.at(r, volRunning); c.content.val.kind == isNumber {
			return c
		}
	}
	return nil
}

func (b *book) column(s *sheet, col int) span { return span{s, col, rowFirst, b.lastSectionRow()} }

// layVolumeTotals lays the three rows of totals.
func (b *book) layVolumeTotals() {
	s, m, q := b.volumes, b.m, b.r.Quantities
	for row, words := range map[int]string{rowSum: "Sum", rowBends: "Bends", rowTotal: "Total"} {
		s.put(row, volStation, text(words), total(""))
		s.blankRow(row, volDistance, volLand, total(""))
	}
	s.put(rowTotal, volLength, b.column(s, volLength).sum(), total(formatLength))
	bends := s.put(rowBends, volBend, b.live(b.column(s, volBend).sum(), m.volumeOf(q.Fill.Bend), "curves and bends"), total(formatVolume))
	b.fill.bend = bends
	sumTo := func(col int, endArea float64, what string) (sum, all *cell) {
		sum = s.put(rowSum, col, b.live(b.column(s, col).sum(), m.volumeOf(endArea), what), total(formatVolume))
		bend := s.put(rowBends, col, bends.ref(), total(formatVolume))
		return sum, s.put(rowTotal, col, add(sum.ref(), bend.ref()), total(formatVolume))
	}
	b.fill.endArea, b.fill.neat = sumTo(volEndArea, q.Fill.EndArea, "neat fill")
	_, b.fill.prismoidal = sumTo(volPrismoidal, q.Fill.Prismoidal, "neat fill by prismoid")

	b.fill.trench = b.layTotal(s, volTrench, m.volumeOf(q.Trench), formatVolume)
	b.fill.height = b.layTotal(s, volHeight, m.volumeOf(q.ByHeight), formatVolume)
	b.fill.toes = b.layTotal(s, volToes, m.volumeOf(q.ByToesKept), formatVolume)
	b.fill.volume = b.layTotal(s, volVolume, m.volumeOf(q.ByVolume), formatVolume)
	b.fill.strip = b.layTotal(s, volStrip, m.volumeOf(q.Stripping), formatVolume)
	b.fill.over = b.layTotal(s, volOver, m.volumeOf(q.Overbuild), formatVolume)
	b.fill.footprint = b.layTotal(s, volFootprint, m.areaOf(q.Footprint), formatArea)
	b.fill.land = s.put(rowTotal, volLand, m.land(b.fill.footprint.ref()), total(formatLand))
}

// layTotal lays the sum of a column, what curves and bends add to it (drawn, so
// that sum and bends make the plan's own total), and the total.
func (b *book) layTotal(s *sheet, col int, want expr, format string) *cell {
	sum := s.put(rowSum, col, b.column(s, col).sum(), total(format))
	rest := want.numeric() - sum.content.numeric()
	if agree(want.numeric(), sum.content.numeric()) {
		rest = 0
	}
	if rest != 0 && !b.bends() {
		b.faults = append(b.faults, s.name+", column "+columnLetters(col))
	}
	bend := s.put(rowBends, col, number(rest), look{roleInput, format})
	return s.put(rowTotal, col, add(sum.ref(), bend.ref()), total(format))
}

// bends says whether the centreline has a bend or a curve.
func (b *book) bends() bool {
	return len(b.r.Site.Centreline) > 2 || b.r.Quantities.Fill.Bend != 0 // an alignment has no table
}
