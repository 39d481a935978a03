package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// The parts of a pit's map, points.
const (
	digCell    = 360.0 // least width
	digHead    = 40.0
	digPad     = 12.0
	digNumbers = 30.0 // least distance between written depths
	digClasses = 8    // shades, about
	digDown    = 2    // maps over one another on a sheet
)

// digPlan is one pit's map in the making.
type digPlan struct {
	*Sheet
	d     *set
	pit   *plan.Pit
	room  orb.Bound
	scale float64
	step  float64 // of depth from shade to shade, m
	mid   orb.Point
}

// digs draws how deep each pit is dug for its share, all pits to one scale.
func (d *set) digs() {
	dug, size, deepest := d.dugPits()
	if !(deepest > 0) {
		return
	}
	u := d.system.Length
	step := u.ToSI(niceStep(u.FromSI(deepest) / digClasses))
	room := newSheet("", "", d.paper).room()
	key := d.digKey(step, deepest)
	room.Min[1] += keyPad + keyRow*float64(key[len(key)-1].row+1)
	columns := max(1, min(len(dug), int((room.Max[0]-room.Min[0])/digCell)))
	rows := min(digDown, (len(dug)+columns-1)/columns)
	first := cellOf(room, columns, rows, 0)
	scale := scaleFor(d.system, size, [2]float64{first.Max[0] - first.Min[0] - 2*digPad, first.Max[1] - first.Min[1] - digHead - digPad})
	d.spread("digs", "Depth to dig", len(dug), columns*rows, func(s *Sheet, from, to int) {
		d.scaled(scale.text)
		drawKey(s, key)
		for k, i := range dug[from:to] {
			m := &digPlan{Sheet: s, d: d, pit: &d.r.Pits[i], room: cellOf(room, columns, rows, k), scale: scale.perMetre, step: step, mid: d.r.Plan.Pits[i].Bound().Center()}
			m.draw(orb.LineString(d.r.Plan.Pits[i]))
		}
	})
}

// dugPits are the pits of which anything is dug, how large the largest is both
// ways and how deep the deepest, m.
func (d *set) dugPits() (dug []int, size [2]float64, deepest float64) {
	if d.r.Plan == nil {
		return nil, size, 0
	}
	for i, ring := range d.r.Plan.Pits {
		dig := d.r.Pits[i].Dig
		if dig == nil || len(dig.Map.Depth) == 0 || len(ring) == 0 {
			continue
		}
		dug = append(dug, i)
		b := ring.Bound()
		size = [2]float64{max(size[0], b.Max[0]-b.Min[0]), max(size[1], b.Max[1]-b.Min[1])}
		deepest = max(deepest, dig.Capacity.Deepest)
	}
	return dug, size, deepest
}

// shade is the gray of a class of depth: the deeper, the darker, and never so dark
// that a figure on it cannot be read.
func shade(class int) ink {
	g := uint8(max(150, 247-12*class))
	return ink{g, g, g}
}

// digKey explains the shades and the signs.
func (d *set) digKey(step, deepest float64) []keyEntry {
	u := d.system.Length
	var out []keyEntry
	for k := 0; float64(k)*step < deepest; k++ {
		n := decimalsOf(u.FromSI(step))
		text := in(u, float64(k)*step, n) + " to " + with(u, float64(k+1)*step, n)
		out = append(out, keyEntry{text: text, draw: func(s *Sheet, x, y float64) {
			s.area(shade(k), thin, rectangle(x, y-8, x+keySign, y+2))
		}})
	}
	out = append(out,
		keyEntry{text: "boundary of the pit", draw: func(s *Sheet, x, y float64) { s.line(pitPen, orb.LineString{{x, y - 3}, {x + keySign, y - 3}}) }},
		keyEntry{text: "test hole", draw: func(s *Sheet, x, y float64) { holeSign(s, orb.Point{x + keySign/2, y - 3}) }},
		keyEntry{text: "Depth below the ground for what the dam takes, no reserve in it. The grid's north is up."},
		keyEntry{text: "Stake the floor from its elevation, not from this map."})
	layRows(out, margin+keyPad, d.paper.Width-margin-keyPad)
	return out
}

// holeSign draws the sign of a test hole.
func holeSign(s *Sheet, at orb.Point) {
	s.area(white, thin, circle(at, holeSize))
	s.area(black, pen{}, pie(at, holeSize, 0, 90), pie(at, holeSize, 180, 270))
}

// at is where a point of the job stands on the paper.
func (m *digPlan) at(q orb.Point) orb.Point {
	x := (m.room.Min[0] + m.room.Max[0]) / 2
	y := (m.room.Min[1] + digHead + m.room.Max[1] - digPad) / 2
	return orb.Point{x + (q[0]-m.mid[0])*m.scale, y - (q[1]-m.mid[1])*m.scale}
}

func (m *digPlan) draw(ring orb.LineString) {
	m.title()
	m.shades()
	m.on("pits")
	edge := make(orb.LineString, len(ring))
	for i, q := range ring {
		edge[i] = m.at(q)
	}
	m.guarded(pitPen, edge)
	m.on("borings")
	for _, h := range m.d.r.Plan.Holes {
		if h.Pit == m.pit.Row.Name {
			at := m.at(m.local(h.At))
			holeSign(m.Sheet, at)
			m.guard(rectangle(at[0]-holeSize, at[1]-holeSize, at[0]+holeSize, at[1]+holeSize))
			m.pointed(at, words{text: name(h.Name), size: smallWords, bold: true}, holeSize+1.5, m.room)
		}
	}
	m.numbers()
}

// local turns a point of the site into the job's coordinates.
func (m *digPlan) local(q orb.Point) orb.Point {
	o := m.d.r.Plan.Origin
	return orb.Point{q[0] - o[0], q[1] - o[1]}
}

// title writes the pit's name and how it is dug.
func (m *digPlan) title() {
	m.on("names")
	dig, u := m.pit.Dig, m.d.system
	at := orb.Point{m.room.Min[0] + 12, m.room.Min[1] + 14}
	m.write(words{at: at, text: "Pit " + name(m.pit.Row.Name), size: 10, bold: true})
	floor := "floor at "
	if m.pit.Row.Depth.Given {
		floor = "floor at a depth of "
	}
	text := floor + m.d.length(dig.Floor, 2) + ", up to " + m.d.length(dig.Capacity.Deepest, 1) + " deep, for " + volume(u.Volume, dig.Used, "bank")
	at[1] += 12
	m.write(words{at: at, text: shortened(text, plainWords, false, m.room.Max[0]-at[0]-8), size: plainWords})
}

// class is the shade of a cell, -1 where nothing is dug.
func (m *digPlan) class(col, row int) int {
	g := m.pit.Dig.Map
	if col < 0 || row < 0 || col >= g.Cols || row >= g.Rows {
		return -1
	}
	depth := g.Depth[row*g.Cols+col]
	if !(depth > 0) {
		return -1
	}
	return int(depth / m.step)
}

// corner is the lower left corner of a cell on the paper.
func (m *digPlan) corner(col, row int) orb.Point {
	g := m.pit.Dig.Map
	return m.at(orb.Point{g.Origin[0] + float64(col)*g.Step, g.Origin[1] + float64(row)*g.Step})
}

// shades fills the cells, those of one shade in a row as one, and draws the edges
// between shades.
func (m *digPlan) shades() {
	m.on("depths")
	g := m.pit.Dig.Map
	rings := map[int][]orb.LineString{}
	deepest := 0
	var edges []orb.LineString
	for row := range g.Rows {
		if m.class(0, row) >= 0 {
			edges = append(edges, orb.LineString{m.corner(0, row), m.corner(0, row+1)})
		}
		for from := 0; from < g.Cols; {
			class, to := m.class(from, row), from+1
			for to < g.Cols && m.class(to, row) == class {
				to++
			}
			a, b := m.corner(from, row), m.corner(to, row+1)
			if class >= 0 {
				rings[class] = append(rings[class], rectangle(a[0], b[1], b[0], a[1]))
				deepest = max(deepest, class)
			}
			if to < g.Cols || class >= 0 {
				edges = append(edges, orb.LineString{{b[0], a[1]}, b})
			}
			from = to
		}
	}
	for col := range g.Cols {
		for row := range g.Rows + 1 {
			if m.class(col, row-1) != m.class(col, row) {
				edges = append(edges, orb.LineString{m.corner(col, row), m.corner(col+1, row)})
			}
		}
	}
	for class := 0; class <= deepest; class++ {
		m.area(shade(class), pen{width: seam, ink: shade(class)}, rings[class]...)
	}
	m.guarded(hair, edges...)
}

// seam is the width of the line that closes the joints between cells of one shade,
// points.
const seam = 0.3

// numbers writes depths at places on a grid, where there is room.
func (m *digPlan) numbers() {
	m.on("depths")
	g := m.pit.Dig.Map
	stride := max(1, int(math.Ceil(digNumbers/(g.Step*m.scale))))
	for row := stride / 2; row < g.Rows; row += stride {
		for col := stride / 2; col < g.Cols; col += stride {
			depth := g.Depth[row*g.Cols+col]
			if !(depth > 0) {
				continue
			}
			at := m.at(orb.Point{g.Origin[0] + (float64(col)+0.5)*g.Step, g.Origin[1] + (float64(row)+0.5)*g.Step})
			w := words{at: orb.Point{at[0], at[1] + 2.2}, text: units.Number(m.d.system.Length.FromSI(depth), 1), size: smallWords, anchor: atMiddle}
			if m.free(w, m.room) {
				m.write(w)
			}
		}
	}
}
