package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

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
