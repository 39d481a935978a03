package drawing

import (
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/paulmach/orb"
)

// The parts of a test hole's cell, points.
const (
	logCell   = 150.0 // width
	logHead   = 52.0
	logFoot   = 14.0
	logLeft   = 40.0 // from the cell's left to the column
	logColumn = 24.0 // width of the column
	logLeast  = 110.0
)

// logPatterns tell soils apart in black and white; topsoil has its own.
var logPatterns = []pattern{
	{fill: ink{232, 232, 232}, angles: []float64{45}, gap: 3.4, pen: hatchPen},
	{fill: white, angles: []float64{-45}, gap: 6, pen: hatchPen},
	{fill: white, angles: []float64{0}, gap: 3, pen: dottedPen},
	{fill: ink{240, 240, 240}, angles: []float64{30, -30}, gap: 4.5, pen: hatchPen},
	{fill: white, angles: []float64{0}, gap: 2.6, pen: hatchPen},
	{fill: ink{215, 215, 215}, angles: []float64{90}, gap: 3, pen: stonePen},
	{fill: white, angles: []float64{60}, gap: 5, pen: stonePen},
}

var topsoilPattern = pattern{fill: ink{190, 190, 190}, angles: []float64{90}, gap: 2.2, pen: hatchPen}

// topsoilName is the word by which a layer is topsoil.
const topsoilName = "topsoil"

// soilsOfHoles are the soils that the holes show, in the order of the table.
func (d *set) soilsOfHoles() []string {
	var out []string
	for _, h := range d.r.Plan.Holes {
		for _, l := range h.Layers {
			if !slices.Contains(out, l.Material) {
				out = append(out, l.Material)
			}
		}
	}
	return out
}

// soilPattern is how a soil is filled in logs.
func (d *set) soilPattern(material string) pattern {
	if material == topsoilName {
		return topsoilPattern
	}
	others := slices.DeleteFunc(d.soilsOfHoles(), func(m string) bool { return m == topsoilName })
	n := slices.Index(others, material)
	p := logPatterns[n%len(logPatterns)]
	p.gap *= 1 + 0.5*float64(n/len(logPatterns))
	return p
}

// logs draws the sheets of test holes: what each shows from the ground down, all to
// one scale.
func (d *set) logs() {
	if d.r.Plan == nil || len(d.r.Plan.Holes) == 0 {
		return
	}
	holes := d.r.Plan.Holes
	deepest := 0.0
	for _, h := range holes {
		deepest = max(deepest, h.Layers[len(h.Layers)-1].To)
	}
	room := newSheet("", "", d.paper).room()
	key := d.logKey()
	room.Min[1] += keyPad + keyRow*float64(key[len(key)-1].row+1)
	wide, tall := room.Max[0]-room.Min[0], room.Max[1]-room.Min[1]
	columns := max(1, int(wide/logCell))
	rows := max(1, min((len(holes)+columns-1)/columns, int(tall/(logLeast+logHead+logFoot))))
	scale := scaleUnder(d.system, (tall/float64(rows)-logHead-logFoot)/deepest)
	d.spread("holes", "Test holes", len(holes), columns*rows, func(s *Sheet, from, to int) {
		d.scaled(scale.text + ", down")
		drawKey(s, key)
		for i := range holes[from:to] {
			d.log(s, &holes[from+i], cellOf(room, columns, rows, i), scale.perMetre)
		}
	})
}

// logKey explains the soils.
func (d *set) logKey() []keyEntry {
	var out []keyEntry
	for _, m := range d.soilsOfHoles() {
		out = append(out, keyEntry{text: name(m), draw: func(s *Sheet, x, y float64) {
			ring := rectangle(x, y-8, x+keySign, y+2)
			s.fillWith(d.soilPattern(m), []orb.LineString{ring})
			s.outline(thin, ring)
		}})
	}
	out = append(out,
		keyEntry{text: "water seen", draw: func(s *Sheet, x, y float64) { s.area(water, pen{}, waterSign(orb.Point{x + keySign/2, y + 1})) }},
		keyEntry{text: "Depths on the left, elevations on the right, in " + d.system.Length.Name + "."},
		keyEntry{text: "What lies between holes and below them is not known."})
	layRows(out, margin+keyPad, d.paper.Width-margin-keyPad)
	return out
}

// waterSign is a triangle that stands on a level with its point.
func waterSign(at orb.Point) orb.LineString {
	return orb.LineString{at, {at[0] - 4, at[1] - 7}, {at[0] + 4, at[1] - 7}, at}
}

// log draws one hole in a cell.
func (d *set) log(s *Sheet, h *plan.HoleView, cell orb.Bound, scale float64) {
	left, top := cell.Min[0]+logLeft, cell.Min[1]+logHead
	d.logTitle(s, h, cell)
	s.on("holes")
	for i, l := range h.Layers {
		y0, y1 := top+l.From*scale, top+l.To*scale
		ring := rectangle(left, y0, left+logColumn, y1)
		s.fillWith(d.soilPattern(l.Material), []orb.LineString{ring})
		s.outline(thin, ring)
		d.logDepth(s, h, l.From, left, y0, cell)
		if i == len(h.Layers)-1 {
			d.logDepth(s, h, l.To, left, y1, cell)
		}
		d.logName(s, h, l, orb.Point{left + logColumn + 4, (y0+y1)/2 + 2.5}, cell)
	}
	if h.Water.Given {
		s.area(water, pen{}, waterSign(orb.Point{left + logColumn/2, top + h.Water.Value*scale}))
	}
}

// logTitle writes what hole it is, where it stands and what water was seen.
func (d *set) logTitle(s *Sheet, h *plan.HoleView, cell orb.Bound) {
	s.on("names")
	room := logCell - 16
	write := func(row int, text string, size float64, bold bool) {
		s.write(words{at: orb.Point{cell.Min[0] + 10, cell.Min[1] + 10 + 10*float64(row)}, text: shortened(text, size, bold, room), size: size, bold: bold})
	}
	write(0, name(h.Name), loudWords, true)
	where := name(h.Pit)
	switch {
	case h.Pit == "" && math.IsNaN(h.Station):
		where = "beside the dam"
	case h.Pit == "":
		where = "under the dam, station " + d.system.Station(h.Station)
	}
	write(1, where, smallWords, false)
	ground := "elevation not known"
	if !math.IsNaN(h.Ground) {
		ground = "ground " + d.length(h.Ground, 2)
	}
	write(2, ground, smallWords, false)
	if h.Water.Given {
		seen := "water seen " + d.length(h.Water.Value, 1) + " deep"
		if h.WaterDate != "" {
			seen += ", " + h.WaterDate
		}
		write(3, seen, smallWords, false)
	}
}

// logDepth writes the depth of a layer's edge and its elevation, where there is
// room for them.
func (d *set) logDepth(s *Sheet, h *plan.HoleView, depth, left, y float64, cell orb.Bound) {
	put := func(w words) {
		if s.free(w, cell) {
			s.write(w)
		}
	}
	put(words{at: orb.Point{left - 3, y + 2.2}, text: in(d.system.Length, depth, 1), size: 6, anchor: atEnd})
	if !math.IsNaN(h.Ground) {
		put(words{at: orb.Point{left + logColumn + 3, y + 2.2}, text: in(d.system.Length, h.Ground-depth, 1), size: 6, ink: dark})
	}
}

// logName writes a layer's soil beside it, beyond the elevations where these stand
// too close.
func (d *set) logName(s *Sheet, h *plan.HoleView, l site.Boring, at orb.Point, cell orb.Bound) {
	text := name(l.Material)
	if h.Pit != "" && l.Usable == "no" && l.Material != topsoilName {
		text += ", waste"
	}
	for _, beyond := range []float64{0, logLevels} {
		w := words{at: orb.Point{at[0] + beyond, at[1]}, size: smallWords}
		w.text = shortened(text, smallWords, false, cell.Max[0]-w.at[0]-6)
		if s.free(w, cell) {
			s.write(w)
			return
		}
	}
}

// logLevels is how wide the elevations beside a column are, points.
const logLevels = 26.0
