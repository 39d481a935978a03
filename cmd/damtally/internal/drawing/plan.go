package drawing

import (
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
	p.sectionMarks()
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

// largest is the outer ring of the largest of some waters: where their name stands.
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
