package borrow

import (
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Pit is a borrow pit: a boundary at the ground, sides that slope inwards and
// down from it, and a floor.
type Pit struct {
	Ring      orb.Ring // closed, counter-clockwise, not crossing itself
	SideSlope float64  // horizontal to one vertical; 0 = vertical sides
	Strip     float64  // depth of topsoil below the ground, m

	// The floor is level at Floor (elevation, m), or, when ByDepth is set,
	// Floor metres below the ground everywhere.
	Floor   float64
	ByDepth bool

	// The ground is Surface, or, when that is nil, level at Level (m).
	Surface geometry.Surface
	Level   float64
}

// Capacity is what a pit gives when it is dug to its floor.
type Capacity struct {
	Area    float64 // inside the boundary, m2
	Dug     float64 // all that comes out, topsoil included, bank m3
	Strip   float64 // topsoil, bank m3
	Bank    float64 // below the topsoil, bank m3: Dug - Strip
	Floor   float64 // area of the floor, m2
	Deepest float64 // greatest depth below the ground, m
	DugTo   float64 // lowest elevation of the dug surface, m
}
