package workbook

// Layers lie on a face, on the crest or on the ground: what of them lies outside
// the outline stands beside the fill, and their surface is what seeding or
// riprap is paid by. The columns for both come after all others, and only where
// there is something to show.

// Columns of layers in the totals of the sheet Zones.
const (
	totalsOutside = 9
	totalsSurface = 10
)

// hasOutside and hasSurface tell what columns a zone's sheet has.
func (b *book) hasOutside(zone int) bool { return b.r.Quantities.Zones[zone].Outside != 0 }
func (b *book) hasSurface(zone int) bool { return b.r.Quantities.Zones[zone].Surface != 0 }

// allOutside tells whether a zone is a layer of which nothing lies inside the outline
// or in the trench, anywhere.
func (b *book) allOutside(zone int) bool {
	z := b.r.Quantities.Zones[zone]
	if !b.hasOutside(zone) || z.Neat.EndArea != 0 || z.Neat.Bend != 0 || z.Trench != 0 || z.Settlement != 0 {
		return false
	}
	for i := range b.r.Quantities.Sections {
		if a := zoneArea(&b.r.Quantities.Sections[i], zone); a.Neat.Area != 0 || a.Trench.Area != 0 || a.Settlement.Area != 0 {
			return false
		}
	}
	return true
}

// layered tells whether any zone is a layer.
func (b *book) layered() bool {
	for k := range b.r.Quantities.Zones {
		if b.hasOutside(k) || b.hasSurface(k) {
			return true
		}
	}
	return false
}

// partsOfFill says in words how many lines of the summary the fill is the sum of.
func (b *book) partsOfFill() string {
	if b.fill.outside != nil {
		return "the next four lines"
	}
	return "the next three lines"
}

// layLayerAreas lays what was drawn of a layer at each section.
func (b *book) layLayerAreas(k int, s *sheet) {
	m := b.m
	outside, surface := b.hasOutside(k), b.hasSurface(k)
	if outside {
		s.put(rowVolumeHead, zoneOutside, text(in("Area outside the outline", m.Area)), lookHead)
		s.put(rowVolumeHead, zoneOutsideVolume, text("Outside the outline, "+m.vol("compacted")), lookHead)
	}
	if surface {
		s.put(rowVolumeHead, zoneFace, text(in("Length along the surface", m.Length)), lookHead)
		s.put(rowVolumeHead, zoneSurface, text(in("Surface", m.Area)), lookHead)
	}
	for i := range b.r.Quantities.Sections {
		area := zoneArea(&b.r.Quantities.Sections[i], k)
		if outside {
			s.put(rowFirst+i, zoneOutside, m.areaOf(area.Outside.Area), input(formatArea))
			s.blankRow(rowFirst+i, zoneOutsideVolume, zoneOutsideVolume, lookWord)
		}
		if surface {
			s.put(rowFirst+i, zoneFace, m.lengthOf(area.Surface.Area), input(formatLength))
			s.blankRow(rowFirst+i, zoneSurface, zoneSurface, lookWord)
		}
	}
}

// has tells whether a zone's sheet has a column of layers.
func (s *sheet) has(col int) bool { return s.at(rowVolumeHead, col) != nil }

// layLayerReach lays what of a layer lies in a reach; it returns the volume
// outside, nil without one.
func (b *book) layLayerReach(s *sheet, row int, length *cell) *cell {
	if s.has(zoneSurface) {
		sum := add(s.at(row-1, zoneFace).ref(), s.at(row, zoneFace).ref())
		s.put(row, zoneSurface, div(mul(length.ref(), sum), number(2)), figure(formatArea))
	}
	if !s.has(zoneOutsideVolume) {
		return nil
	}
	return s.put(row, zoneOutsideVolume, b.m.between(length.ref(), s.at(row-1, zoneOutside).ref(), s.at(row, zoneOutside).ref()), figure(formatVolume))
}

// layLayerTotals lays the totals of a layer's own columns.
func (b *book) layLayerTotals(k int, s *sheet) {
	m, z := b.m, b.r.Quantities.Zones[k]
	for _, row := range []int{rowSum, rowBends, rowTotal} {
		for col := zoneOutside; col <= zoneSurface; col++ {
			if s.has(col) {
				s.blankRow(row, col, col, total(""))
			}
		}
	}
	if s.has(zoneOutsideVolume) {
		b.zone[k].outside = b.layTotal(s, zoneOutsideVolume, m.volumeOf(z.Outside), formatVolume)
	}
	if s.has(zoneSurface) {
		b.zone[k].surface = b.layTotal(s, zoneSurface, m.areaOf(z.Surface), formatArea)
	}
}

// layLayerShare lays a zone's line in the columns of layers on the sheet Zones;
// it returns the volume outside, nil without one.
func (b *book) layLayerShare(row, k int) *cell {
	s, z := b.zones, &b.zone[k]
	if z.surface != nil {
		s.put(row, totalsSurface, z.surface.ref(), figure(formatArea))
	}
	if z.outside == nil {
		return nil
	}
	return s.put(row, totalsOutside, z.outside.ref(), figure(formatVolume))
}

// layLayerSum lays the dam's own line in the column of what lies outside.
func (b *book) layLayerSum(row, first, last int) {
	for k := range b.zone {
		if b.zone[k].outside != nil {
			b.fill.outside = b.zones.put(row, totalsOutside, span{b.zones, totalsOutside, first, last}.sum(), total(formatVolume))
			return
		}
	}
}
