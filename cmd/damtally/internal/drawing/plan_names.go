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
		lines := []words{
			{text: name(pit.Row.Name), size: loudWords, bold: true},
		}
		for _, m := range pit.ByMaterial {
			lines = append(lines, words{text: name(m.Material), size: plainWords}, words{text: "holds " + volume(vol, m.Bank, "bank"), size: plainWords})
		}
		p.block(p.onPaper(orb.LineString(r)), lines)
	}
	for i := range p.d.r.Cuts {
		c := &p.d.r.Cuts[i]
		p.block(p.onPaper(p.localRing(c.Row.Ring)), []words{
			{text: name(c.Row.Name), size: loudWords, bold: true},
			{text: "floor " + p.d.level(c.Row.FloorElevation), size: plainWords},
			{text: volume(vol, c.Capacity.Bank, "bank"), size: plainWords},
		})
	}
	for _, c := range p.d.r.Site.Blankets {
		p.block(p.onPaper(p.localRing(c.Ring)), []words{{text: name(c.Name), size: plainWords, bold: true}})
	}
	for _, pool := range p.v.Pools[:min(1, len(p.v.Pools))] { // the legend tells the others
		if ring, ok := largest(pool.Water); ok {
			p.block(p.onPaper(orb.LineString(ring)), []words{
				{text: pool.Name + " " + p.d.length(pool.Level, 2), size: plainWords, ink: water, bold: true},
			})
		}
	}
	for i := range p.d.r.Conduits {
		c := &p.d.r.Conduits[i]
		end := p.at(p.v.Line.Frame(c.Row.Station, false).Plan(c.To))
		p.pointed(end, words{text: name(c.Row.Name), size: smallWords, halo: true}, 5, p.port)
	}
	p.block(p.onPaper(p.crestRing()), []words{{text: "crest " + p.crestText(), size: smallWords}})
	p.sides()
}

// sides writes which side of the dam is which, off its highest section, else off
// another one.
func (p *planSheet) sides() {
	q := &p.d.r.Quantities
	if q.Highest < 0 {
		return
	}
	n := len(q.Sections)
	tried := []int{q.Highest, n / 2, n / 3, 2 * n / 3, n / 4, 3 * n / 4}
	for _, sign := range [2]float64{-1, 1} {
		for _, i := range tried {
			if q.Sections[i].Fill && p.side(&q.Sections[i], sign) {
				break
			}
		}
	}
}

// side writes which side of a section is upstream (sign -1) or downstream (1), off
// its toe, where there is room.
func (p *planSheet) side(c *earthwork.Section, sign float64) bool {
	text, toe := "upstream", c.UpstreamToe
	if sign > 0 {
		text, toe = "downstream", c.DownstreamToe
	}
	f := p.v.Line.Frame(c.Station, c.At == earthwork.After)
	w := words{text: text, size: plainWords, bold: true, ink: dark, anchor: atMiddle, halo: true}
	for k := range 30 {
		at := p.at(f.Plan(toe + sign*(12+4*float64(k))/p.scale.perMetre))
		if p.label(w, p.port, []orb.Point{at, {at[0] + 30, at[1]}, {at[0] - 30, at[1]}}) {
			return true
		}
	}
	return false
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
		p.pointed(p.at(p.local(h.At)), words{text: name(h.Hole), size: smallWords, halo: true}, holeSize+1.5, p.port)
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
		p.pointed(at, words{text: name(h.Name), size: smallWords, halo: true}, 7, p.port)
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
