package borrow

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"
)

// ErrFloorAbove is returned by Pit.Measure when the floor lies above the ground
// everywhere inside the boundary.
var ErrFloorAbove = errors.New("nothing can be dug: the floor is above the ground everywhere")

// ErrSteepGround is returned by Pit.Measure when the ground falls away from the
// boundary more steeply than the pit's sides do, so that the sides stay in the
// air.
var ErrSteepGround = errors.New("nothing can be dug: the ground falls more steeply than the pit's sides")

// ErrOverlap is returned by Pit.Measure when triangles of the ground lie on top
// of one another, so that the ground has two elevations.
var ErrOverlap = errors.New("triangles of the ground overlap under the boundary")

// ErrNoRoom is returned by Pit.Measure when the setback, or the ground to be
// kept, leaves nothing inside the boundary.
var ErrNoRoom = errors.New("nothing can be dug: the setback leaves no room inside the boundary")

// ErrNothingUsable is returned by Pit.Measure when no hole shows usable soil
// thicker than the cover to leave.
var ErrNothingUsable = errors.New("nothing can be dug: no hole shows usable soil thicker than the cover to leave")

// RingError is returned by Pit.Measure for a boundary that encloses no pit.
type RingError struct {
	At   orb.Point // near where it is wrong, or the first point
	What string
}

// Error says what is wrong with the boundary.
func (e *RingError) Error() string {
	return fmt.Sprintf("boundary near x %.2f, y %.2f: %s", e.At[0], e.At[1], e.What)
}

// ValueError is returned by Pit.Measure for a measure that cannot be. Value is
// in metres, or a slope.
type ValueError struct {
	What  string
	Value float64
	Must  string
}

// Error says which measure is wrong and what it must be.
func (e *ValueError) Error() string {
	return fmt.Sprintf("%s is %g; it must be %s", e.What, e.Value, e.Must)
}

// GroundError is returned by Pit.Measure when the ground is not known under
// part of the boundary or inside it.
type GroundError struct {
	At     orb.Point // the middle of a stretch without ground
	Gap    float64   // length of that stretch, m
	OnRing bool      // it lies on the boundary, else inside
}

// Error says where the ground is missing and for how long.
func (e *GroundError) Error() string {
	where := "inside the boundary"
	if e.OnRing {
		where = "on the boundary"
	}
	return fmt.Sprintf("no ground %s at x %.2f, y %.2f, over %.2f m", where, e.At[0], e.At[1], e.Gap)
}
