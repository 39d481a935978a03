package drawing

import (
	"math"

	"github.com/paulmach/orb"
)

// The pens of the plan.
var (
	toePen     = pen{width: 1.3, ink: black}
	crestPen   = pen{width: 1.1, ink: black}
	breakPen   = pen{width: 0.7, ink: black}
	tickPen    = pen{width: 0.4, ink: dark}
	trenchPen  = pen{width: 0.7, ink: dark, dash: []float64{4, 2}}
	pitPen     = pen{width: 1.3, ink: black, dash: []float64{9, 2.5, 2, 2.5, 2, 2.5}}
	cutPen     = pen{width: 1.1, ink: black, dash: []float64{7, 3}}
	blanketPen = pen{width: 0.9, ink: black, dash: []float64{2, 2}}
	pipePen    = pen{width: 2, ink: dark}
	haulPen    = pen{width: 1, ink: dark, dash: []float64{6, 2, 6, 5}}
	shorePen   = pen{width: 1, ink: water}
	shorePen2  = pen{width: 0.8, ink: water, dash: []float64{6, 2.5}}
)

// pools draws the water.
func (p *planSheet) pools() {
	p.on("water")
	for i, pool := range p.v.Pools {
		n := shorePen
		if i > 0 {
			n = shorePen2
		}
		var rings []orb.Ring
		var lines []orb.LineString
		for _, polygon := range pool.Water {
			for _, r := range polygon {
				rings, lines = append(rings, r), append(lines, orb.LineString(r))
			}
		}
		if i == 0 {
			p.area(shoal, pen{}, p.filledArea(rings...)...)
		}
		p.line(n, p.drawn(append(lines, pool.Open...)...)...)
		p.legend(capital(pool.Name)+" "+p.d.length(pool.Level, 2), lineOf(n))
	}
}

// dam draws footprint, crest, benches, slopes, toes and trench.
func (p *planSheet) dam() {
	p.on("dam")
	v := p.v
	p.slopes()
	p.guarded(toePen, p.drawn(v.UpstreamToe...)...)
	p.guarded(toePen, p.drawn(v.DownstreamToe...)...)
	p.legend("Toe of the neat dam", lineOf(toePen))
	p.guarded(crestPen, p.drawn(v.CrestUpstream...)...)
	p.guarded(crestPen, p.drawn(v.CrestDownstream...)...)
	p.legend("Edge of the crest", lineOf(crestPen))
	if len(v.Breaks) > 0 {
		p.guarded(breakPen, p.drawn(v.Breaks...)...)
		p.legend("Bench or change of slope", lineOf(breakPen))
	}
	p.legend("Slope, ticks from its top", func(s *Sheet, from, to orb.Point) {
		y := from[1] - 4
		s.line(breakPen, orb.LineString{{from[0], y}, {to[0], y}})
		for k := range 7 {
			x := from[0] + (to[0]-from[0])*(float64(k)+0.5)/7
			s.line(tickPen, orb.LineString{{x, y}, {x, y + []float64{8, 4}[k%2]}})
		}
	})
	var trench []orb.LineString
	for _, r := range v.TrenchTop {
		trench = append(trench, orb.LineString(r))
	}
	if len(trench) > 0 {
		p.line(trenchPen, p.drawn(trench...)...)
		p.line(pen{width: 0.4, ink: dark, dash: []float64{1.5, 1.5}}, p.drawn(v.TrenchBottom...)...)
		p.legend("Cutoff trench, top and bottom", func(s *Sheet, from, to orb.Point) {
			s.line(trenchPen, orb.LineString{{from[0], from[1] - 2}, {to[0], to[1] - 2}})
			s.line(pen{width: 0.4, ink: dark, dash: []float64{1.5, 1.5}}, orb.LineString{{from[0], from[1] + 2}, {to[0], to[1] + 2}})
		})
	}
}

// tickEvery is how far apart the ticks of a slope stand, points.
const tickEvery = 5.0

// pipes draws the conduits through the dam.
func (p *planSheet) pipes() {
	p.on("conduits")
	for i := range p.d.r.Conduits {
		c := &p.d.r.Conduits[i]
		f := p.v.Line.Frame(c.Row.Station, false)
		p.guarded(pipePen, p.drawn(orb.LineString{f.Plan(c.From), f.Plan(c.To)})...)
		p.legend("Pipe through the dam", lineOf(pipePen))
	}
}

// slopes draws ticks from the top of each slope down, long and short by turns.
func (p *planSheet) slopes() {
	sections := p.d.r.Quantities.Sections
	var ticks []orb.LineString
	long := false
	next := math.Inf(-1)
	step := tickEvery / p.scale.perMetre
	for i := 1; i < len(sections); i++ {
		a, b := &sections[i-1], &sections[i]
		if !a.Fill || !b.Fill || !(b.Station > a.Station) {
			continue
		}
		next = max(next, a.Station)
		for ; next < b.Station; next += step {
			long = !long
			f := (next - a.Station) / (b.Station - a.Station)
			for _, slope := range slopesBetween(a, b, f) {
				if l, ok := p.tick(next, slope, long); ok {
					ticks = append(ticks, l)
				}
			}
		}
	}
	p.line(tickPen, p.drawn(ticks...)...)
}

// The share of a slope that a long and a short tick run down.
const (
	longTick  = 0.55
	shortTick = 0.28
)

// tick is a tick at a station down a slope given by the offsets of its top and its
// foot. There is none near a bend, where sections overlap.
func (p *planSheet) tick(station float64, slope [2]float64, long bool) (orb.LineString, bool) {
	for _, b := range p.v.Line.Bends() {
		if math.Abs(station-b.Station) < math.Abs(slope[1]*math.Tan(b.Turn/2)) && slope[1]*b.Turn < 0 {
			return nil, false
		}
	}
	share := shortTick
	if long {
		share = longTick
	}
	f := p.v.Line.Frame(station, true)
	return orb.LineString{f.Plan(slope[0]), f.Plan(slope[0] + share*(slope[1]-slope[0]))}, true
}

// pits draws the boundaries of the pits.
func (p *planSheet) pits() {
	p.on("pits")
	for _, r := range p.v.Pits {
		p.guarded(pitPen, p.drawn(orb.LineString(r))...)
		p.legend("Borrow pit", lineOf(pitPen))
	}
}

// cuts draws required excavations and linings.
func (p *planSheet) cuts() {
	p.on("cuts")
	for _, c := range p.d.r.Site.Cuts {
		p.guarded(cutPen, p.drawn(p.localRing(c.Ring))...)
		p.legend("Required excavation", lineOf(cutPen))
	}
	for _, c := range p.d.r.Site.Blankets {
		p.guarded(blanketPen, p.drawn(p.localRing(c.Ring))...)
		p.legend("Lining of the lake bed", lineOf(blanketPen))
	}
}

func (p *planSheet) localRing(r orb.Ring) orb.LineString {
	out := make(orb.LineString, len(r))
	for i, q := range r {
		out[i] = p.local(q)
	}
	return out
}

// centreline draws the centreline with a tick and its station at round distances.
func (p *planSheet) centreline() {
	p.on("centreline")
	p.guarded(chainPen, p.drawn(p.v.Centreline)...)
	p.legend("Centreline with stations", lineOf(chainPen))
	line, unit := p.v.Line, p.d.system.Length
	step := unit.ToSI(niceStep(unit.FromSI(stationEvery / p.scale.perMetre)))
	p.station(line.Start())
	for k := math.Ceil(line.Start()/step + 0.3); k*step < line.End()-0.3*step; k++ {
		p.station(k * step)
	}
	p.station(line.End())
}

// stationEvery is about how far apart the stations of a centreline are written,
// points.
const stationEvery = 42.0

// station draws a tick at a station and writes it where there is room beside the
// line.
func (p *planSheet) station(s float64) {
	const half = 4.0
	f := p.v.Line.Frame(s, false)
	m := half / p.scale.perMetre
	p.line(medium, p.drawn(orb.LineString{f.Plan(-m), f.Plan(m)})...)
	w := words{text: p.d.system.Station(s), size: smallWords, anchor: atMiddle, halo: true}
	w.angle = upright(math.Atan2(f.Ahead[1], f.Ahead[0]) * 180 / math.Pi)
	for k := range 60 {
		for _, side := range [2]float64{1, -1} {
			x := side * (7 + 2*float64(k)) / p.scale.perMetre
			w.at = p.at(f.Plan(x))
			// Words stand on their base line; put their middle there.
			sin, cos := math.Sincos(w.angle * math.Pi / 180)
			w.at = orb.Point{w.at[0] + sin*smallWords*0.3, w.at[1] + cos*smallWords*0.3}
			if p.free(w, p.port) {
				p.write(w)
				if k > 5 {
					p.leader(p.at(f.Plan(side*m)), p.taken[len(p.taken)-1:])
				}
				return
			}
		}
	}
}

// upright turns an angle so that words read from below or from the right.
func upright(angle float64) float64 {
	angle = math.Mod(angle+720, 360)
	if angle > 90 && angle <= 270 {
		return angle - 180
	}
	if angle > 270 {
		return angle - 360
	}
	return angle
}
