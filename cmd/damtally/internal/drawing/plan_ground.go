package drawing

import (
	"iter"
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// contour is one contour on the paper.
type contour struct {
	level float64 // m
	index bool    // every fifth, drawn thicker and labelled
	lines []orb.LineString
}

// contourGap is how far apart contours stand on the paper in the mean at least,
// points: two and a half millimetres.
const contourGap = 7.0

// contourSteps are the intervals of contours in the unit of the drawing.
var contourSteps = []float64{0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 50, 100}

// The pens of contours.
var (
	contourPen = pen{width: 0.35, ink: earth}
	indexPen   = pen{width: 0.8, ink: earth}
)

// indexEvery is of how many contours one is thicker and labelled.
const indexEvery = 5

// ground draws the contours of the ground in the window.
func (p *planSheet) ground() {
	if p.v.Ground == nil {
		return
	}
	unit := p.d.system.Length
	shown := p.shown()
	step, ok := p.contourStep(shown)
	if !ok {
		return
	}
	p.interval = unit.ToSI(step)
	low, high := p.v.Ground.Range()
	var levels []float64
	first := math.Ceil(unit.FromSI(low)/step - 1e-9)
	for k := first; k*step <= unit.FromSI(high) && len(levels) < mostContours; k++ {
		levels = append(levels, unit.ToSI(k*step))
	}
	p.on("contours")
	for i, lines := range geometry.Contours(broad{p.v.Ground, p.scale.perMetre}, shown, levels) {
		c := contour{level: levels[i], index: math.Mod(first+float64(i), indexEvery) == 0, lines: longEnough(p.drawn(lines...))}
		n := contourPen
		if c.index {
			n = indexPen
		}
		p.line(n, c.lines...)
		p.contours = append(p.contours, c)
	}
	p.legend("Contours every "+units.Number(step, decimalsOf(step))+" "+unit.Name, func(s *Sheet, from, to orb.Point) {
		s.line(contourPen, orb.LineString{{from[0], from[1] - 2}, {to[0], to[1] - 2}})
		s.line(indexPen, orb.LineString{{from[0], from[1] + 2}, {to[0], to[1] + 2}})
	})
}

// broad is a surface without its slivers: triangles so flat on the paper that
// contours cannot be told apart in them, which a survey's outer edge is full of.
// What they leave out across is less than a gap that the eye sees.
type broad struct {
	geometry.Surface
	perMetre float64
}

// A sliver is less high on the paper than sliverHeight points, and longer than
// sliverLength.
const (
	sliverHeight = 3.0
	sliverLength = 30.0
)

// Triangles yields the triangles that are no slivers.
func (b broad) Triangles(box orb.Bound) iter.Seq[geometry.Triangle] {
	return func(yield func(geometry.Triangle) bool) {
		for t := range b.Surface.Triangles(box) {
			longest := 0.0
			for i := range 3 {
				p, q := t.At[i], t.At[(i+1)%3]
				longest = max(longest, math.Hypot(q[0]-p[0], q[1]-p[1]))
			}
			twice := (t.At[1][0]-t.At[0][0])*(t.At[2][1]-t.At[0][1]) - (t.At[1][1]-t.At[0][1])*(t.At[2][0]-t.At[0][0])
			sliver := longest*b.perMetre > sliverLength && twice/longest*b.perMetre < sliverHeight
			if !sliver && !yield(t) {
				return
			}
		}
	}
}

// leastContour is the length under which a piece of a contour is not drawn, points:
// it would look like a speck.
const leastContour = 5.0

// longEnough leaves out specks.
func longEnough(lines []orb.LineString) []orb.LineString {
	return slices.DeleteFunc(lines, func(l orb.LineString) bool {
		along := lengths(l)
		return along[len(along)-1] < leastContour
	})
}

// mostContours guards against ground with a false point far up or down.
const mostContours = 2000

// contourStep is the interval at which the contours in a box stand far enough
// apart. The length of all contours of an interval is the integral of the slope
// over the area divided by the interval (the coarea formula), so their mean
// distance is area x interval / that integral.
func (p *planSheet) contourStep(box orb.Bound) (float64, bool) {
	area, rise := 0.0, 0.0
	for t := range p.v.Ground.Triangles(box) {
		ux, uy, uz := t.At[1][0]-t.At[0][0], t.At[1][1]-t.At[0][1], t.Elevation[1]-t.Elevation[0]
		vx, vy, vz := t.At[2][0]-t.At[0][0], t.At[2][1]-t.At[0][1], t.Elevation[2]-t.Elevation[0]
		cross := ux*vy - uy*vx
		if !(cross > 0) {
			continue
		}
		area += cross / 2
		rise += math.Hypot(uz*vy-vz*uy, vz*ux-uz*vx) / 2
	}
	if !(rise > 0) {
		return 0, false
	}
	for _, step := range contourSteps {
		if area*p.d.system.Length.ToSI(step)/rise*p.scale.perMetre >= contourGap {
			return step, true
		}
	}
	return contourSteps[len(contourSteps)-1], true
}

// The least length of a contour that is labelled, and how far apart its labels
// stand, points.
const (
	leastLabelled = 70.0
	labelEvery    = 260.0
)

// contourLabels writes the levels of the thicker contours into them, where they
// run straight and nothing else is in the way.
func (p *planSheet) contourLabels() {
	p.on("contour labels")
	for _, c := range p.contours {
		if !c.index {
			continue
		}
		text := in(p.d.system.Length, c.level, decimalsOf(p.d.system.Length.FromSI(p.interval)))
		for _, l := range c.lines {
			p.labelAlong(l, words{text: text, size: smallWords, ink: earth, anchor: atMiddle, halo: true})
		}
	}
}

// bent is how far a line may leave its chord under a label, points.
const bent = 1.2

// labelAlong writes words into a line, again and again along it.
func (p *planSheet) labelAlong(l orb.LineString, w words) {
	along := lengths(l)
	whole := along[len(along)-1]
	long := textWidth(w.text, w.size, w.bold)
	if whole < leastLabelled {
		return
	}
	next := min(whole/2, labelEvery/2)
	for at := long; at < whole-long; at += 4 {
		if at < next {
			continue
		}
		a, b, m := pointAlong(l, along, at-long/2), pointAlong(l, along, at+long/2), pointAlong(l, along, at)
		if fromChord(m, a, b) > bent || math.Hypot(b[0]-a[0], b[1]-a[1]) < 0.95*long {
			continue
		}
		w.angle = upright(math.Atan2(a[1]-b[1], b[0]-a[0]) * 180 / math.Pi)
		sin, cos := math.Sincos(w.angle * math.Pi / 180)
		w.at = orb.Point{m[0] + sin*w.size*0.3, m[1] + cos*w.size*0.3}
		if p.free(w, p.port) {
			p.write(w)
			next = at + labelEvery
		}
	}
}

// lengths are how far along a line each point lies.
func lengths(l orb.LineString) []float64 {
	out := make([]float64, len(l))
	for i := 1; i < len(l); i++ {
		out[i] = out[i-1] + math.Hypot(l[i][0]-l[i-1][0], l[i][1]-l[i-1][1])
	}
	return out
}

// pointAlong is the point at a distance along a line.
func pointAlong(l orb.LineString, along []float64, at float64) orb.Point {
	i := 1
	for i < len(l)-1 && along[i] < at {
		i++
	}
	if along[i] == along[i-1] {
		return l[i]
	}
	return between(l[i-1], l[i], max(0, min(1, (at-along[i-1])/(along[i]-along[i-1]))))
}
