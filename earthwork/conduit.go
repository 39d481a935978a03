package earthwork

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/geometry"
)

// Conduit is a pipe through the dam, square to the centreline and taken as level.
type Conduit struct {
	Name     string
	Station  float64
	Diameter float64 // outside, m
	// Invert is the elevation on which the pipe lies, m; the wall's thickness is
	// left out of account. -Inf when it is not known and no trench is dug.
	Invert float64
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
	Length float64 // of pipe
	// Dug is the trench from the stripped ground down to the invert, Deepest how
	// deep it is at most.
	Dug, Deepest float64
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
	if top := c.Invert + c.Diameter; top >= s.Crest {
		return ConduitVolume{}, &ConduitError{c.Name, c.Station, "its top lies above the crest"}
	}
	out := ConduitVolume{Length: to - from}
	pipe := math.Pi * c.Diameter * c.Diameter / 4
	out.Pipe = pipe * out.Length
	if c.HandWidth > 0 {
		out.ByHand = ((c.Diameter+2*c.HandWidth)*c.Diameter - pipe) * out.Length
	}
	if c.TrenchWidth > 0 {
		strip := s.GroundLevel - s.StrippedLevel
		ground := at.Ground.Section(c.Station, JustBefore, max(math.Abs(from), math.Abs(to))+1).Lift(-strip)
		if first, last := ground.Span(); from < first || to > last {
			return ConduitVolume{}, &ConduitError{c.Name, c.Station, "it runs beyond the ground that is known"}
		}
		out.Dug, out.Deepest = dugTo(ground, c.Invert, from, to)
		out.Dug *= c.TrenchWidth
	}
	return out, nil
}

// dugTo is the area between a line and a level below it, and the greatest depth.
func dugTo(ground geometry.Line, level, from, to float64) (area, deepest float64) {
	bottom := geometry.Line{{Offset: from, Elevation: level}, {Offset: to, Elevation: level}}
	geometry.Strips([]geometry.Line{bottom, ground}, from, to, func(v geometry.Strip) {
		area += max(0, v.Measure(0, 1).Area)
		deepest = max(deepest, v.Left[1]-level, v.Right[1]-level)
	})
	return area, deepest
}
