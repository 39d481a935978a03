package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
)

// region is a zone in one section: what lies above lower and below upper, over
// the offsets from..to that both lines span. A nil line is no limit on its side;
// then the other line, or the section, says how far the region goes.
type region struct {
	none         bool // the zone has no part in this sweep
	from, to     float64
	lower, upper geometry.Line
	// watched regions may stick out of the outline and are asked how far.
	watched bool
}

// boundless is the region of a shell: everything.
func boundless() region { return region{from: math.Inf(-1), to: math.Inf(1)} }

// bounded is the region between two lines, over the offsets of upper, or of
// lower when there is no upper.
func bounded(lower, upper geometry.Line) region {
	l := upper
	if l == nil {
		l = lower
	}
	from, to := l.Span()
	return region{none: !(from < to), from: from, to: to, lower: lower, upper: upper}
}

// track is a line that is walked from left to right.
type track struct {
	line geometry.Line
	at   int // the last knot at or before the strip
	live bool
	next float64 // where the line next has a knot
	// l0 and r0 are the elevations at the whole strip's two offsets, l and r
	// those at the offsets of the piece in hand.
	l0, r0, l, r float64
}

// seek puts the cursor on the last knot at or before x.
func (t *track) seek(x float64) {
	for t.at+1 < len(t.line) && t.line[t.at+1].Offset <= x {
		t.at++
	}
	t.live = t.line[t.at].Offset <= x && t.at+1 < len(t.line)
	switch {
	case t.live:
		t.next = t.line[t.at+1].Offset
	case t.line[t.at].Offset > x:
		t.next = t.line[t.at].Offset
	default:
		t.next = math.Inf(1)
	}
}

// over sets the elevations over a strip in which the line has no knot.
func (t *track) over(x0, x1 float64) {
	a, b := t.line[t.at], t.line[t.at+1]
	run := b.Offset - a.Offset
	t.l0, t.r0 = a.Elevation, b.Elevation
	if x0 != a.Offset {
		t.l0 = mix(a.Elevation, b.Elevation, (x0-a.Offset)/run)
	}
	if x1 != b.Offset {
		t.r0 = mix(a.Elevation, b.Elevation, (x1-a.Offset)/run)
	}
	t.l, t.r = t.l0, t.r0
}

// middle is the elevation half way along the piece in hand.
func (t *track) middle() float64 { return (t.l + t.r) / 2 }

// sweep cuts a section into zones: it walks all lines at once from left to
// right, and cuts each strip in which they are straight and do not cross into
// layers. A layer takes the first zone that covers its middle, so that each
// point belongs to one zone and the zones' areas add up.
type sweep struct {
	tracks []track
	// bases are the lines that the stack stands on, the highest of them; top is
	// the line it ends at, -1 for none.
	bases, top int
	regions    []region
	borders    [][2]int // each region's lower and upper track, -1 = none
	keep       bool     // keep the layers as slabs

	near  []int  // tracks that cut the strip in hand
	cover []int  // regions over the strip in hand, by priority
	at    []span // where each of them lies in the piece in hand
	cuts  []float64

	zones     []geometry.Measure
	above     []float64 // area of watched regions above the top
	uncovered float64
	slabs     []geometry.Slab
	layers    []geometry.Trapezoid
	ends      []int // of each slab in layers
}

// span is a stretch of elevations.
type span struct{ low, high float64 }

// start makes the sweep ready for another section: bases are one or two lines,
// top may be nil.
func (w *sweep) start(bases []geometry.Line, top geometry.Line, regions []region, keep bool) {
	w.tracks, w.borders = w.tracks[:0], w.borders[:0]
	w.slabs, w.layers, w.ends = w.slabs[:0], w.layers[:0], w.ends[:0]
	w.regions, w.keep, w.uncovered = regions, keep, 0
	w.zones, w.above = w.zones[:0], w.above[:0]
	for range regions {
		w.zones, w.above = append(w.zones, geometry.Measure{}), append(w.above, 0)
	}
	for _, l := range bases {
		w.add(l)
	}
	w.bases, w.top = len(bases), -1
	if top != nil {
		w.top = w.add(top)
	}
	for i := range regions {
		r := &regions[i]
		b := [2]int{-1, -1}
		if !r.none && r.lower != nil {
			b[0] = w.add(r.lower)
		}
		if !r.none && r.upper != nil {
			b[1] = w.add(r.upper)
		}
		w.borders = append(w.borders, b)
	}
}

func (w *sweep) add(l geometry.Line) int {
	w.tracks = append(w.tracks, track{line: l, next: math.Inf(-1)})
	return len(w.tracks) - 1
}

// run sweeps over a stretch of offsets; stretches come from left to right.
func (w *sweep) run(from, to float64) {
	for x := from; x < to; {
		next := to
		for i := range w.tracks {
			t := &w.tracks[i]
			if t.next <= x {
				t.seek(x)
			}
			next = min(next, t.next)
		}
		w.strip(x, next)
		x = next
	}
}

// strip cuts one strip in which every line is straight.
func (w *sweep) strip(x0, x1 float64) {
	for i := range w.tracks {
		if t := &w.tracks[i]; t.live {
			t.over(x0, x1)
		}
	}
	w.cover = w.cover[:0]
	for i := range w.regions {
		if r := &w.regions[i]; !r.none && r.from <= x0 && x1 <= r.to {
			w.cover = append(w.cover, i)
		}
	}
	w.pick()
	if w.inOrder() {
		w.stack(x0, x1)
		return
	}
	w.split(x0, x1)
}

// pick finds the tracks that may cut the strip: those that are not wholly above
// its top or below its bottom. They are put in order of their left ends.
func (w *sweep) pick() {
	w.near = w.near[:0]
	base, top := &w.tracks[0], &track{l0: math.Inf(1), r0: math.Inf(1)}
	if w.top >= 0 {
		top = &w.tracks[w.top]
	}
	for i := range w.tracks {
		t := &w.tracks[i]
		if !t.live || (i >= w.bases && i != w.top && (t.l0 >= top.l0 && t.r0 >= top.r0 || t.l0 <= base.l0 && t.r0 <= base.r0)) {
			continue
		}
		w.near = append(w.near, i)
		for j := len(w.near) - 1; j > 0 && w.lower(w.near[j], w.near[j-1]); j-- {
			w.near[j], w.near[j-1] = w.near[j-1], w.near[j]
		}
	}
}

// lower orders two tracks by their left ends, then by their right ends.
func (w *sweep) lower(i, j int) bool {
	a, b := &w.tracks[i], &w.tracks[j]
	return a.l0 < b.l0 || (a.l0 == b.l0 && a.r0 < b.r0)
}

// inOrder tells whether no two of the near tracks cross inside the strip.
func (w *sweep) inOrder() bool {
	for i := 1; i < len(w.near); i++ {
		if w.tracks[w.near[i]].r0 < w.tracks[w.near[i-1]].r0 {
			return false
		}
	}
	return true
}

// split cuts the strip where near tracks cross and stacks the pieces.
func (w *sweep) split(x0, x1 float64) {
	w.cuts = w.cuts[:0]
	for n, i := range w.near {
		for _, j := range w.near[:n] {
			a, b := &w.tracks[i], &w.tracks[j]
			d0, d1 := a.l0-b.l0, a.r0-b.r0
			if (d0 < 0 && d1 > 0) || (d0 > 0 && d1 < 0) {
				w.insertCut(x0+(x1-x0)*(d0/(d0-d1)), x0, x1)
			}
		}
	}
	from := x0
	for i := range len(w.cuts) + 1 {
		to := x1
		if i < len(w.cuts) {
			to = w.cuts[i]
		}
		for j := range w.tracks {
			if t := &w.tracks[j]; t.live {
				t.l, t.r = mix(t.l0, t.r0, (from-x0)/(x1-x0)), mix(t.l0, t.r0, (to-x0)/(x1-x0))
			}
		}
		w.stack(from, to)
		from = to
	}
}

// insertCut keeps the cuts rising and without repeats.
func (w *sweep) insertCut(x, x0, x1 float64) {
	if !(x > x0 && x < x1) {
		return
	}
	i := len(w.cuts)
	for i > 0 && w.cuts[i-1] > x {
		i--
	}
	if i > 0 && w.cuts[i-1] == x {
		return
	}
	w.cuts = append(w.cuts, 0)
	copy(w.cuts[i+1:], w.cuts[i:])
	w.cuts[i] = x
}

// stack cuts one piece into layers, from its bottom up.
func (w *sweep) stack(x0, x1 float64) {
	below := &w.tracks[0]
	if w.bases > 1 && w.tracks[1].middle() > below.middle() {
		below = &w.tracks[1]
	}
	bottom, top := below.middle(), math.Inf(1)
	if w.top >= 0 {
		top = w.tracks[w.top].middle()
	}
	if !(top > bottom) {
		return
	}
	w.place(x0, x1, top)
	w.sortNear()
	first := len(w.layers)
	for _, i := range w.near {
		t := &w.tracks[i]
		if i < w.bases || i == w.top || !(t.middle() > bottom && t.middle() < top) {
			continue
		}
		w.layer(x0, x1, below, t)
		below = t
	}
	if w.top >= 0 {
		w.layer(x0, x1, below, &w.tracks[w.top])
	}
	if w.keep && len(w.layers) > first {
		w.slabs = append(w.slabs, geometry.Slab{From: x0, To: x1})
		w.ends = append(w.ends, len(w.layers))
	}
}

// place notes where each covering region lies in the piece, and what of the
// watched ones lies above the top.
func (w *sweep) place(x0, x1, top float64) {
	w.at = w.at[:0]
	for _, i := range w.cover {
		s := span{math.Inf(-1), math.Inf(1)}
		if b := w.borders[i][0]; b >= 0 {
			s.low = w.tracks[b].middle()
		}
		if b := w.borders[i][1]; b >= 0 {
			s.high = w.tracks[b].middle()
			if w.regions[i].watched && s.high > top {
				w.above[i] += (x1 - x0) * (s.high - max(top, s.low))
			}
		}
		w.at = append(w.at, s)
	}
}

// sortNear puts the near tracks in order of their middles; they nearly are.
func (w *sweep) sortNear() {
	for i := 1; i < len(w.near); i++ {
		for j := i; j > 0 && w.tracks[w.near[j]].middle() < w.tracks[w.near[j-1]].middle(); j-- {
			w.near[j], w.near[j-1] = w.near[j-1], w.near[j]
		}
	}
}

// layer gives what lies between two tracks to the first zone that covers it.
func (w *sweep) layer(x0, x1 float64, a, b *track) {
	t := geometry.Trapezoid{BottomFrom: a.l, BottomTo: a.r, TopFrom: b.l, TopTo: b.r}
	m := t.Measure(x0, x1)
	label := w.label((a.middle() + b.middle()) / 2)
	if label < 0 {
		w.uncovered += m.Area
		return
	}
	w.zones[label] = w.zones[label].Plus(m)
	if !w.keep {
		return
	}
	n, first := len(w.layers), 0
	if len(w.ends) > 0 {
		first = w.ends[len(w.ends)-1]
	}
	if n > first && w.layers[n-1].Label == label && w.layers[n-1].TopFrom == a.l && w.layers[n-1].TopTo == a.r {
		w.layers[n-1].TopFrom, w.layers[n-1].TopTo = b.l, b.r
		return
	}
	t.Label = label
	w.layers = append(w.layers, t)
}

// label is the first zone that covers the elevation z of the piece in hand, -1
// when none does.
func (w *sweep) label(z float64) int {
	for n, i := range w.cover {
		if z > w.at[n].low && z < w.at[n].high {
			return i
		}
	}
	return -1
}

// stacks returns the slabs that were kept, a copy.
func (w *sweep) stacks() []geometry.Slab {
	if len(w.slabs) == 0 {
		return nil
	}
	slabs, layers := slices.Clone(w.slabs), slices.Clone(w.layers)
	first := 0
	for i := range slabs {
		slabs[i].Stack = layers[first:w.ends[i]:w.ends[i]]
		first = w.ends[i]
	}
	return slabs
}
