// Package borrow compares what a dam takes with what the pits hold: needs in
// dry mass and bank volume, the volume of a pit, and the balance of the two.
// It knows materials, zones and reaches by name only, and no dam.
//
// Values are SI: metres, m2, m3, kilograms; slopes are horizontal to one
// vertical, losses and ratios fractions. Plan coordinates are those of package
// geometry. A volume always says its state: bank, loose or compacted.
//
// # Loss
//
// A loss is the share of what is dug that never reaches the dam: spilled,
// wasted, rejected. It stands in the need alone (BankFor), never in a pit's
// capacity too, so that it is counted once.
//
// # A pit's shape
//
// A side of a pit falls from the ground at the boundary, one metre in SideSlope
// metres of plan distance, in every direction. So the dug surface at a point p
// is
//
//	max(floor, max over boundary points b of (ground(b) - |p - b| / SideSlope))
//
// and the pit is dug where that lies below the ground. No boundary has to be
// moved inwards for this, sides that meet above the floor make a wedge by
// themselves, and a lower floor, a flatter side or more topsoil change the
// volume in one direction only.
//
// Where the ground along a straight piece of boundary is straight, the inner
// maximum is a plane. Where a corner points into the pit, or the ground along
// the boundary has a crest, it is a cone about that point; cones are cut into
// facets of at most one degree. All surfaces being flat, the volume is cut into
// convex prisms and summed without further error. See Pit.Measure for the error
// of the facets.
//
// With a setback, or beside ground to be kept, b runs over the line that bounds
// what may be dug: the points at that distance, arcs at corners that point into
// the pit as chords of at most one degree. What lies nearer is not dug. Nothing is
// dug below the base that the strata allow either: it is one more floor.
//
// # Haul
//
// A load is what a Body holds, by volume or by weight, the lesser. Its round trip
// is a Cycle on a Road; grade and rolling resistance lower a speed only where the
// engine's power is known. Stages that the soil passes one after the other (loading,
// hauling, rolling) go at the Pace of the slowest. A Calendar turns days of work
// into a date.
//
// # Strata
//
// The bottoms of layers are planes over the triangles between test holes, in
// elevation; topsoil is spread by its depth. Beyond the holes' hull the depth below
// the ground is that at the nearest point of the hull. Between the two the depth has
// no jump. A layer's volume is the integral of its thickness between the bottom of the
// topsoil and the dug surface, exact over the pieces in which all of them are planes.
package borrow
