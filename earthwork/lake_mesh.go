package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// lakeMesh is the ground's triangles, parted by the wall, with the openings
// through which water gets from one part to another. Only what lies at the wall is
// made beforehand: away from it a triangle is one piece, numbered as itself, and
// its openings are found when the water gets there.
type lakeMesh struct {
	wall  wall
	net   geometry.Net
	count int32 // one more than the greatest number of a triangle
	// near holds the polygons of the triangles that the wall comes near to.
	near map[int32][]flatPolygon
	// beside marks those, their neighbours and all that have links: nothing need be
	// looked up for the others.
	beside marked

	parts      []geometry.Triangle // the pieces beyond the triangles' own, flat
	first      []int32             // where in parts piece count + i starts
	links      []link              // of the triangles near the wall, to one another and to their neighbours
	ofPiece    map[int32][]int32   // those of each piece
	contact    []contact           // of the upstream side
	downstream map[int32]bool      // the pieces that touch the wall on its other side
}

// The places beyond the ground that a link may lead to.
const (
	beyondSurvey = int32(-1)
	upstreamWall = int32(-2)
)

// link is an opening between two pieces, or a piece and a place beyond, with
// its lowest point.
type link struct {
	a, b  int32
	level float64
	at    orb.Point
}

// contact is a stretch of the wall with ground on its upstream side: its length
// and the ground's elevation at its ends, m.
type contact struct {
	length, z0, z1 float64
	piece          int32
}

// newLakeMesh finds what is connected at the wall.
func newLakeMesh(surface geometry.Surface, w wall) *lakeMesh {
	net, numbered := surface.(geometry.Net)
	if !numbered {
		net = netOf(surface)
	}
	m := &lakeMesh{
		wall: w, net: net, count: int32(net.Numbers()), near: map[int32][]flatPolygon{},
		ofPiece: map[int32][]int32{}, downstream: map[int32]bool{},
	}
	triangles := m.nearWall()
	for _, i := range triangles {
		t := net.Triangle(int(i))
		m.near[i] = m.numbered(i, w.cut(&t))
	}
	for _, i := range triangles {
		for h := 3 * int(i); h < 3*int(i)+3; h++ {
			m.linkSide(h)
		}
		m.linkInside(m.near[i])
	}
	m.beside = newMarked(m.pieces())
	for _, i := range triangles {
		m.beside.set(i)
		for h := 3 * int(i); h < 3*int(i)+3; h++ {
			if o := net.Across(h); o != geometry.NoSide { // where the wall shuts the side there is no link
				m.beside.set(int32(o / 3))
			}
		}
	}
	for i, l := range m.links {
		m.ofPiece[l.a] = append(m.ofPiece[l.a], int32(i))
		m.beside.set(l.a)
		if l.b >= 0 {
			m.ofPiece[l.b] = append(m.ofPiece[l.b], int32(i))
			m.beside.set(l.b)
		}
	}
	return m
}

// nearWall are the triangles that the wall may part or touch, in order.
func (m *lakeMesh) nearWall() []int32 {
	var out []int32
	for i := range m.wall.chords {
		c := &m.wall.chords[i]
		for n := range m.net.Near(c.bound) {
			if t := m.net.Triangle(n); !c.passes(&t) {
				out = append(out, int32(n))
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// passes tells that a triangle lies to one side of the chord's line.
func (c *chord) passes(t *geometry.Triangle) bool {
	a, b, d := c.aside(t.At[0]), c.aside(t.At[1]), c.aside(t.At[2])
	return min(a, b, d) > onWall || max(a, b, d) < -onWall
}

// numbered gives the polygons of a triangle their piece numbers. The first one
// takes the triangle's own.
func (m *lakeMesh) numbered(triangle int32, polygons []flatPolygon) []flatPolygon {
	for i := range polygons {
		p := &polygons[i]
		if i == 0 {
			p.piece = triangle
			continue
		}
		p.piece = m.count + int32(len(m.first))
		m.first = append(m.first, int32(len(m.parts)))
		m.parts = append(m.parts, p.fan()...)
	}
	return polygons
}

// fan parts a convex polygon into triangles.
func (p *flatPolygon) fan() []geometry.Triangle {
	var out []geometry.Triangle
	for i := 2; i < len(p.at); i++ {
		out = append(out, geometry.Triangle{
			At:        [3]orb.Point{p.at[0], p.at[i-1], p.at[i]},
			Elevation: [3]float64{p.z[0], p.z[i-1], p.z[i]},
		})
	}
	return out
}

// alone tells whether a piece is a triangle of the ground away from the wall and
// from the triangles near it.
func (m *lakeMesh) alone(piece int32) bool { return piece < m.count && !m.beside.has(piece) }

// flat are the triangles of a piece.
func (m *lakeMesh) flat(piece int32) []geometry.Triangle {
	if piece >= m.count {
		i := piece - m.count
		if int(i)+1 < len(m.first) {
			return m.parts[m.first[i]:m.first[i+1]]
		}
		return m.parts[m.first[i]:]
	}
	if near := m.near[piece]; len(near) > 1 {
		return near[0].fan()
	}
	return []geometry.Triangle{m.net.Triangle(int(piece))}
}

// pieces is one more than the greatest number of a piece.
func (m *lakeMesh) pieces() int { return int(m.count) + len(m.first) }

// nextSide is the next side of the same triangle.
func nextSide(h int) int {
	if h%3 == 2 {
		return h - 2
	}
	return h + 1
}

// linkSide links the pieces on both sides of a side of a triangle near the wall,
// once for each pair, or a side of the survey with what lies beyond.
func (m *lakeMesh) linkSide(h int) {
	near, there := m.near[int32(h/3)], []flatPolygon(nil)
	o := m.net.Across(h)
	if o != geometry.NoSide {
		there = m.near[int32(o/3)]
		switch {
		case there == nil:
			there = []flatPolygon{m.whole(o / 3)}
		case o < h:
			return
		}
	}
	for i := range near {
		near[i].sides(h%3, func(e polygonEdge) {
			if o == geometry.NoSide {
				m.join(e, polygonEdge{piece: beyondSurvey})
				return
			}
			for j := range there {
				there[j].sides(o%3, func(f polygonEdge) { m.join(e, f) })
			}
		})
	}
}

func (m *lakeMesh) whole(triangle int) flatPolygon {
	t := m.net.Triangle(triangle)
	p := polygonOf(&t)
	p.piece = int32(triangle)
	return p
}

// opening is the link across a side away from the wall. t is the side's
// triangle; o is the side beyond, the higher number of the two, or NoSide. It
// reports false where nothing flows.
func (m *lakeMesh) opening(t *geometry.Triangle, h, o int) (link, bool) {
	i, j := h%3, nextSide(h)%3
	l := link{a: int32(h / 3), b: beyondSurvey, level: t.Elevation[i], at: t.At[i]}
	if t.Elevation[j] < l.level {
		l.level, l.at = t.Elevation[j], t.At[j]
	}
	if o == geometry.NoSide {
		return l, true
	}
	l.b = int32(o / 3)
	if m.net.Stepped() {
		u := m.net.Triangle(o / 3)
		if u.Elevation[nextSide(o)%3] != t.Elevation[i] || u.Elevation[o%3] != t.Elevation[j] {
			return m.step(h, o)
		}
	}
	return l, true
}

// step is the link across a side along which the ground has a step.
func (m *lakeMesh) step(h, o int) (link, bool) {
	e, f := m.whole(h/3), m.whole(o/3)
	n := len(m.links)
	m.join(e.edge(h%3), f.edge(o%3))
	if len(m.links) == n {
		return link{}, false
	}
	l := m.links[n]
	m.links = m.links[:n]
	return l, true
}

// linkInside links the pieces of one triangle along the lines that part them,
// and finds where they touch the wall.
func (m *lakeMesh) linkInside(polygons []flatPolygon) {
	for i := range polygons {
		for k := range polygons[i].at {
			e := polygons[i].edge(k)
			m.touch(e)
			if e.side < 3 {
				continue
			}
			for j := i + 1; j < len(polygons); j++ {
				polygons[j].sides(e.side, func(f polygonEdge) { m.join(e, f) })
			}
		}
	}
}

// lowestOpening is the lowest point of two edges on one line where they face
// each other between two distances along e.
func lowestOpening(e, f polygonEdge, from, to float64) (level, at float64) {
	level, at = math.Inf(1), from
	try := func(s float64) {
		if z := max(e.level(s), f.level(e.onto(f, s))); z < level {
			level, at = z, s
		}
	}
	try(from)
	try(to)
	// Where the two cross, the higher of them is lowest.
	d0 := e.level(from) - f.level(e.onto(f, from))
	d1 := e.level(to) - f.level(e.onto(f, to))
	if d0*d1 < 0 {
		try(from + (to-from)*(d0/(d0-d1)))
	}
	return level, at
}
