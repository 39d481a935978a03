package geometry

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Vertex is a point of a centreline as it is laid out: a corner in plan, and
// the radius of the circular curve that rounds it, m (0 = a bend without curve).
// The first and the last vertex have no curve.
type Vertex struct {
	At     orb.Point
	Radius float64
}

// Centreline is a line in plan made of straight parts and circular curves, with
// stations along it. It is immutable.
type Centreline struct {
	start    float64 // station of the first vertex
	elements []element
	left     bool // upstream lies to the left when looking up-station
}

// element is a straight part or a curve.
type element struct {
	station, length float64
	from            orb.Point
	heading         float64 // direction at its start, radians from east, to the left
	curvature       float64 // 1/m, positive turning left; 0 = straight
}

// Bend is a vertex without a curve.
type Bend struct {
	Station float64
	// Turn is the angle between the two parts, radians, positive when the
	// downstream side is on the outside of the bend.
	Turn float64
}

// Frame is a cross-section's place in plan: a point on the centreline and the
// unit vectors up-station and downstream, which are square to each other.
type Frame struct {
	Station       float64
	At            orb.Point
	Ahead         orb.Point
	DownstreamDir orb.Point
}

// Plan returns the point in plan at an offset in the frame's section.
func (f Frame) Plan(offset float64) orb.Point {
	return orb.Point{
		f.At[0] + offset*f.DownstreamDir[0],
		f.At[1] + offset*f.DownstreamDir[1],
	}
}

// VertexError is what is wrong with a centreline's vertex or part.
type VertexError struct {
	Vertex  int       // index
	What    string    // with %s where each of Lengths stands
	Lengths []float64 // m
}

// Error implements error; lengths are in metres.
func (e *VertexError) Error() string {
	text := e.Say(func(m float64) string { return fmt.Sprintf("%.3f m", m) })
	return fmt.Sprintf("centreline vertex %d: %s", e.Vertex+1, text)
}

// Say is what is wrong, its lengths as write writes them.
func (e *VertexError) Say(write func(m float64) string) string {
	lengths := make([]any, len(e.Lengths))
	for i, m := range e.Lengths {
		lengths[i] = write(m)
	}
	return fmt.Sprintf(e.What, lengths...)
}

// straightTurn is the angle below which two parts are taken to be one straight
// line, radians. It guards the rounding of coordinates, a millimetre in a
// hundred metres, and moves no volume that could be paid.
const straightTurn = 1e-5

// NewCentreline lays out a centreline through the vertices from a start
// station. upstreamLeft says that the water is on the left when looking
// up-station. At least two vertices are needed, neighbours must differ, and
// the curves' tangents (radius x tan(turn / 2)) must fit between vertices.
func NewCentreline(vertices []Vertex, start float64, upstreamLeft bool) (*Centreline, error) {
	if len(vertices) < 2 {
		return nil, &VertexError{Vertex: len(vertices) - 1, What: "a centreline needs two points or more"}
	}
	c := &Centreline{start: start, left: upstreamLeft}
	tangents, err := tangentLengths(vertices)
	if err != nil {
		return nil, err
	}
	for i := 1; i < len(vertices); i++ {
		c.addPart(vertices, tangents, i)
	}
	return c, nil
}

// addPart appends the straight part from vertex i-1 to vertex i, less the
// tangents of their curves, and the curve at vertex i.
func (c *Centreline) addPart(vertices []Vertex, tangents []float64, i int) {
	a, b := vertices[i-1].At, vertices[i].At
	heading := math.Atan2(b[1]-a[1], b[0]-a[0])
	length := distance(a, b) - tangents[i-1] - tangents[i]
	if length > 0 {
		c.add(element{length: length, from: along(a, heading, tangents[i-1]), heading: heading})
	}
	if tangents[i] > 0 {
		turn := turnAt(vertices, i)
		c.add(element{
			length:    vertices[i].Radius * math.Abs(turn),
			from:      along(b, heading, -tangents[i]),
			heading:   heading,
			curvature: math.Copysign(1/vertices[i].Radius, turn),
		})
	}
}

func (c *Centreline) add(e element) {
	e.station = c.start
	if n := len(c.elements); n > 0 {
		e.station = c.elements[n-1].station + c.elements[n-1].length
	}
	c.elements = append(c.elements, e)
}

// tangentLengths returns for each vertex how far its curve reaches along the
// parts beside it.
func tangentLengths(v []Vertex) ([]float64, error) {
	out := make([]float64, len(v))
	for i := 1; i < len(v); i++ {
		if v[i].At == v[i-1].At {
			return nil, &VertexError{Vertex: i, What: "the same point as the one before"}
		}
	}
	for i := 1; i+1 < len(v); i++ {
		turn := turnAt(v, i)
		if math.Abs(turn) > math.Pi-straightTurn {
			return nil, &VertexError{Vertex: i, What: "the line turns back on itself"}
		}
		if v[i].Radius > 0 && math.Abs(turn) > straightTurn {
			out[i] = v[i].Radius * math.Tan(math.Abs(turn)/2)
		}
	}
	for i := 1; i < len(v); i++ {
		room := distance(v[i-1].At, v[i].At)
		if out[i-1]+out[i] > room*(1+straightTurn) {
			return nil, &VertexError{i, "the curves need %s of straight line, there are %s", []float64{out[i-1] + out[i], room}}
		}
	}
	return out, nil
}

// turnAt is the change of direction at vertex i, radians, positive to the left.
func turnAt(v []Vertex, i int) float64 {
	ax, ay := v[i].At[0]-v[i-1].At[0], v[i].At[1]-v[i-1].At[1]
	bx, by := v[i+1].At[0]-v[i].At[0], v[i+1].At[1]-v[i].At[1]
	return math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
}

// Start returns the first station.
func (c *Centreline) Start() float64 { return c.start }

// End returns the last station.
func (c *Centreline) End() float64 {
	e := c.elements[len(c.elements)-1]
	return e.station + e.length
}

// Frame returns the section's place at a station. At a bend it is square to the
// part before, or with after set to the part after. Stations beyond the ends
// are carried on along the end's own part.
func (c *Centreline) Frame(station float64, after bool) Frame {
	e := c.elements[c.index(station, after)]
	s := station - e.station
	at, heading := e.at(s)
	ahead := orb.Point{math.Cos(heading), math.Sin(heading)}
	down := orb.Point{ahead[1], -ahead[0]} // to the right
	if !c.left {
		down = orb.Point{-ahead[1], ahead[0]}
	}
	return Frame{Station: station, At: at, Ahead: ahead, DownstreamDir: down}
}

// Curvature returns the curvature at a station, 1/m, positive when the
// downstream side is on the outside; after as in Frame.
func (c *Centreline) Curvature(station float64, after bool) float64 {
	return c.outside(c.elements[c.index(station, after)].curvature)
}

// Changes returns the stations at which one part ends and the next begins.
func (c *Centreline) Changes() []float64 {
	var out []float64
	for _, e := range c.elements[1:] {
		out = append(out, e.station)
	}
	return out
}

// Closed tells whether the centreline ends where it starts, as round a ring dam.
func (c *Centreline) Closed() bool {
	last := c.elements[len(c.elements)-1]
	end, _ := last.at(last.length)
	return distance(end, c.elements[0].from) < oneStation
}

// Bends returns the vertices at which the direction jumps. Where a closed
// centreline has a bend at its seam, that bend comes twice, at the first station
// and at the last, since the sections there lie on either side of it.
func (c *Centreline) Bends() []Bend {
	var out []Bend
	for i := 1; i < len(c.elements); i++ {
		if turn := c.turn(i-1, i); turn != 0 {
			out = append(out, Bend{c.elements[i].station, turn})
		}
	}
	if c.Closed() {
		if turn := c.turn(len(c.elements)-1, 0); turn != 0 {
			out = append(out, Bend{c.start, turn}, Bend{c.End(), turn})
		}
	}
	return out
}

// turn is the jump of direction from one element to the next, radians, positive
// when downstream is on the outside; 0 where it is too small to be one.
func (c *Centreline) turn(from, to int) float64 {
	_, before := c.elements[from].at(c.elements[from].length)
	turn := math.Remainder(c.elements[to].heading-before, 2*math.Pi)
	if math.Abs(turn) <= straightTurn {
		return 0
	}
	return c.outside(turn)
}

// Chords returns the centreline as straight segments with the station of each
// point: straight parts as they are, curves as chords that stay within sagitta
// metres of the arc.
func (c *Centreline) Chords(sagitta float64) ([]orb.Point, []float64) {
	var points []orb.Point
	var stations []float64
	for _, e := range c.elements {
		n := 1
		if e.curvature != 0 {
			step := 2 * math.Acos(max(0, 1-sagitta*math.Abs(e.curvature)))
			n = max(1, int(math.Ceil(e.length*math.Abs(e.curvature)/step)))
		}
		for i := range n {
			s := e.length * float64(i) / float64(n)
			p, _ := e.at(s)
			points, stations = append(points, p), append(stations, e.station+s)
		}
	}
	last := c.elements[len(c.elements)-1]
	p, _ := last.at(last.length)
	return append(points, p), append(stations, c.End())
}

// outside turns an angle to the left into one that is positive when downstream
// is on the outside: with the water on the left, downstream is on the right,
// which a turn to the left puts outside.
func (c *Centreline) outside(left float64) float64 {
	if c.left {
		return left
	}
	return -left
}

// oneStation is the distance under which two stations are one, m. It guards the
// rounding of stations that were converted from feet or added up along the
// line, so that a section at a bend is cut square to the part it belongs to.
const oneStation = 1e-6

// index finds the element at a station.
func (c *Centreline) index(station float64, after bool) int {
	for i := len(c.elements) - 1; i > 0; i-- {
		d := station - c.elements[i].station
		if d > oneStation || (after && d >= -oneStation) {
			return i
		}
	}
	return 0
}

// at returns the point and the heading s metres along the element.
func (e element) at(s float64) (orb.Point, float64) {
	if e.curvature == 0 {
		return along(e.from, e.heading, s), e.heading
	}
	turn := s * e.curvature
	chord := 2 * math.Sin(turn/2) / e.curvature
	return along(e.from, e.heading+turn/2, chord), e.heading + turn
}

func along(p orb.Point, heading, s float64) orb.Point {
	return orb.Point{p[0] + s*math.Cos(heading), p[1] + s*math.Sin(heading)}
}

func distance(a, b orb.Point) float64 {
	return math.Hypot(b[0]-a[0], b[1]-a[1])
}
