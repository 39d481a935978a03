package borrow

import (
	"math"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"github.com/paulmach/orb"
)

// exact is the relative difference left to rounding where a volume is exact.
const exact = 1e-10

func rectangle(width, depth float64) orb.Ring {
	w, d := width/2, depth/2
	return orb.Ring{{-w, -d}, {w, -d}, {w, d}, {-w, d}, {-w, -d}}
}

func measure(t testing.TB, p Pit) Capacity {
	t.Helper()
	c, err := p.Measure()
	if err != nil {
		t.Fatalf("%v: %v", p.Ring, err)
	}
	return c
}

func near(t testing.TB, what string, got, want float64) {
	t.Helper()
	published.Near(t, what, got, want, exact*math.Max(1, math.Abs(want)))
}

// prismoid is the volume between a rectangle and one inset by slope x h on all
// sides: h (A1 + 4 Am + A2) / 6 (prismoidal formula, exact for a prismatoid).
func prismoid(w, d, slope, h float64) float64 {
	a := func(z float64) float64 { return (w - 2*slope*z) * (d - 2*slope*z) }
	return h * (a(0) + 4*a(h/2) + a(h)) / 6
}

func TestRectangles(t *testing.T) {
	for _, c := range []struct{ w, d, slope, h float64 }{
		{100, 70, 2, 4}, {30, 200, 1.5, 3}, {50, 50, 0, 5}, {50, 50, 0.5, 5}, {12, 12, 2, 3},
	} {
		got := measure(t, Pit{Ring: rectangle(c.w, c.d), SideSlope: c.slope, Level: 100, Floor: 100 - c.h})
		near(t, "dug", got.Dug, prismoid(c.w, c.d, c.slope, c.h))
		near(t, "area", got.Area, c.w*c.d)
		near(t, "floor", got.Floor, (c.w-2*c.slope*c.h)*(c.d-2*c.slope*c.h))
		near(t, "deepest", got.Deepest, c.h)
		near(t, "dug to", got.DugTo, 100-c.h)
		if got.Strip != 0 || got.Bank != got.Dug {
			t.Errorf("no topsoil, yet %+v", got)
		}
	}
}

// Square and hexagon: similar sections, so V = h/3 (A1 + A2 + sqrt(A1 A2)).
func TestFrusta(t *testing.T) {
	for _, n := range []int{3, 4, 6, 12} {
		const inner, slope, h = 40.0, 1.5, 6.0 // inner is the inscribed radius
		var ring orb.Ring
		for i := range n + 1 {
			a := 2 * math.Pi * (float64(i%n) + 0.3) / float64(n)
			r := inner / math.Cos(math.Pi/float64(n))
			ring = append(ring, orb.Point{1000 + r*math.Cos(a), 2000 + r*math.Sin(a)})
		}
		area := func(r float64) float64 { return float64(n) * r * r * math.Tan(math.Pi/float64(n)) }
		a1, a2 := area(inner), area(inner-slope*h)
		got := measure(t, Pit{Ring: ring, SideSlope: slope, Level: 50, Floor: 50 - h})
		near(t, "frustum", got.Dug, h/3*(a1+a2+math.Sqrt(a1*a2)))
	}
}

// dam/pit-and-grid-published.csv: the pond of 100 by 70 ft, 2 to 1 sides and
// 12 ft deep has sections of 7,000, 3,496 and 1,144 ft2 and holds 44,256 ft3.
func TestPublishedPond(t *testing.T) {
	const ft = 0.3048
	p := Pit{Ring: rectangle(100*ft, 70*ft), SideSlope: 2, ByDepth: true, Floor: 12 * ft, Level: 10}
	got := measure(t, p)
	near(t, "pond, ft3", got.Dug/(ft*ft*ft), 44256)
	near(t, "top, ft2", got.Area/(ft*ft), 7000)
	near(t, "bottom, ft2", got.Floor/(ft*ft), 1144)
	p.Floor = 6 * ft
	near(t, "middle, ft2", measure(t, p).Floor/(ft*ft), 3496)
}

// Sides that meet above the floor make a hip roof upside down:
// V = H d (3 w - d) / 6 with H = d / (2 slope) (closed form).
func TestSidesMeetAboveFloor(t *testing.T) {
	const w, d, slope = 60.0, 20.0, 2.0
	got := measure(t, Pit{Ring: rectangle(w, d), SideSlope: slope, Level: 0, Floor: -50})
	h := d / (2 * slope)
	near(t, "dug", got.Dug, h*d*(3*w-d)/6)
	near(t, "floor", got.Floor, 0)
	near(t, "deepest", got.Deepest, h)
	near(t, "dug to", got.DugTo, -h)
}

// Below a level stripped ground the pit is the same pit, smaller all round.
func TestTopsoil(t *testing.T) {
	const w, d, slope, h, strip = 80.0, 50.0, 2.0, 5.0, 0.3
	got := measure(t, Pit{Ring: rectangle(w, d), SideSlope: slope, Strip: strip, Level: 5, Floor: 0})
	near(t, "dug", got.Dug, prismoid(w, d, slope, h))
	near(t, "bank", got.Bank, prismoid(w-2*slope*strip, d-2*slope*strip, slope, h-strip))
	near(t, "sum", got.Strip+got.Bank, got.Dug)
	// Topsoil deeper than the pit leaves no bank soil.
	got = measure(t, Pit{Ring: rectangle(w, d), SideSlope: slope, Strip: h + 1, Level: 5, Floor: 0})
	near(t, "no bank", got.Bank, 0)
	near(t, "all topsoil", got.Strip, prismoid(w, d, slope, h))
}

// On a plane that rises east by q, a pit dug to a depth has flat sides. Their
// depth grows inwards by 1/s - q from the high end, 1/s + q from the low end and
// sqrt(1/s2 - q2) from the long sides, since every side falls by 1/s at its
// steepest and holds its edge. The sections are rectangles: a prismatoid.
func TestPlaneByDepth(t *testing.T) {
	const w, d, s, q, h = 90.0, 60.0, 2.0, 0.2, 3.0
	high, low, long := 1/s-q, 1/s+q, math.Sqrt(1/(s*s)-q*q)
	area := func(z float64) float64 { return (w - z/high - z/low) * (d - 2*z/long) }
	got := measure(t, Pit{Ring: rectangle(w, d), SideSlope: s, ByDepth: true, Floor: h, Surface: planeGround(400, 50, q, 0)})
	near(t, "dug", got.Dug, h*(area(0)+4*area(h/2)+area(h))/6)
	near(t, "floor", got.Floor, area(h))
	near(t, "deepest", got.Deepest, h)
	// The same plane as many triangles is the same ground.
	fine := gridGround(9, 400, func(x, _ float64) float64 { return 50 + q*x })
	again := measure(t, Pit{Ring: rectangle(w, d), SideSlope: s, ByDepth: true, Floor: h, Surface: fine})
	near(t, "many triangles", again.Dug, got.Dug)
}

// A level floor on a plane with vertical sides: a prism cut off aslant, area x
// mean depth; where the ground dips below the floor nothing is dug.
func TestPlaneLevelFloor(t *testing.T) {
	const w, d, q = 80.0, 40.0, 0.1
	ground := planeGround(400, 10, q, 0)
	near(t, "all dug", measure(t, Pit{Ring: rectangle(w, d), Floor: 5, Surface: ground}).Dug, w*d*5)
	got := measure(t, Pit{Ring: rectangle(w, d), Floor: 10, Surface: ground})
	near(t, "upper half", got.Dug, d*(w/2)*(q*w/2)/2)
	near(t, "floor of it", got.Floor, w*d/2)
	near(t, "area", got.Area, w*d)
	near(t, "deepest", got.Deepest, q*w/2)
}

// A ring with one corner that points in, on level ground. The inset of an L by r
// loses its rim, gains r2 back at each of five square corners and loses a
// quarter disc at the sixth: A(r) = A - P r + (5 - pi/4) r2 (closed form).
// The cone's facets may be off by the stated share of the depth, and their
// volume is right, so the difference is far below that share of the cone's part.
func TestCornerPointsIn(t *testing.T) {
	const a, b, slope, h = 60.0, 25.0, 2.0, 4.0
	ring := orb.Ring{{0, 0}, {a, 0}, {a, b}, {b, b}, {b, a}, {0, a}, {0, 0}}
	area, rim, corners := 2*a*b-b*b, 4*a, 5-math.Pi/4
	r := slope * h
	got := measure(t, Pit{Ring: ring, SideSlope: slope, Level: 0, Floor: -h})
	want := h * (area - rim*r/2 + corners*r*r/3)
	cone := math.Pi / 4 * r * r * h
	published.Near(t, "dug", got.Dug, want, 1e-5*cone)
	published.Near(t, "floor", got.Floor, area-rim*r+corners*r*r, 1e-4*math.Pi/4*r*r)
	near(t, "area", got.Area, area)
}

// volume/borrow_grid_nodes.csv and its results: four-corner grids. A square is
// worth its area times the mean of its corners, as are four triangles about its
// middle. The sides are vertical and the floor is at 0, so ground is depth.
func TestPublishedGrids(t *testing.T) {
	results := published.Read(t, "volume/borrow_grid_results.csv")
	for id, c := range map[string]struct {
		side, unit float64
		ring       orb.Ring
	}{
		"tbc_10_18":        {10, 1, orb.Ring{{0, -20}, {20, -20}, {20, 0}, {0, 0}, {0, -20}}},
		"tbc_10_19":        {10, 1, orb.Ring{{0, -30}, {20, -30}, {20, -20}, {30, -20}, {30, -10}, {40, -10}, {40, 0}, {0, 0}, {0, -30}}},
		"parking_lot_50ft": {50, 27, orb.Ring{{0, 0}, {50, 0}, {50, 50}, {0, 50}, {0, 0}}},
	} {
		depth := map[orb.Point]float64{}
		for _, r := range published.Read(t, "volume/borrow_grid_nodes.csv") {
			if r["case_id"] == id {
				depth[orb.Point{r.Number(t, "x"), r.Number(t, "y")}] = r.Number(t, "depth")
			}
		}
		got := measure(t, Pit{Ring: c.ring, Surface: squares(depth, c.side)})
		row := published.Find(t, results, "case_id", id)
		published.Near(t, id, got.Dug/c.unit, row.Number(t, "computed"), row.Half(t, "computed"))
		if row.Has("published") {
			published.Near(t, id+" as printed", got.Dug/c.unit, row.Number(t, "published"), row.Half(t, "published"))
		}
	}
	// The lecture's grid: corners 1 9 4 7, edges 3 10 6 5, middle 8.
	lecture := map[orb.Point]float64{
		{0, 0}: 1, {10, 0}: 3, {20, 0}: 9, {0, 10}: 10, {10, 10}: 8, {20, 10}: 6, {0, 20}: 4, {10, 20}: 5, {20, 20}: 7,
	}
	row := published.Find(t, results, "case_id", "lecture_grid_10m")
	got := measure(t, Pit{Ring: orb.Ring{{0, 0}, {20, 0}, {20, 20}, {0, 20}, {0, 0}}, Surface: squares(lecture, 10)})
	near(t, "lecture_grid_10m", got.Dug, row.Number(t, "computed"))
	// A 30 m square as four triangles about a sounded middle T.
	row = published.Find(t, results, "case_id", "tbc_10_20")
	p, q, r, s, m := orb.Point{0, 0}, orb.Point{30, 0}, orb.Point{30, 30}, orb.Point{0, 30}, orb.Point{15, 15}
	fan := triangles{
		{At: [3]orb.Point{p, q, m}, Elevation: [3]float64{2.85, 2.45, 2.95}},
		{At: [3]orb.Point{q, r, m}, Elevation: [3]float64{2.45, 3.15, 2.95}},
		{At: [3]orb.Point{r, s, m}, Elevation: [3]float64{3.15, 3.55, 2.95}},
		{At: [3]orb.Point{s, p, m}, Elevation: [3]float64{3.55, 2.85, 2.95}},
	}
	near(t, "tbc_10_20", measure(t, Pit{Ring: orb.Ring{p, q, r, s, p}, Surface: fan}).Dug, row.Number(t, "computed"))
}

// squares is ground over each square whose four corners are known, as four
// triangles about a middle of mean elevation.
func squares(z map[orb.Point]float64, side float64) triangles {
	var out triangles
	for p := range z { // the order does not change the ground
		corners := [4]orb.Point{p, {p[0] + side, p[1]}, {p[0] + side, p[1] + side}, {p[0], p[1] + side}}
		var mean float64
		known := 0
		for _, c := range corners {
			if v, ok := z[c]; ok {
				known++
				mean += v / 4
			}
		}
		if known < 4 {
			continue
		}
		m := orb.Point{p[0] + side/2, p[1] + side/2}
		for i, c := range corners {
			d := corners[(i+1)%4]
			t := triangles{{At: [3]orb.Point{c, d, m}, Elevation: [3]float64{z[c], z[d], mean}}}
			out = append(out, t...)
		}
	}
	return out
}
