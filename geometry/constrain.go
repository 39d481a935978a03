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
type drafter struct {
	*TIN
	start   []int32            // of each place: a corner that starts there
	sources []breakSource      // what the caller gave
	drawn   map[[2]int32]int32 // of each fixed edge, lower place first: its source
	todo    []breakPart        // last first
	budget  int                // places that may still be added
}

// drawBreaklines makes the breaklines edges. stands is that of mergeAlike.
func (t *TIN) drawBreaklines(lines [][]int, stands []int32) error {
	d := &drafter{TIN: t, drawn: map[[2]int32]int32{}}
	if stands == nil {
		return nil
	}
	placeOf := make([]int32, len(stands))
	for v, p := range t.input {
		placeOf[p] = int32(v)
	}
	for i, line := range lines {
		for k := 1; k < len(line); k++ {
			from, to := placeOf[stands[line[k-1]]], placeOf[stands[line[k]]]
			d.todo = append(d.todo, breakPart{from, to, int32(len(d.sources))})
			d.sources = append(d.sources, breakSource{i, line[k-1], line[k]})
		}
	}
	slices.Reverse(d.todo)
	// Each pair of parts crosses once; rounded crossings may bring a few more.
	d.budget = 100 + min(len(d.todo)*len(d.todo), 1<<22)
	outer := t.from(t.hull[0]) // stays on the hull, whatever becomes of its corner
	t.fixed = make([]bool, len(t.corner))
	d.start = make([]int32, len(t.at))
	for c, v := range t.corner {
		d.start[v] = int32(c)
	}
	for n := len(d.todo); n > 0; n = len(d.todo) {
		p := d.todo[n-1]
		d.todo = d.todo[:n-1]
		if err := d.draw(p); err != nil {
			return err
		}
	}
	t.findHull(outer)
	return nil
}

// draw makes one part an edge, or a chain of edges where places lie on it.
func (d *drafter) draw(p breakPart) error {
	r := newRay(&d.mesh, d.at[p.from], d.at[p.to])
	for p.from != p.to {
		s, ok := r.fromVertex(d.start[p.from])
		if !ok {
			panic("geometry: a breakline leaves the hull of its own points")
		}
		var crossed []int32
		barrier := none
		for s.vertex == none {
			crossed = append(crossed, s.cross)
			if d.fixed[s.cross] && barrier == none {
				barrier = s.cross
			}
			s, _ = r.onward(s)
		}
		if barrier != none {
			return d.cross(p, s.vertex, barrier)
		}
		if len(crossed) > 0 {
			d.clear(p.from, s.vertex, crossed)
		}
		d.fix(p.from, s.vertex, p.source)
		p.from = s.vertex
	}
	return nil
}

// clear replaces the triangles under the segment from u to w, whose edges in
// between are crossed in order, by triangles on either side of it.
func (d *drafter) clear(u, w int32, crossed []int32) {
	old := []int32{crossed[0] / 3}
	var left, right []int32
	for _, c := range crossed {
		old = append(old, d.twin[c]/3)
		if v := d.to(c); len(left) == 0 || left[len(left)-1] != v {
			left = append(left, v)
		}
		if v := d.from(c); len(right) == 0 || right[len(right)-1] != v {
			right = append(right, v)
		}
	}
	slices.Reverse(right)
	fill := d.fill(nil, u, w, left)
	d.replace(old, d.fill(fill, w, u, right))
}

// fill adds the triangles between an edge from a to b and the chain of places
// from a to b on its left: the one whose circle holds no place of the chain, and
// so on beyond its two other sides (Anglada 1997). Each place of the chain sees
// the edge, since an edge that was crossed led from it to the other side.
func (d *drafter) fill(out [][3]int32, a, b int32, chain []int32) [][3]int32 {
	best := -1
	for i, v := range chain {
		if sideOf(d.at[a], d.at[b], d.at[v]) <= 0 {
			continue
		}
		if best < 0 || inCircle(d.at[a], d.at[b], d.at[chain[best]], d.at[v]) > 0 {
			best = i
		}
	}
	if best < 0 {
		return out
	}
	c := chain[best]
	// An edge that hangs into the gap from c brings c into the chain again. What
	// hangs on a's side of c must stay with a.
	for i := best + 1; i < len(chain); i++ {
		if chain[i] == c && sideOf(d.at[a], d.at[c], d.at[chain[best+1]]) > 0 {
			best = i
		}
	}
	out = append(out, [3]int32{a, b, c})
	out = d.fill(out, a, c, chain[:best])
	return d.fill(out, c, b, chain[best+1:])
}

// cross handles a part that meets the fixed edge of corner c on its way to the
// place next: an error when their elevations are unlike, else a place is added
// and both are drawn again through it, since a rounded place lies on neither.
func (d *drafter) cross(p breakPart, next, c int32) error {
	a, b := d.ends(c)
	other := d.drawn[[2]int32{a, b}]
	r := newRay(&d.mesh, d.at[p.from], d.at[next])
	share := r.share(d.at[a], d.at[b], 0, r.length)
	x := xy{mix(d.at[a].x, d.at[b].x, share), mix(d.at[a].y, d.at[b].y, share)}
	here := mix(d.elevation[p.from], d.elevation[next], min(max(r.offset(x)/r.length, 0), 1))
	there := mix(d.elevation[a], d.elevation[b], share)
	if math.Abs(here-there) > crossingAlike {
		return d.crossError(BreaklinesCross, p.source, other, x, []float64{here, there})
	}
	if d.budget--; d.budget < 0 {
		return d.crossError(BreaklinesTangled, p.source, other, x, nil)
	}
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

func (d *drafter) crossError(rule TINRule, p, q int32, x xy, elevations []float64) error {
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
