package geometry

import (
	"cmp"
	"math"
	"slices"
	"sync"
)

// ordered is a set of places ready for triangulation: no two alike, in strips
// from west to east, in each strip from south to north.
type ordered struct {
	at     []xy
	input  []int32 // where each stood in the caller's list
	strips []int   // first place of each strip, and the end
}

// stripFill is the mean number of places in a square that is as wide as a
// strip. Dwyer's cut into cells that hold about log n places (R. A. Dwyer, "A
// Faster Divide-and-Conquer Algorithm for Constructing Delaunay Triangulations",
// Algorithmica 2 (1987), 137-151) keeps parts nearly square, so that few edges
// are made only to be removed. It sets the time, never the outcome's validity;
// 8 was the quickest measured from ten thousand to a million places.
const stripFill = 8

// inStrips orders the places that are named by order, which must be sorted by
// x, then y, with no two alike.
func inStrips(points []GroundPoint, order []int32) ordered {
	n := len(order)
	count := max(1, int(math.Sqrt(float64(n)/stripFill)))
	o := ordered{make([]xy, n), order, make([]int, count+1)}
	for i := range o.strips {
		o.strips[i] = i * n / count
	}
	inParallel(count, n, func(i int) { o.sortStrip(points, o.strips[i], o.strips[i+1]) })
	return o
}

func (o *ordered) sortStrip(points []GroundPoint, lo, hi int) {
	strip := o.input[lo:hi]
	type item struct {
		at    xy
		input int32
	}
	items := make([]item, len(strip))
	for i, p := range strip {
		items[i] = item{place(points[p].At), p}
	}
	slices.SortFunc(items, func(a, b item) int {
		if a.at.y != b.at.y {
			return cmp.Compare(a.at.y, b.at.y)
		}
		return cmp.Compare(b.at.x, a.at.x)
	})
	for i, it := range items {
		o.at[lo+i], strip[i] = it.at, it.input
	}
}

// parallelAbove is the number of places below which a second goroutine costs
// more than it saves. The outcome is the same on any number of cores, since
// the parts are cut by count alone and each works in its own spokes.
const parallelAbove = 4096

// inParallel runs work(0) to work(count-1), in few goroutines, for n places.
func inParallel(count, n int, work func(i int)) {
	parts := max(1, min(count, n/parallelAbove))
	if parts == 1 {
		for i := range count {
			work(i)
		}
		return
	}
	var wait sync.WaitGroup
	for p := range parts {
		wait.Go(func() {
			for i := p * count / parts; i < (p+1)*count/parts; i++ {
				work(i)
			}
		})
	}
	wait.Wait()
}

// delaunay triangulates at least two places. Where more than three lie on one
// empty circle, which diagonal is drawn depends on the places alone, not on
// their order in the caller's list. Places all on one line give no triangle.
func delaunay(o ordered) *mesh {
	s := &spokes{o.at, make([]spoke, 6*len(o.at))}
	h := s.conquer(o.strips)
	return s.mesh(h.ccw)
}

// conquer merges a run of strips two by two.
func (s *spokes) conquer(strips []int) hull {
	first, end := strips[0], strips[len(strips)-1]
	if len(strips) == 2 {
		return s.strip(first, end)
	}
	mid := len(strips) / 2
	var west, east hull
	if end-first > parallelAbove {
		var wait sync.WaitGroup
		wait.Go(func() { west = s.conquer(strips[:mid+1]) })
		east = s.conquer(strips[mid:])
		wait.Wait()
	} else {
		west, east = s.conquer(strips[:mid+1]), s.conquer(strips[mid:])
	}
	h := hull{free: s.join(west.free, east.free)}
	h.ccw, h.cw = s.merge(&h.free, west.ccw, west.cw, east.ccw, east.cw)
	return h
}

// strip triangulates one strip, then finds its hull's west and east ends.
func (s *spokes) strip(lo, hi int) hull {
	h := hull{free: s.freeRun(lo, hi-lo)}
	start, _ := s.triangulate(lo, hi, &h.free)
	h.ccw, h.cw = start, start^1
	for e := s.rightPrev(start); e != start; e = s.rightPrev(e) {
		if westOf(s.org(e), s.org(h.ccw)) {
			h.ccw = e
		}
		if westOf(s.org(h.cw), s.dest(e)) {
			h.cw = e ^ 1
		}
	}
	return h
}

// westOf orders places by x, then y.
func westOf(a, b xy) bool { return a.x < b.x || a.x == b.x && a.y < b.y }
