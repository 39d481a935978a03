package geometry

import (
	"math"
	"sync"

	"github.com/paulmach/orb"
)

// GroundPoint is a surveyed point of ground: a place in plan and the elevation
// there, metres.
type GroundPoint struct {
	At        orb.Point
	Elevation float64
}

// TINOptions says what beyond the points shapes a triangulation.
type TINOptions struct {
	// LongestEdge, m, takes away ground that the points do not support: going in
	// from the outer edge, every triangle with an edge in plan longer than this,
	// as far as such triangles reach one another. A breakline's own edges do not
	// count. Zero keeps all.
	LongestEdge float64

	// Breaklines are lines that triangles must not cross (a crest, a toe, a
	// ditch), each as the numbers of its points, counted from 0, in order.
	Breaklines [][]int
}

const (
	// farthest is how far from the origin a coordinate may be, m. Every grid on
	// earth is within it; beyond it a coordinate is in another unit or a slip,
	// and millimetres would be lost.
	farthest = 1e8

	// mostPoints keeps the numbers of spokes, six a point, within 32 bits.
	mostPoints = 1 << 28

	// sameElevation is how unlike two elevations at one place may be and still be
	// one point, m: a millimetre, the last digit that survey files carry. Beyond
	// it one of the two is wrong, and nobody but the surveyor knows which.
	sameElevation = 0.001

	// flatHull is the height over its outer edge below which a triangle at the
	// outer edge of the ground is left out, m. Points along a straight boundary
	// stop being exactly on one line when they are converted to metres; a
	// micrometre is a thousand times that error and far less than any survey.
	flatHull = 1e-6
)

// TIN is ground as a triangulated irregular network: the Delaunay triangulation
// of surveyed points, constrained by breaklines where they are given. It is
// immutable and safe to use from several goroutines.
//
// The triangles always fill the points' convex hull; some of them may be marked
// as holding no ground (see TINOptions.LongestEdge), so that a walk can go on
// across a gap.
type TIN struct {
	mesh
	elevation []float64 // of each place, m
	input     []int32   // the caller's number of each place, none where lines cross
	fixed     []bool    // of each corner: its edge is part of a breakline
	empty     []bool    // of each triangle: it holds no ground

	bound     orb.Bound
	low, high float64
	summary   TINSummary

	boxes     *boxTree
	buildOnce sync.Once
}

// TINSummary counts what was done to the points, for a reader's notes.
type TINSummary struct {
	Points    int // places in the triangulation, crossings of breaklines left out
	Merged    int // points left out since another stands at the same place
	Crossings int // places added where breaklines cross
	Triangles int // triangles that hold ground
	Empty     int // triangles taken away at the outer edge
}

// NewTIN triangulates ground points. Points at one place are merged when their
// elevations agree within a millimetre; the first of them stands. An error is a
// *TINError. The method is exact in its decisions on any finite coordinates, so
// that lattices, points on circles and rows of points are no special cases.
//
// Sources: predicates of Shewchuk (1997), divide and conquer of Guibas and
// Stolfi (1985) in strips after Dwyer (1987), breaklines after M. V. Anglada,
// "An Improved Incremental Algorithm for Constructing Restricted Delaunay
// Triangulations", Computers & Graphics 21 (1997), 215-223.
func NewTIN(points []GroundPoint, opt TINOptions) (*TIN, error) {
	if err := checkPoints(points, opt); err != nil {
		return nil, err
	}
	order, stands, err := mergeAlike(points, eastward(points), len(opt.Breaklines) > 0)
	if err != nil {
		return nil, err
	}
	if len(order) < 3 {
		return nil, &TINError{Rule: TooFewPoints}
	}
	o := inStrips(points, order)
	t := &TIN{mesh: *delaunay(o), input: o.input}
	if t.triangles() == 0 {
		return nil, &TINError{Rule: OnOneLine}
	}
	t.summary.Points, t.summary.Merged = len(order), len(points)-len(order)
	t.elevation = make([]float64, len(o.input))
	for v, p := range o.input {
		t.elevation[v] = points[p].Elevation
	}
	if err := t.drawBreaklines(opt.Breaklines, len(points), stands); err != nil {
		return nil, err
	}
	t.trim(opt.LongestEdge)
	if !t.measure() {
		if opt.LongestEdge > 0 {
			return nil, &TINError{Rule: NoGroundLeft}
		}
		return nil, &TINError{Rule: OnOneLine}
	}
	return t, nil
}

// checkPoints finds what no triangulation can be made of.
func checkPoints(points []GroundPoint, opt TINOptions) error {
	if len(points) < 3 {
		return &TINError{Rule: TooFewPoints}
	}
	if len(points) > mostPoints {
		return &TINError{Rule: TooManyPoints}
	}
	for i, p := range points {
		for _, v := range [3]float64{p.At[0], p.At[1], p.Elevation} {
			if !(math.Abs(v) <= farthest) {
				return &TINError{Rule: OutOfRange, Points: []int{i}, At: p.At}
			}
		}
	}
	for i, line := range opt.Breaklines {
		for _, p := range line {
			if p < 0 || p >= len(points) {
				return &TINError{Rule: UnknownPoint, Points: []int{p}, Breaklines: []int{i}}
			}
		}
	}
	return nil
}

// mergeAlike leaves of each run of points at one place the one that comes first
// in the caller's list. stands, made only when it is wanted and there are such
// points, is for standsFor.
func mergeAlike(points []GroundPoint, order []int32, wanted bool) (kept, stands []int32, err error) {
	kept = order[:0]
	for _, p := range order {
		n := len(kept)
		if n == 0 || points[kept[n-1]].At != points[p].At {
			kept = append(kept, p)
			continue
		}
		first := kept[n-1]
		if math.Abs(points[first].Elevation-points[p].Elevation) > sameElevation+roundOffElevation {
			return nil, nil, &TINError{Rule: ElevationsDiffer, Points: []int{int(first), int(p)}, At: points[p].At}
		}
		if wanted && stands == nil {
			stands = make([]int32, len(points))
		}
		if wanted {
			stands[p] = first + 1
		}
	}
	return kept, stands, nil
}

// standsFor is the point that was kept at the place of point p.
func standsFor(stands []int32, p int) int {
	if stands == nil || stands[p] == 0 {
		return p
	}
	return int(stands[p]) - 1
}

// roundOffElevation keeps 100.001 - 100 from being more than a millimetre.
const roundOffElevation = 1e-9

// measure sets bound, range and counts of the ground. It reports false when
// there is none.
func (t *TIN) measure() bool {
	t.low, t.high = math.Inf(1), math.Inf(-1)
	box := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for c, v := range t.corner {
		if t.empty[c/3] {
			continue
		}
		p := t.at[v]
		box.Min = orb.Point{min(box.Min[0], p.x), min(box.Min[1], p.y)}
		box.Max = orb.Point{max(box.Max[0], p.x), max(box.Max[1], p.y)}
		t.low, t.high = min(t.low, t.elevation[v]), max(t.high, t.elevation[v])
		t.summary.Triangles++
	}
	t.bound = box
	t.summary.Triangles /= 3
	t.summary.Empty = t.triangles() - t.summary.Triangles
	return t.summary.Triangles > 0
}

// Bound is the smallest box around the ground.
func (t *TIN) Bound() orb.Bound { return t.bound }

// Range is the lowest and the highest elevation of the ground, m.
func (t *TIN) Range() (low, high float64) { return t.low, t.high }

// Summary counts what was done to the points.
func (t *TIN) Summary() TINSummary { return t.summary }

// Triangle is the flat piece number i.
func (t *TIN) triangle(i int) Triangle {
	var out Triangle
	for k := range 3 {
		v := t.corner[3*i+k]
		out.At[k] = orb.Point{t.at[v].x, t.at[v].y}
		out.Elevation[k] = t.elevation[v]
	}
	return out
}
