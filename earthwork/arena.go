package earthwork

import "github.com/damtally/damtally/geometry"

// arena lends room for the lines that live no longer than the cutting of one
// section, so that they need not be allocated one by one. The zero value is
// ready; what it lent is good until reset.
type arena struct {
	knots  []geometry.Knot
	points []facePoint
}

// arenaRoom is how many knots are allocated at a time.
const arenaRoom = 512

func (a *arena) reset() { a.knots, a.points = a.knots[:0], a.points[:0] }

// line returns an empty line with room for n knots.
func (a *arena) line(n int) geometry.Line {
	if cap(a.knots)-len(a.knots) < n {
		a.knots = make([]geometry.Knot, 0, max(n, arenaRoom))
	}
	at := len(a.knots)
	a.knots = a.knots[:at+n]
	return geometry.Line(a.knots[at : at : at+n])
}

// face returns an empty face with room for n corners.
func (a *arena) face(n int) faceLine {
	if cap(a.points)-len(a.points) < n {
		a.points = make([]facePoint, 0, max(n, arenaRoom))
	}
	at := len(a.points)
	a.points = a.points[:at+n]
	return faceLine(a.points[at : at : at+n])
}
