package site

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// makeOutline closes the corners to a ring and turns it counter-clockwise; it
// keeps its first corner.
func makeOutline(of string, corners []corner) Outline {
	ordered := slices.Clone(corners)
	if twiceArea(ordered) < 0 {
		slices.Reverse(ordered[1:])
	}
	ordered = append(ordered, ordered[0])
	o := Outline{Ref: corners[0].ref, Of: of}
	for _, c := range ordered {
		o.Ring = append(o.Ring, c.at)
		o.Refs = append(o.Refs, c.ref)
	}
	return o
}

// twiceArea is twice the signed area of a ring, positive counter-clockwise
// (the surveyor's coordinate method). It is taken about the first corner, so
// that large coordinates lose no digits.
func twiceArea(corners []corner) float64 {
	sum := 0.0
	for i := 2; i < len(corners); i++ {
		sum += turn(corners[0].at, corners[i-1].at, corners[i].at)
	}
	return sum
}

// turn is twice the area of the triangle a, b, c; positive when it turns left.
func turn(a, b, c orb.Point) float64 {
	return float64((b[0]-a[0])*(c[1]-a[1])) - float64((b[1]-a[1])*(c[0]-a[0]))
}

// findCrossing returns two sides of a ring that meet elsewhere than at the
// corner they share, by their first corners. Sides are swept by x, so that long
// outlines take no time.
func findCrossing(corners []corner) (a, b int, found bool) {
	n := len(corners)
	end := func(i int) orb.Point { return corners[(i+1)%n].at }
	left := func(i int) float64 { return math.Min(corners[i].at[0], end(i)[0]) }
	right := func(i int) float64 { return math.Max(corners[i].at[0], end(i)[0]) }
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Or(cmp.Compare(left(i), left(j)), i-j) })
	for k, i := range order {
		for _, j := range order[k+1:] {
			if left(j) > right(i) {
				break
			}
			if meet(corners[i].at, end(i), corners[j].at, end(j), (i+1)%n == j, (j+1)%n == i) {
				return min(i, j), max(i, j), true
			}
		}
	}
	return 0, 0, false
}

// meet reports whether the sides a-b and c-d meet. When d follows b (next) or b
// follows d (before) they share a corner, and meet only when one folds back
// onto the other.
func meet(a, b, c, d orb.Point, next, before bool) bool {
	if next || before {
		shared, p, q := b, a, d
		if before {
			shared, p, q = a, b, c
		}
		along := (p[0]-shared[0])*(q[0]-shared[0]) + (p[1]-shared[1])*(q[1]-shared[1])
		return turn(p, shared, q) == 0 && along > 0
	}
	ta, tb := turn(c, d, a), turn(c, d, b)
	tc, td := turn(a, b, c), turn(a, b, d)
	if opposite(ta, tb) && opposite(tc, td) {
		return true
	}
	return ta == 0 && inBox(a, c, d) || tb == 0 && inBox(b, c, d) || tc == 0 && inBox(c, a, b) || td == 0 && inBox(d, a, b)
}

func opposite(a, b float64) bool { return a > 0 && b < 0 || a < 0 && b > 0 }

func inBox(p, a, b orb.Point) bool {
	return p[0] >= math.Min(a[0], b[0]) && p[0] <= math.Max(a[0], b[0]) &&
		p[1] >= math.Min(a[1], b[1]) && p[1] <= math.Max(a[1], b[1])
}
