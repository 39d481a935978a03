package geometry

import (
	"math"
	"sync"

	"github.com/paulmach/orb"
)

// seam is how far triangles drawn by others may lie over one another, and how
// wide a gap between them may be, and still be one sheet, m. Files carry
// coordinates to a millimetre or a hundredth of a foot, so that slivers between
// rows of points come out turned over by as much; a centimetre moves no volume
// that could be paid.
const seam = 0.01

// apartAtRim reports whether no triangle with a side that has none beyond lies
// over another one. Then no two triangles do: all run counter-clockwise, so how
// many lie over a place changes only at such sides, and where it grows beyond one
// the triangle of that side lies over another. Of a survey's many triangles few are
// at the rim. It reports false when too many are for this to be of use.
func (f *Faces) apartAtRim() bool {
	rim := 0
	for c := range int32(len(f.twin)) {
		if f.twin[c] != none {
			continue
		}
		if rim++; rim > len(f.twin)/rimShare+leastRim || f.liesOverAny(c/3) {
			return false
		}
	}
	return true
}

// Of more sides at the rim than one in rimShare, and leastRim, the triangles are
// looked at all together. It sets the time, never the outcome.
const (
	rimShare = 20
	leastRim = 1000
)

// liesOverAny reports whether a triangle lies over another one.
func (f *Faces) liesOverAny(i int32) bool {
	return !f.boxes.visit(len(f.boxes.levels)-1, 0, f.box(int(i)), func(j int32) bool {
		return i == j || f.separated(i, j) || f.separated(j, i)
	})
}

// findOverlaps marks triangles that stand twice and returns the first pair, in
// the caller's order, that lies over one another by more than a seam. origin
// tells where each triangle stood in the caller's list.
func (f *Faces) findOverlaps(origin []int32) (repeated []bool, err error) {
	n := f.triangles()
	repeated = make([]bool, n)
	parts := max(1, min(overlapParts, n/parallelAbove))
	worst := make([][2]int32, parts)
	var wait sync.WaitGroup
	for p := range parts {
		wait.Go(func() {
			worst[p] = [2]int32{none, none}
			for i := p * n / parts; i < (p+1)*n/parts; i++ {
				if j := f.overlap(int32(i), repeated); j != none && worst[p][0] == none {
					worst[p] = [2]int32{int32(i), j}
				}
			}
		})
	}
	wait.Wait()
	for _, w := range worst { // parts are in order, so the first found is the first of all
		if w[0] != none {
			return nil, &FacesError{
				Rule: FacesOverlap, Faces: []int{int(origin[w[1]]), int(origin[w[0]])}, At: f.box(int(w[0])).Center(),
			}
		}
	}
	return repeated, nil
}

// overlapParts is how many goroutines at most look for overlaps.
const overlapParts = 8

// overlap returns the first triangle before i that lies over it, or none, and
// marks i when an earlier one has the same corners.
func (f *Faces) overlap(i int32, repeated []bool) int32 {
	found := none
	f.boxes.visit(len(f.boxes.levels)-1, 0, f.box(int(i)), func(j int32) bool {
		switch {
		case j >= i || f.separated(i, j) || f.separated(j, i):
		case f.sameCorners(i, j):
			repeated[i] = true
		case found == none || j < found:
			found = j
		}
		return true
	})
	if repeated[i] {
		return none
	}
	return found
}

// separated reports whether an edge of triangle i has all of triangle j on its
// right, or on its left by no more than a seam: two convex shapes do not overlap
// when, and only when, a side of one separates them.
func (f *Faces) separated(i, j int32) bool {
	for c := 3 * i; c < 3*i+3; c++ {
		a, b := f.at[f.from(c)], f.at[f.to(c)]
		dx, dy := b.x-a.x, b.y-a.y
		limit := seam * math.Hypot(dx, dy)
		apart := true
		for k := 3 * j; k < 3*j+3 && apart; k++ {
			p := f.at[f.corner[k]]
			apart = dx*(p.y-a.y)-dy*(p.x-a.x) <= limit
		}
		if apart {
			return true
		}
	}
	return false
}

// sameCorners reports whether two triangles have the same three points.
func (f *Faces) sameCorners(i, j int32) bool {
	var a, b [3]int32
	copy(a[:], f.corner[3*i:])
	copy(b[:], f.corner[3*j:])
	// Both run counter-clockwise, so they are the same up to where they start.
	return a == b || a == [3]int32{b[1], b[2], b[0]} || a == [3]int32{b[2], b[0], b[1]}
}

// visitLine goes through the triangles under boxes that the segment of a ray
// may touch.
func (b *boxTree) visitLine(level, node int, r ray, yield func(int32)) {
	if !r.mayTouch(b.levels[level][node]) {
		return
	}
	below := len(b.triangles)
	if level > 0 {
		below = len(b.levels[level-1])
	}
	for i := node * treeFan; i < min((node+1)*treeFan, below); i++ {
		if level > 0 {
			b.visitLine(level-1, i, r, yield)
		} else {
			yield(b.triangles[i])
		}
	}
}

// mayTouch is false only where the segment of a ray surely misses a box.
func (r ray) mayTouch(box orb.Bound) bool {
	if min(r.a.x, r.b.x) > box.Max[0] || max(r.a.x, r.b.x) < box.Min[0] ||
		min(r.a.y, r.b.y) > box.Max[1] || max(r.a.y, r.b.y) < box.Min[1] {
		return false
	}
	// The box's middle is no farther from the ray's line than half its extent
	// square to the ray, with room for rounding.
	x, y := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]
	half := (math.Abs(r.uy)*x + math.Abs(r.ux)*y) / 2
	centre := box.Center()
	aside := math.Abs(r.aside(xy{centre[0], centre[1]}))
	return aside <= half+roundOffAside*(1+half+math.Abs(centre[0])+math.Abs(centre[1])+math.Abs(r.a.x)+math.Abs(r.a.y))
}

// roundOffAside guards the distance of a box from a ray against rounding,
// relative to the coordinates; a box too many costs only time.
const roundOffAside = 1e-12
