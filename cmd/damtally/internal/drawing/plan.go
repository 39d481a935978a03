package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Widths of what stands beside the plan, and sizes of words, points.
const (
	columnWidth = 150.0
	smallWords  = 6.5
	plainWords  = 7.5
	loudWords   = 9.0
)

// planSheet is the dam in plan in the making.
type planSheet struct {
	*Sheet
	d      *set
	v      *plan.PlanView
	port   orb.Bound // the window on the paper
	scale  scaling
	middle orb.Point // of the window, in the job's coordinates
	styles []style   // what the legend explains, in the order of first use

	contours []contour // of the ground, on the paper
	interval float64   // between them, m
}

// style is a line of the legend.
type style struct {
	text string
	draw func(s *Sheet, from, to orb.Point)
}

// plan draws the sheet of the dam in plan; none without a centreline.
func (d *set) plan() {
	v := d.r.Plan
	if v == nil {
		return
	}
	p := &planSheet{Sheet: d.sheet("plan", "Plan"), d: d, v: v}
	room := p.room()
	p.port = orb.Bound{Min: room.Min, Max: orb.Point{room.Max[0] - columnWidth, room.Max[1]}}
	w := p.window()
	p.middle = w.Center()
	size := [2]float64{w.Max[0] - w.Min[0], w.Max[1] - w.Min[1]}
	p.scale = scaleFor(d.system, size, [2]float64{p.port.Max[0] - p.port.Min[0], p.port.Max[1] - p.port.Min[1]})
	d.scaled(p.scale.text)
	p.on("dam")
	p.area(faint, pen{}, p.filledArea(v.Footprint...)...)
	p.pools() // over the footprint, whose upstream face is under water
	p.ground()
	p.dam()
	p.pits()
	p.cuts()
	p.hauls()
	p.borings()
	p.pipes()
	p.centreline()
	p.names()
	p.contourLabels()
	p.grid()
	p.column(room)
}

// windowPad is how much of what is drawn is left free round it, as a share. The
// scale is rounded down to a standard one, which leaves more.
const windowPad = 0.02

// window is the box of all that the plan must show, in the job's coordinates.
func (p *planSheet) window() orb.Bound {
	b := p.v.Centreline.Bound()
	for _, r := range p.v.Footprint {
		b = b.Union(r.Bound())
	}
	for _, r := range p.v.Pits {
		b = b.Union(r.Bound())
	}
	for _, pool := range p.v.Pools {
		if len(pool.Water) > 0 {
			b = b.Union(pool.Water.Bound())
		}
		for _, l := range pool.Open {
			b = b.Union(l.Bound())
		}
	}
	s := &p.d.r.Site
	for _, h := range s.Borings {
		b = b.Extend(p.local(h.At))
	}
	for _, h := range s.Stockpiles {
		b = b.Extend(p.local(h.At))
	}
	for _, c := range s.Cuts {
		for _, q := range c.Ring {
			b = b.Extend(p.local(q))
		}
	}
	for _, c := range s.Blankets {
		for _, q := range c.Ring {
			b = b.Extend(p.local(q))
		}
	}
	return b.Pad(windowPad * max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]))
}

// local turns a point of the site into the job's coordinates.
func (p *planSheet) local(q orb.Point) orb.Point {
	return orb.Point{q[0] - p.v.Origin[0], q[1] - p.v.Origin[1]}
}

// at is where a point of the job stands on the paper.
func (p *planSheet) at(q orb.Point) orb.Point {
	c := p.port.Center()
	return orb.Point{c[0] + (q[0]-p.middle[0])*p.scale.perMetre, c[1] - (q[1]-p.middle[1])*p.scale.perMetre}
}

// back is the point of the job under a point of the paper.
func (p *planSheet) back(q orb.Point) orb.Point {
	c := p.port.Center()
	return orb.Point{p.middle[0] + (q[0]-c[0])/p.scale.perMetre, p.middle[1] - (q[1]-c[1])/p.scale.perMetre}
}

// shown is the part of the job that the window shows.
func (p *planSheet) shown() orb.Bound {
	return orb.MultiPoint{p.back(p.port.Min), p.back(p.port.Max)}.Bound()
}

// drawn turns lines of the job into lines on the paper, cut off at the window.
func (p *planSheet) drawn(lines ...orb.LineString) []orb.LineString {
	var out []orb.LineString
	for _, l := range lines {
		on := make(orb.LineString, len(l))
		for i, q := range l {
			on[i] = p.at(q)
		}
		out = append(out, clipped(simplified(on, finest), p.port)...)
	}
	return out
}

// finest is how far a line that is drawn may lie from its true place, points: a
// twentieth of a millimetre, less than a pen is wide.
const finest = 0.14

// filledArea turns rings of the job into rings on the paper, cut off at the window.
func (p *planSheet) filledArea(rings ...orb.Ring) []orb.LineString {
	var out []orb.LineString
	for _, r := range rings {
		on := make(orb.LineString, len(r))
		for i, q := range r {
			on[i] = p.at(q)
		}
		if c := clipRing(on, p.port); len(c) > 3 {
			out = append(out, c)
		}
	}
	return out
}

// legend adds a line of the legend, once for each text.
func (p *planSheet) legend(text string, draw func(s *Sheet, from, to orb.Point)) {
	for _, e := range p.styles {
		if e.text == text {
			return
		}
	}
	p.styles = append(p.styles, style{text, draw})
}

// lineOf draws a sample of a pen for the legend.
func lineOf(n pen) func(*Sheet, orb.Point, orb.Point) {
	return func(s *Sheet, from, to orb.Point) { s.line(n, orb.LineString{from, to}) }
}

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

// ringMiddle is a place well inside a ring: the centre of its box if that lies
// inside, else the middle of the widest part of a line across it.
func ringMiddle(r orb.LineString) orb.Point {
	b := r.Bound()
	y := (b.Min[1] + b.Max[1]) / 2
	best, wide := b.Center(), -1.0
	var xs []float64
	for i := 1; i < len(r); i++ {
		a, c := r[i-1], r[i]
		if (a[1] > y) != (c[1] > y) {
			xs = append(xs, a[0]+(c[0]-a[0])*(y-a[1])/(c[1]-a[1]))
		}
	}
	sortFloats(xs)
	for k := 0; k+1 < len(xs); k += 2 {
		if w := xs[k+1] - xs[k]; w > wide {
			best, wide = orb.Point{(xs[k] + xs[k+1]) / 2, y}, w
		}
	}
	return best
}

// area of a pool's largest water, for where its name stands.
func largest(water orb.MultiPolygon) (orb.Ring, bool) {
	best, at := 0.0, -1
	for i, polygon := range water {
		if a := geometry.SignedArea(polygon[0]); a > best {
			best, at = a, i
		}
	}
	if at < 0 {
		return nil, false
	}
	return water[at][0], true
}
