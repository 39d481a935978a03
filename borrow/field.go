package borrow

import (
	"cmp"
	"errors"
	"slices"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// patch is a convex piece of the plan over which measures that are known in holes
// are planes.
type patch struct {
	cell      cell
	low, far  orb.Point
	values    []affine
	elevation bool // values are elevations, m; else depths below the ground, m
	follows   []bool
}

// depth is measure number i as a depth below the given ground, m.
func (p *patch) depth(i int, ground affine) affine {
	if p.elevation && !p.follows[i] {
		return ground.minus(p.values[i])
	}
	return p.values[i]
}

// field is measures known in holes, as depths below the ground there, spread over
// the plan: planes over the triangles between holes, the depth at the nearest
// point of the hull beyond them.
type field struct {
	at      []orb.Point // local
	ground  []float64   // elevation of the ground in each hole, m
	depth   [][]float64 // by hole and measure, m
	follows []bool      // measures whose depth, not elevation, is spread between holes
	// under returns the ground along a line, nil where it is not known.
	under func(from, to orb.Point) []edge
}

// patches returns the convex pieces that together are the box.
func (f *field) patches(b box) ([]*patch, error) {
	m := max(b.half[0], b.half[1])
	for _, p := range f.at {
		m = max(m, abs(p[0]), abs(p[1]))
	}
	m *= 2
	whole := cell{{-m, -m}, {m, -m}, {m, m}, {-m, m}}
	if len(f.at) == 1 {
		return []*patch{f.constant(whole, f.depth[0])}, nil
	}
	out, err := f.triangles()
	if err != nil {
		return nil, err
	}
	return append(out, f.beyond(whole)...), nil
}

// newPatch finishes a patch.
func (f *field) newPatch(c cell, values []affine, elevation bool) *patch {
	k := newKept(c)
	return &patch{c, k.low, k.far, values, elevation, f.follows}
}

// constant is a patch of constant depths.
func (f *field) constant(c cell, depths []float64) *patch {
	values := make([]affine, len(depths))
	for i, d := range depths {
		values[i] = affine{c: d}
	}
	return f.newPatch(c, values, false)
}

// triangles are the patches between holes. Holes on one line have none.
func (f *field) triangles() ([]*patch, error) {
	points := make([]geometry.GroundPoint, len(f.at))
	number := map[orb.Point]int{}
	for i, p := range f.at {
		points[i].At, number[p] = p, i
	}
	tin, err := geometry.NewTIN(points, geometry.TINOptions{})
	var wrong *geometry.TINError
	if errors.As(err, &wrong) && (wrong.Rule == geometry.OnOneLine || wrong.Rule == geometry.TooFewPoints) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var out []*patch
	for t := range tin.Triangles(tin.Bound()) {
		i, j, k := number[t.At[0]], number[t.At[1]], number[t.At[2]]
		values := make([]affine, len(f.follows))
		for v := range values {
			z := [3]float64{f.value(i, v), f.value(j, v), f.value(k, v)}
			values[v], _ = planeOver(t.At, z)
		}
		out = append(out, f.newPatch(cell(t.At[:]), values, true))
	}
	return out, nil
}

// value is what is spread between holes: an elevation, or a depth of what follows
// the ground.
func (f *field) value(hole, measure int) float64 {
	if f.follows[measure] {
		return f.depth[hole][measure]
	}
	return f.ground[hole] - f.depth[hole][measure]
}

// sliver is the distance, m, within which a hole lies on the line between two
// others. It is what geometry.NewTIN leaves out at its rim, so that triangles and
// what lies beyond them neither overlap nor leave a gap.
const sliver = 1e-6

// hull returns the corners of the holes' convex hull, counter-clockwise, two for
// holes on one line. A hole within a sliver of a side is no corner of it.
//
// It halves the holes at the farthest from a line time and again (W. F. Eddy, "A
// New Convex Hull Algorithm for Planar Sets", ACM Transactions on Mathematical
// Software 3 (1977), 398-403). Every corner is the farthest in some direction, so
// none is lost to the sliver; going round in the order of the coordinates, the end
// of a line of holes may stand behind its middle, and be left out as if between.
func (f *field) hull() []int {
	all := make([]int, len(f.at))
	for i := range all {
		all[i] = i
	}
	a := f.farthest(0)
	b := f.farthest(a)
	out := append([]int{a}, f.bulge(a, b, all)...)
	out = append(append(out, b), f.bulge(b, a, all)...)
	// Begin in the west, whatever order the holes come in.
	west := 0
	for k, i := range out {
		if p, w := f.at[i], f.at[out[west]]; cmp.Or(cmp.Compare(p[0], w[0]), cmp.Compare(p[1], w[1])) < 0 {
			west = k
		}
	}
	return slices.Concat(out[west:], out[:west])
}

// farthest returns the hole farthest from a hole.
func (f *field) farthest(from int) int {
	far := from
	for i, p := range f.at {
		if distance(f.at[from], p) > distance(f.at[from], f.at[far]) {
			far = i
		}
	}
	return far
}

// bulge returns the corners of the hull on the right of the line from hole a to
// hole b, in order from a to b, both left out; among holds every hole that may be.
func (f *field) bulge(a, b int, among []int) []int {
	left, along := leftOf(f.at[a], f.at[b]), aheadOf(f.at[a], f.at[a], f.at[b])
	var right []int
	far := -1
	for _, i := range among {
		if left.at(f.at[i]) >= -sliver {
			continue
		}
		right = append(right, i)
		// Of several as far out, the last along the line: the end of their side.
		if far < 0 || cmp.Or(cmp.Compare(left.at(f.at[i]), left.at(f.at[far])), -cmp.Compare(along.at(f.at[i]), along.at(f.at[far]))) < 0 {
			far = i
		}
	}
	if far < 0 {
		return nil
	}
	return append(append(f.bulge(a, far, right), far), f.bulge(far, b, right)...)
}

// beyond are the patches outside the hull: a strip before each of its sides, cut
// where the ground along the side bends, and a wedge at each corner.
func (f *field) beyond(whole cell) []*patch {
	hull := f.hull()
	n := len(hull)
	var out []*patch
	for i, h := range hull {
		next, after := hull[(i+1)%n], hull[(i+2)%n]
		a, b, c := f.at[h], f.at[next], f.at[after]
		stops := f.onSide(h, next)
		for k := 1; k < len(stops); k++ {
			// Along the holes themselves: the triangles between them and the side are left out.
			if outside, _ := whole.split(negative(leftOf(f.at[stops[k-1]], f.at[stops[k]]))); outside != nil {
				out = append(out, f.strip(outside, a, b, stops[k-1], stops[k])...)
			}
		}
		wedge, _ := whole.split(ahead(a, b))
		if wedge != nil {
			_, wedge = wedge.split(aheadOf(b, b, c))
		}
		if wedge != nil {
			out = append(out, f.constant(wedge, f.depth[next]))
		}
	}
	return out
}

// onSide returns the holes along a side of the hull, in order, its ends included.
func (f *field) onSide(a, b int) []int {
	line, along := leftOf(f.at[a], f.at[b]), aheadOf(f.at[a], f.at[a], f.at[b])
	length := along.at(f.at[b])
	out := []int{a}
	for i, p := range f.at {
		if i != a && i != b && abs(line.at(p)) <= sliver && along.at(p) > 0 && along.at(p) < length {
			out = append(out, i)
		}
	}
	slices.SortFunc(out[1:], func(i, k int) int { return cmp.Compare(along.at(f.at[i]), along.at(f.at[k])) })
	return append(out, b)
}

// strip returns the patches before the stretch of a hull's side between two
// holes, cut out of the plan outside the side from a to b.
func (f *field) strip(outside cell, a, b orb.Point, from, to int) []*patch {
	pieces := f.under(f.at[from], f.at[to])
	if pieces == nil {
		pieces = []edge{{f.at[from], f.at[to], f.ground[from], f.ground[to]}}
	}
	run := aheadOf(f.at[from], a, b)
	length := run.at(f.at[to])
	// What a hole's log says of its ground stands, where the survey says otherwise.
	offFrom, offTo := f.ground[from]-pieces[0].zFrom, f.ground[to]-pieces[len(pieces)-1].zTo
	var out []*patch
	for _, e := range pieces {
		at, end := run.at(e.from), run.at(e.to)
		c, _ := outside.split(affine{run.c - at, run.x, run.y})
		if c != nil {
			_, c = c.split(affine{run.c - end, run.x, run.y})
		}
		if c == nil || !(end > at) {
			continue
		}
		values := make([]affine, len(f.follows))
		for v := range values {
			depth := func(s, z float64) float64 {
				t := s / length
				level := z + (1-t)*offFrom + t*offTo
				below := (1-t)*f.value(from, v) + t*f.value(to, v)
				if f.follows[v] {
					return below
				}
				return level - below
			}
			d0, d1 := depth(at, e.zFrom), depth(end, e.zTo)
			grade := (d1 - d0) / (end - at)
			values[v] = through(e.from, d0, grade*run.x, grade*run.y)
		}
		out = append(out, f.newPatch(c, values, false))
	}
	return out
}

// aheadOf is the distance of a point ahead of p in the direction from a to b, m.
func aheadOf(p, a, b orb.Point) affine {
	d := distance(a, b)
	return through(p, 0, (b[0]-a[0])/d, (b[1]-a[1])/d)
}

// ahead is the distance beyond b in the direction from a to b, m.
func ahead(a, b orb.Point) affine { return aheadOf(b, a, b) }

// negative is the function with its sign turned.
func negative(f affine) affine { return affine{-f.c, -f.x, -f.y} }

// take returns the part of a cell that lies in the patch, nil for none.
func (p *patch) take(c cell) cell {
	k := kept{cell: p.cell, low: p.low, far: p.far}
	in, _ := k.divide(c)
	return in
}
