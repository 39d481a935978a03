package terrain

import (
	"fmt"
	"io"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// progressEvery is how many bytes are read between two reports.
const progressEvery = 1 << 20

// stream reads the file from its start and tells the progress.
type stream struct {
	s        *source
	progress func(done, total int64)
	at, told int64
}

func (s *source) stream(opt Options) *stream { return &stream{s: s, progress: opt.Progress} }

// Read implements io.Reader.
func (r *stream) Read(p []byte) (int, error) {
	if r.at >= r.s.size {
		return 0, io.EOF
	}
	p = p[:min(int64(len(p)), r.s.size-r.at)]
	n, err := r.s.r.ReadAt(p, r.at)
	r.at += int64(n)
	r.tell()
	if n == len(p) {
		return n, nil
	}
	if err == io.EOF || err == nil { // the file has become shorter meanwhile
		return n, r.s.cutOff(r.at)
	}
	return n, r.s.fault(fmt.Sprintf("byte %d", r.at), "cannot be read: "+err.Error(), "copy the file again")
}

func (r *stream) tell() {
	if r.progress != nil && r.at-r.told >= progressEvery {
		r.told = r.at
		r.progress(r.at, r.s.size)
	}
}

// mostGround is the number of points that one file may bring. It guards the
// memory of the computer: a surface takes about 200 bytes a point.
const mostGround = 30_000_000

// gatherer takes the points of a file one by one: converts them, keeps those in
// the window and counts what it leaves out.
type gatherer struct {
	s         *source
	opt       Options
	plan, up  units.Unit
	points    []geometry.GroundPoint
	bound     orb.Bound
	seen      int // ground points, kept or not
	elsewhere int // beyond the window
}

// gather makes ready to take points whose coordinates are in the units given,
// and asks for the unit when there is none. An elevation unit that is not given
// is that of the plan.
func (s *source) gather(opt Options) (*gatherer, error) {
	if opt.Unit.SI == 0 {
		e := s.fault("", "it does not say what unit its coordinates are in", "give its `unit`: m, ft or ftUS")
		e.Column = "unit"
		return nil, e
	}
	g := &gatherer{s: s, opt: opt, plan: opt.Unit, up: opt.ElevationUnit}
	if g.up.SI == 0 {
		g.up = g.plan
	}
	g.bound = orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	return g, nil
}

// reserve makes room for about n points, a few more rather than a few less.
func (g *gatherer) reserve(n int) {
	n += n/50 + 1
	if n = min(n, mostGround); n > cap(g.points) {
		g.points = append(make([]geometry.GroundPoint, 0, n), g.points...)
	}
}

// place converts plan coordinates to metres from the origin.
func (g *gatherer) place(x, y float64) orb.Point {
	return orb.Point{g.plan.ToSI(x) - g.opt.Origin[0], g.plan.ToSI(y) - g.opt.Origin[1]}
}

// level converts an elevation to metres.
func (g *gatherer) level(z float64) float64 { return g.up.ToSI(z) + g.opt.Shift }

// add takes a point in the file's units. It reports false when there are too
// many.
func (g *gatherer) add(x, y, z float64) bool {
	p := g.place(x, y)
	g.seen++
	g.see(p)
	if !g.opt.whole() && !g.opt.Window.Contains(p) {
		g.elsewhere++
		return true
	}
	g.points = append(g.points, geometry.GroundPoint{At: p, Elevation: g.level(z)})
	return len(g.points) <= mostGround
}

// see widens the bound.
func (g *gatherer) see(p orb.Point) {
	g.bound.Min = orb.Point{min(g.bound.Min[0], p[0]), min(g.bound.Min[1], p[1])}
	g.bound.Max = orb.Point{max(g.bound.Max[0], p[0]), max(g.bound.Max[1], p[1])}
}

// sound refuses a coordinate that no grid has and an elevation that no ground
// has, in the file's units.
func (g *gatherer) sound(where string, x, y, z float64) error {
	if err := g.soundPlace(where, x, y); err != nil {
		return err
	}
	if up := g.level(z); !(up >= lowestGround && up <= highestGround) {
		return g.s.fault(where, fmt.Sprintf("an elevation of %g %s is not ground", z, g.up.Name),
			"take such points out, or look at the column order, the elevation unit and the shift")
	}
	return nil
}

// soundPlace is sound for a place without an elevation.
func (g *gatherer) soundPlace(where string, x, y float64) error {
	if math.Abs(g.plan.ToSI(x)) <= farthest && math.Abs(g.plan.ToSI(y)) <= farthest {
		return nil
	}
	return g.s.fault(where, "a coordinate is not a number within 100,000,000 m", "look at the number and at the `unit`")
}

// farthest is how far from the grid's origin a coordinate may be, m.
const farthest = 1e8

// tooMany is the error of a file with more points than a computer holds.
func (g *gatherer) tooMany() error {
	return g.s.fault("", fmt.Sprintf("it holds more than %d million points of the site", mostGround/1_000_000), "thin it out, or cut it to the site")
}

// found is what was taken, with notes.
func (g *gatherer) found() (Found, error) {
	if g.seen == 0 {
		return Found{}, g.s.fault("", "it holds no ground points", "export it again with the ground")
	}
	f := Found{Unit: g.plan, Bound: g.bound, Points: g.points}
	if g.elsewhere > 0 && len(g.points) > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("%s far from the dam and the pits left out of %d", plural(g.elsewhere, "point"), g.seen))
	}
	return f, nil
}

// plural is "1 point" or "3 points".
func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
