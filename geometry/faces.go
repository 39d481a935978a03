package geometry

import (
	"fmt"
	"iter"
	"math"

	"github.com/paulmach/orb"
)

// Faces is ground as the triangles that a surveyor has drawn. They stay as they
// are: nothing is joined anew, and where there is no triangle there is no ground.
// It is immutable and safe to use from several goroutines.
type Faces struct {
	mesh      // without hull: triangles need not touch one another
	elevation []float64
	bound     orb.Bound
	low, high float64
	boxes     *boxTree
	summary   FacesSummary
}

// FacesSummary counts what was done to the triangles, for a reader's notes.
type FacesSummary struct {
	Triangles int // that hold ground
	Flat      int // left out since their corners lie on one line
	Repeated  int // left out since the same corners make a triangle already
}

// FacesRule names what triangles broke. The list is closed.
type FacesRule int

// The rules of triangles.
const (
	// NoFaces: no triangle has an area.
	NoFaces FacesRule = iota + 1
	// UnknownCorner: a triangle names a point that is not there.
	UnknownCorner
	// CornerOutOfRange: a corner is no number within 100,000,000 m.
	CornerOutOfRange
	// FacesOverlap: two triangles lie over one another.
	FacesOverlap
)

var facesRules = map[FacesRule]string{
	NoFaces:          "no triangle has an area",
	UnknownCorner:    "a triangle names a point that does not exist",
	CornerOutOfRange: "a coordinate or elevation is not a number within 100,000,000 m",
	FacesOverlap:     "two triangles lie over one another",
}

func (r FacesRule) String() string { return facesRules[r] }

// FacesError says why triangles are no surface.
type FacesError struct {
	Rule  FacesRule
	Faces []int     // the triangles concerned, as numbered by the caller from 0
	At    orb.Point // where, m, for CornerOutOfRange and FacesOverlap
}

// Error states the rule and the triangles.
func (e *FacesError) Error() string {
	if len(e.Faces) == 0 {
		return e.Rule.String()
	}
	return fmt.Sprintf("%s (triangles %v, counted from 0)", e.Rule, e.Faces)
}

// NewFaces makes a surface of triangles, each the numbers of its three points,
// counted from 0, in either direction. Triangles without area and triangles
// that stand twice are left out. Triangles may lie over one another by seam at
// the most, and gaps as narrow as that are closed when the surface is sliced.
// An error is a *FacesError.
func NewFaces(points []GroundPoint, faces [][3]int32) (*Faces, error) {
	f := &Faces{mesh: mesh{at: make([]xy, len(points))}, elevation: make([]float64, len(points))}
	for i, p := range points {
		f.at[i], f.elevation[i] = place(p.At), p.Elevation
	}
	origin, err := f.takeFaces(faces)
	if err != nil {
		return nil, err
	}
	f.measure()
	f.boxes = newBoxTree(&f.mesh, f.bound, nil)
	f.pair()
	if !f.apartAtRim() {
		repeated, err := f.findOverlaps(origin)
		if err != nil {
			return nil, err
		}
		if f.leaveOut(repeated); f.summary.Repeated > 0 {
			f.boxes = newBoxTree(&f.mesh, f.bound, nil)
			f.pair()
		}
	}
	f.summary.Triangles = f.triangles()
	return f, nil
}

// takeFaces turns the triangles counter-clockwise and lists where each stood.
func (f *Faces) takeFaces(faces [][3]int32) (origin []int32, err error) {
	f.corner = make([]int32, 0, 3*len(faces))
	origin = make([]int32, 0, len(faces))
	for i, t := range faces {
		for _, v := range t {
			if v < 0 || int(v) >= len(f.at) {
				return nil, &FacesError{Rule: UnknownCorner, Faces: []int{i}}
			}
			p := f.at[v]
			if !(math.Abs(p.x) <= farthest && math.Abs(p.y) <= farthest && math.Abs(f.elevation[v]) <= farthest) {
				return nil, &FacesError{Rule: CornerOutOfRange, Faces: []int{i}, At: orb.Point{p.x, p.y}}
			}
		}
		switch side := sideOf(f.at[t[0]], f.at[t[1]], f.at[t[2]]); {
		case side > 0:
			f.corner = append(f.corner, t[0], t[1], t[2])
		case side < 0:
			f.corner = append(f.corner, t[0], t[2], t[1])
		default:
			f.summary.Flat++
			continue
		}
		origin = append(origin, int32(i))
	}
	if len(f.corner) == 0 {
		return nil, &FacesError{Rule: NoFaces}
	}
	return origin, nil
}

// measure sets bound and range.
func (f *Faces) measure() {
	f.low, f.high = math.Inf(1), math.Inf(-1)
	f.bound = f.box(0)
	for i := range f.triangles() {
		f.bound = f.bound.Union(f.box(i))
	}
	for _, v := range f.corner {
		f.low, f.high = min(f.low, f.elevation[v]), max(f.high, f.elevation[v])
	}
}

// leaveOut takes away marked triangles.
func (f *Faces) leaveOut(marked []bool) {
	kept := f.corner[:0]
	for i := range marked {
		if !marked[i] {
			kept = append(kept, f.corner[3*i:3*i+3]...)
		}
	}
	f.summary.Repeated = (len(f.corner) - len(kept)) / 3
	f.corner = kept
}

// Bound is the smallest box around the triangles.
func (f *Faces) Bound() orb.Bound { return f.bound }

// Range is the lowest and the highest elevation, m.
func (f *Faces) Range() (low, high float64) { return f.low, f.high }

// Summary counts what was done to the triangles.
func (f *Faces) Summary() FacesSummary { return f.summary }

// Triangles yields every triangle that touches the box, its edges included, in
// a fixed order.
func (f *Faces) Triangles(box orb.Bound) iter.Seq[Triangle] {
	return func(yield func(Triangle) bool) {
		f.boxes.visit(len(f.boxes.levels)-1, 0, box, func(i int32) bool {
			return !f.touches(int(i), box) || yield(f.triangle(i))
		})
	}
}

// triangle is the flat piece number i.
func (f *Faces) triangle(i int32) Triangle {
	var out Triangle
	for k := range int32(3) {
		v := f.corner[3*i+k]
		out.At[k], out.Elevation[k] = orb.Point{f.at[v].x, f.at[v].y}, f.elevation[v]
	}
	return out
}
