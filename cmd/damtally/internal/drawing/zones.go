package drawing

import (
	"math"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// zoneRings is the area of one label in a section's slabs as rings of offset and
// elevation, m, counter-clockwise with holes clockwise. Pieces that touch are one.
func zoneRings(slabs []geometry.Slab, label int) []orb.LineString {
	var out []geometry.Segment
	edge := func(x0, z0, x1, z1 float64) {
		out = append(out, geometry.Segment{From: orb.Point{x0, z0}, To: orb.Point{x1, z1}})
	}
	var before []geometry.Interval // of the label at the right end of the slab before
	at := math.NaN()
	for _, s := range slabs {
		if s.From != at {
			uprights(edge, at, before, nil)
			before = nil
		}
		var left, right []geometry.Interval
		for i, t := range s.Stack {
			if t.Label != label {
				continue
			}
			if i == 0 || !joined(s.Stack[i-1], t) {
				edge(s.From, t.BottomFrom, s.To, t.BottomTo)
			}
			if i+1 == len(s.Stack) || !joined(t, s.Stack[i+1]) {
				edge(s.To, t.TopTo, s.From, t.TopFrom)
			}
			left = merged(left, geometry.Interval{From: t.BottomFrom, To: t.TopFrom})
			right = merged(right, geometry.Interval{From: t.BottomTo, To: t.TopTo})
		}
		uprights(edge, s.From, before, left)
		before, at = right, s.To
	}
	uprights(edge, at, before, nil)
	return geometry.Chain(out)
}

// joined tells whether a trapezoid and the one over it are of one zone without a
// line between.
func joined(low, high geometry.Trapezoid) bool {
	return low.Label == high.Label && low.TopFrom == high.BottomFrom && low.TopTo == high.BottomTo
}

// merged adds an interval that lies above the others, or on the last one.
func merged(in []geometry.Interval, i geometry.Interval) []geometry.Interval {
	if n := len(in); n > 0 && i.From <= in[n-1].To {
		in[n-1].To = max(in[n-1].To, i.To)
		return in
	}
	return append(in, i)
}

// uprights adds the vertical edges at an offset between what a zone covers on its
// left and on its right: up where it ends, down where it begins.
func uprights(edge func(x0, z0, x1, z1 float64), x float64, left, right []geometry.Interval) {
	var levels []float64
	for _, i := range append(append([]geometry.Interval(nil), left...), right...) {
		levels = append(levels, i.From, i.To)
	}
	sortFloats(levels)
	for k := 1; k < len(levels); k++ {
		a, b := levels[k-1], levels[k]
		if !(b > a) {
			continue
		}
		switch m := (a + b) / 2; {
		case covers(left, m) && !covers(right, m):
			edge(x, a, x, b)
		case !covers(left, m) && covers(right, m):
			edge(x, b, x, a)
		}
	}
}

func covers(in []geometry.Interval, z float64) bool {
	for _, i := range in {
		if z > i.From && z < i.To {
			return true
		}
	}
	return false
}
