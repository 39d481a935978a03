package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// strip is ground whose elevation depends on x alone, as pairs of x and z, over
// y from 0 to 10. A wall at the first x holds the water, which lies to the east.
func strip(pairs ...float64) facets {
	var f facets
	for i := 2; i < len(pairs); i += 2 {
		x0, z0, x1, z1 := pairs[i-2], pairs[i-1], pairs[i], pairs[i+1]
		f = append(f, quilt(func(p orb.Point) float64 { return z0 + (z1-z0)*(p[0]-x0)/(x1-x0) },
			[]orb.Point{{x0, 0}, {x1, 0}, {x1, 10}, {x0, 10}})...)
	}
	// High banks along both sides, a step up from the ground.
	bank := func(orb.Point) float64 { return 1000 }
	for i := 2; i < len(pairs); i += 2 {
		a, b := pairs[i-2], pairs[i]
		f = append(f, quilt(bank, []orb.Point{{a, -1}, {b, -1}, {b, 0}, {a, 0}}, []orb.Point{{a, 10}, {b, 10}, {b, 11}, {a, 11}})...)
	}
	return f
}

// stripLake stands the wall across the strip at x, water to the east.
func stripLake(t testing.TB, f facets, x float64) *earthwork.Lake {
	return lakeOf(t, f, straight(t, orb.Point{x, 11}, orb.Point{x, -1}))
}

// A side valley counts from the level of the saddle before it, all at once. The
// next saddle leads out of the survey and ends the lake.
func TestNeighbouringValleys(t *testing.T) {
	// The wall at 0; bed rising to a saddle of 4 m at 40; a hollow down to 1 m at
	// 60; a saddle of 6 m at 110; then down to the survey's edge at 2 m.
	f := strip(-50, -5, 0, 0, 40, 4, 60, 1, 110, 6, 150, 2)
	l := stripLake(t, f, 0)
	volume := func(h float64) float64 { return poolAt(t, l, h, nil).Volume }
	near(t, "before the saddle", volume(4), 10*40*4/2.0, 1e-9)
	hollow := 10 * (20 + 30) * 3 / 2.0 // a triangle 3 m deep, 20 m and 30 m wide
	near(t, "just after it", volume(4+1e-9), 10*40*4/2+hollow, 1e-6)
	// At 5 m: the lake's own 40 x 4 / 2 + 40 x 1, and the hollow's.
	near(t, "above it", volume(5), 10*(40*4/2+40+(20*3/2+20)+40*4/2), 1e-9)
	all := l.Hollows(1)
	if len(all) != 1 || all[0].Level != 4 || all[0].Lowest != 1 || all[0].At[0] != 40 {
		t.Fatalf("hollows %+v, want one over the saddle at 40", all)
	}
	near(t, "hollow", all[0].Volume, hollow, 1e-9)
	if len(l.Hollows(hollow+1)) != 0 {
		t.Error("a hollow that is too small was told of")
	}
	if k := l.Limit(); k.Kind != earthwork.Saddle || k.Level != 6 || k.At[0] != 110 || k.RoundDam {
		t.Errorf("limit %+v, want the saddle of 6 m at 110", k)
	}
}

// A second valley behind the same dam that runs out to the side: a pocket of no
// account is left out, a pool ends the rise of the lake.
func TestPocketBesideTheLake(t *testing.T) {
	aside := func(p orb.Point) orb.Point { return orb.Point{p[0], p[1] + 12} }
	lake := strip(-50, -5, 0, 0, 40, 4)
	for _, c := range []struct {
		beside facets
		level  float64
		kind   earthwork.LimitKind
	}{
		{strip(-50, -5, 0, 2, 1, 2.01, 40, 0), 4, earthwork.SurveyEdge},   // 0.05 m3 of 200 m3
		{strip(-50, -5, 0, 2, 20, 2.5, 40, 0), 2.5, earthwork.Saddle},     // 50 m3 of 312 m3
		{strip(-50, -5, 0, 2, 20, 1.5, 40, 0), 4, earthwork.SurveyEdge},   // falls away at once
		{strip(-50, -5, 0, 2, 20, 3, 40, 6), 4, earthwork.SurveyEdge},     // part of the lake
		{strip(-50, -5, 0, 2, 20, 3, 40, 3.5), 3.5, earthwork.SurveyEdge}, // the lower edge counts
	} {
		ground := append(append(facets(nil), lake...), c.beside.moved(aside)...)
		line := straight(t, orb.Point{0, 23}, orb.Point{0, -1})
		l := lakeOf(t, ground, line)
		if k := l.Limit(); k.Kind != c.kind || k.Level != c.level {
			t.Errorf("limit %+v, want %s at %g", k, c.kind, c.level)
		}
		near(t, "below the second valley", poolAt(t, l, 1.9, nil).Volume, 10*19*1.9/2, 1e-9)
	}
}

// Where the ground behind the saddle leads round to the downstream side of the
// dam, the limit says so: a short wall in a wide strip.
func TestWaterRoundTheDam(t *testing.T) {
	bowl := quilt(func(p orb.Point) float64 { return max(math.Abs(p[0]), math.Abs(p[1]))/10 + 1 },
		[]orb.Point{{50, -50}, {50, 50}, {0, 0}}, []orb.Point{{50, 50}, {-50, 50}, {0, 0}},
		[]orb.Point{{-50, 50}, {-50, -50}, {0, 0}}, []orb.Point{{-50, -50}, {50, -50}, {0, 0}})
	l := lakeOf(t, bowl, straight(t, orb.Point{-20, 0}, orb.Point{30, 0}))
	k := l.Limit()
	if k.Kind != earthwork.Saddle || !k.RoundDam {
		t.Fatalf("limit %+v, want a saddle round the dam", k)
	}
	near(t, "level at the wall's nearer end", k.Level, 3, 1e-6)
	near(t, "its place", math.Hypot(k.At[0]+20, k.At[1]), 0, 1e-5)
	// Up to there it is half the pyramid of four sides.
	near(t, "volume", poolAt(t, l, 2.9, nil).Volume, 38*38*1.9/3/2, 1e-9)
}

func TestNoLake(t *testing.T) {
	f := strip(-50, -5, 0, 0, 40, 4)
	for name, c := range map[string]struct {
		line  *geometry.Centreline
		falls bool
	}{
		"off the survey": {straight(t, orb.Point{0, 500}, orb.Point{0, 400}), false},
		"wrong side":     {straight(t, orb.Point{-10, 0}, orb.Point{-10, 10}), true},
	} {
		_, err := earthwork.NewLake(f, c.line, c.line.Start(), c.line.End())
		var none *earthwork.LakeError
		if !errors.As(err, &none) || none.FallsAway != c.falls {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A bed of no grade from the dam to the survey's edge holds nothing either.
	level := strip(-50, 0, 0, 0, 40, 0)
	line := straight(t, orb.Point{0, 10}, orb.Point{0, 0})
	var none *earthwork.LakeError
	if _, err := earthwork.NewLake(level, line, line.Start(), line.End()); !errors.As(err, &none) || !none.FallsAway {
		t.Errorf("level ground: %v", err)
	}
	l := stripLake(t, strip(-50, -5, 0, 0, 40, 4), 0)
	if _, err := l.Storage(math.NaN(), nil); err == nil {
		t.Error("a level that is no number was measured")
	}
}

// paraboloid is a bowl z = r2 / 40 as a TIN on a lattice.
func paraboloid(t testing.TB, n int) *geometry.TIN {
	var points []geometry.GroundPoint
	for i := range n + 1 {
		for j := range n + 1 {
			x, y := 120*float64(i)/float64(n)-60, 120*float64(j)/float64(n)-60
			points = append(points, geometry.GroundPoint{At: orb.Point{x, y}, Elevation: (x*x + y*y) / 40})
		}
	}
	tin, err := geometry.NewTIN(points, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tin
}

// A paraboloid z = r2 / (2 p) holds V = pi p h2 below h (closed form), here
// p = 20, and half of it behind a dam through its middle. Chords above the curve
// make the triangulated bowl smaller, by a quarter as much at half the mesh.
func TestBowlConvergesBySecondOrder(t *testing.T) {
	const p, level = 20.0, 54.0 // 46.5 m from the middle to the shore
	exactly := math.Pi * p * level * level / 2
	var errs []float64
	for _, n := range []int{24, 48, 96} {
		l := lakeOf(t, paraboloid(t, n), straight(t, orb.Point{-59.9, 1e-3}, orb.Point{59.9, -1e-3}))
		errs = append(errs, exactly-poolAt(t, l, level, nil).Volume)
	}
	for i := 1; i < len(errs); i++ {
		if ratio := errs[i-1] / errs[i]; ratio < 3.8 || ratio > 4.2 {
			t.Errorf("errors %v m3: ratio %.3f, want 4", errs, ratio)
		}
	}
	if rel := errs[2] / exactly; rel > 5e-4 || rel < 0 {
		t.Errorf("error of %.2g at the finest mesh", rel)
	}
}

// anyGround draws a hilly TIN around the origin, higher toward its rim when
// basin is set.
func anyGround(t *rapid.T, basin float64) []geometry.GroundPoint {
	n := rapid.IntRange(30, 120).Draw(t, "points")
	seed := rapid.Uint64().Draw(t, "seed")
	next := func() float64 { // a fixed sequence from the seed, 0 to 1
		seed ^= seed << 13
		seed ^= seed >> 7
		seed ^= seed << 17
		return float64(seed>>11) / (1 << 53)
	}
	if seed == 0 {
		seed = 1
	}
	var out []geometry.GroundPoint
	for range n {
		p := orb.Point{200*next() - 100, 200*next() - 100}
		out = append(out, geometry.GroundPoint{At: p, Elevation: 5*next() + basin*(p[0]*p[0]+p[1]*p[1])/1e3})
	}
	return out
}

func tinOf(t rapid.TB, points []geometry.GroundPoint) *geometry.TIN {
	t.Helper()
	tin, err := geometry.NewTIN(points, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tin
}

// across draws a dam across the middle of the ground.
func across(t *rapid.T) (a, b orb.Point) {
	angle := rapid.Float64Range(0, 2*math.Pi).Draw(t, "direction")
	s, c := math.Sincos(angle)
	return orb.Point{-70 * c, -70 * s}, orb.Point{70 * c, 70 * s}
}

func centreline(t rapid.TB, left bool, points ...orb.Point) *geometry.Centreline {
	t.Helper()
	var v []geometry.Vertex
	for _, p := range points {
		v = append(v, geometry.Vertex{At: p})
	}
	line, err := geometry.NewCentreline(v, 0, left)
	if err != nil {
		t.Fatal(err)
	}
	return line
}

// Area is the derivative of storage: since the area never falls as the water
// rises, a rise of d adds between d times the area before and d times the area
// after, unless a hollow fills at once between.
func TestStorageRisesByItsArea(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		tin := tinOf(r, anyGround(r, 1))
		a, b := across(r)
		l, err := earthwork.NewLake(tin, centreline(r, true, a, b), 0, 140)
		if err != nil {
			r.Skip(err)
		}
		top := l.Limit().Level
		if top > 1e6 {
			r.Skip("no limit")
		}
		last := earthwork.Storage{Level: l.Lowest()}
		for i := range 25 {
			level := min(top, l.Lowest()+(top-l.Lowest())*float64(i+1)/25)
			s, err := l.Storage(level, nil)
			if err != nil {
				r.Fatal(err)
			}
			rise, d := s.Volume-last.Volume, level-last.Level
			slack := 1e-9 * (1 + s.Volume)
			if s.Area < last.Area-1e-9*(1+s.Area) || rise < d*last.Area-slack {
				r.Fatalf("from %+v to %+v", last, s)
			}
			filled := false
			for _, h := range l.Hollows(0) {
				filled = filled || h.Level >= last.Level && h.Level < level
			}
			if !filled && rise > d*s.Area+slack {
				r.Fatalf("from %+v to %+v without a hollow", last, s)
			}
			last = s
		}
	})
}

// Mirrored ground and the water on the other hand: the same lake.
func TestMirroredLake(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		points := anyGround(r, 0.7)
		a, b := across(r)
		flip := func(p orb.Point) orb.Point { return orb.Point{-p[0], p[1]} }
		tin := tinOf(r, points)
		var there facets
		for tri := range tin.Triangles(tin.Bound()) {
			x, z := tri.At, tri.Elevation
			there = append(there, geometry.Triangle{
				At:        [3]orb.Point{flip(x[0]), flip(x[2]), flip(x[1])},
				Elevation: [3]float64{z[0], z[2], z[1]},
			})
		}
		l, err := earthwork.NewLake(tin, centreline(r, true, a, b), 0, 140)
		m, merr := earthwork.NewLake(there, centreline(r, false, flip(a), flip(b)), 0, 140)
		if (err == nil) != (merr == nil) {
			r.Fatalf("%v, mirrored %v", err, merr)
		}
		if err != nil {
			return
		}
		alike(r, "limit", m.Limit().Level, l.Limit().Level, 1e-9)
		alike(r, "limit x", m.Limit().At[0], -l.Limit().At[0], 1e-6)
		for _, share := range []float64{0.2, 0.5, 0.9} {
			level := l.Lowest() + share*(l.Limit().Level-l.Lowest())
			p, err := l.Pool(level, nil)
			q, merr := m.Pool(level, nil)
			if err != nil || merr != nil {
				r.Fatal(err, merr)
			}
			alike(r, "area", q.Area, p.Area, 1e-8)
			alike(r, "volume", q.Volume, p.Volume, 1e-8)
			alike(r, "shoreline", q.Shoreline, p.Shoreline, 1e-8)
			alike(r, "depth", q.GreatestDepth, p.GreatestDepth, 1e-8)
		}
	})
}

// The wall may be cut through triangles or run along their edges. Here it runs
// along a breakline, and the lake is found once more by walking from triangle
// to triangle over shared edges that are not on the wall.
func TestLakeByWalkingFromTriangleToTriangle(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		points := anyGround(r, 0.8)
		n := len(points)
		for i, x := range []float64{-70, -30, 10, 70} {
			points = append(points, geometry.GroundPoint{At: orb.Point{x, 0}, Elevation: 3 + float64(i%2) + x*x/1e3})
		}
		tin, err := geometry.NewTIN(points, geometry.TINOptions{Breaklines: [][]int{{n, n + 1, n + 2, n + 3}}})
		if err != nil {
			r.Fatal(err)
		}
		l, err := earthwork.NewLake(tin, centreline(r, true, orb.Point{-70, 0}, orb.Point{70, 0}), 0, 140)
		if err != nil {
			return
		}
		// Just short of the limit itself, whose level may be rounded.
		for _, share := range []float64{0.1, 0.4, 0.8, 1 - 1e-9} {
			level := l.Lowest() + share*(l.Limit().Level-l.Lowest())
			s, err := l.Storage(level, nil)
			if err != nil {
				r.Fatal(err)
			}
			area, leaves := walkedLake(tin, level)
			alike(r, "area", s.Area, area, 1e-9)
			if leaves {
				r.Fatalf("water at %g leaves the survey, limit %+v", level, l.Limit())
			}
		}
		if _, leaves := walkedLake(tin, l.Limit().Level+1e-6); !leaves {
			r.Fatalf("water above the limit %+v does not leave", l.Limit())
		}
	})
}

// walkedLake floods triangles that share an edge below the level, from those
// on the north side of y = 0 between -70 and 70, and tells whether the water
// gets to an outer edge or to the south side of that line. The area is summed by
// clipping each triangle.
func walkedLake(tin *geometry.TIN, level float64) (area float64, leaves bool) {
	type side [2]orb.Point
	var all []geometry.Triangle
	beyond := map[side]int{}
	for t := range tin.Triangles(tin.Bound()) {
		for k := range 3 {
			beyond[side{t.At[k], t.At[(k+1)%3]}] = len(all)
		}
		all = append(all, t)
	}
	onWall := func(a, b orb.Point) bool {
		return a[1] == 0 && b[1] == 0 && math.Abs(a[0]) <= 70 && math.Abs(b[0]) <= 70
	}
	seen := make([]bool, len(all))
	var queue []int
	for i, t := range all {
		for k := range 3 {
			j := (k + 1) % 3
			if onWall(t.At[k], t.At[j]) && t.At[j][0] > t.At[k][0] && min(t.Elevation[k], t.Elevation[j]) < level && !seen[i] {
				seen[i] = true
				queue = append(queue, i)
			}
		}
	}
	for len(queue) > 0 {
		t := all[queue[0]]
		queue = queue[1:]
		area += clippedArea(t, level)
		for k := range 3 {
			j := (k + 1) % 3
			if min(t.Elevation[k], t.Elevation[j]) >= level {
				continue
			}
			if onWall(t.At[k], t.At[j]) {
				leaves = leaves || t.At[j][0] < t.At[k][0]
				continue
			}
			next, ok := beyond[side{t.At[j], t.At[k]}]
			leaves = leaves || !ok
			if ok && !seen[next] {
				seen[next] = true
				queue = append(queue, next)
			}
		}
	}
	return area, leaves
}

// clippedArea is the plan area of the part of a triangle below a level.
func clippedArea(t geometry.Triangle, level float64) float64 {
	var p []orb.Point
	for k := range 3 {
		j := (k + 1) % 3
		a, b := t.Elevation[k]-level, t.Elevation[j]-level
		if a < 0 {
			p = append(p, t.At[k])
		}
		if a < 0 != (b < 0) {
			f := a / (a - b)
			p = append(p, orb.Point{t.At[k][0] + f*(t.At[j][0]-t.At[k][0]), t.At[k][1] + f*(t.At[j][1]-t.At[k][1])})
		}
	}
	sum := 0.0
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		sum += (a[0]-t.At[0][0])*(b[1]-t.At[0][1]) - (b[0]-t.At[0][0])*(a[1]-t.At[0][1])
	}
	return sum / 2
}

// A closed wall with the water inside has no limit; with all its ground under
// water it holds what lies between the ground and the level over its polygon,
// which Compare measures in its own way. Bends, and a mesh that knows nothing
// of the wall.
func TestClosedWallAgainstTheVolumeBetweenSurfaces(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		tin := tinOf(r, append(anyGround(r, 0),
			geometry.GroundPoint{At: orb.Point{-200, -200}}, geometry.GroundPoint{At: orb.Point{200, -200}},
			geometry.GroundPoint{At: orb.Point{200, 200}}, geometry.GroundPoint{At: orb.Point{-200, 200}}))
		corners := rapid.IntRange(3, 40).Draw(r, "corners")
		var ring orb.Ring
		for i := range corners + 1 {
			s, c := math.Sincos(2 * math.Pi * float64(i%corners) / float64(corners))
			radius := 60 + 25*math.Sin(float64(7*(i%corners)))
			ring = append(ring, orb.Point{radius * c, radius * s})
		}
		line := centreline(r, true, ring...)
		l, err := earthwork.NewLake(tin, line, line.Start(), line.End())
		if err != nil {
			r.Fatal(err)
		}
		if k := l.Limit(); k.Kind != earthwork.NoLimit || !math.IsInf(k.Level, 1) {
			r.Fatalf("limit %+v of a closed wall", k)
		}
		const level = 9
		water := quilt(func(orb.Point) float64 { return level }, []orb.Point{{-200, -200}, {200, -200}, {200, 200}, {-200, 200}})
		between, err := geometry.Compare(tin, water, orb.Polygon{ring})
		if err != nil {
			r.Fatal(err)
		}
		p, err := l.Pool(level, nil)
		if err != nil {
			r.Fatal(err)
		}
		// Corners that lie on the wall to a tenth of a micrometre may change sides.
		alike(r, "volume", p.Volume, between.Fill, 1e-8)
		alike(r, "shoreline", p.Shoreline, line.End()-line.Start(), 1e-8)
	})
}
