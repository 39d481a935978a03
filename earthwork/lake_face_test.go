package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// dammedValley is a V valley running north, bed grade 0.05 and sides 0.4, with a
// dam across it at y = 0.
func dammedValley(t testing.TB) (*earthwork.Lake, *geometry.Centreline) {
	t.Helper()
	var points []geometry.GroundPoint
	for x := -60.0; x <= 60; x += 10 {
		for y := -100.0; y <= 300; y += 10 {
			points = append(points, geometry.GroundPoint{At: orb.Point{x, y}, Elevation: 0.05*y + 0.4*math.Abs(x)})
		}
	}
	line := straight(t, orb.Point{-60, 0}, orb.Point{60, 0})
	return lakeOf(t, tinOf(t, points), line), line
}

// heldWater is the water in front of a dam in that valley that is 10 m high over
// the bed, with a crest 4 m wide and an upstream face of 3 across to 1 up, in
// closed form: at y the valley's section holds, between the higher of bed and
// face and the level, a trapezoid; its area is a quadratic of y between the
// corners, which Simpson's rule integrates exactly.
func heldWater(level float64) (area, volume float64) {
	const grade, side, crest, edge, slope = 0.05, 0.4, 10.0, 2.0, 3.0
	bed := func(y float64) float64 { return grade * y }
	face := func(y float64) float64 { return crest - (y-edge)/slope }
	waterEdge, end := edge+slope*(crest-level), level/grade
	toe := (crest + edge/slope) / (grade + 1/slope) // where the face meets the bed
	held := func(y float64) float64 {
		dry := max(0, face(y)-bed(y))
		return ((level-bed(y))*(level-bed(y)) - dry*dry) / side
	}
	wide := func(y float64) float64 { return 2 * (level - bed(y)) / side }
	simpson := func(f func(float64) float64, a, b float64) float64 {
		return (b - a) / 6 * (f(a) + 4*f((a+b)/2) + f(b))
	}
	return simpson(wide, waterEdge, end), simpson(held, waterEdge, toe) + simpson(held, toe, end)
}

func TestWaterInFrontOfAFace(t *testing.T) {
	l, line := dammedValley(t)
	f := l.Face(plain(10, 4, 3, 2), line, 0, 120)
	toe := (10 + 2.0/3) / (0.05 + 1.0/3) // where the face meets the bed
	for _, level := range []float64{2, 5, 8, 9.99} {
		area, volume := heldWater(level)
		p := poolAt(t, l, level, f)
		near(t, "area", p.Area, area, 1e-9)
		near(t, "volume", p.Volume, volume, 1e-9)
		// The waterline on the face is straight, and its ends lie on the contour.
		end, at := level/0.05, 2+3*(10-level)
		half := (level - 0.05*at) / 0.4
		near(t, "shoreline", p.Shoreline, 2*math.Hypot(end-at, half)+2*half, 1e-9)
		near(t, "greatest depth", p.GreatestDepth, level-0.05*toe, 1e-9)
		near(t, "mean depth", p.MeanDepth, volume/area, 1e-9)
	}
	// Below the toe the face covers all the ground that is low enough.
	for _, level := range []float64{-1, 0.1, 0.5, 0.05 * toe} {
		p := poolAt(t, l, level, f)
		if p.Area > 1e-9 || p.Volume > 1e-9 || p.GreatestDepth > 1e-9 {
			t.Errorf("at %g m: %+v, want nothing", level, p)
		}
	}
}

// The same water wherever the dam lies to the triangles of the ground.
func TestFaceAcrossAnyMesh(t *testing.T) {
	ground, _ := valley(0.05, 0.4, 20)
	area, volume := heldWater(8)
	for _, angle := range []float64{0, 0.2, 1, 2.5, math.Pi} {
		move := turned(angle)
		line := straight(t, move(orb.Point{-60, 0}), move(orb.Point{0, 0}), move(orb.Point{60, 0}))
		l := lakeOf(t, ground.moved(move), line)
		p := poolAt(t, l, 8, l.Face(plain(10, 4, 3, 2), line, 0, 120))
		near(t, "area", p.Area, area, 1e-9)
		near(t, "volume", p.Volume, volume, 1e-9)
	}
}

// A bench takes more of the lake than the plain face does: the prism between
// them. The crest and the face above the water do not matter.
func TestBenchInTheLake(t *testing.T) {
	l, line := dammedValley(t)
	d := plain(10, 4, 3, 2)
	d.Upstream = []earthwork.FacePart{
		{Slope: 3, ToElevation: 6, Bench: 5, From: math.Inf(-1), To: math.Inf(1)}, face(3),
	}
	with, without := l.Face(d, line, 0, 120), l.Face(plain(10, 4, 3, 2), line, 0, 120)
	a, b := poolAt(t, l, 8, without), poolAt(t, l, 8, with)
	near(t, "area", a.Area, b.Area, 1e-9)
	if took := a.Volume - b.Volume; took < 50 || took > 1500 {
		t.Errorf("the bench takes %.1f m3", took)
	}
	// Below the bench it is the plain face 5 m further out.
	shifted := l.Face(plain(10, 14, 3, 2), line, 0, 120)
	near(t, "below the bench", poolAt(t, l, 5.5, with).Volume, poolAt(t, l, 5.5, shifted).Volume, 1e-9)
}

// A ring dam on level ground: the water inside is a truncated cone (closed form),
// up to the chords that stand for the circle.
func TestLakeInsideARingDam(t *testing.T) {
	ground := quilt(func(orb.Point) float64 { return 5 }, []orb.Point{{-200, -200}, {200, -200}, {200, 200}, {-200, 200}})
	const radius, level, height, crest, slope = 50.0, 8.0, 5.0, 4.0, 3.0
	// Half circles from corner to corner of a square's upper and lower half.
	v := []geometry.Vertex{
		{At: orb.Point{0, -radius}},
		{At: orb.Point{radius, -radius}, Radius: radius},
		{At: orb.Point{radius, radius}, Radius: radius},
		{At: orb.Point{-radius, radius}, Radius: radius},
		{At: orb.Point{-radius, -radius}, Radius: radius},
		{At: orb.Point{0, -radius}},
	}
	line, err := geometry.NewCentreline(v, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	l, err := earthwork.NewLake(ground, line, line.Start(), line.End())
	if err != nil {
		t.Fatal(err)
	}
	p := poolAt(t, l, level, l.Face(plain(5+height, crest, slope, 2), line, line.Start(), line.End()))
	bottom := radius - crest/2 - slope*height
	top := bottom + slope*(level-5)
	// The chords stay within 1 cm of the circle, facets square to their middles:
	// no more than that strip along the shore is missing.
	missing := 0.01 * 2 * math.Pi * radius
	if d := math.Pi*top*top - p.Area; d < 0 || d > missing {
		t.Errorf("area %.4f m2, want %.4f less at most %.4f", p.Area, math.Pi*top*top, missing)
	}
	cone := math.Pi * (level - 5) / 3 * (bottom*bottom + bottom*top + top*top)
	if d := cone - p.Volume; d < 0 || d > missing*(level-5) {
		t.Errorf("volume %.4f m3, want %.4f less at most %.4f", p.Volume, cone, missing*(level-5))
	}
	if d := 2*math.Pi*top - p.Shoreline; d < 0 || d > 0.01*2*math.Pi {
		t.Errorf("shoreline %.4f m, want %.4f", p.Shoreline, 2*math.Pi*top)
	}
	near(t, "greatest depth", p.GreatestDepth, level-5, exact)
}

// The crest for a storage, all parts together: raising the crest moves the face
// and the pool, and the answer holds the volume that was asked for.
func TestCrestForStorageInAValley(t *testing.T) {
	l, line := dammedValley(t)
	storage := func(crest, pool float64) (float64, error) {
		s, err := l.Storage(pool, l.Face(plain(crest, 4, 3, 2), line, 0, 120))
		return s.Volume, err
	}
	b := earthwork.Bracket{Low: 5, High: 15, Tolerance: 1e-4}
	_, held := heldWater(8)
	crest, err := earthwork.CrestForStorage(storage, held, 2, b)
	if err != nil {
		t.Fatal(err)
	}
	if crest < 10-1e-9 || crest > 10+b.Tolerance {
		t.Errorf("crest %.6f, want 10 or up to the tolerance above", crest)
	}
	if _, err := earthwork.CrestForStorage(storage, 1e9, 2, b); reasonOf(err) != earthwork.NotAtHigh {
		t.Errorf("more than the valley holds: %v", err)
	}
	// The lake leaves the survey at 15 m, so that more cannot be figured.
	b.High = 20
	_, err = earthwork.CrestForStorage(storage, 1e9, 2, b)
	var beyond *earthwork.AboveLimitError
	if reasonOf(err) != earthwork.CannotFigure || !errors.As(err, &beyond) {
		t.Errorf("more than the survey shows: %v", err)
	}
}

// BenchmarkLake floods the ground of 100,000 points behind a dam; the goal is
// well under a second. Triangulating them is not part of it.
func BenchmarkLake(b *testing.B) {
	tin, line := largeValley(b)
	for b.Loop() {
		if _, err := earthwork.NewLake(tin, line, line.Start(), line.End()); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkStorage measures the water at one level on the same ground, all of
// it behind the dam.
func BenchmarkStorage(b *testing.B) {
	tin, line := largeValley(b)
	l := lakeOf(b, tin, line)
	for b.Loop() {
		if _, err := l.Storage(l.Limit().Level, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// largeValley is a rough V valley of 100,000 points.
func largeValley(t testing.TB) (*geometry.TIN, *geometry.Centreline) {
	var points []geometry.GroundPoint
	for i := range 250 {
		for j := range 400 {
			x, y := 4*float64(i)-500, 4*float64(j)-200
			rough := 0.3 * math.Sin(float64(7919*i+104729*j))
			points = append(points, geometry.GroundPoint{At: orb.Point{x + rough, y - rough}, Elevation: 0.01*y + 0.1*math.Abs(x) + rough})
		}
	}
	return tinOf(t, points), straight(t, orb.Point{-480, 3}, orb.Point{480, -5})
}
