package geometry

import (
	"fmt"
	"math"
)

// areaRoundOff is how far, relative to the whole, the sum of triangle areas may
// be from the hull's area by rounding alone.
const areaRoundOff = 1e-9

// Validate checks that the triangulation is what it claims to be and names the
// first thing that is not: edges joined in pairs, triangles counter-clockwise,
// V - E + F = 2 (Euler), a convex outer edge, areas that add up to the hull's,
// and no place inside the circle of a triangle that can see it across an edge
// which is no breakline. It is for tests, of this package and of others.
func (t *TIN) Validate() error {
	for _, check := range []func() error{
		t.checkCorners, t.checkPairs, t.checkEuler, t.checkHull, t.checkCircles,
	} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

func (t *TIN) checkCorners() error {
	if len(t.elevation) != len(t.at) || len(t.input) != len(t.at) || len(t.empty) != t.triangles() {
		return fmt.Errorf("lists of unlike length: %d places, %d elevations, %d numbers, %d triangles, %d marks",
			len(t.at), len(t.elevation), len(t.input), t.triangles(), len(t.empty))
	}
	seen := make([]bool, len(t.at))
	for c := int32(0); int(c) < len(t.corner); c++ {
		seen[t.from(c)] = true
		if c%3 == 0 && !(t.leftOf(c, t.at[t.apex(c)]) > 0) {
			return fmt.Errorf("triangle %d is not counter-clockwise", c/3)
		}
	}
	for v, ok := range seen {
		if !ok {
			return fmt.Errorf("place %d is in no triangle", v)
		}
	}
	return nil
}

func (t *TIN) checkPairs() error {
	outer := 0
	for c, o := range t.twin {
		c := int32(c)
		switch {
		case o == none:
			outer++
		case t.twin[o] != c || t.from(o) != t.to(c) || t.to(o) != t.from(c):
			return fmt.Errorf("corners %d and %d are not the same edge", c, o)
		case t.isFixed(c) != t.isFixed(o):
			return fmt.Errorf("corners %d and %d disagree about a breakline", c, o)
		}
	}
	if outer != len(t.hull) {
		return fmt.Errorf("%d outer edges, %d in the hull", outer, len(t.hull))
	}
	return nil
}

func (t *TIN) checkEuler() error {
	edges := (len(t.corner) + len(t.hull)) / 2
	if v := len(t.at) - edges + t.triangles() + 1; v != 2 {
		return fmt.Errorf("places - edges + faces is %d, not 2", v)
	}
	return nil
}

func (t *TIN) checkHull() error {
	var ring []xy
	for i, c := range t.hull {
		next := t.hull[(i+1)%len(t.hull)]
		if t.twin[c] != none || t.to(c) != t.from(next) {
			return fmt.Errorf("the hull breaks after corner %d", c)
		}
		if t.leftOf(c, t.at[t.to(next)]) < 0 {
			return fmt.Errorf("the hull is not convex at place %d", t.to(c))
		}
		ring = append(ring, t.at[t.from(c)])
	}
	sum := 0.0
	for c := int32(0); int(c) < len(t.corner); c += 3 {
		sum += t.leftOf(c, t.at[t.apex(c)]) / 2
	}
	whole := 0.0
	for i := 2; i < len(ring); i++ {
		whole += sideOf(ring[0], ring[i-1], ring[i]) / 2
	}
	// The bound of rounding is on the box, since a thin hull has little area.
	size := 0.0
	for _, p := range ring {
		size = max(size, math.Abs(p.x-ring[0].x), math.Abs(p.y-ring[0].y))
	}
	if math.Abs(sum-whole) > areaRoundOff*size*size {
		return fmt.Errorf("triangles add up to %v m2, the hull has %v m2", sum, whole)
	}
	return nil
}

func (t *TIN) checkCircles() error {
	for c, o := range t.twin {
		c := int32(c)
		if o < c || t.isFixed(c) { // once an edge; none is below all
			continue
		}
		if inCircle(t.at[t.from(c)], t.at[t.to(c)], t.at[t.apex(c)], t.at[t.apex(o)]) > 0 {
			return fmt.Errorf("place %d lies in the circle of triangle %d", t.apex(o), c/3)
		}
	}
	return nil
}
