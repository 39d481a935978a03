package borrow

import (
	"math"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Pit is a borrow pit: a boundary at the ground, sides that slope inwards and
// down from it, and a floor.
type Pit struct {
	Ring      orb.Ring // closed, not crossing itself
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

// Measure returns what the pit gives when it is dug to its floor. The package's
// comment defines the dug surface; topsoil is the part of what is dug that lies
// within Strip metres below the ground.
//
// The result is exact but for rounding where the boundary has no corner that
// points into the pit and the ground is level or one plane, and wherever the
// sides are vertical. Elsewhere the cones about such corners, and about crests
// of the ground along the boundary, are made of facets of at most one degree,
// fitted so that a whole facet's volume is right: the dug surface is off by at
// most 3 parts in 100,000 of its depth below that corner, and the volume by far
// less.
//
// A floor that lies above the ground in places leaves those undug. The ring may
// run either way. The error is a *RingError, a *ValueError, a *GroundError
// where the ground is not known, ErrOverlap, ErrFloorAbove or ErrSteepGround.
func (p Pit) Measure() (Capacity, error) {
	if err := p.check(); err != nil {
		return Capacity{}, err
	}
	o, err := newOutline(p.Ring)
	if err != nil {
		return Capacity{}, err
	}
	d := &dig{pit: p, lowest: math.Inf(1)}
	edges, err := p.groundAlong(o)
	if err != nil {
		return Capacity{}, err
	}
	root := newNode(o.box, sidesOf(edges, o.ring, p.SideSlope), p.reach(edges))
	if err := p.eachGround(o, func(c cell, ground affine) {
		d.under(ground)
		root.visit(c, d)
	}); err != nil {
		return Capacity{}, err
	}
	switch {
	case d.dug.volume > 0:
	case d.overFloor > touch:
		return Capacity{}, ErrSteepGround
	default:
		return Capacity{}, ErrFloorAbove
	}
	return Capacity{
		Area:    o.area,
		Dug:     d.dug.volume,
		Strip:   d.dug.volume - d.below.volume,
		Bank:    d.below.volume,
		Floor:   d.floorArea,
		Deepest: d.deepest,
		DugTo:   d.lowest,
	}, nil
}

// reach is about how far in plan the sides run before they meet the floor, m.
func (p Pit) reach(edges []edge) float64 {
	if p.ByDepth {
		return p.SideSlope * p.Floor
	}
	high := math.Inf(-1)
	for _, e := range edges {
		high = max(high, e.zFrom)
	}
	return p.SideSlope * max(0, high-p.Floor)
}

// floorUnder is the floor as a plane, where the ground is the given plane.
func (p Pit) floorUnder(ground affine) affine {
	if p.ByDepth {
		ground.c -= p.Floor
		return ground
	}
	return affine{c: p.Floor}
}

// steepestSide is the least slope of a side that is not vertical, horizontal to
// one vertical. Below it a side is upright for every purpose but arithmetic.
const steepestSide = 0.01

// check returns a *ValueError for a measure that no pit can have.
func (p Pit) check() error {
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	switch {
	case p.SideSlope != 0 && !(finite(p.SideSlope) && p.SideSlope >= steepestSide):
		return &ValueError{"side slope", p.SideSlope, "0 for vertical sides, or 0.01 or more to 1 vertical"}
	case !finite(p.Strip) || p.Strip < 0:
		return &ValueError{"strip depth", p.Strip, "0 or more"}
	case p.ByDepth && !(finite(p.Floor) && p.Floor > 0):
		return &ValueError{"depth", p.Floor, "above 0"}
	case !finite(p.Floor):
		return &ValueError{"floor elevation", p.Floor, "a number"}
	case p.Surface == nil && !finite(p.Level):
		return &ValueError{"ground elevation", p.Level, "a number"}
	}
	return nil
}
