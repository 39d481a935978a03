// Package exchange writes a plan as files for other programs: the dam in plan as
// GeoJSON, its design surface as LandXML 1.2, points to stake out, quantities and
// the test log as CSV. It reads a plan's result and nothing else.
//
// Coordinates stand in the site's own grid and unit, as the centreline's do, and
// so do elevations in GeoJSON, LandXML and the points to stake out. All other
// figures are in the units of output. The same result gives the same bytes.
package exchange
