package geometry

import (
	"fmt"

	"github.com/paulmach/orb"
)

// TINRule names what points or breaklines broke. The list is closed.
type TINRule int

// The rules of a triangulation.
const (
	// TooFewPoints: a surface needs three different places.
	TooFewPoints TINRule = iota + 1
	// TooManyPoints: more than the triangulation can number.
	TooManyPoints
	// OutOfRange: a coordinate or elevation is no number or is absurdly large.
	OutOfRange
	// ElevationsDiffer: two points at one place have unlike elevations.
	ElevationsDiffer
	// OnOneLine: all points lie on one straight line.
	OnOneLine
	// UnknownPoint: a breakline names a point that is not there.
	UnknownPoint
	// BreaklinesCross: two breaklines cross with unlike elevations.
	BreaklinesCross
	// BreaklinesTangled: breaklines cross one another too often to be drawn.
	BreaklinesTangled
	// NoGroundLeft: every triangle has an edge longer than LongestEdge.
	NoGroundLeft
)

var tinRules = map[TINRule]string{
	TooFewPoints:      "ground needs at least three points at different places",
	TooManyPoints:     "too many points for one surface",
	OutOfRange:        "a coordinate or elevation is not a number within 100,000,000 m",
	ElevationsDiffer:  "two points at the same place have different elevations",
	OnOneLine:         "all points lie on one straight line, so there is no surface",
	UnknownPoint:      "a breakline names a point that does not exist",
	BreaklinesCross:   "two breaklines cross at different elevations",
	BreaklinesTangled: "breaklines cross one another too often",
	NoGroundLeft:      "every triangle has an edge longer than the longest edge allowed",
}

func (r TINRule) String() string { return tinRules[r] }

// TINError says why points are no surface, so that a caller can name the rows.
type TINError struct {
	Rule   TINRule
	Points []int     // the points concerned, as numbered by the caller from 0
	At     orb.Point // where, m, for the rules that have a place

	// Breaklines are the lines concerned, as numbered by the caller from 0. For
	// BreaklinesCross these are two, Points the two ends of the first line's part
	// and then of the second's, and Elevations what each says at the crossing, m.
	Breaklines []int
	Elevations []float64
}

// Error states the rule and the points.
func (e *TINError) Error() string {
	text := e.Rule.String()
	if len(e.Points) > 0 {
		text += fmt.Sprintf(" (points %v, counted from 0)", e.Points)
	}
	if len(e.Elevations) == 2 {
		text += fmt.Sprintf(": %.3f m and %.3f m at (%.3f, %.3f)", e.Elevations[0], e.Elevations[1], e.At[0], e.At[1])
	}
	return text
}
