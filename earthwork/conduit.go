package earthwork

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/geometry"
)

// Conduit is a pipe through the dam, square to the centreline and straight.
type Conduit struct {
	Name     string
	Station  float64
	Diameter float64 // outside, m
	// Invert is the elevation on which the pipe lies at From, and OutletInvert that
	// at To, m; the wall's thickness is left out of account. Both are -Inf when they
	// are not known and no trench is dug.
	Invert, OutletInvert float64
	// From and To are the offsets at which it begins and ends, m; -Inf and +Inf
	// are the toes.
	From, To float64
	// TrenchWidth is the width of the trench that it is laid in, with upright
	// walls, m; 0 when none is dug.
	TrenchWidth float64
	// HandWidth is the width on each side of the pipe that is compacted by hand,
	// from the pipe's bottom to its top, m.
	HandWidth float64
}

// ConduitVolume is what a conduit takes, m and m3. The soil beside the pipe is
// part of the dam's fill and trench volumes, not added to them.
type ConduitVolume struct {
	Length float64 // of pipe, along its slope
	From   float64 // offset where it begins, and To where it ends
	To     float64
	// Dug is the trench from the stripped ground down to the invert, Deepest how
	// deep it is at most.
	Dug, Deepest float64
	// Backfill is what fills that trench again beside and over the pipe. It lies
	// below the stripped ground and so is no part of the dam's fill.
	Backfill float64
	// ByHand is the soil beside the pipe that is compacted by hand: the box of
	// pipe and HandWidth on both sides, less the pipe.
	ByHand float64
	Pipe   float64 // what the pipe itself takes up
}

// ConduitError says that a conduit does not pass through the dam.
type ConduitError struct {
	Conduit string
	Station float64
	What    string
}

// Error implements error.
func (e *ConduitError) Error() string {
	return fmt.Sprintf("conduit %s at station %.3f m: %s", e.Conduit, e.Station, e.What)
}

// Measure works out what a conduit takes in a dam. The error is a *ConduitError,
// or one of those of Cut.
func (c Conduit) Measure(d Design, at Site) (ConduitVolume, error) {
	k, err := newCutter(&d, at)
	if err != nil {
		return ConduitVolume{}, err
	}
	s, ok := k.cut(c.Station, JustBefore)
	if !ok || !s.Fill {
		return ConduitVolume{}, &ConduitError{c.Name, c.Station, "there is no dam"}
	}
	if list := k.faults.list(); len(list) > 0 {
		return ConduitVolume{}, list[0]
	}
	from, to := s.UpstreamToe, s.DownstreamToe
	if !math.IsInf(c.From, -1) {
		from = c.From
	}
	if !math.IsInf(c.To, 1) {
		to = c.To
	}
	if !(from < to) {
		return ConduitVolume{}, &ConduitError{c.Name, c.Station, "it ends before it begins"}
	}
	if top := max(c.Invert, c.OutletInvert) + c.Diameter; top >= s.Crest {
		return ConduitVolume{}, &ConduitError{c.Name, c.Station, "its top lies above the crest"}
	}
	out := ConduitVolume{Length: to - from, From: from, To: to}
	if !math.IsInf(c.Invert, -1) {
		out.Length = math.Hypot(to-from, c.OutletInvert-c.Invert)
	}
	pipe := math.Pi * c.Diameter * c.Diameter / 4
	out.Pipe = pipe * out.Length
	if c.HandWidth > 0 {
		out.ByHand = ((c.Diameter+2*c.HandWidth)*c.Diameter - pipe) * out.Length
	}
	if c.TrenchWidth > 0 {
		ground := at.Ground.Section(c.Station, JustBefore, max(math.Abs(from), math.Abs(to))+1)
		ground = k.strippedOf(ground, c.Station, JustBefore, d.at(c.Station, JustBefore))
		if first, last := ground.Span(); from < first || to > last {
			return ConduitVolume{}, &ConduitError{c.Name, c.Station, "it runs beyond the ground that is known"}
		}
		bottom := geometry.Line{{Offset: from, Elevation: c.Invert}, {Offset: to, Elevation: c.OutletInvert}}
		area, buried := 0.0, 0.0
		area, buried, out.Deepest = c.dugTo(ground, bottom)
		out.Dug = c.TrenchWidth * area
		out.Backfill = out.Dug - buried
	}
	return out, nil
}

// dugTo is the area between the ground and the pipe's bottom below it, m2, how much
// of the pipe lies below the ground, m3, and the greatest depth, m.
func (c Conduit) dugTo(ground, bottom geometry.Line) (area, buried, deepest float64) {
	from, to := bottom.Span()
	geometry.Strips([]geometry.Line{bottom, ground}, from, to, func(v geometry.Strip) {
		area += max(0, v.Measure(0, 1).Area)
		left, right := v.Left[1]-v.Left[0], v.Right[1]-v.Right[0]
		buried += (v.To - v.From) * c.meanBelow(left, right)
		deepest = max(deepest, left, right)
	})
	return area, buried, deepest
}

// meanBelow is the mean area of the pipe's round section below ground whose height
// over the pipe's bottom runs straight from a to b, m2.
func (c Conduit) meanBelow(a, b float64) float64 {
	r := c.Diameter / 2
	if math.Abs(b-a) <= geometry.SameLevel {
		return segment(r, (a+b)/2)
	}
	return (segmentSum(r, b) - segmentSum(r, a)) / (b - a)
}

// segment is the area of a circle of radius r up to the height h over its lowest
// point: r2 acos(1 - h/r) - (r - h) (2rh - h2)^1/2 (mensuration of the circle).
func segment(r, h float64) float64 {
	h = min(max(h, 0), 2*r)
	return r*r*math.Acos(1-h/r) - (r-h)*math.Sqrt(max(0, 2*r*h-h*h))
}

// segmentSum is the integral of segment from 0 to h: by parts
// (h - r) segment(h) + 2/3 (2rh - h2)^3/2, and beyond the circle's top straight on.
func segmentSum(r, h float64) float64 {
	if h <= 0 {
		return 0
	}
	in := min(h, 2*r)
	s := 2*r*in - in*in
	return (in-r)*segment(r, in) + 2.0/3*s*math.Sqrt(max(0, s)) + (h-in)*math.Pi*r*r
}
