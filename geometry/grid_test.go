package geometry

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// postings are values for tests: elevation by column and row, row by row.
type postings struct {
	cols int
	z    []float64
}

func (p postings) Size() (cols, rows int) { return p.cols, len(p.z) / p.cols }

func (p postings) At(col, row int) float64 { return p.z[row*p.cols+col] }

// axes places a grid with unit cells, its rows to the north.
var axes = GridFrame{orb.Point{0, 0}, orb.Point{1, 0}, orb.Point{0, 1}}

// turnedFrame is a grid whose columns run at an angle from east.
func turnedFrame(at orb.Point, angle, col, row float64) GridFrame {
	s, c := math.Sincos(angle)
	return GridFrame{at, orb.Point{col * c, col * s}, orb.Point{-row * s, row * c}}
}

// sampled makes a grid of a function of the place.
func sampled(t testing.TB, cols, rows int, f GridFrame, ground func(orb.Point) float64) *Grid {
	t.Helper()
	p := postings{cols: cols}
	for r := range rows {
		for c := range cols {
			p.z = append(p.z, ground(f.Place(float64(c), float64(r))))
		}
	}
	return mustGrid(t, p, f)
}

func mustGrid(t testing.TB, v Values, f GridFrame) *Grid {
	t.Helper()
	g, err := NewGrid(v, f)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// checkSurfaceSlice compares a slice with cutting every triangle by the segment.
func checkSurfaceSlice(t testing.TB, s Surface, a, b orb.Point, tolerance float64) {
	t.Helper()
	pieces := s.Slice(nil, a, b)
	length := distance(a, b)
	checkPieces(t, pieces, length)
	covered, walked := 0.0, 0.0
	for tri := range s.Triangles(s.Bound()) {
		from, to := clipSpan(tri, a, b, 1e-9)
		covered += (to - from) * length
		from, to = clipSpan(tri, a, b, 0)
		if (to-from)*length < 1e-6 {
			continue
		}
		for _, share := range []float64{0.1, 0.5, 0.9} {
			at := mix(from, to, share)
			p := orb.Point{mix(a[0], b[0], at), mix(a[1], b[1], at)}
			want := planeAt(tri, p)
			if got, ok := atOffset(pieces, at*length); !ok || math.Abs(got-want) > tolerance {
				t.Fatalf("from %v to %v, offset %v: elevation %v %v, triangle %v has %v", a, b, at*length, got, ok, tri, want)
			}
		}
	}
	for _, p := range pieces {
		from, to := p.Span()
		walked += to - from
	}
	if walked > covered+1e-6 { // along an edge, both its triangles are in covered
		t.Fatalf("from %v to %v: %v m of ground, triangles cover %v m", a, b, walked, covered)
	}
}

// A plane is the same plane whatever way its postings lie.
func TestGridOnPlane(t *testing.T) {
	ground := func(p orb.Point) float64 { return 50 + 0.03*p[0] - 0.02*p[1] }
	for _, angle := range []float64{0, 0.3, math.Pi / 4, 1.9, math.Pi, -math.Pi / 2} {
		for _, row := range []float64{-2, 3} {
			f := turnedFrame(orb.Point{1000, -500}, angle, 4, row)
			g := sampled(t, 9, 7, f, ground)
			area := 0.0
			for tri := range g.Triangles(g.Bound()) {
				a := planArea(tri)
				if !(a > 0) {
					t.Fatalf("angle %v: triangle %v is not counter-clockwise", angle, tri)
				}
				area += a
			}
			near(t, "area", area, 8*6*4*math.Abs(row))
			a, b := f.Place(-1, 2.2), f.Place(12, 4.7)
			pieces := g.Slice(nil, a, b)
			if len(pieces) != 1 {
				t.Fatalf("angle %v: %d pieces", angle, len(pieces))
			}
			for _, k := range pieces[0] {
				share := k.Offset / distance(a, b)
				near(t, "elevation on the plane", k.Elevation, ground(orb.Point{mix(a[0], b[0], share), mix(a[1], b[1], share)}))
			}
			for _, c := range [][2]int{{0, 0}, {8, 0}, {3, 6}} {
				p, z := g.Posting(c[0], c[1])
				near(t, "posting's place", distance(p, f.Place(float64(c[0]), float64(c[1]))), 0)
				near(t, "posting", z, ground(p))
			}
			low, high := g.Range()
			corners := []float64{ground(f.Place(0, 0)), ground(f.Place(8, 0)), ground(f.Place(8, 6)), ground(f.Place(0, 6))}
			near(t, "lowest", low, slices.Min(corners))
			near(t, "highest", high, slices.Max(corners))
		}
	}
}

// On z = x y the cut decides: along it the ground is straight between the
// south-west and the north-east corner. In the cell with corners (0, 0) and
// (1, 1), z = min(x, y) on the two planes; on the other diagonal 1/2 at most.
func TestGridSaddleIsCutSouthWestToNorthEast(t *testing.T) {
	ground := func(p orb.Point) float64 { return p[0] * p[1] }
	frames := map[string]struct {
		f    GridFrame
		same bool // the diagonals are the same as those of the first
	}{
		"rows to the north":   {axes, true},
		"rows to the south":   {GridFrame{orb.Point{0, 4}, orb.Point{1, 0}, orb.Point{0, -1}}, true},
		"columns to the west": {GridFrame{orb.Point{4, 0}, orb.Point{-1, 0}, orb.Point{0, 1}}, true},
		"columns northward":   {GridFrame{orb.Point{0, 0}, orb.Point{0, 1}, orb.Point{1, 0}}, true},
		"turned half round":   {GridFrame{orb.Point{4, 4}, orb.Point{-1, 0}, orb.Point{0, -1}}, true},
		"a little turned":     {turnedFrame(orb.Point{0, 0}, 1e-4, 1, 1), true},
	}
	for name, tc := range frames {
		t.Run(name, func(t *testing.T) {
			g := sampled(t, 5, 5, tc.f, ground)
			for _, p := range []orb.Point{{0.25, 0.75}, {0.75, 0.25}, {0.5, 0.5}, {0.3, 0.3}} {
				z, ok := g.Elevation(nil, p)
				if want := min(p[0], p[1]); !ok || math.Abs(z-want) > 2e-3 {
					t.Errorf("at %v: %v %v, want %v", p, z, ok, want)
				}
			}
		})
	}
}

// The volume under a cone between levels, by triangles, tends to the closed form
// at second order as the cells shrink: pi r^2 h / 3 less the tip.
func TestGridConeTendsToClosedForm(t *testing.T) {
	const r, h = 40.0, 20.0
	cone := func(p orb.Point) float64 { return h * (1 - math.Hypot(p[0], p[1])/r) }
	level, fall := 5.0, 0.0
	want := math.Pi * (r * 0.75) * (r * 0.75) * (h - level) / 3
	var miss []float64
	for _, n := range []int{40, 80, 160} {
		step := 100 / float64(n)
		g := sampled(t, n+1, n+1, GridFrame{orb.Point{-50, 50}, orb.Point{step, 0}, orb.Point{0, -step}}, cone)
		got, err := VolumeOver(g, orb.Polygon{g.Bound().ToRing()}, level)
		if err != nil {
			t.Fatal(err)
		}
		miss = append(miss, math.Abs(got.Cut-want))
		fall = got.Missing
	}
	if fall != 0 || miss[0]/miss[1] < 3 || miss[1]/miss[2] < 3 || miss[2] > 1e-3*want {
		t.Errorf("the misses are %v of %v, and %v m2 missing", miss, want, fall)
	}
}

// Plan area and volume below levels of a hill, cut from south-west to
// north-east; the figures are by the closed form for one triangle, see the notes
// in the file.
func TestGridVolumeBelowPublishedLevels(t *testing.T) {
	rows := readRows(t, "terrain/maunga_whau_10m.csv")
	p := postings{cols: len(rows[0])} // columns run north, rows east
	for _, row := range rows {
		for _, v := range row {
			p.z = append(p.z, number(t, v))
		}
	}
	f := GridFrame{orb.Point{0, 0}, orb.Point{0, 10}, orb.Point{10, 0}}
	g := mustGrid(t, p, f)
	checked := 0
	for _, row := range readRows(t, "volume/terrain_below_level.csv") {
		got, err := VolumeOver(g, orb.Polygon{g.Bound().ToRing()}, number(t, row[1]))
		if err != nil {
			t.Fatal(err)
		}
		area, volume := number(t, row[2]), number(t, row[3])
		if math.Abs(got.Fill-volume) > 1e-9*volume || math.Abs(got.FillArea-area) > 1e-9*area {
			t.Errorf("level %s: area %v, volume %v, published %v, %v", row[1], got.FillArea, got.Fill, area, volume)
		}
		checked++
	}
	if checked < 8 {
		t.Errorf("only %d levels", checked)
	}
}

// Grids on small whole places with gaps: slices that run along edges, cuts and
// through postings all the time agree with cutting every triangle.
func TestGridSliceAgainstCuttingEveryTriangle(t *testing.T) {
	frames := []GridFrame{
		axes,
		{orb.Point{0, 5}, orb.Point{1, 0}, orb.Point{0, -1}},
		{orb.Point{2, 1}, orb.Point{2, 1}, orb.Point{-1, 2}},
		turnedFrame(orb.Point{3, 1}, 0.7, 1.5, -0.8),
	}
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom(frames).Draw(t, "frame")
		p := postings{cols: rapid.IntRange(2, 6).Draw(t, "cols")}
		rows := rapid.IntRange(2, 6).Draw(t, "rows")
		for range p.cols * rows {
			z := float64(rapid.IntRange(0, 12).Draw(t, "z"))
			if z > 9 {
				z = math.NaN()
			}
			p.z = append(p.z, z)
		}
		g, err := NewGrid(p, f)
		if err != nil {
			var e *GridError
			if !errors.As(err, &e) || e.Rule != NoCells {
				t.Fatal(err)
			}
			return
		}
		place := func(name string) orb.Point {
			half := func(axis string) float64 { return float64(rapid.IntRange(-3, 14).Draw(t, name+axis)) / 2 }
			return f.Place(half("col"), half("row"))
		}
		a, b := place("a"), place("b")
		if a == b {
			return
		}
		checkAgainstTriangles(t, g, a, b)
	})
}

// Gaps, edges of the grid and places that miss it, by hand.
func TestGridSliceAtGapsAndEdges(t *testing.T) {
	gap := math.NaN()
	g := mustGrid(t, postings{4, []float64{
		1, 2, 3, 4,
		2, 3, gap, 5,
		3, 4, 5, 6,
		4, 5, 6, 7,
	}}, axes)
	for name, tc := range map[string]struct {
		a, b orb.Point
		want []Line
	}{
		"beyond":             {orb.Point{-1, 4}, orb.Point{5, 4}, nil},
		"touches a corner":   {orb.Point{-1, 1}, orb.Point{1, -1}, nil},
		"along the edge":     {orb.Point{-1, 0}, orb.Point{1.5, 0}, []Line{{{1, 1}, {2, 2}}}},
		"in at a cut's half": {orb.Point{0.5, -1}, orb.Point{0.5, 0.75}, []Line{{{1, 1.5}, {1.5, 2}, {1.75, 2.25}}}},
		"through the gap":    {orb.Point{0.5, 1}, orb.Point{4, 1}, []Line{{{0, 2.5}, {0.5, 3}}}},
		"up to the gap":      {orb.Point{0, 1.75}, orb.Point{3, 1.75}, []Line{{{0, 2.75}, {0.75, 3.5}, {1, 3.75}, {1.75, 4.5}}}},
		"across the gap": {orb.Point{0, 0.25}, orb.Point{3, 0.25}, []Line{
			{{0, 1.25}, {0.25, 1.5}, {1, 2.25}},
			{{2.25, 3.5}, {3, 4.25}},
		}},
	} {
		t.Run(name, func(t *testing.T) {
			if got := g.Slice(nil, tc.a, tc.b); !sameLines(got, tc.want) {
				t.Errorf("got %v, want %v", got, tc.want)
			}
		})
	}
	s := g.Summary()
	if s.Triangles != 12 || s.Gaps != 6 { // the gap is a corner of six triangles
		t.Errorf("summary %+v", s)
	}
	for p, want := range map[orb.Point]bool{{2, 1}: false, {2, 0.5}: false, {2.5, 1.75}: false, {1, 1}: true, {3, 1}: true, {2, 2}: true, {1.75, 1.75}: true, {3, 3.1}: false} {
		if _, ok := g.Elevation(nil, p); ok != want {
			t.Errorf("ground at %v: %v", p, ok)
		}
	}
}

// sameLines compares knots to within rounding.
func sameLines(a, b []Line) bool {
	return slices.EqualFunc(a, b, func(p, q Line) bool {
		return slices.EqualFunc(p, q, func(k, l Knot) bool {
			return math.Abs(k.Offset-l.Offset) < 1e-12 && math.Abs(k.Elevation-l.Elevation) < 1e-12
		})
	})
}

func TestGridErrors(t *testing.T) {
	gap := math.NaN()
	level := func(cols, rows int, z float64) postings {
		p := postings{cols: cols}
		for range cols * rows {
			p.z = append(p.z, z)
		}
		return p
	}
	bad := level(3, 3, 1)
	bad.z[5] = math.Inf(1)
	for name, tc := range map[string]struct {
		values postings
		frame  GridFrame
		want   GridError
	}{
		"one column":   {level(1, 4, 0), axes, GridError{Rule: TooFewPostings}},
		"one row":      {level(4, 1, 0), axes, GridError{Rule: TooFewPostings}},
		"no steps":     {level(3, 3, 0), GridFrame{}, GridError{Rule: BadFrame}},
		"on one line":  {level(3, 3, 0), GridFrame{Column: orb.Point{1, 1}, Row: orb.Point{2, 2}}, GridError{Rule: BadFrame}},
		"no number":    {level(3, 3, 0), GridFrame{orb.Point{gap, 0}, orb.Point{1, 0}, orb.Point{0, 1}}, GridError{Rule: BadFrame}},
		"too far":      {level(3, 3, 0), GridFrame{orb.Point{}, orb.Point{1e8, 0}, orb.Point{0, 1}}, GridError{Rule: BadFrame}},
		"all gaps":     {level(3, 3, gap), axes, GridError{Rule: NoCells}},
		"no elevation": {bad, axes, GridError{BadElevation, 2, 1}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := NewGrid(tc.values, tc.frame)
			var e *GridError
			if !errors.As(err, &e) || *e != tc.want {
				t.Errorf("got %v, want %v", err, &tc.want)
			}
		})
	}
}

// A box yields the triangles that meet it and no others.
func TestGridTrianglesTouchingBox(t *testing.T) {
	f := turnedFrame(orb.Point{20, 10}, 0.4, 1.5, -2)
	g := sampled(t, 8, 9, f, func(p orb.Point) float64 { return hill(xy{p[0], p[1]}) })
	rapid.Check(t, func(t *rapid.T) {
		c := func(name string) float64 { return rapid.Float64Range(-5, 25).Draw(t, name) }
		at := orb.Point{g.Bound().Min[0] + c("x"), g.Bound().Min[1] + c("y")}
		box := orb.Bound{Min: at, Max: orb.Point{at[0] + math.Abs(c("dx"))/4, at[1] + math.Abs(c("dy"))/4}}
		want := map[Triangle]bool{}
		for tri := range g.Triangles(g.Bound()) {
			if meets(tri, box) {
				want[tri] = true
			}
		}
		got := 0
		for tri := range g.Triangles(box) {
			got++
			if !want[tri] {
				t.Fatalf("box %v: %v does not meet it", box, tri)
			}
		}
		if got != len(want) {
			t.Fatalf("box %v: %d triangles, want %d", box, got, len(want))
		}
	})
}

// blanked knows that its columns from 3 to 6 and rows from 2 to 8 are blank.
type blanked struct{ postings }

func (b blanked) At(col, row int) float64 {
	if col >= 3 && col < 6 && row >= 2 && row < 8 {
		return math.NaN()
	}
	return b.postings.At(col, row)
}

func (b blanked) Blank(col, row int) (fromCol, fromRow, toCol, toRow int, ok bool) {
	return 3, 2, 6, 8, col >= 3 && col < 6 && row >= 2 && row < 8
}

// quiet keeps Blank out of sight.
type quiet struct{ v Values }

func (q quiet) Size() (cols, rows int) { return q.v.Size() }

func (q quiet) At(col, row int) float64 { return q.v.At(col, row) }

// Passing over blanks changes nothing, however the grid is turned.
func TestGridBlanksChangeNothing(t *testing.T) {
	v := blanked{postings{9, nil}}
	for i := range 90 {
		v.z = append(v.z, float64(i*i%17))
	}
	for _, angle := range []float64{0, 0.5, math.Pi / 2, 2, math.Pi, 4, -math.Pi / 2} {
		for _, row := range []float64{1, -1} {
			f := turnedFrame(orb.Point{}, angle, 1, row)
			a, b := mustGrid(t, v, f), mustGrid(t, quiet{v}, f)
			if a.Bound() != b.Bound() || a.Summary() != b.Summary() {
				t.Errorf("angle %v: %v %v, without blanks %v %v", angle, a.Bound(), a.Summary(), b.Bound(), b.Summary())
			}
			if x, y := slices.Collect(a.Triangles(a.Bound())), slices.Collect(b.Triangles(b.Bound())); !slices.Equal(x, y) {
				t.Errorf("angle %v: %d triangles, without blanks %d", angle, len(x), len(y))
			}
		}
	}
}

// Far from the origin and on long thin cells the slice stays on the ground.
func TestGridSliceFarFromOrigin(t *testing.T) {
	ground := func(p orb.Point) float64 { return 100 + 0.01*(p[0]-600000) + 0.02*(p[1]-4100000) }
	g := sampled(t, 30, 40, GridFrame{orb.Point{600000, 4100000}, orb.Point{0.3048, 0}, orb.Point{0, -5}}, ground)
	a, b := orb.Point{600001.1, 4100010}, orb.Point{600007.77, 4099700.5}
	for _, piece := range g.Slice(nil, a, b) {
		for _, k := range piece {
			share := k.Offset / distance(a, b)
			if want := ground(orb.Point{mix(a[0], b[0], share), mix(a[1], b[1], share)}); math.Abs(k.Elevation-want) > 1e-8 {
				t.Fatalf("knot %v, want %v", k, want)
			}
		}
	}
	checkSurfaceSlice(t, g, a, b, 1e-6)
}

func BenchmarkGridSlice(b *testing.B) {
	p := postings{cols: 2000}
	for i := range 2000 * 2000 {
		p.z = append(p.z, float64(i%97))
	}
	g := mustGrid(b, p, axes)
	knots := 0
	for b.Loop() {
		knots = 0
		for _, piece := range g.Slice(nil, orb.Point{10, 20}, orb.Point{1900, 1330}) {
			knots += len(piece)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(knots), "ns/edge")
}

// checkAgainstTriangles is checkSurfaceSlice under rapid, with the elevation at
// the middle of each piece and at each knot as a second question.
func checkAgainstTriangles(t *rapid.T, g *Grid, a, b orb.Point) {
	checkSurfaceSlice(rapidTB{rapid: t}, g, a, b, 1e-6)
	length := distance(a, b)
	for _, piece := range g.Slice(nil, a, b) {
		for i, k := range piece {
			offsets := []float64{k.Offset}
			if i > 0 {
				if k.Offset-piece[i-1].Offset < 1e-9 { // the lattice has no crossings so near
					t.Fatalf("from %v to %v: knots at %v and %v", a, b, piece[i-1].Offset, k.Offset)
				}
				offsets = append(offsets, (k.Offset+piece[i-1].Offset)/2)
			}
			for _, o := range offsets {
				p := orb.Point{mix(a[0], b[0], o/length), mix(a[1], b[1], o/length)}
				want, _ := piece.At(o)
				if z, ok := g.Elevation(nil, p); !ok || math.Abs(z-want) > 1e-6 {
					t.Fatalf("from %v to %v at %v: slice %v, elevation %v %v", a, b, p, want, z, ok)
				}
			}
		}
	}
}

// rapidTB lends a rapid test the helpers that want a testing.TB; they use no more
// than these two methods.
type rapidTB struct {
	testing.TB
	rapid *rapid.T
}

func (r rapidTB) Helper() {}

func (r rapidTB) Fatalf(format string, args ...any) { r.rapid.Fatalf(format, args...) }

// A segment that only touches a corner of the grid has no ground, whichever way
// rounding puts the corner.
func TestGridSliceAtACorner(t *testing.T) {
	for _, angle := range []float64{0, 0.1, 0.3, 0.7, 1, 2, 3} {
		f := turnedFrame(orb.Point{3, 1}, angle, 1.5, -0.8)
		g := mustGrid(t, postings{cols: 5, z: make([]float64, 15)}, f)
		if got := g.Slice(nil, f.Place(4.5, 0.5), f.Place(2.5, -1.5)); len(got) != 0 {
			t.Errorf("turned by %g: %v", angle, got)
		}
	}
}
