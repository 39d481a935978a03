package workbook

// stationCells are the columns of the sheet By station, from the first section
// to the last.
type stationCells struct {
	distance            span
	perLength, together []span // by zone
	all, running        span
}

// Columns of the sheet By station; after the last of them each zone has its
// volume in the reach and its running total.
const (
	byStation = iota + 1
	byDistance
	byLength
	byAll
	byRunning
	byPerLength
	byZones
)

// Rows of the sheet By station; a section stands two rows higher than on the
// sheets of the zones, which have more totals.
const (
	rowStationHead  = 4
	rowStationSum   = 5
	rowStationFirst = 6
)

// layStations lays the zones side by side along the dam: what each reach takes,
// the running totals, and how much there is in one unit of length.
func (b *book) layStations() {
	s, m, c := b.station, b.m, b.m.vol("compacted")
	columns := byZones - 1 + 3*len(b.zone)
	s.opening("By station", min(max(columns, 8), 12),
		"All that is compacted (neat fill, trench backfill, settlement allowance, layers outside), zone by zone along the dam. Bends are left out. Volume in one "+m.Length.Name+" of dam = area"+b.divided()+".")
	heads := []string{"To station", in("Distance", m.Length), in("Length of reach", m.Length), "All zones, " + c, "Running total, " + c, "In one " + m.Length.Name + " of dam, " + c}
	for k := range b.zone {
		z := clip(clean(b.r.Quantities.Zones[k].Zone), 40)
		heads = append(heads, z+", "+c, z+", running total", z+", in one "+m.Length.Name+" of dam")
	}
	s.headings(rowStationHead, heads...)
	for i := range b.r.Quantities.Sections {
		b.layStation(rowStationFirst+i, i)
	}
	last := rowStationFirst - 1 + len(b.r.Quantities.Sections)
	column := func(col int) span { return span{s, col, rowStationFirst, last} }
	s.blankRow(rowStationSum, 1, len(heads), total(""))
	s.put(rowStationSum, byStation, text("Sum"), total(""))
	b.along = stationCells{distance: column(byDistance), all: column(byAll), running: column(byRunning)}
	s.put(rowStationSum, byLength, column(byLength).sum(), total(formatLength))
	s.put(rowStationSum, byAll, b.along.all.sum(), total(formatVolume))
	b.along.perLength = []span{column(byPerLength)}
	b.along.together = []span{column(byRunning)}
	for k := range b.zone {
		col := byZones + 3*k
		s.splits = append(s.splits, col)
		s.put(rowStationSum, col, column(col).sum(), total(formatVolume))
		b.along.together = append(b.along.together, column(col+1))
		b.along.perLength = append(b.along.perLength, column(col+2))
	}
	s.heads = [2]int{rowStationHead, rowStationHead}
	s.freeze = [2]int{rowStationSum, 2}
	s.explainBeside(2, rowStationHead-1, min(max(columns, 8), 12))
	b.stationWay(c)
}

// layStation lays one section and the reach that ends at it.
func (b *book) layStation(row, i int) {
	s, m, there := b.station, b.m, rowFirst+i // its row on the zones' sheets
	s.put(row, byStation, b.sections.at(there, secStation).content, lookWord)
	s.put(row, byDistance, b.areas.distance[i].ref(), figure(formatLength))
	reach := b.fill.length[i] != nil
	s.blankRow(row, byLength, byLength, lookWord)
	if reach {
		s.put(row, byLength, b.fill.length[i].ref(), figure(formatLength))
	}
	var all, per expr
	for k, z := range b.zoneSheets {
		col := byZones + 3*k
		volume := number(0)
		if reach {
			volume = z.at(there, zoneAll).ref()
		}
		v := s.put(row, col, volume, figure(formatVolume))
		running := v.ref()
		if i > 0 {
			running = add(s.at(row-1, col+1).ref(), running)
		}
		s.put(row, col+1, running, figure(formatVolume))
		area := add(add(z.at(there, zoneNeat).ref(), z.at(there, zoneTrench).ref()), z.at(there, zoneAdded).ref())
		if b.hasOutside(k) {
			area = add(area, z.at(there, zoneOutside).ref())
		}
		p := s.put(row, col+2, m.volume(area), figure(formatShort))
		if k == 0 {
			all, per = v.ref(), p.ref()
		} else {
			all, per = add(all, v.ref()), add(per, p.ref())
		}
	}
	if len(b.zoneSheets) == 0 {
		all, per = number(0), number(0)
	}
	v := s.put(row, byAll, all, figure(formatVolume))
	running := v.ref()
	if i > 0 {
		running = add(s.at(row-1, byRunning).ref(), running)
	}
	s.put(row, byRunning, running, figure(formatVolume))
	s.put(row, byPerLength, per, figure(formatShort))
}

// stationWay sets the last running total beside the sums of the zones' sheets.
func (b *book) stationWay(compacted string) {
	if len(b.zoneSheets) == 0 {
		return
	}
	var sum expr
	for k, z := range b.zoneSheets {
		part := b.column(z, zoneAll).sum()
		if k == 0 {
			sum = part
		} else {
			sum = add(sum, part)
		}
	}
	b.bothWays("all that is compacted, without bends", "last running total on the sheet By station, beside the sums of the zones' sheets", compacted, formatVolume,
		b.station.at(b.along.running.to, byRunning).ref(), sum)
}
