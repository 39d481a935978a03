package geometry

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// Validate must see every kind of damage, or the tests that lean on it prove
// nothing.
func TestValidateSeesDamage(t *testing.T) {
	fresh := func() *TIN {
		return mustTIN(t, randomPoints(50), TINOptions{Breaklines: [][]int{{0, 1}}})
	}
	inner := func(tin *TIN) int32 { // a corner of an edge that could be turned
		for c, o := range tin.twin {
			if o == none || tin.isFixed(int32(c)) {
				continue
			}
			x, y := tin.at[tin.apex(int32(c))], tin.at[tin.apex(o)]
			if sideOf(x, y, tin.at[tin.from(int32(c))])*sideOf(x, y, tin.at[tin.to(int32(c))]) < 0 {
				return int32(c)
			}
		}
		return none
	}
	for name, tc := range map[string]struct {
		damage func(*TIN)
		says   string
	}{
		"clockwise":    {func(t *TIN) { t.corner[0], t.corner[1] = t.corner[1], t.corner[0] }, "counter-clockwise"},
		"lost place":   {func(t *TIN) { t.at[t.from(t.hull[0])].x += 500 }, ""},
		"extra place":  {func(t *TIN) { t.addPlace(xy{-1, -1}) }, "in no triangle"},
		"short list":   {func(t *TIN) { t.elevation = t.elevation[1:] }, "unlike length"},
		"parted edge":  {func(t *TIN) { c := inner(t); t.twin[t.twin[c]], t.twin[c] = none, none }, "outer edges"},
		"wrong twin":   {func(t *TIN) { c := inner(t); t.twin[c] = t.twin[following(c)] }, "not the same edge"},
		"one-sided":    {func(t *TIN) { t.fixed[inner(t)] = true }, "disagree"},
		"hull order":   {func(t *TIN) { t.hull[0], t.hull[1] = t.hull[1], t.hull[0] }, "breaks"},
		"not convex":   {func(t *TIN) { dent(t) }, ""},
		"not Delaunay": {func(t *TIN) { turnEdge(t, inner(t)) }, "circle"},
	} {
		tin := fresh()
		tc.damage(tin)
		if err := tin.Validate(); err == nil || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s: Validate says %v, want %q", name, err, tc.says)
		}
	}
}

func (t *TIN) addPlace(p xy) {
	t.at, t.elevation, t.input = append(t.at, p), append(t.elevation, 0), append(t.input, none)
}

// dent takes a hull triangle away by marking another as the outer edge.
func dent(t *TIN) {
	c := t.hull[0]
	t.corner = append(t.corner, t.from(c), t.to(c), t.apex(c))
	t.twin = append(t.twin, none, none, none)
	t.fixed = append(t.fixed, false, false, false)
	t.empty = append(t.empty, false)
}

// turnEdge flips an edge of a convex pair of triangles.
func turnEdge(t *TIN, c int32) {
	d := &drafter{TIN: t}
	outer := d.findStarts(nil)
	d.turn(c)
	d.findHull(outer)
}

// Points along the straight sides of a field, far from the origin and askew, are
// not exactly in line. The slivers between them are left out, nothing else is.
func TestHullSliversAreLeftOut(t *testing.T) {
	var points []GroundPoint
	for i := range 40 {
		for j := range 6 {
			u, v := 1.7*float64(i), 5*float64(j)
			p := xy{600000 + (3*u-v)/math.Sqrt(10), 4100000 + (u+3*v)/math.Sqrt(10)}
			points = append(points, GroundPoint{orb.Point{p.x, p.y}, 100})
		}
	}
	tin := mustTIN(t, points, TINOptions{})
	if tin.Summary().Empty == 0 {
		t.Fatal("this set makes no slivers, so it shows nothing")
	}
	if got, want := tin.Summary().Triangles, 2*39*5; got != want {
		t.Errorf("%d triangles, a field of 39 by 5 cells has %d", got, want)
	}
	_, area := tin.area(func(i int) bool { return !tin.empty[i] })
	if want := 39 * 1.7 * 25.0; math.Abs(area-want) > 1e-4 {
		t.Errorf("area %v, want %v", area, want)
	}
}
