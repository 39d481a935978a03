package terrain

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// checkPlace refuses a file that lies wholly outside the window, and says how
// far off it is and what would bring it there, or that it lies around the window.
func (s *source) checkPlace(found Found, opt Options) error {
	if opt.whole() {
		return nil
	}
	if found.Bound.Intersects(opt.Window) {
		if found.holdsNothing() {
			return s.fault("", "its points lie around the site, and none at it", "check that it covers the site")
		}
		return nil
	}
	away := units.SystemOf("metric").Length
	if opt.Unit.Name != "" {
		away = opt.Unit
	}
	what := fmt.Sprintf("the file lies %.0f %s away from the site: it reaches from (%s) to (%s)",
		away.FromSI(apart(found.Bound, opt.Window)), away.Name,
		placeText(found.Bound.Min, opt.Origin, away), placeText(found.Bound.Max, opt.Origin, away))
	return s.fault("", what, likelyCause(found, opt))
}

// holdsNothing tells that every point was left out, since none is in the window.
func (f Found) holdsNothing() bool {
	return f.Surface == nil && len(f.Points)+len(f.Boundary)+len(f.Alignments) == 0
}

// placeText writes a place as the file has it.
func placeText(p, origin orb.Point, unit units.Unit) string {
	return fmt.Sprintf("%.0f, %.0f", unit.FromSI(p[0]+origin[0]), unit.FromSI(p[1]+origin[1]))
}

// apart is the distance between two boxes that do not touch, m.
func apart(a, b orb.Bound) float64 {
	var gap [2]float64
	for k := range 2 {
		gap[k] = max(0, a.Min[k]-b.Max[k], b.Min[k]-a.Max[k])
	}
	return math.Hypot(gap[0], gap[1])
}

// likelyCause tries what is often wrong and names what brings the file to the
// site.
func likelyCause(found Found, opt Options) string {
	global := moved(found.Bound, opt.Origin, 1)
	swapped := orb.Bound{Min: orb.Point{global.Min[1], global.Min[0]}, Max: orb.Point{global.Max[1], global.Max[0]}}
	if moved(swapped, opt.Origin, -1).Intersects(opt.Window) {
		return "its x and y look swapped; export it with easting first"
	}
	if f := found.Unit.SI; f > 0 && likeDegrees(global, f) && !likeDegrees(moved(opt.Window, opt.Origin, 1), f) {
		return "its places look like degrees of longitude and latitude; export it on a projected grid, such as state plane or UTM"
	}
	for _, name := range []string{"m", "ft", "ftUS"} {
		unit, _ := units.Lookup(name)
		if found.Unit.SI == 0 || unit.SI == found.Unit.SI {
			continue
		}
		f := unit.SI / found.Unit.SI
		scaled := orb.Bound{
			Min: orb.Point{global.Min[0] * f, global.Min[1] * f},
			Max: orb.Point{global.Max[0] * f, global.Max[1] * f},
		}
		if moved(scaled, opt.Origin, -1).Intersects(opt.Window) {
			return fmt.Sprintf("its `unit` looks like %s, not %s", name, found.Unit.Name)
		}
	}
	return "check that it is of this site and on the same grid, its `unit`, and that x and y are not swapped"
}

// likeDegrees tells whether a box, in units of a size, could be one of longitude
// and latitude.
func likeDegrees(b orb.Bound, unit float64) bool {
	return max(-b.Min[0], b.Max[0]) <= 180*unit && max(-b.Min[1], b.Max[1]) <= 90*unit
}

// moved is a box moved by an origin, times a sign.
func moved(b orb.Bound, origin orb.Point, sign float64) orb.Bound {
	return orb.Bound{
		Min: orb.Point{b.Min[0] + sign*origin[0], b.Min[1] + sign*origin[1]},
		Max: orb.Point{b.Max[0] + sign*origin[0], b.Max[1] + sign*origin[1]},
	}
}

// besides is the error for a raster whose box meets the window, but whose cells
// do not; nil where the boxes are apart, since checkPlace says how far.
func (s *source) besides(bound orb.Bound, opt Options) error {
	if !bound.Intersects(opt.Window) {
		return nil
	}
	return s.fault("", "none of its cells lie at the site", "check that it covers the site")
}
