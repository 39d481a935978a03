package workbook

import (
	"math"

	"github.com/damtally/damtally/earthwork"
)

// A section stands in the same row on the sheets Sections, Volumes and each
// zone's own, so that a formula there reads along one row.
const (
	rowSectionHead = 7
	rowFirst       = 8
)

// Columns of the sheet Sections.
const (
	secStation = iota + 1
	secDistance
	secSide
	secGround
	secStripped
	secCrest
	secBuilt
	secSettled
	secHeight
	secUp
	secDown
	secWidth
	secNeat
	secTrench
	secAddHeight
	secAddToes
	secAddVolume
	secStrip
	secOver
	secBeyond
)

// areaCells are the columns of areas that volumes are made of, by section.
type areaCells struct {
	distance, width, neat, trench, height, toes, volume, strip, over []*cell
}

func (b *book) lastSectionRow() int { return rowFirst - 1 + len(b.r.Quantities.Sections) }

// laySections lays what was drawn; the areas that are sums come later.
func (b *book) laySections() {
	s, m := b.sections, b.m
	s.opening("Sections", secBeyond,
		"The dam cut square to the centreline, in order of station. Areas are those of the neat dam between stripped ground and drawn faces; the trench lies below and stands apart.",
		"Where something steps at a station (a trench's end, a bend) there is a section just before and one just after.",
		"Neat and trench area are the sums of the zones: change an area on a zone's own sheet. Offsets are negative upstream.")
	heads := []string{
		"Station", in("Distance", m.Length), "Side", in("Ground", m.Length), in("Stripped ground", m.Length),
		in("Crest drawn", m.Length), in("Crest built", m.Length), in("Crest settled", m.Length), in("Height", m.Length), in("Upstream toe offset", m.Length),
		in("Downstream toe offset", m.Length), in("Base width", m.Length), in("Neat area", m.Area), in("Trench area", m.Area),
		in("Added on height", m.Area), in("Added, toes kept", m.Area), in("Added on volume", m.Area),
		in("Stripping area", m.Area), in("Overbuild area", m.Area), in("Past a hump, not counted", m.Area),
	}
	s.headings(rowSectionHead, heads...)
	s.line(rowSectionHead-1, secGround, secHeight-secGround+1, "On the centreline", lookHead)
	s.line(rowSectionHead-1, secUp, secWidth-secUp+1, "Toe to toe", lookHead)
	s.line(rowSectionHead-1, secNeat, 2, "In the dam", lookHead)
	s.line(rowSectionHead-1, secAddHeight, 3, "Settlement allowance, three ways", lookHead)
	s.line(rowSectionHead-1, secStrip, 3, "Outside the dam", lookHead)
	for i := range b.r.Quantities.Sections {
		b.laySection(rowFirst+i, &b.r.Quantities.Sections[i])
	}
	s.filters = [2]int{rowSectionHead, s.lastRow()}
	s.heads = [2]int{rowSectionHead - 1, rowSectionHead}
	s.freeze = [2]int{rowSectionHead, 2}
}

var sides = map[earthwork.Place]string{earthwork.Before: "just before", earthwork.After: "just after"}

// snap is the height or width, m, below which a section has none. It guards the
// ends of the dam, where a difference of rounding alone would be a figure that
// no other program repeats.
const snap = 1e-6

// snapped is x, or to where the two differ by rounding alone.
func snapped(x, to float64) float64 {
	if math.Abs(x-to) < snap {
		return to
	}
	return x
}

func (b *book) laySection(row int, sec *earthwork.Section) {
	s, m := b.sections, b.m
	s.put(row, secStation, text(m.Station(sec.Station)), lookWord)
	distance := s.put(row, secDistance, m.lengthOf(sec.Station), figure(formatLength))
	s.put(row, secSide, text(sides[sec.At]), lookWord)
	s.put(row, secGround, m.lengthOf(sec.GroundLevel), figure(formatLength))
	stripped := s.put(row, secStripped, m.lengthOf(sec.StrippedLevel), figure(formatLength))
	crest := s.put(row, secCrest, m.lengthOf(snapped(sec.Crest, sec.StrippedLevel)), figure(formatLength))
	s.put(row, secBuilt, m.lengthOf(sec.BuiltCrest), figure(formatLength))
	s.put(row, secSettled, m.lengthOf(sec.SettledCrest), figure(formatLength))
	s.put(row, secHeight, sub(crest.ref(), stripped.ref()), figure(formatLength))
	up := s.put(row, secUp, m.lengthOf(sec.UpstreamToe), input(formatOffset))
	down := s.put(row, secDown, m.lengthOf(snapped(sec.DownstreamToe, sec.UpstreamToe)), input(formatOffset))
	width := s.put(row, secWidth, sub(down.ref(), up.ref()), figure(formatLength))
	b.areas.distance = append(b.areas.distance, distance)
	b.areas.width = append(b.areas.width, width)
	b.areas.height = append(b.areas.height, s.put(row, secAddHeight, m.areaOf(sec.AddHeight.Area), input(formatArea)))
	b.areas.strip = append(b.areas.strip, s.put(row, secStrip, m.areaOf(sec.Stripping.Area), input(formatArea)))
	b.areas.over = append(b.areas.over, s.put(row, secOver, m.areaOf(sec.Overbuild.Area), input(formatArea)))
	s.put(row, secBeyond, m.areaOf(sec.Beyond), figure(formatArea))
}

// laySectionAreas places the areas that the zones and the allowance make.
func (b *book) laySectionAreas() {
	s, m := b.sections, b.m
	for i := range b.r.Quantities.Sections {
		sec, row := &b.r.Quantities.Sections[i], rowFirst+i
		neat, trench := exprLook{m.areaOf(sec.Neat.Area), input(formatArea)}, exprLook{m.areaOf(sec.Trench.Area), input(formatArea)}
		if len(b.zone) > 0 {
			at := "area at station " + m.Station(sec.Station)
			neat = exprLook{b.live(b.zoneSum(i, zoneNeat), neat.expr, "neat "+at), figure(formatArea)}
			trench = exprLook{b.live(b.zoneSum(i, zoneTrench), trench.expr, "trench "+at), figure(formatArea)}
		}
		neatCell := s.put(row, secNeat, neat.expr, neat.look)
		b.areas.neat = append(b.areas.neat, neatCell)
		b.areas.trench = append(b.areas.trench, s.put(row, secTrench, trench.expr, trench.look))
		added := b.unlessBuilt(mul(b.set.allowance.ref(), neatCell.ref()))
		b.areas.toes = append(b.areas.toes, s.put(row, secAddToes,
			b.live(added, m.areaOf(sec.AddToesKept.Area), "area added with toes kept"), figure(formatArea)))
		b.areas.volume = append(b.areas.volume, s.put(row, secAddVolume,
			b.live(added, m.areaOf(sec.AddVolume.Area), "area added on volume"), figure(formatArea)))
	}
}

// zoneSum adds one column over all zones' sheets in a section's row.
func (b *book) zoneSum(section, col int) expr {
	sum := b.zoneSheets[0].at(rowFirst+section, col).ref()
	for _, s := range b.zoneSheets[1:] {
		sum = add(sum, s.at(rowFirst+section, col).ref())
	}
	return sum
}
