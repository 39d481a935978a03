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

	// The floor is level at Floor (elevation, m); or, when ByDepth is set, Floor
	// metres below the ground everywhere; or, when Follow is set, it follows the
	// bottom of the first usable layers of Strata, and no lower than Floor unless
	// that is -Inf.
	Floor   float64
	ByDepth bool
	Follow  bool

	// The ground is Surface, or, when that is nil, level at Level (m).
	Surface geometry.Surface
	Level   float64

	// Setback is the distance, m, kept from the boundary: the sides start there.
	Setback float64
	// Keep is other ground that is not dug: the dam's.
	Keep []Keep

	// Strata says what lies below the ground; nil for one usable soil without
	// end below the topsoil. Cover is the thickness, m, left above the bottom of
	// the usable layers, or of what the holes show: see Hole.Base.
	Strata *Strata
	Cover  float64
	// Near is the distance, m, from a hole beyond which what is dug is counted as
	// far from any; 0 counts nothing.
	Near float64
}

// Capacity is what a pit gives when it is dug to its floor.
type Capacity struct {
	Area    float64 // inside the boundary, m2
	Opened  float64 // of the dig at the ground, m2
	Dug     float64 // all that comes out, topsoil included, bank m3
	Strip   float64 // topsoil, bank m3
	Waste   float64 // below the topsoil and not usable, bank m3
	Bank    float64 // usable, bank m3: Dug - Strip - Waste
	Floor   float64 // area of the floor, m2
	Deepest float64 // greatest depth below the ground, m
	DugTo   float64 // lowest elevation of the dug surface, m

	// Layers is what is dug of each of Strata.Layers below the topsoil, bank m3;
	// nil without strata.
	Layers []float64
	// BelowWater is the part of Dug below the water that the holes show, bank m3;
	// it is known when WaterSeen, 0 otherwise.
	BelowWater float64
	WaterSeen  bool
	// Far is the part of Bank farther than Pit.Near from every hole, bank m3.
	Far float64
}

// Of is what a capacity holds of one usable material, bank m3; of all for "".
func (c Capacity) Of(s *Strata, material string) float64 {
	if s == nil || material == "" {
		return c.Bank
	}
	sum := 0.0
	for i, l := range s.Layers {
		if l.Usable && l.Material == material {
			sum += c.Layers[i]
		}
	}
	return sum
}

// Measure returns what the pit gives when it is dug to its floor. The package's
// comment defines the dug surface; topsoil is the part of what is dug that lies
// within Strip metres below the ground, or in the topsoil of the holes.
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
// where the ground is not known, ErrOverlap, ErrFloorAbove, ErrSteepGround,
// ErrNoRoom or ErrNothingUsable.
func (p Pit) Measure() (Capacity, error) {
	r, err := p.prepare()
	if err != nil {
		return Capacity{}, err
	}
	d := r.dig(p.Floor, false)
	return r.capacity(d), r.nothing(d)
}

// deepest is the greatest depth that the holes let the pit be dug to, m.
func (p Pit) deepest() float64 {
	deep := 0.0
	for _, h := range p.Strata.Holes {
		base, _ := h.Base(p.Follow)
		deep = max(deep, base)
	}
	return deep
}

// reach is about how far in plan the sides run before they meet the floor, m.
func (p Pit) reach(runs []run, floor float64) float64 {
	switch {
	case p.Follow:
		return p.SideSlope * p.deepest()
	case p.ByDepth:
		return p.SideSlope * floor
	}
	return p.SideSlope * max(0, highestOf(runs, floor)-floor)
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
	case p.Follow && p.Strata == nil:
		return &ValueError{"floor elevation", math.NaN(), "a number, where no hole says what the floor is to follow"}
	case p.Follow && p.ByDepth:
		return &ValueError{"depth", p.Floor, "left out where the floor follows the layers"}
	case !(p.Follow && math.IsInf(p.Floor, -1)) && !finite(p.Floor):
		return &ValueError{"floor elevation", p.Floor, "a number"}
	case !finite(p.Setback) || p.Setback < 0:
		return &ValueError{"setback", p.Setback, "0 or more"}
	case !finite(p.Cover) || p.Cover < 0:
		return &ValueError{"cover to leave", p.Cover, "0 or more"}
	case !finite(p.Near) || p.Near < 0:
		return &ValueError{"distance from a hole", p.Near, "0 or more"}
	case p.Surface == nil && !finite(p.Level):
		return &ValueError{"ground elevation", p.Level, "a number"}
	}
	for _, k := range p.Keep {
		if !finite(k.Distance) || k.Distance < 0 {
			return &ValueError{"distance to keep", k.Distance, "0 or more"}
		}
	}
	return nil
}
