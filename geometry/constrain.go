package geometry

import (
	"math"
	"slices"
)

// crossingAlike is how unlike the elevations of two breaklines may be where they
// cross and still be one ground, m: a tenth of a foot, to which ground shots are
// commonly read (common practice). Their mean is taken. Beyond it one line runs
// over the other and the surface would depend on which was drawn first.
const crossingAlike = 0.03048

// crossingAtEnd is how near the end of a line a crossing may be and still be that
// end, m. Without it lines that lie one upon the other but for rounding would
// cross all along. A micrometre moves no earth.
const crossingAtEnd = 1e-6

// A breakPart is a straight part of a breakline, between two places of the mesh,
// and which part of which breakline it came from.
type breakPart struct {
	from, to int32
	source   int32
}

// breakSource is a breakline's part as the caller gave it.
type breakSource struct{ line, from, to int }

// drafter draws breaklines into a Delaunay triangulation and keeps it one apart
// from them (a constrained Delaunay triangulation). Exact throughout: a place
// that lies exactly on a breakline divides it; where two cross, a place is added.
// It looks only at what lies under the lines, so that a few lines through a
// million points take little time.
type drafter struct {
	*TIN
	start   []int32            // of each place: one more than a corner that starts there, or 0 (see findStarts)
	sources []breakSource      // what the caller gave
	drawn   map[[2]int32]int32 // of each fixed edge, lower place first: its source
	todo    []breakPart        // what is left of the part being drawn, last first
	budget  int                // places that may still be added
	gap     gap                // room that clear uses again and again
}

// drawBreaklines makes the breaklines edges. stands is that of mergeAlike.
// points is how many the caller gave.
func (t *TIN) drawBreaklines(lines [][]int, points int, stands []int32) error {
	if len(lines) == 0 {
		return nil
	}
	d := &drafter{TIN: t}
	parts := d.parts(lines, points, stands)
	d.drawn = make(map[[2]int32]int32, len(parts))
	// Each pair of parts crosses once; rounded crossings may bring a few more.
	d.budget = 100 + min(len(parts)*len(parts), 1<<22)
	t.fixed = make([]bool, len(t.corner))
	outer := d.findStarts(parts)
	for _, p := range parts {
		d.todo = append(d.todo, p)
		for n := len(d.todo); n > 0; n = len(d.todo) {
			p := d.todo[n-1]
			d.todo = d.todo[:n-1]
			if err := d.draw(p); err != nil {
				return err
			}
		}
	}
	d.findHull(outer)
	return nil
}

// parts cuts the breaklines into straight parts, in the order of the places at
// which they start: neighbours are drawn one after the other, while what lies
// about them is still in the computer's cache.
func (d *drafter) parts(lines [][]int, points int, stands []int32) []breakPart {
	placeOf := d.placesOf(lines, points, stands)
	var given []breakPart
	var keys []sortKey
	for i, line := range lines {
		for k := 1; k < len(line); k++ {
			p := breakPart{placeOf[standsFor(stands, line[k-1])], placeOf[standsFor(stands, line[k])], int32(len(given))}
			keys = append(keys, sortKey{uint64(min(p.from, p.to)), p.source})
			given = append(given, p)
			d.sources = append(d.sources, breakSource{i, line[k-1], line[k]})
		}
	}
	parts := make([]breakPart, len(given))
	for i, k := range sortByKey(keys) {
		parts[i] = given[k.point]
	}
	return parts
}

// placesOf tells the place of each point that stands for one of a breakline. The
// rest of the list holds zeros.
func (d *drafter) placesOf(lines [][]int, points int, stands []int32) []int32 {
	wanted := make([]uint64, points/64+1) // bits, which stay in the cache
	for _, line := range lines {
		for _, p := range line {
			q := standsFor(stands, p)
			wanted[q/64] |= 1 << (q % 64)
		}
	}
	placeOf := make([]int32, points)
	for v, p := range d.input {
		if wanted[p/64]>>(p%64)&1 == 1 {
			placeOf[p] = int32(v)
		}
	}
	return placeOf
}

// findStarts finds a corner at both ends of each part, and one on the hull, whose
// place it returns. The corners of other places are told by put, when triangles
// there are replaced, and by draw, when a line passes through.
func (d *drafter) findStarts(parts []breakPart) (outer int32) {
	d.start = make([]int32, len(d.at))
	for _, p := range parts {
		d.start[p.from], d.start[p.to] = none, none
	}
	for c, v := range d.corner {
		if d.start[v] == none {
			d.start[v] = int32(c) + 1
		}
	}
	outer = d.from(d.hull[0])
	d.start[outer] = d.hull[0] + 1
	return outer
}

// draw makes one part an edge, or a chain of edges where places lie on it.
func (d *drafter) draw(p breakPart) error {
	if p.from == p.to {
		return nil
	}
	r := newRay(&d.mesh, d.at[p.from], d.at[p.to])
	for p.from != p.to {
		s, ok := r.fromVertex(d.start[p.from] - 1)
		if !ok {
			panic("geometry: a breakline leaves the hull of its own points")
		}
		crossed := d.gap.crossed[:0]
		barrier := none
		for s.vertex == none {
			crossed = append(crossed, s.cross)
			if d.fixed[s.cross] && barrier == none {
				barrier = s.cross
			}
			s, _ = r.onward(s)
		}
		d.gap.crossed = crossed
		d.start[s.vertex] = s.spoke + 1
		if barrier != none {
			return d.cross(p, s.vertex, barrier)
		}
		if len(crossed) > 0 {
			d.clear(p.from, s.vertex)
		}
		d.fix(p.from, s.vertex, p.source)
		p.from = s.vertex
	}
	return nil
}

// cross handles a part that meets the fixed edge of corner c on its way to the
// place next: an error when their elevations are unlike, else a place is added
// and both are drawn again through it, since a rounded place lies on neither.
func (d *drafter) cross(p breakPart, next, c int32) error {
	a, b := d.ends(c)
	other := d.drawn[[2]int32{a, b}]
	r := newRay(&d.mesh, d.at[p.from], d.at[next])
	share, _ := r.share(d.at[a], d.at[b], 0, r.length)
	x := xy{mix(d.at[a].x, d.at[b].x, share), mix(d.at[a].y, d.at[b].y, share)}
	here := mix(d.elevation[p.from], d.elevation[next], min(max(r.offset(x)/r.length, 0), 1))
	there := mix(d.elevation[a], d.elevation[b], share)
	if math.Abs(here-there) > crossingAlike {
		return d.crossError(BreaklinesCross, p.source, other, x, here, there)
	}
	if d.budget--; d.budget < 0 {
		return d.crossError(BreaklinesTangled, p.source, other, x)
	}
	d.start[d.from(c)], d.start[d.to(c)] = c+1, following(c)+1
	d.unfix(a, b)
	v := d.nearest(x, p.from, next, a, b)
	if d.distance(v, x) > crossingAtEnd {
		v = d.insert(x, (here+there)/2, c/3, v)
	}
	d.relax([][2]int32{{a, b}})
	d.todo = append(d.todo,
		breakPart{next, p.to, p.source}, breakPart{v, next, p.source}, breakPart{p.from, v, p.source},
		breakPart{v, b, other}, breakPart{a, v, other})
	return nil
}

// nearest of some places of the mesh to x.
func (d *drafter) nearest(x xy, v ...int32) int32 {
	best := v[0]
	for _, w := range v[1:] {
		if d.distance(w, x) < d.distance(best, x) {
			best = w
		}
	}
	return best
}

func (d *drafter) distance(v int32, x xy) float64 {
	return math.Hypot(d.at[v].x-x.x, d.at[v].y-x.y)
}

// crossError names the part that the caller gave later first, whichever of the
// two was drawn first. elevations are those of p and q.
func (d *drafter) crossError(rule TINRule, p, q int32, x xy, elevations ...float64) error {
	if p < q {
		p, q = q, p
		slices.Reverse(elevations)
	}
	s, o := d.sources[p], d.sources[q]
	return &TINError{
		Rule: rule, Points: []int{s.from, s.to, o.from, o.to}, At: [2]float64{x.x, x.y},
		Breaklines: []int{s.line, o.line}, Elevations: elevations,
	}
}

// fix makes an edge part of a breakline; the first source stays.
func (d *drafter) fix(p, q, source int32) {
	key := [2]int32{min(p, q), max(p, q)}
	if _, ok := d.drawn[key]; !ok {
		d.drawn[key] = source
	}
	d.mark(p, q, true)
}

func (d *drafter) unfix(p, q int32) {
	delete(d.drawn, [2]int32{min(p, q), max(p, q)})
	d.mark(p, q, false)
}

func (d *drafter) mark(p, q int32, fixed bool) {
	c := d.find(p, q)
	d.fixed[c] = fixed
	if o := d.twin[c]; o != none {
		d.fixed[o] = fixed
	}
}
