package geometry

import (
	"iter"

	"github.com/paulmach/orb"
)

// Numbers counts the triangles.
func (f *Faces) Numbers() int { return f.triangles() }

// Triangle is the triangle of a number.
func (f *Faces) Triangle(i int) Triangle { return f.triangle(int32(i)) }

// Across is the side beyond a side: triangles are neighbours where the ends of
// their sides agree in plan to the last digit.
func (f *Faces) Across(side int) int { return int(f.twin[side]) }

// Stepped is true: a surveyor may draw two triangles with unlike elevations
// along one line.
func (f *Faces) Stepped() bool { return true }

// Near yields the triangles that touch a box.
func (f *Faces) Near(box orb.Bound) iter.Seq[int] {
	return func(yield func(int) bool) {
		f.boxes.visit(len(f.boxes.levels)-1, 0, box, func(i int32) bool {
			return !f.touches(int(i), box) || yield(int(i))
		})
	}
}

// pair finds for each side the side beyond. Of several at one place the first
// two that run opposite ways are a pair.
func (f *Faces) pair() {
	same := f.samePlaces()
	start := make([]int32, len(f.at)+1) // of the sides that leave each place
	for _, v := range f.corner {
		start[same[v]+1]++
	}
	for v := range f.at {
		start[v+1] += start[v]
	}
	leaving := make([]int32, len(f.corner))
	for c := len(f.corner) - 1; c >= 0; c-- { // start[v+1] walks down to v's own start
		v := same[f.corner[c]] + 1
		start[v]--
		leaving[start[v]] = int32(c)
	}
	f.twin = make([]int32, len(f.corner))
	for c := range f.twin {
		f.twin[c] = none
	}
	for c := range int32(len(f.twin)) {
		if f.twin[c] != none {
			continue
		}
		from, to := same[f.from(c)], same[f.to(c)]
		first, end := start[to+1], int32(len(leaving))
		if int(to)+2 < len(start) {
			end = start[to+2]
		}
		for _, o := range leaving[first:end] {
			if f.twin[o] == none && same[f.to(o)] == from {
				f.twin[c], f.twin[o] = o, c
				break
			}
		}
	}
}

// samePlaces tells for each point the first one, in order from west to east,
// that stands at the same place in plan.
func (f *Faces) samePlaces() []int32 {
	points := make([]GroundPoint, len(f.at))
	for i, p := range f.at {
		points[i].At = orb.Point{p.x, p.y}
	}
	same := make([]int32, len(f.at))
	last := none
	for _, p := range eastward(points) {
		if last == none || f.at[last] != f.at[p] {
			last = p
		}
		same[p] = last
	}
	return same
}

// Rims are the rings along which the ground ends, with the ground on their left:
// outer ones run counter-clockwise, those round a hole clockwise. They are
// closed.
func (f *Faces) Rims() []orb.Ring {
	var out []orb.Ring
	seen := make([]bool, len(f.twin))
	for c := range int32(len(f.twin)) {
		if f.twin[c] != none || seen[c] {
			continue
		}
		var ring orb.Ring
		for r := c; !seen[r]; r = f.alongRim(r) {
			seen[r] = true
			p := f.at[f.from(r)]
			ring = append(ring, orb.Point{p.x, p.y})
		}
		out = append(out, append(ring, ring[0]))
	}
	return out
}

// alongRim is the side at the rim that follows one.
func (f *Faces) alongRim(c int32) int32 {
	for c = following(c); f.twin[c] != none; {
		c = following(f.twin[c])
	}
	return c
}
