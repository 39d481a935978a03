// Package geometry holds the shapes that a dam is measured with: lines in a
// cross-section, stacks of trapezoids, a centreline, and surfaces of ground.
// It knows nothing of soil or of dams.
//
// # Planes and signs
//
// Plan coordinates x and y are metres on one flat grid, x to the east and y to
// the north, as orb.Point. Elevations are metres above the site's own datum.
// There is no earth curvature and no scale factor here: a site is a few
// kilometres at most, and its grid is taken as true.
//
// A station is the distance in metres along a centreline, growing up-station.
// A cross-section is the vertical plane square to the centreline at a station.
// In it an offset is the distance in metres from the centreline: negative on
// the upstream (water) side, positive on the downstream side. Which hand that
// is when looking up-station is known by the Frame alone.
//
// All areas are square metres, all volumes cubic metres, all slopes are
// horizontal to one vertical.
package geometry
