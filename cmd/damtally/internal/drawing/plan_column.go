package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// gridEvery is about how far apart the crosses of the grid stand, points.
const gridEvery = 130.0

// atEdge is how near the window's edge no cross is drawn: a tick stands there.
const atEdge = 42.0

// grid draws crosses at round coordinates of the site and writes those at the
// window's edge.
func (p *planSheet) grid() {
	p.on("grid")
	unit := p.d.system.Length
	step := unit.ToSI(niceStep(unit.FromSI(gridEvery / p.scale.perMetre)))
	shown := p.shown()
	low := [2]float64{math.Ceil((shown.Min[0] + p.v.Origin[0]) / step), math.Ceil((shown.Min[1] + p.v.Origin[1]) / step)}
	var crosses []orb.LineString
	for i := low[0]; i*step-p.v.Origin[0] < shown.Max[0]; i++ {
		x := p.at(orb.Point{i*step - p.v.Origin[0], shown.Min[1]})[0]
		for k := low[1]; k*step-p.v.Origin[1] < shown.Max[1]; k++ {
			y := p.at(orb.Point{0, k*step - p.v.Origin[1]})[1]
			if p.port.Pad(-atEdge).Contains(orb.Point{x, y}) {
				crosses = append(crosses, orb.LineString{{x - 3, y}, {x + 3, y}}, orb.LineString{{x, y - 3}, {x, y + 3}})
			}
		}
		crosses = append(crosses, orb.LineString{{x, p.port.Max[1] - 5}, {x, p.port.Max[1]}})
		w := words{text: "x " + in(unit, i*step, 0), size: 6, ink: dark, anchor: atMiddle, halo: true}
		p.label(w, p.port.Pad(-1), []orb.Point{{x, p.port.Max[1] - 7}})
	}
	for k := low[1]; k*step-p.v.Origin[1] < shown.Max[1]; k++ {
		y := p.at(orb.Point{0, k*step - p.v.Origin[1]})[1]
		crosses = append(crosses, orb.LineString{{p.port.Min[0], y}, {p.port.Min[0] + 5, y}})
		w := words{text: "y " + in(unit, k*step, 0), size: 6, ink: dark, halo: true}
		p.label(w, p.port.Pad(-1), []orb.Point{{p.port.Min[0] + 7, y + 2}})
	}
	p.line(pen{width: 0.4, ink: middle}, crosses...)
	p.legend("Grid of the site, "+unit.Name, func(s *Sheet, from, to orb.Point) {
		c := between(from, to, 0.5)
		s.line(pen{width: 0.4, ink: middle}, orb.LineString{{c[0] - 3, c[1]}, {c[0] + 3, c[1]}}, orb.LineString{{c[0], c[1] - 3}, {c[0], c[1] + 3}})
	})
}

// column draws what stands beside the plan: north, scale bar, legend and figures.
func (p *planSheet) column(room orb.Bound) {
	p.on("legend")
	left, right := p.port.Max[0], room.Max[0]
	p.line(medium, orb.LineString{{left, room.Min[1]}, {left, room.Max[1]}})
	y := p.north(orb.Point{(left + right) / 2, room.Min[1] + 12})
	y = p.scaleBar(left+12, right-12, y+16)
	y += 22
	p.write(words{at: orb.Point{left + 10, y}, text: "Legend", size: loudWords, bold: true})
	for _, e := range p.styles {
		lines := wrapped(e.text, smallWords, false, right-left-54)
		if y+8+float64(len(lines))*9 > room.Max[1]-6 {
			break
		}
		y += 14
		e.draw(p.Sheet, orb.Point{left + 10, y - 2.5}, orb.Point{left + 40, y - 2.5})
		for i, t := range lines {
			if i > 0 {
				y += 8.5
			}
			p.write(words{at: orb.Point{left + 46, y}, text: t, size: smallWords})
		}
	}
	p.figures(left+10, right-8, y+24, room.Max[1]-6)
}

// north draws an arrow to the grid's north, which is up.
func (p *planSheet) north(top orb.Point) float64 {
	x, y := top[0], top[1]
	p.area(black, thin, orb.LineString{{x, y}, {x, y + 34}, {x - 9, y + 42}, {x, y}})
	p.area(white, thin, orb.LineString{{x, y}, {x, y + 34}, {x + 9, y + 42}, {x, y}})
	p.write(words{at: orb.Point{x, y + 56}, text: "N", size: 13, bold: true, anchor: atMiddle})
	p.write(words{at: orb.Point{x, y + 66}, text: "of the site's grid (y)", size: smallWords, anchor: atMiddle})
	return y + 66
}

// barParts is into how many parts a scale bar is divided.
const barParts = 4

// scaleBar draws a bar of round length under which the distances stand.
func (p *planSheet) scaleBar(left, right, y float64) float64 {
	unit := p.d.system.Length
	most := unit.FromSI((right - left - 14) / p.scale.perMetre / barParts)
	part := niceStep(most)
	for part > most { // the round number of at most, not of at least
		part = niceStep(part / 2.5)
	}
	wide := unit.ToSI(part) * p.scale.perMetre
	x0 := (left + right - barParts*wide) / 2
	for k := range barParts {
		fill := black
		if k%2 == 1 {
			fill = white
		}
		p.area(fill, thin, rectangle(x0+float64(k)*wide, y, x0+float64(k+1)*wide, y+5))
	}
	for k := 0; k <= barParts; k += 2 {
		text := units.Number(part*float64(k), decimalsOf(part))
		if k == barParts {
			text += " " + unit.Name
		}
		p.write(words{at: orb.Point{x0 + float64(k)*wide, y + 14}, text: text, size: smallWords, anchor: atMiddle})
	}
	p.write(words{at: orb.Point{(left + right) / 2, y + 26}, text: "Scale " + p.scale.text, size: plainWords, bold: true, anchor: atMiddle})
	return y + 26
}

// figures writes the dam's chief figures, as far as there is room.
func (p *planSheet) figures(left, right, y, bottom float64) {
	q, u := &p.d.r.Quantities, p.d.system
	rows := [][2]string{
		{"Fill, neat", volume(u.Volume, q.Fill.EndArea+q.Fill.Bend, "compacted")},
		{"Cutoff trench", volume(u.Volume, q.Trench, "compacted")},
		{"Settlement allowance", volume(u.Volume, q.Settlement, "compacted")},
	}
	if q.Outside > 0 {
		rows = append(rows, [2]string{"Outside the outline", volume(u.Volume, q.Outside, "compacted")})
	}
	rows = append(rows, [2]string{"In all", volume(u.Volume, q.Total, "compacted")},
		[2]string{"Footprint", with(u.LandArea, q.Footprint, 2)})
	if y+float64(len(rows))*20+12 > bottom {
		return
	}
	p.write(words{at: orb.Point{left, y}, text: "Quantities", size: loudWords, bold: true})
	for _, r := range rows {
		y += 11
		p.write(words{at: orb.Point{left, y}, text: r[0], size: smallWords})
		y += 8.5
		p.write(words{at: orb.Point{left + 8, y}, text: shortened(r[1], smallWords, true, right-left-8), size: smallWords, bold: true})
	}
}
