package terrain

import (
	"errors"
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

const (
	// lowestGround and highestGround bound what is believed to be an elevation,
	// m. They guard against cells without ground that a file does not mark as
	// such: -9999, -32768 and the like in metres or feet lie outside, the dry
	// land of the earth inside, however a site's datum is shifted.
	lowestGround  = -2000
	highestGround = 20000

	// windowMargin is how many cells around the window are read as well, so that
	// what is drawn along the window's edge finds ground on both sides.
	windowMargin = 2
)

// raster is a grid file's layout: how many cells, and where the postings stand,
// in the file's own units.
type raster struct {
	cols, rows int
	frame      geometry.GridFrame // of the postings
}

// metres is the raster with its frame in metres from the origin.
func (r raster) metres(unit units.Unit, origin orb.Point) raster {
	in := func(p orb.Point) orb.Point { return orb.Point{unit.ToSI(p[0]), unit.ToSI(p[1])} }
	r.frame = geometry.GridFrame{At: in(r.frame.At), Column: in(r.frame.Column), Row: in(r.frame.Row)}
	r.frame.At[0] -= origin[0]
	r.frame.At[1] -= origin[1]
	return r
}

// bound is the box around all postings.
func (r raster) bound() orb.Bound {
	var b orb.Bound
	for i, at := range [4][2]int{{0, 0}, {r.cols - 1, 0}, {r.cols - 1, r.rows - 1}, {0, r.rows - 1}} {
		p := r.frame.Place(float64(at[0]), float64(at[1]))
		if i == 0 {
			b = orb.Bound{Min: p, Max: p}
		}
		b = b.Extend(p)
	}
	return b
}

// rectangle is a part of a raster: columns [fromCol, toCol), rows alike.
type rectangle struct {
	fromCol, fromRow, toCol, toRow int
}

func (r rectangle) empty() bool { return r.cols() <= 0 || r.rows() <= 0 }

func (r rectangle) cols() int { return r.toCol - r.fromCol }

func (r rectangle) rows() int { return r.toRow - r.fromRow }

// window is the part of a raster, in metres, that the options ask for. It is
// empty when the two have nothing in common.
func (r raster) window(opt Options) rectangle {
	all := rectangle{0, 0, r.cols, r.rows}
	if opt.whole() {
		return all
	}
	if !r.bound().Intersects(opt.Window) {
		return rectangle{}
	}
	u, v := r.frame.Column, r.frame.Row
	area := u[0]*v[1] - u[1]*v[0]
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range [4]orb.Point{opt.Window.Min, opt.Window.LeftTop(), opt.Window.Max, opt.Window.RightBottom()} {
		x, y := p[0]-r.frame.At[0], p[1]-r.frame.At[1]
		for k, i := range [2]float64{(x*v[1] - y*v[0]) / area, (y*u[0] - x*u[1]) / area} {
			low[k], high[k] = min(low[k], i), max(high[k], i)
		}
	}
	within := func(i float64, n int) int { return int(min(max(i, 0), float64(n))) }
	return rectangle{
		within(math.Floor(low[0])-windowMargin, r.cols), within(math.Floor(low[1])-windowMargin, r.rows),
		within(math.Ceil(high[0])+windowMargin+1, r.cols), within(math.Ceil(high[1])+windowMargin+1, r.rows),
	}
}

// sound refuses a frame that no grid can stand on, before anything is read.
func (s *source) sound(r raster) error {
	f := r.frame
	for _, v := range [...]float64{f.At[0], f.At[1], f.Column[0], f.Column[1], f.Row[0], f.Row[1]} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return s.fault("", "the place or the size of its cells is not a number", "export it again")
		}
	}
	if f.Column[0]*f.Row[1]-f.Column[1]*f.Row[0] == 0 {
		return s.fault("", "its cells have no area", "export it again")
	}
	if r.cols < 2 || r.rows < 2 {
		return s.fault("", fmt.Sprintf("a grid of %d columns and %d rows spans no ground", r.cols, r.rows), "export a larger part")
	}
	return nil
}

// tooLarge refuses a window of more cells than are read.
func (s *source) tooLarge(w rectangle) error {
	if w.cols() <= mostCells/max(w.rows(), 1) {
		return nil
	}
	return s.fault("", fmt.Sprintf("%d columns and %d rows are too many", w.cols(), w.rows()), "cut it to the site")
}

// noElevation is the error of a cell whose value cannot be ground.
func (s *source) noElevation(col, row int, value float64, nodata string) error {
	mend := "mark cells without ground with a NoData value when exporting it"
	if nodata != "" {
		mend = "the file marks cells without ground with " + nodata + "; mark this one alike, or check the `elevation unit`"
	}
	return s.fault(fmt.Sprintf("row %d, column %d of the grid", row+1, col+1), fmt.Sprintf("%v is no elevation of ground", value), mend)
}

// surface makes the grid of what was read of a window.
func (s *source) surface(values sink, r raster, w rectangle) (*geometry.Grid, error) {
	if values.blank() {
		return nil, s.noGround()
	}
	f := r.frame
	f.At = f.Place(float64(w.fromCol), float64(w.fromRow))
	g, err := geometry.NewGrid(values, f)
	var bad *geometry.GridError
	switch {
	case err == nil:
		return g, nil
	case errors.As(err, &bad) && bad.Rule == geometry.NoCells:
		return nil, s.noGround()
	}
	return nil, s.fault("", err.Error(), "export it again")
}

func (s *source) noGround() error {
	return s.fault("", "the part of the grid at the site holds no ground: its cells are all without elevation", "check that it covers the site")
}
