package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// names writes what the areas on the plan are.
func (p *planSheet) names() {
	p.on("names")
	vol := p.d.system.Volume
	for i, r := range p.v.Pits {
		pit := &p.d.r.Pits[i]
		p.block(p.onPaper(orb.LineString(r)), []words{
			{text: clean(pit.Row.Name), size: loudWords, bold: true},
			{text: clean(pit.Row.Material), size: plainWords},
			{text: "holds " + volume(vol, pit.Capacity.Bank, "bank"), size: plainWords},
		})
	}
	for i := range p.d.r.Cuts {
		c := &p.d.r.Cuts[i]
		p.block(p.onPaper(p.localRing(c.Row.Ring)), []words{
			{text: clean(c.Row.Name), size: loudWords, bold: true},
			{text: "floor " + p.d.level(c.Row.FloorElevation), size: plainWords},
			{text: volume(vol, c.Capacity.Bank, "bank"), size: plainWords},
		})
	}
	for _, c := range p.d.r.Site.Blankets {
		p.block(p.onPaper(p.localRing(c.Ring)), []words{{text: clean(c.Name), size: plainWords, bold: true}})
	}
	for _, pool := range p.v.Pools[:min(1, len(p.v.Pools))] { // the legend tells the others
		if ring, ok := largest(pool.Water); ok {
			p.block(p.onPaper(orb.LineString(ring)), []words{
				{text: pool.Name + " " + p.d.length(pool.Level, 2), size: plainWords, ink: water, bold: true},
			})
		}
	}
	p.block(p.onPaper(p.crestRing()), []words{{text: "crest " + p.crestText(), size: smallWords}})
	p.sides()
}

// sides writes which side of the dam is which, off its highest section.
func (p *planSheet) sides() {
	q := &p.d.r.Quantities
	if q.Highest < 0 {
		return
	}
	c := &q.Sections[q.Highest]
	f := p.v.Line.Frame(c.Station, c.At == earthwork.After)
	for _, side := range []struct {
		text string
		toe  float64
		sign float64
	}{{"upstream", c.UpstreamToe, -1}, {"downstream", c.DownstreamToe, 1}} {
		w := words{text: side.text, size: plainWords, bold: true, ink: dark, anchor: atMiddle, halo: true}
		for k := range 30 {
			at := p.at(f.Plan(side.toe + side.sign*(12+4*float64(k))/p.scale.perMetre))
			if p.label(w, p.port, []orb.Point{at, {at[0] + 30, at[1]}, {at[0] - 30, at[1]}}) {
				break
			}
		}
	}
}

// crestText is the crest's level, or both ends of its range.
func (p *planSheet) crestText() string {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range p.d.r.Design.Crest {
		low, high = min(low, c.Elevation), max(high, c.Elevation)
	}
	if low == high {
		return p.d.length(low, 2)
	}
	return p.d.level(low) + " to " + p.d.length(high, 2)
}

// crestRing is the crest in plan; empty where there is none.
func (p *planSheet) crestRing() orb.LineString {
	if len(p.v.CrestUpstream) == 0 || len(p.v.CrestDownstream) == 0 {
		return nil
	}
	ring := append(orb.LineString(nil), p.v.CrestUpstream[0]...)
	down := p.v.CrestDownstream[0]
	for i := len(down) - 1; i >= 0; i-- {
		ring = append(ring, down[i])
	}
	return append(ring, ring[0])
}

// onPaper turns a ring of the job into one on the paper, cut off at the window.
func (p *planSheet) onPaper(r orb.LineString) orb.LineString {
	rings := p.filledArea(orb.Ring(r))
	if len(rings) == 0 {
		return nil
	}
	return rings[0]
}

// block writes lines under one another in a ring, else by it with a leader.
func (p *planSheet) block(ring orb.LineString, lines []words) {
	if len(ring) < 4 {
		return
	}
	middle := ringMiddle(ring)
	height := 0.0
	for _, w := range lines {
		height += 1.25 * w.size
	}
	before := len(p.taken)
	for _, at := range spiral(middle, 5, 50) {
		if p.blockAt(orb.Point{at[0], at[1] - height/2}, lines) {
			if !planar.RingContains(orb.Ring(ring), at) {
				p.leader(middle, p.taken[before:])
			}
			return
		}
	}
}

// blockAt writes lines under one another from a point down, if all of them stand
// clear there.
func (p *planSheet) blockAt(at orb.Point, lines []words) bool {
	set := make([]words, 0, len(lines))
	y := at[1]
	for _, w := range lines {
		if w.text == "" {
			continue
		}
		y += 1.1 * w.size
		w.at, w.anchor, w.halo = orb.Point{at[0], y}, atMiddle, true
		if !p.free(w, p.port) {
			return false
		}
		set = append(set, w)
		y += 0.15 * w.size
	}
	for _, w := range set {
		p.write(w)
	}
	return true
}

// spiral lists points farther and farther from one: rings of them a step apart.
func spiral(at orb.Point, step float64, rings int) []orb.Point {
	out := []orb.Point{at}
	for k := 1; k <= rings; k++ {
		n := 8
		if k > 4 {
			n = 16
		}
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			out = append(out, orb.Point{at[0] + float64(k)*step*cos, at[1] + float64(k)*step*sin})
		}
	}
	return out
}

// borings draws the test holes and heaps with their names.
func (p *planSheet) borings() {
	p.on("borings")
	holes := firstRows(p.d.r.Site.Borings)
	for _, h := range holes {
		at := p.at(p.local(h.At))
		p.area(white, thin, circle(at, holeSize))
		p.area(black, pen{}, pie(at, holeSize, 0, 90), pie(at, holeSize, 180, 270))
		p.guard(rectangle(at[0]-holeSize, at[1]-holeSize, at[0]+holeSize, at[1]+holeSize))
		p.legend("Test hole", func(s *Sheet, from, to orb.Point) {
			c := between(from, to, 0.5)
			s.area(white, thin, circle(c, holeSize))
			s.area(black, pen{}, pie(c, holeSize, 0, 90), pie(c, holeSize, 180, 270))
		})
	}
	for _, h := range holes {
		p.pointed(p.at(p.local(h.At)), words{text: clean(h.Hole), size: smallWords, halo: true}, holeSize+1.5, p.port)
	}
	for _, h := range p.d.r.Site.Stockpiles {
		at := p.at(p.local(h.At))
		heap := orb.LineString{{at[0] - 5, at[1] + 3}, {at[0], at[1] - 5}, {at[0] + 5, at[1] + 3}, {at[0] - 5, at[1] + 3}}
		p.area(pale, thin, heap)
		p.guard(heap)
		p.legend("Stockpile", func(s *Sheet, from, to orb.Point) {
			c := between(from, to, 0.5)
			s.area(pale, thin, orb.LineString{{c[0] - 5, c[1] + 3}, {c[0], c[1] - 5}, {c[0] + 5, c[1] + 3}, {c[0] - 5, c[1] + 3}})
		})
		p.pointed(at, words{text: clean(h.Name), size: smallWords, halo: true}, 7, p.port)
	}
}

// holeSize is the radius of a test hole's sign, points.
const holeSize = 3.2

// pie is a part of a disc.
func pie(at orb.Point, radius, from, to float64) orb.LineString {
	return append(append(orb.LineString{at}, arc(at, radius, from, to)...), at)
}

// firstRows are the first rows of each hole: a hole has a row for each layer.
func firstRows(rows []site.Boring) []site.Boring {
	seen := map[string]bool{}
	var out []site.Boring
	for _, r := range rows {
		if !seen[r.Hole] {
			seen[r.Hole] = true
			out = append(out, r)
		}
	}
	return out
}

// hauls draws the way from each pit to the dam: a straight line, since the tables
// give a road's length and not its course.
func (p *planSheet) hauls() {
	p.on("hauls")
	if len(p.v.Stations) == 0 {
		return
	}
	for i, r := range p.v.Pits {
		row := &p.d.r.Pits[i].Row
		from := ringMiddle(orb.LineString(r))
		if row.HaulFromX.Given && row.HaulFromY.Given {
			from = p.local(orb.Point{row.HaulFromX.Value, row.HaulFromY.Value})
		}
		to, text := p.haulEnd(row.Name)
		l := p.drawn(orb.LineString{lastCrossing(orb.LineString(r), from, to), to})
		p.line(haulPen, l...)
		p.guard(l...)
		p.legend("Haul, drawn straight to the dam", lineOf(haulPen))
		if text == "" || len(l) == 0 {
			continue
		}
		p.besideLine(l[0], words{text: text, size: smallWords, anchor: atMiddle, halo: true})
	}
}

// lastCrossing is where the way from a to b leaves a ring for good; a where it does
// not cross it.
func lastCrossing(ring orb.LineString, a, b orb.Point) orb.Point {
	last := 0.0
	for i := 1; i < len(ring); i++ {
		p, q := ring[i-1], ring[i]
		ux, uy, vx, vy := b[0]-a[0], b[1]-a[1], q[0]-p[0], q[1]-p[1]
		cross := ux*vy - uy*vx
		if cross == 0 {
			continue
		}
		t := ((p[0]-a[0])*vy - (p[1]-a[1])*vx) / cross
		s := ((p[0]-a[0])*uy - (p[1]-a[1])*ux) / cross
		if s >= 0 && s <= 1 && t > last && t <= 1 {
			last = t
		}
	}
	return between(a, b, last)
}

// haulEnd is where the haul of a pit meets the dam, and what the table of roads
// says of it.
func (p *planSheet) haulEnd(pit string) (orb.Point, string) {
	line := p.v.Line
	station := (line.Start() + line.End()) / 2
	for _, h := range p.d.r.Site.Hauls {
		if h.Pit != pit {
			continue
		}
		if h.FromStation.Given && h.ToStation.Given {
			station = (h.FromStation.Value + h.ToStation.Value) / 2
		}
		return line.Frame(station, false).At, "haul " + p.d.length(h.Length, 0)
	}
	return line.Frame(station, false).At, ""
}

// besideLine writes words along a straight line, beside it.
func (p *planSheet) besideLine(l orb.LineString, w words) {
	a, b := l[0], l[len(l)-1]
	w.angle = upright(math.Atan2(a[1]-b[1], b[0]-a[0]) * 180 / math.Pi)
	sin, cos := math.Sincos(w.angle * math.Pi / 180)
	for _, t := range []float64{0.4, 0.5, 0.3, 0.6, 0.25, 0.7, 0.2, 0.8} {
		m := between(a, b, t)
		for _, up := range []float64{4, -4 - w.size} {
			w.at = orb.Point{m[0] - sin*up, m[1] - cos*up}
			if p.free(w, p.port) {
				p.write(w)
				return
			}
		}
	}
}
