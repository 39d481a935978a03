package earthwork

import (
	"math"
	"sort"

	"github.com/damtally/damtally/geometry"
)

// Side says from which side a station is looked at, where something steps.
type Side int

// The two sides of a station.
const (
	JustBefore Side = iota
	JustAfter
)

// Ground is the lie of the land along a dam. An implementation is immutable
// and safe to use from several goroutines.
type Ground interface {
	// Extent returns the first and the last station with ground on the centreline.
	Extent() (from, to float64)

	// Stations returns the surveyed stations, rising; nil when the ground is
	// known everywhere alike.
	Stations() []float64

	// Lowest returns a level that no ground lies below, m.
	Lowest() float64

	// Section returns the ground square to the centreline at a station, on both
	// sides as far as it is known but no farther than reach metres from the
	// centreline. The line spans offset 0. It is empty where there is no ground
	// on the centreline.
	Section(station float64, side Side, reach float64) geometry.Line
}

// Askew is ground that is known between sections too, so that it can be cut along
// a line that is not square to the centreline.
type Askew interface {
	// SectionAskew is Ground.Section along the line that runs lean metres
	// up-station for each metre of offset, from the point on the centreline at the
	// station. Offsets and reach are measured square to the centreline all the same.
	SectionAskew(station float64, side Side, reach, lean float64) geometry.Line
}

// Profile is ground that is known on the centreline alone and is taken as level
// across.
type Profile struct {
	Points []ProfilePoint // by rising station, two or more
}

// ProfilePoint is the ground on the centreline, m.
type ProfilePoint struct {
	Station, Elevation float64
}

// Extent implements Ground.
func (p Profile) Extent() (from, to float64) {
	return p.Points[0].Station, p.Points[len(p.Points)-1].Station
}

// Stations implements Ground.
func (p Profile) Stations() []float64 {
	out := make([]float64, len(p.Points))
	for i, q := range p.Points {
		out[i] = q.Station
	}
	return out
}

// Lowest implements Ground.
func (p Profile) Lowest() float64 {
	low := math.Inf(1)
	for _, q := range p.Points {
		low = min(low, q.Elevation)
	}
	return low
}

// Section implements Ground: a level line at the profile's elevation, straight
// between points.
func (p Profile) Section(station float64, _ Side, reach float64) geometry.Line {
	n := len(p.Points)
	if station < p.Points[0].Station || station > p.Points[n-1].Station {
		return nil
	}
	i := sort.Search(n, func(i int) bool { return p.Points[i].Station >= station })
	z := p.Points[i].Elevation
	if p.Points[i].Station != station {
		a, b := p.Points[i-1], p.Points[i]
		z = mix(a.Elevation, b.Elevation, (station-a.Station)/(b.Station-a.Station))
	}
	return geometry.Line{{Offset: -reach, Elevation: z}, {Offset: reach, Elevation: z}}
}

// Shots is ground from surveyed cross-sections. Between two of them the ground
// runs straight from each offset of one to the same offset of the other, as far
// as both go.
type Shots struct {
	Sections []SurveyedSection // by rising station, two or more
}

// SurveyedSection is a surveyed cross-section: its station and its line, which
// spans offset 0.
type SurveyedSection struct {
	Station float64
	Line    geometry.Line
}

// Extent implements Ground.
func (s Shots) Extent() (from, to float64) {
	return s.Sections[0].Station, s.Sections[len(s.Sections)-1].Station
}

// Stations implements Ground.
func (s Shots) Stations() []float64 {
	out := make([]float64, len(s.Sections))
	for i, q := range s.Sections {
		out[i] = q.Station
	}
	return out
}

// Lowest implements Ground.
func (s Shots) Lowest() float64 {
	low := math.Inf(1)
	for _, q := range s.Sections {
		for _, k := range q.Line {
			low = min(low, k.Elevation)
		}
	}
	return low
}

// Section implements Ground.
func (s Shots) Section(station float64, _ Side, reach float64) geometry.Line {
	n := len(s.Sections)
	if station < s.Sections[0].Station || station > s.Sections[n-1].Station {
		return nil
	}
	i := sort.Search(n, func(i int) bool { return s.Sections[i].Station >= station })
	b := s.Sections[i]
	if b.Station == station {
		return within(b.Line, reach)
	}
	a := s.Sections[i-1]
	t := (station - a.Station) / (b.Station - a.Station)
	return within(blend(a.Line, b.Line, t), reach)
}

// blend mixes two lines offset by offset over the span that both have.
func blend(a, b geometry.Line, t float64) geometry.Line {
	a0, a1 := a.Span()
	b0, b1 := b.Span()
	var out geometry.Line
	geometry.Strips([]geometry.Line{a, b}, max(a0, b0), min(a1, b1), func(s geometry.Strip) {
		left := geometry.Knot{Offset: s.From, Elevation: mix(s.Left[0], s.Left[1], t)}
		if n := len(out); n == 0 || out[n-1] != left {
			out = append(out, left)
		}
		out = append(out, geometry.Knot{Offset: s.To, Elevation: mix(s.Right[0], s.Right[1], t)})
	})
	return out
}

// within cuts a line to the offsets -reach to reach.
func within(l geometry.Line, reach float64) geometry.Line {
	from, to := l.Span()
	if from >= -reach && to <= reach {
		return l
	}
	return clipped(l, max(from, -reach), min(to, reach), &arena{knots: make([]geometry.Knot, 0, len(l)+2)})
}

// Terrain is ground from a surface in plan, cut square to a centreline.
type Terrain struct {
	Surface    geometry.Surface
	Centreline *geometry.Centreline
	// From and To are the stations between which the centreline lies on the
	// surface, m.
	From, To float64
}

// Extent implements Ground.
func (t Terrain) Extent() (from, to float64) { return t.From, t.To }

// Stations implements Ground: a surface has none of its own.
func (t Terrain) Stations() []float64 { return nil }

// Lowest implements Ground.
func (t Terrain) Lowest() float64 {
	low, _ := t.Surface.Range()
	return low
}

// onCentreline is how far from offset 0 a piece of a slice may end and still be
// said to reach the centreline, m. It guards the rounding of plan coordinates
// at the survey's own edge.
const onCentreline = 1e-6

// Section implements Ground: the piece of the slice that holds the centreline.
func (t Terrain) Section(station float64, side Side, reach float64) geometry.Line {
	return t.SectionAskew(station, side, reach, 0)
}

// SectionAskew implements Askew.
func (t Terrain) SectionAskew(station float64, side Side, reach, lean float64) geometry.Line {
	for _, piece := range sliced(t.Surface, t.Centreline.Frame(station, side == JustAfter), reach, lean) {
		from, to := piece.Span()
		if from <= onCentreline && to >= -onCentreline {
			piece[0].Offset, piece[len(piece)-1].Offset = min(from, 0), max(to, 0)
			return piece
		}
	}
	return nil
}

// sliced cuts a surface in a frame by the line that runs lean metres up-station
// for each metre of offset. Offsets are those square to the centreline.
func sliced(s geometry.Surface, f geometry.Frame, reach, lean float64) []geometry.Line {
	f.DownstreamDir[0] += lean * f.Ahead[0]
	f.DownstreamDir[1] += lean * f.Ahead[1]
	longer := math.Hypot(1, lean)
	pieces := s.Slice(nil, f.Plan(-reach), f.Plan(reach))
	for _, piece := range pieces {
		for i := range piece {
			piece[i].Offset = piece[i].Offset/longer - reach
		}
	}
	return pieces
}

// mix is a at t = 0 and b at t = 1, exactly, and straight between.
func mix(a, b, t float64) float64 {
	if a == b {
		return a
	}
	return a*(1-t) + b*t
}
