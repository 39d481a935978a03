package borrow

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// saddle is rough ground for tests: a saddle with a ridge, 12 by 12 cells.
func saddle(x, y float64) float64 {
	return 20 + 0.002*(x*x-y*y) + 0.05*x - 2*math.Abs(math.Sin(x/17))
}

// star draws a ring about the origin that does not cross itself and has corners
// that point in.
func star(t *rapid.T) orb.Ring {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	var ring orb.Ring
	for i := range n {
		a := 2 * math.Pi * (float64(i) + rapid.Float64Range(0, 0.6).Draw(t, "turn")) / float64(n)
		r := rapid.Float64Range(12, 40).Draw(t, "radius")
		ring = append(ring, orb.Point{r * math.Cos(a), r * math.Sin(a)})
	}
	return append(ring, ring[0])
}

// anyPit draws a pit on level, plane or rough ground near elevation 20.
func anyPit(t *rapid.T) Pit {
	p := Pit{
		Ring:      star(t),
		SideSlope: rapid.SampledFrom([]float64{0, 0.5, 1, 1.5, 2, 3}).Draw(t, "slope"),
		Strip:     rapid.Float64Range(0, 1).Draw(t, "strip"),
		Floor:     rapid.Float64Range(10, 19).Draw(t, "floor"),
		Level:     20,
	}
	if rapid.Bool().Draw(t, "by depth") {
		p.ByDepth, p.Floor = true, 20-p.Floor
	}
	switch rapid.IntRange(0, 2).Draw(t, "ground") {
	case 1:
		p.Surface = planeGround(200, 20, rapid.Float64Range(-0.2, 0.2).Draw(t, "east"), rapid.Float64Range(-0.2, 0.2).Draw(t, "north"))
	case 2:
		p.Surface = gridGround(12, 200, saddle)
	}
	return p
}

// measureAny is Measure with a pit of nothing to dig as an empty one.
func measureAny(t *rapid.T, p Pit) Capacity {
	c, err := p.Measure()
	if err != nil && !errors.Is(err, ErrFloorAbove) && !errors.Is(err, ErrSteepGround) {
		t.Fatalf("%v: %v", p.Ring, err)
	}
	return c
}

// facetSlack is what the facets may change of a volume, see Pit.Measure.
const facetSlack = 3e-5

// A lower floor and a steeper side give no less soil; more topsoil gives no less
// topsoil, no more bank soil and the same in all.
func TestPitMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPit(t)
		base := measureAny(t, p)
		hair := 1e-9 * base.Area

		lower := p
		step := rapid.Float64Range(0, 2).Draw(t, "step")
		if p.ByDepth {
			lower.Floor += step
		} else {
			lower.Floor -= step
		}
		if c := measureAny(t, lower); c.Dug < base.Dug-hair || c.Bank < base.Bank-hair || c.Floor > base.Floor+hair && p.ByDepth {
			t.Fatalf("lower floor: %+v after %+v", c, base)
		}
		flatter := p
		flatter.SideSlope += rapid.Float64Range(steepestSide, 1).Draw(t, "flatter")
		if c := measureAny(t, flatter); c.Dug > base.Dug*(1+facetSlack)+hair {
			t.Fatalf("flatter side: %+v after %+v", c, base)
		}
		deeper := p
		deeper.Strip += rapid.Float64Range(0, 1).Draw(t, "more topsoil")
		c := measureAny(t, deeper)
		if c.Strip < base.Strip-hair || c.Bank > base.Bank+hair || math.Abs(c.Dug-base.Dug) > hair {
			t.Fatalf("more topsoil: %+v after %+v", c, base)
		}
		if base.Dug > base.Area*base.Deepest+hair || base.Strip < -hair || base.Floor > base.Area+hair {
			t.Fatalf("out of bounds: %+v", base)
		}
	})
}

// A pit turned, shifted, mirrored, or listed from another corner the other way
// round is the same pit. Ground turned with it is cut along other lines, so only
// rounding and facets may differ.
func TestPitRigidMotion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPit(t)
		base := measureAny(t, p)
		turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		dx, dy := rapid.Float64Range(-1e4, 1e4).Draw(t, "dx"), rapid.Float64Range(-1e4, 1e4).Draw(t, "dy")
		dz := rapid.Float64Range(-100, 100).Draw(t, "dz")
		mirror := rapid.SampledFrom([]float64{1, -1}).Draw(t, "mirror")
		move := func(q orb.Point) orb.Point {
			x, y := q[0], mirror*q[1]
			return orb.Point{dx + x*math.Cos(turn) - y*math.Sin(turn), dy + x*math.Sin(turn) + y*math.Cos(turn)}
		}
		m := p
		m.Ring = nil
		first := rapid.IntRange(0, len(p.Ring)-2).Draw(t, "first")
		for i := range len(p.Ring) {
			m.Ring = append(m.Ring, move(p.Ring[(first+i)%(len(p.Ring)-1)]))
		}
		if rapid.Bool().Draw(t, "other way") {
			slices.Reverse(m.Ring)
		}
		m.Level += dz
		if !p.ByDepth {
			m.Floor += dz
		}
		if s, ok := p.Surface.(triangles); ok {
			moved := slices.Clone(s)
			for i, tri := range s {
				for k, q := range tri.At {
					moved[i].At[k], moved[i].Elevation[k] = move(q), tri.Elevation[k]+dz
				}
				if mirror < 0 {
					moved[i].At[1], moved[i].At[2] = moved[i].At[2], moved[i].At[1]
					moved[i].Elevation[1], moved[i].Elevation[2] = moved[i].Elevation[2], moved[i].Elevation[1]
				}
			}
			m.Surface = moved
		}
		c := measureAny(t, m)
		// 1e-7 of the area in metres of depth: coordinates of 1e4 m carry 2e-12 m,
		// which a facet's far end and a flat side magnify.
		slack := 1e-7 * base.Area
		for what, d := range map[string]float64{"dug": c.Dug - base.Dug, "bank": c.Bank - base.Bank, "area": c.Area - base.Area} {
			if math.Abs(d) > slack {
				t.Fatalf("%s differs by %g: %+v and %+v", what, d, c, base)
			}
		}
	})
}

// digAt is the dug surface by its definition, from points on the boundary no
// farther than step apart.
func digAt(p Pit, boundary []boundaryPoint, at orb.Point, ground float64) float64 {
	z := p.Floor
	if p.ByDepth {
		z = ground - p.Floor
	}
	for _, b := range boundary {
		dx, dy := b.at[0]-at[0], b.at[1]-at[1]
		z = max(z, b.z-math.Sqrt(dx*dx+dy*dy)/p.SideSlope)
	}
	return z
}

type boundaryPoint struct {
	at orb.Point
	z  float64
}

// sampleBoundary returns points along the ring no farther than step apart.
func sampleBoundary(p Pit, step float64) []boundaryPoint {
	var out []boundaryPoint
	for i := 1; i < len(p.Ring); i++ {
		a, b := p.Ring[i-1], p.Ring[i]
		n := math.Ceil(distance(a, b) / step)
		for k := 0.0; k < n; k++ {
			q := along(a, b, k/n)
			out = append(out, boundaryPoint{q, groundAt(p, q)})
		}
	}
	return out
}

// groundAt is the ground at a point by a search through all triangles.
func groundAt(p Pit, q orb.Point) float64 {
	if p.Surface == nil {
		return p.Level
	}
	best, z := math.Inf(-1), math.NaN()
	for _, t := range p.Surface.(triangles) {
		inside := math.Inf(1)
		for i := range 3 {
			inside = min(inside, triangleArea(t.At[i], t.At[(i+1)%3], q))
		}
		if inside > best {
			best, z = inside, onTriangle(t, q)
		}
	}
	return z
}

// The volume against a plain count of columns on a square grid, with the dug
// surface by its definition. Where depth bends one way within a column, its mean
// lies between the middle's and the mean of the corners' (Jensen's inequality,
// and two triangles below a bent surface), so the column is off by no more than
// they differ; twice that covers the few in which bends of both senses meet.
// Sampling the boundary lifts distances h to sqrt(h2 + step2 / 4), which sums to
// the last term of slack.
func TestPitAgainstColumns(t *testing.T) {
	dart := orb.Ring{{-30, -25}, {30, -20}, {35, 30}, {2, 3}, {-28, 24}, {-30, -25}}
	for name, p := range map[string]Pit{
		"level":        {Ring: dart, SideSlope: 2, Level: 20, Floor: 15},
		"rough":        {Ring: dart, SideSlope: 1.5, Floor: 14, Surface: gridGround(12, 200, saddle)},
		"rough, flat":  {Ring: dart, SideSlope: 3, Floor: 3, ByDepth: true, Surface: gridGround(12, 200, saddle)},
		"partly undug": {Ring: dart, SideSlope: 2, Floor: 19.5, Surface: planeGround(200, 20, 0.1, -0.05)},
		"steep ground": {Ring: dart, SideSlope: 3, Floor: 10, Surface: planeGround(200, 20, 0.15, 0.2)},
	} {
		t.Run(name, func(t *testing.T) {
			got := measure(t, p)
			want, slack := columns(p, 0.5, 0.2)
			if math.Abs(got.Dug-want) > slack {
				t.Errorf("dug %.3f, columns %.3f within %.3f", got.Dug, want, slack)
			}
			if slack > 0.01*want {
				t.Errorf("the check is worth nothing: %.3f within %.3f", want, slack)
			}
		})
	}
}

// columns is the volume dug by columns of the given side, and by how much it may
// be wrong.
func columns(p Pit, side, step float64) (volume, slack float64) {
	boundary := sampleBoundary(p, step)
	depth := func(q orb.Point) float64 {
		if !inside(p.Ring, q) {
			return 0
		}
		g := groundAt(p, q)
		return max(0, g-digAt(p, boundary, q, g))
	}
	bound := p.Ring.Bound()
	corner := func(i, j int) orb.Point {
		return orb.Point{bound.Min[0] + side*float64(i), bound.Min[1] + side*float64(j)}
	}
	nx, ny := int((bound.Max[0]-bound.Min[0])/side)+1, int((bound.Max[1]-bound.Min[1])/side)+1
	above := make([][]float64, nx+1)
	for i := range above {
		above[i] = make([]float64, ny+1)
		for j := range above[i] {
			above[i][j] = depth(corner(i, j))
		}
	}
	for i := range nx {
		for j := range ny {
			c := corner(i, j)
			d := depth(orb.Point{c[0] + side/2, c[1] + side/2})
			volume += d * side * side
			mean := (above[i][j] + above[i+1][j] + above[i][j+1] + above[i+1][j+1]) / 4
			slack += 2 * math.Abs(mean-d) * side * side
		}
	}
	rim, half := 0.0, step/2
	for i := 1; i < len(p.Ring); i++ {
		rim += distance(p.Ring[i-1], p.Ring[i])
	}
	slack += rim * half * half / 2 * (2 + math.Log(40/half)) / p.SideSlope
	return volume, slack
}

// inside tells whether a point lies in the ring, by counting edges east of it.
func inside(ring orb.Ring, q orb.Point) bool {
	in := false
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if (a[1] > q[1]) != (b[1] > q[1]) && q[0] < a[0]+(q[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// The sides that the tree offers for a place hold the dug surface of the
// definition there: never below it by more than the facets, never above.
func TestSidesAgainstDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPit(t)
		if p.SideSlope == 0 {
			p.SideSlope = 1
		}
		o, err := newOutline(p.Ring)
		if err != nil {
			t.Fatal(err)
		}
		edges, err := p.groundAlong(o)
		if err != nil {
			t.Fatal(err)
		}
		const step = 0.05
		boundary := sampleBoundary(p, step)
		root := newNode(o.box, sidesOf([]run{{edges, true}}, o.ring, p.SideSlope), p.reach([]run{{edges, true}}, p.Floor))
		for range 20 {
			q := orb.Point{
				rapid.Float64Range(-1, 1).Draw(t, "x") * o.box.half[0],
				rapid.Float64Range(-1, 1).Draw(t, "y") * o.box.half[1],
			}
			if !inside(append(slices.Clone(o.ring), o.ring[0]), q) {
				continue
			}
			ground := groundAt(p, o.global(q))
			want := digAt(p, boundary, o.global(q), ground)
			got := p.Floor
			if p.ByDepth {
				got = ground - p.Floor
			}
			for _, s := range root.leafAt(q, &dig{pit: p}).sides {
				if s.meets(box{mid: q}) {
					got = max(got, s.plane.at(q))
				}
			}
			// A point between two samples is at most half a step from one.
			low, high := want-facetSlack*40, want+facetSlack*40+step/2*(1/p.SideSlope+0.7)
			if got < low || got > high {
				t.Fatalf("%s: surface %.6f, by definition %.6f to %.6f", fmt.Sprint(q), got, low, high)
			}
		}
	})
}

// leafAt is the leaf of the tree that holds a point.
func (n *node) leafAt(q orb.Point, d *dig) *node {
	for !n.leaf(d) {
		if n.middle.at(q) >= 0 {
			n = n.more
		} else {
			n = n.lower
		}
	}
	return n
}
