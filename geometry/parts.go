package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// Part is a straight part or a circular curve of a centreline, known by the
// coordinates of its ends and, for a curve, of the circle's centre.
type Part struct {
	From, To orb.Point
	Center   orb.Point // of a curve
	Turn     Turn
}

// Turn is the way a part bends, looking along it.
type Turn int

// The ways a part bends.
const (
	TurnsNot Turn = iota
	TurnsLeft
	TurnsRight
)

// partSlack is how far the ends of neighbouring parts, and the two radii of a
// curve, may disagree, m. Files carry such coordinates to a millimetre or a
// hundredth of a foot; beyond it a part is missing or wrong.
const partSlack = 0.05

// NewCentrelineOf lays out a centreline of parts in order, from a start station.
// The ends are trusted: a curve is the circle through them, round its centre's
// side, with the mean of the two radii; where a part begins beside the end of
// the one before, by partSlack at the most, it begins there. Parts shorter than a
// micrometre are passed over. Where directions differ at an end there is a bend.
// The error is a *VertexError with the part's index.
func NewCentrelineOf(parts []Part, start float64, upstreamLeft bool) (*Centreline, error) {
	c := &Centreline{start: start, left: upstreamLeft}
	var last orb.Point
	for i, p := range parts {
		if gap := distance(last, p.From); len(c.elements) > 0 && !(gap <= partSlack) {
			return nil, &VertexError{i, "it begins %s away from the end of the part before", []float64{gap}}
		}
		e, fault := elementOf(p)
		if fault != nil {
			fault.Vertex = i
			return nil, fault
		}
		if e.length > shortestPart {
			c.add(e)
			last = p.To
		}
	}
	if len(c.elements) == 0 {
		return nil, &VertexError{What: "a centreline needs two different points or more"}
	}
	return c, nil
}

// shortestPart guards against parts without a direction, m.
const shortestPart = 1e-6

// elementOf turns a part into an element, or says what is wrong with it.
func elementOf(p Part) (element, *VertexError) {
	chord := distance(p.From, p.To)
	heading := math.Atan2(p.To[1]-p.From[1], p.To[0]-p.From[0])
	if p.Turn == TurnsNot {
		return element{length: chord, from: p.From, heading: heading}, nil
	}
	r1, r2 := distance(p.Center, p.From), distance(p.Center, p.To)
	if !(math.Abs(r1-r2) <= partSlack) {
		return element{}, &VertexError{What: "its ends lie %s and %s from its centre", Lengths: []float64{r1, r2}}
	}
	radius := (r1 + r2) / 2
	if !(radius > shortestPart) {
		return element{}, &VertexError{What: "its radius is %s", Lengths: []float64{radius}}
	}
	way := 1.0 // left
	if p.Turn == TurnsRight {
		way = -1
	}
	// The centre lies on the turn's own side of the chord when the curve is less
	// than half a circle, and on the other side when it is more.
	turn := 2 * math.Asin(min(1, chord/(2*radius)))
	dx, dy := p.To[0]-p.From[0], p.To[1]-p.From[1]
	aside := dx*(p.Center[1]-p.From[1]) - dy*(p.Center[0]-p.From[0])
	if way*aside < 0 {
		turn = 2*math.Pi - turn
	}
	if chord <= shortestPart { // a whole circle, whose chord has no direction
		return element{}, &VertexError{What: "its ends are the same point"}
	}
	return element{length: radius * turn, from: p.From, heading: heading - way*turn/2, curvature: way / radius}, nil
}

// Parts returns the straight parts and curves of the centreline, end to end, as
// NewCentrelineOf takes them.
func (c *Centreline) Parts() []Part {
	out := make([]Part, len(c.elements))
	for i, e := range c.elements {
		p := Part{From: e.from}
		p.To, _ = e.at(e.length)
		if e.curvature != 0 {
			p.Turn = TurnsLeft
			if e.curvature < 0 {
				p.Turn = TurnsRight
			}
			p.Center = along(e.from, e.heading+math.Pi/2, 1/e.curvature) // left of the line, or behind that right of it
		}
		out[i] = p
	}
	return out
}
