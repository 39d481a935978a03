package earthwork_test

import (
	"errors"
	"iter"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/damtally/damtally/testdata/published"
	"github.com/paulmach/orb"
)

// facets is ground given as triangles. Slices are not asked for.
type facets []geometry.Triangle

func (f facets) Bound() orb.Bound {
	b := orb.MultiPoint(f[0].At[:]).Bound()
	for _, t := range f {
		b = b.Union(orb.MultiPoint(t.At[:]).Bound())
	}
	return b
}

func (f facets) Range() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, t := range f {
		low, high = min(low, t.Elevation[0], t.Elevation[1], t.Elevation[2]), max(high, t.Elevation[0], t.Elevation[1], t.Elevation[2])
	}
	return low, high
}

func (f facets) Slice(*geometry.Cursor, orb.Point, orb.Point) []geometry.Line { return nil }

func (f facets) Triangles(box orb.Bound) iter.Seq[geometry.Triangle] {
	return func(yield func(geometry.Triangle) bool) {
		for _, t := range f {
			if orb.MultiPoint(t.At[:]).Bound().Intersects(box) && !yield(t) {
				return
			}
		}
	}
}

// quilt is ground of convex flat pieces, each cut into a fan of triangles.
func quilt(height func(orb.Point) float64, pieces ...[]orb.Point) facets {
	var out facets
	for _, p := range pieces {
		for i := 2; i < len(p); i++ {
			out = append(out, geometry.Triangle{
				At:        [3]orb.Point{p[0], p[i-1], p[i]},
				Elevation: [3]float64{height(p[0]), height(p[i-1]), height(p[i])},
			})
		}
	}
	return out
}

// moved is the ground turned about the origin and shifted.
func (f facets) moved(move func(orb.Point) orb.Point) facets {
	out := append(facets(nil), f...)
	for i := range out {
		for k := range 3 {
			out[i].At[k] = move(out[i].At[k])
		}
	}
	return out
}

// turned turns the plan by an angle and shifts it, so that nothing lies on a
// round number.
func turned(angle float64) func(orb.Point) orb.Point {
	s, c := math.Sincos(angle)
	return func(p orb.Point) orb.Point {
		return orb.Point{123.456 + c*p[0] - s*p[1], 78.9 + s*p[0] + c*p[1]}
	}
}

// straight is a centreline through points, water on the left.
func straight(t testing.TB, points ...orb.Point) *geometry.Centreline {
	t.Helper()
	var v []geometry.Vertex
	for _, p := range points {
		v = append(v, geometry.Vertex{At: p})
	}
	line, err := geometry.NewCentreline(v, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	return line
}

func lakeOf(t testing.TB, s geometry.Surface, line *geometry.Centreline) *earthwork.Lake {
	t.Helper()
	l, err := earthwork.NewLake(s, line, line.Start(), line.End())
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func poolAt(t testing.TB, l *earthwork.Lake, level float64, f *earthwork.Face) earthwork.Pool {
	t.Helper()
	p, err := l.Pool(level, f)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// valley is a V valley that runs north: its bed rises from y = 0 with the grade
// of along, its sides with that of across. It is cut into pieces of the given
// size, none of which knows of the dam at y = 0.
func valley(along, across, size float64) (facets, func(orb.Point) float64) {
	height := func(p orb.Point) float64 { return along*p[1] + across*math.Abs(p[0]) }
	var pieces [][]orb.Point
	for x := -200.0; x < 200; x += size {
		for y := -130.0; y < 300; y += size {
			pieces = append(pieces, []orb.Point{{x, y}, {x + size, y}, {x + size, y + size}, {x, y + size}})
		}
	}
	return quilt(height, pieces...), height
}

// A dam across a V valley holds a pyramid on its side: its face of area A is
// the base, the length L to the upper end the height, V = L A / 3 (closed form).
func TestValleyLakeIsAPyramid(t *testing.T) {
	ground, _ := valley(0.1, 0.5, 20)
	for _, angle := range []float64{0, 0.3, 1.234, math.Pi / 2, 4} {
		move := turned(angle)
		// The water is to the north of a line that runs east: on its left.
		l := lakeOf(t, ground.moved(move), straight(t, move(orb.Point{-150, 0}), move(orb.Point{150, 0})))
		for _, h := range []float64{0.1, 3, 7.77, 20} {
			p := poolAt(t, l, h, nil)
			length, half := h/0.1, h/0.5
			near(t, "volume", p.Volume, length*(half*h)/3, 1e-9)
			near(t, "area", p.Area, length*half, 1e-9)
			near(t, "shoreline", p.Shoreline, 2*math.Hypot(length, half)+2*half, 1e-9)
			near(t, "mean depth", p.MeanDepth, h/3, 1e-9)
			near(t, "greatest depth", p.GreatestDepth, h, 1e-9)
		}
		// The bed leaves the survey at y = 310 (the last cell ends there).
		limit := l.Limit()
		if limit.Kind != earthwork.SurveyEdge || math.Abs(limit.Level-31) > 1e-9 || limit.RoundDam {
			t.Errorf("limit %+v, want the survey's edge at 31 m", limit)
		}
		if d := move(orb.Point{0, 310}); math.Hypot(d[0]-limit.At[0], d[1]-limit.At[1]) > 1e-9 {
			t.Errorf("limit at %v, want %v", limit.At, d)
		}
		near(t, "lowest", l.Lowest(), 0, 1e-9)
		if _, err := l.Storage(31.001, nil); !errors.As(err, new(*earthwork.AboveLimitError)) {
			t.Errorf("above the limit: %v", err)
		}
	}
}

// In steps of h/n the contour methods on that lake, area g z2 and volume g z3/3,
// give g h3/3 (1 + 1/(2 n2)) by end area; the conic one is exact on a pyramid.
func TestCurveOfAValley(t *testing.T) {
	ground, _ := valley(0.1, 0.5, 20)
	l := lakeOf(t, ground, straight(t, orb.Point{-150, 0}, orb.Point{150, 0}))
	var levels []float64
	for i := range 11 {
		levels = append(levels, 2*float64(i))
	}
	rows, err := l.Curve(levels, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rows[1:] {
		n := float64(i + 1)
		near(t, "end area", r.Contours.EndArea, r.Volume*(1+1/(2*n*n)), 1e-9)
		near(t, "conic", r.Contours.Conic, r.Volume, 1e-9)
	}
	if _, err := l.Curve([]float64{0, 40}, nil); !errors.As(err, new(*earthwork.AboveLimitError)) {
		t.Errorf("beyond the survey: %v", err)
	}
}

// The same lake behind an oblique dam: V = A d / 3 with the dam's face A in its
// own plane and d the distance of the lake's upper end from that plane.
func TestObliqueDam(t *testing.T) {
	ground, _ := valley(0.1, 0.5, 20)
	const slant = 0.4 // the dam turns away from square by this angle
	s, c := math.Sincos(slant)
	l := lakeOf(t, ground, straight(t, orb.Point{-150 * c, -150 * s}, orb.Point{150 * c, 150 * s}))
	h := 5.0
	// Along the dam the ground rises by across |x| + along y.
	right, left := h/(0.5*c+0.1*s), h/(0.5*c-0.1*s)
	p := poolAt(t, l, h, nil)
	near(t, "volume", p.Volume, (right+left)*h/2*(h/0.1*c)/3, 1e-9)
	near(t, "area", p.Area, (right+left)*(h/0.1*c)/2, 1e-9)
}

// bowl is a closed bowl around the origin with the dam through its middle, so
// that the lake is one half of it. The rim is out of reach.
func bowlLake(t testing.TB, ground facets, reach float64) *earthwork.Lake {
	return lakeOf(t, ground, straight(t, orb.Point{-reach, 0}, orb.Point{reach, 0}))
}

func TestAnalyticStorage(t *testing.T) {
	const spokes = 720
	// A cone of as many flat sides has this share of the round one.
	share := spokes / (2 * math.Pi) * math.Sin(2*math.Pi/spokes)
	var sides [][]orb.Point
	for i := range spokes {
		a, b := 2*math.Pi*float64(i)/spokes, 2*math.Pi*float64(i+1)/spokes
		sides = append(sides, []orb.Point{{}, {100 * math.Cos(a), 100 * math.Sin(a)}, {100 * math.Cos(b), 100 * math.Sin(b)}})
	}
	cone := quilt(func(p orb.Point) float64 { return math.Hypot(p[0], p[1]) / 10 }, sides...)
	square := func(x float64) []orb.Point { return []orb.Point{{x, -x}, {x, x}, {-x, x}, {-x, -x}} }
	in, out := square(10), square(50)
	pyramid := quilt(func(p orb.Point) float64 { return (max(math.Abs(p[0]), math.Abs(p[1])) - 10) / 3 },
		in, []orb.Point{in[0], out[0], out[1], in[1]}, []orb.Point{in[1], out[1], out[2], in[2]},
		[]orb.Point{in[2], out[2], out[3], in[3]}, []orb.Point{in[3], out[3], out[0], in[0]})
	// A wedge needs upright ends: ground of 100 m height beyond them.
	wedge := quilt(func(p orb.Point) float64 { return math.Abs(p[0]) / 4 },
		[]orb.Point{{-100, -50}, {0, -50}, {0, 50}, {-100, 50}}, []orb.Point{{0, -50}, {100, -50}, {100, 50}, {0, 50}})
	wedge = append(wedge, quilt(func(orb.Point) float64 { return 100 },
		[]orb.Point{{-100, 50}, {0, 50}, {0, 60}, {-100, 60}}, []orb.Point{{0, 50}, {100, 50}, {100, 60}, {0, 60}},
		[]orb.Point{{-100, -60}, {0, -60}, {0, -50}, {-100, -50}}, []orb.Point{{0, -60}, {100, -60}, {100, -50}, {0, -50}})...)
	bowls := map[string]struct {
		lake  *earthwork.Lake
		share float64
	}{
		"cone_1to10":             {bowlLake(t, cone, 99), share},
		"square_pyramid_frustum": {bowlLake(t, pyramid, 49), 1},
		"vee_wedge_100m":         {bowlLake(t, wedge, 99), 1},
	}
	areas := map[string][2][]float64{}
	for _, r := range published.Read(t, "volume/analytic_storage.csv") {
		name, z := r["case_id"], r.Number(t, "elevation_m")
		b := bowls[name]
		p, err := b.lake.Storage(z, nil)
		if err != nil {
			t.Fatal(name, err)
		}
		area, volume := r.Number(t, "area_m2")*b.share/2, r.Number(t, "exact_volume_m3")*b.share/2
		if z == 0 {
			area = 0 // the table's bottom of the frustum is level ground: not under water yet
		}
		near(t, name+" area", p.Area, area, 1e-9)
		near(t, name+" volume", p.Volume, volume, 1e-9)
		// The contour methods from the table's own areas.
		a := areas[name]
		a[0], a[1] = append(a[0], z), append(a[1], r.Number(t, "area_m2"))
		areas[name] = a
		c := earthwork.StorageByContours(a[0], a[1])
		near(t, name+" end area", c[len(c)-1].EndArea, r.Number(t, "aea_volume_m3"), 1e-9)
		near(t, name+" conic", c[len(c)-1].Conic, r.Number(t, "conic_volume_m3"), 1e-9)
	}
	// Shoreline of the cone's half: half the ring of chords and the dam across.
	p := poolAt(t, bowls["cone_1to10"].lake, 5, nil)
	near(t, "shoreline", p.Shoreline, spokes*50*math.Sin(math.Pi/spokes)+100, 1e-9)
	near(t, "depth", p.GreatestDepth, 5, 1e-9)
}

// Salton Sea 1995, US Bureau of Reclamation: capacity is average end area.
func TestSaltonSeaCapacity(t *testing.T) {
	var levels, areas []float64
	for _, r := range published.Read(t, "volume/stage_storage_salton_sea.csv") {
		levels, areas = append(levels, r.Number(t, "elevation_ft")), append(areas, r.Number(t, "area_ac"))
		c := earthwork.StorageByContours(levels, areas)
		last := c[len(c)-1]
		if want := r.Number(t, "published_capacity_ac_ft"); math.Abs(last.EndArea-want) > 0.0051 {
			t.Errorf("%g ft: %.3f acre-ft, published %.2f", levels[len(levels)-1], last.EndArea, want)
		}
		if r.Has("computed_conic_ac_ft") {
			if want := r.Number(t, "computed_conic_ac_ft"); math.Abs(last.Conic-want) > 0.0051 {
				t.Errorf("%g ft: %.3f acre-ft by the conic formula, want %.2f", levels[len(levels)-1], last.Conic, want)
			}
		}
	}
}

// Textbook exercises on volumes from contours; see the tables' own heads.
func TestContourVolumes(t *testing.T) {
	levels, areas := map[string][]float64{}, map[string][]float64{}
	for _, r := range published.Read(t, "volume/contour_volumes.csv") {
		n := r["case_id"]
		levels[n], areas[n] = append(levels[n], r.Number(t, "elevation_m")), append(areas[n], r.Number(t, "area_m2"))
	}
	for _, r := range published.Read(t, "volume/contour_volumes_results.csv") {
		n := r["case_id"]
		c := earthwork.StorageByContours(levels[n], areas[n])
		switch r["method"] {
		case "average_end_area":
			near(t, n+" end area", c[len(c)-1].EndArea, r.Number(t, "computed"), 1e-9)
		case "conic":
			near(t, n+" conic", c[len(c)-1].Conic, r.Number(t, "computed"), 1e-9)
		}
	}
	levels["survey"], areas["survey"] = nil, nil
	for _, r := range published.Read(t, "dam/stage-storage-by-contours.csv") {
		levels["survey"] = append(levels["survey"], r.Number(t, "stage_m"))
		areas["survey"] = append(areas["survey"], r.Number(t, "area_m2"))
		c := earthwork.StorageByContours(levels["survey"], areas["survey"])
		// The table prints one and two decimals.
		if last := c[len(c)-1]; math.Abs(last.EndArea-r.Number(t, "storage_end_area_m3")) > 0.051 || math.Abs(last.Conic-r.Number(t, "storage_conic_m3")) > 0.0051 {
			t.Errorf("stage %s: %+v", r["stage_m"], last)
		}
	}
}
