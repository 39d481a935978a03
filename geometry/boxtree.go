package geometry

import (
	"iter"
	"math"

	"github.com/paulmach/orb"
)

// boxTree finds the triangles near a box: triangles in the order of a curve that
// fills the plane, and boxes around each run of treeFan of them, around each run
// of treeFan boxes, and so on up to one.
type boxTree struct {
	triangles []int32
	levels    [][]orb.Bound // lowest first
}

const treeFan = 8

// newBoxTree orders the triangles that are not marked empty; empty may be nil.
func newBoxTree(t *mesh, bound orb.Bound, empty []bool) *boxTree {
	// A key on the curve in the upper half of a number, the triangle's in the lower.
	keys := make([]uint64, t.triangles())
	parts := max(1, t.triangles()/parallelAbove)
	inParallel(parts, t.triangles(), func(p int) {
		for i := p * len(keys) / parts; i < (p+1)*len(keys)/parts; i++ {
			keys[i] = curveKey(bound, t.box(i).Center())<<32 | uint64(i)
		}
	})
	if empty != nil {
		kept := keys[:0]
		for i, k := range keys {
			if !empty[i] {
				kept = append(kept, k)
			}
		}
		keys = kept
	}
	keys = sortUpper(keys)
	b := &boxTree{triangles: make([]int32, len(keys))}
	for i, k := range keys {
		b.triangles[i] = int32(k & math.MaxUint32)
	}
	level := gatherAll(len(b.triangles), func(i int) orb.Bound { return t.box(int(b.triangles[i])) })
	for b.levels = append(b.levels, level); len(level) > 1; b.levels = append(b.levels, level) {
		below := level
		level = gather(make([]orb.Bound, 0, len(below)/treeFan+1), 0, len(below), func(i int) orb.Bound { return below[i] })
	}
	return b
}

// sortUpper sorts numbers by their upper 32 bits and keeps the order of those
// alike: a radix sort of three rounds. It may use the list given for its answer.
func sortUpper(keys []uint64) []uint64 {
	other := make([]uint64, len(keys))
	for shift := 32; shift < 64; shift += digitBits {
		var start [digits]int
		for _, k := range keys {
			start[k>>shift&(digits-1)]++
		}
		sum := 0
		for d, n := range start {
			start[d], sum = sum, sum+n
		}
		for _, k := range keys {
			d := k >> shift & (digits - 1)
			other[start[d]] = k
			start[d]++
		}
		keys, other = other, keys
	}
	return keys
}

// gatherAll is gather with the work shared out.
func gatherAll(n int, box func(i int) orb.Bound) []orb.Bound {
	out := make([]orb.Bound, (n+treeFan-1)/treeFan)
	parts := max(1, n/parallelAbove)
	inParallel(parts, n, func(p int) {
		first, last := p*len(out)/parts, (p+1)*len(out)/parts
		gather(out[first:first:last], first*treeFan, min(last*treeFan, n), box)
	})
	return out
}

// gather appends one box around each run of treeFan boxes, from a whole run on.
func gather(out []orb.Bound, from, to int, box func(i int) orb.Bound) []orb.Bound {
	for i := from; i < to; i++ {
		if i%treeFan == 0 {
			out = append(out, box(i))
		} else {
			widen(&out[len(out)-1], box(i))
		}
	}
	return out
}

// widen lets a box hold another; neither is empty.
func widen(b *orb.Bound, with orb.Bound) {
	b.Min = orb.Point{min(b.Min[0], with.Min[0]), min(b.Min[1], with.Min[1])}
	b.Max = orb.Point{max(b.Max[0], with.Max[0]), max(b.Max[1], with.Max[1])}
}

// curveKey is the place's rank on a Hilbert curve of 2^16 steps a side over the
// bound: D. Hilbert, "Ueber die stetige Abbildung einer Linie auf ein
// Flaechenstueck", Mathematische Annalen 38 (1891), 459-460.
func curveKey(bound orb.Bound, p orb.Point) uint64 {
	const side = 1 << 16
	var cell [2]uint32
	for k := range 2 {
		if width := bound.Max[k] - bound.Min[k]; width > 0 {
			cell[k] = uint32(min(max((p[k]-bound.Min[k])/width*side, 0), side-1))
		}
	}
	x, y, key := cell[0], cell[1], uint64(0)
	for s := uint32(side / 2); s > 0; s /= 2 {
		east, north := x&s != 0, y&s != 0
		quarter := uint64(0)
		switch {
		case !east && north:
			quarter = 1
		case east && north:
			quarter = 2
		case east:
			quarter = 3
		}
		key = key<<2 | quarter
		if !north { // the lower quarters are turned
			if east {
				x, y = side-1-x, side-1-y
			}
			x, y = y, x
		}
	}
	return key
}

// box around triangle i.
func (t *mesh) box(i int) orb.Bound {
	a, b, c := t.at[t.corner[3*i]], t.at[t.corner[3*i+1]], t.at[t.corner[3*i+2]]
	return orb.Bound{
		Min: orb.Point{min(a.x, b.x, c.x), min(a.y, b.y, c.y)},
		Max: orb.Point{max(a.x, b.x, c.x), max(a.y, b.y, c.y)},
	}
}

// Triangles yields every triangle with ground that touches the box, its edges
// included, in a fixed order.
func (t *TIN) Triangles(box orb.Bound) iter.Seq[Triangle] {
	return func(yield func(Triangle) bool) {
		t.buildOnce.Do(func() { t.boxes = newBoxTree(&t.mesh, t.bound, t.empty) })
		t.boxes.visit(len(t.boxes.levels)-1, 0, box, func(i int32) bool {
			return !t.touches(int(i), box) || yield(t.triangle(int(i)))
		})
	}
}

// visit goes through the triangles under a box of the tree until yield is false.
func (b *boxTree) visit(level, node int, box orb.Bound, yield func(int32) bool) bool {
	if !b.levels[level][node].Intersects(box) {
		return true
	}
	if level == len(b.levels)-1 && holds(box, b.levels[level][node]) {
		for _, i := range b.triangles { // all of them, in the same order
			if !yield(i) {
				return false
			}
		}
		return true
	}
	below := len(b.triangles)
	if level > 0 {
		below = len(b.levels[level-1])
	}
	for i := node * treeFan; i < min((node+1)*treeFan, below); i++ {
		if level > 0 && !b.visit(level-1, i, box, yield) || level == 0 && !yield(b.triangles[i]) {
			return false
		}
	}
	return true
}

// holds reports whether a box lies within another, their edges included.
func holds(outer, inner orb.Bound) bool {
	return outer.Contains(inner.Min) && outer.Contains(inner.Max)
}

// touches reports exactly whether triangle i and a box have a place in common:
// two convex shapes do not when, and only when, a side of one separates them.
func (t *mesh) touches(i int, box orb.Bound) bool {
	own := t.box(i)
	if !own.Intersects(box) {
		return false
	}
	if holds(box, own) {
		return true
	}
	corners := [4]xy{place(box.Min), {box.Max[0], box.Min[1]}, place(box.Max), {box.Min[0], box.Max[1]}}
	for c := int32(3 * i); c < int32(3*i)+3; c++ {
		apart := true
		for _, p := range corners {
			apart = apart && t.leftOf(c, p) < 0
		}
		if apart {
			return false
		}
	}
	return true
}
