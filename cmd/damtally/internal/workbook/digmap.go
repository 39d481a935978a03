package workbook

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/paulmach/orb"
)

// digColumns is the most columns that a map of a pit has: as many as a page's
// width holds and the eye follows.
const digColumns = 14

// layDigMaps lays, pit by pit, the depth to dig on a grid of places, and how far
// each place is from a test hole.
func (b *book) layDigMaps() {
	s := b.digMap
	if b.r.Plan == nil {
		return
	}
	row := 0
	for i := range b.r.Pits {
		p := &b.r.Pits[i]
		if p.Dig == nil || len(p.Dig.Map.Depth) == 0 {
			continue
		}
		if row == 0 {
			row = s.opening("Depth to dig", digColumns+1,
				"Depth below the ground at places on a grid, in "+b.m.Length.Name+", dug for the share of the dam and no deeper. Columns are x, rows are y, in the coordinates of the site; a blank place is not dug.",
				"Stake the floor from its elevation on the sheet How deep, not from this map. The second map of a pit says how far each place is from the nearest test hole: the farther, the less is known.") + 1
		}
		row = b.layDigMap(row, p)
	}
}

// layDigMap lays the maps of one pit and returns the row after them.
func (b *book) layDigMap(row int, p *plan.Pit) int {
	name := clean(p.Row.Name)
	depths := func(at orb.Point, depth float64) float64 { return depth }
	row = b.layGrid(row, "Pit "+name+": depth to dig ("+b.m.Length.Name+")", p, formatDig, depths)
	if p.Strata == nil {
		return row
	}
	return b.layGrid(row, "Pit "+name+": distance to the nearest test hole ("+b.m.Length.Name+")", p, formatAway, func(at orb.Point, _ float64) float64 {
		near := math.Inf(1)
		for _, h := range p.Strata.Holes {
			near = min(near, math.Hypot(h.At[0]-at[0], h.At[1]-at[1]))
		}
		return near
	})
}

// Number formats of the maps: a tenth of a depth, whole distances.
const (
	formatDig  = "0.0"
	formatAway = "0"
)

// layGrid lays one map: what value says of the places that are dug.
func (b *book) layGrid(row int, title string, p *plan.Pit, format string, value func(at orb.Point, depth float64) float64) int {
	s, m, g := b.digMap, b.m, p.Dig.Map
	stride := (max(g.Cols, g.Rows) + digColumns - 1) / digColumns
	place := func(k int) float64 { return (float64(k) + 0.5) * g.Step }
	s.line(row, 1, digColumns+1, title, lookPart)
	row++
	s.put(row, 1, text("y \\ x"), lookHead)
	col := 1
	for k := stride / 2; k < g.Cols; k += stride {
		col++
		s.put(row, col, text(wholeWords(m.Length.FromSI(g.Origin[0]+place(k)+b.r.Plan.Origin[0]))), lookHead)
	}
	top := stride/2 + (g.Rows-1-stride/2)/stride*stride
	for r := top; r >= 0; r -= stride { // north is up
		row++
		s.put(row, 1, text(wholeWords(m.Length.FromSI(g.Origin[1]+place(r)+b.r.Plan.Origin[1]))), lookHead)
		col = 1
		for k := stride / 2; k < g.Cols; k += stride {
			col++
			depth := g.Depth[r*g.Cols+k]
			if math.IsNaN(depth) {
				continue
			}
			at := orb.Point{g.Origin[0] + place(k), g.Origin[1] + place(r)}
			s.put(row, col, m.lengthOf(value(at, depth)), figure(format))
		}
	}
	return row + 2
}

// wholeWords writes a coordinate as a whole number.
func wholeWords(v float64) string { return itoa(int(math.Round(v))) }
