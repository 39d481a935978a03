package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// lakeMesh is the ground's triangles, parted by the wall, with the openings
// through which water gets from one part to another.
type lakeMesh struct {
	wall      wall
	triangles []geometry.Triangle
	twin      []int32 // of each side of each triangle: the same side beyond, or noSide
	// near holds the polygons of the triangles that the wall comes near to; every
	// other triangle is one piece, numbered as itself.
	near map[int32][]flatPolygon

	parts      []geometry.Triangle // the pieces beyond the triangles' own, flat
	first      []int32             // where in parts piece len(triangles) + i starts
	links      []link
	contact    []contact // of the upstream side
	downstream []int32   // the pieces that touch the wall on its other side
}

// noSide stands for no triangle.
const noSide = int32(-1)

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

// newLakeMesh gathers a surface's triangles and finds what is connected.
func newLakeMesh(surface geometry.Surface, w wall) *lakeMesh {
	m := &lakeMesh{wall: w, near: map[int32][]flatPolygon{}}
	n := 0 // counted first: growing a list of triangles costs more
	for range surface.Triangles(surface.Bound()) {
		n++
	}
	m.triangles = make([]geometry.Triangle, 0, n)
	for t := range surface.Triangles(surface.Bound()) {
		m.triangles = append(m.triangles, t)
	}
	m.pair()
	for i := range m.triangles {
		if t := &m.triangles[i]; len(w.chords) > 0 && w.nears(t) {
			m.near[int32(i)] = m.numbered(int32(i), w.cut(t))
		}
	}
	m.links = make([]link, 0, len(m.triangles)*3/2+len(m.triangles)/8)
	for h := range m.twin {
		m.linkSide(int32(h))
	}
	for i := range m.triangles {
		if near := m.near[int32(i)]; near != nil {
			m.linkInside(near)
		}
	}
	return m
}

// nears tells whether any chord comes near to a triangle.
func (w *wall) nears(t *geometry.Triangle) bool {
	box := boxOf(t)
	if !w.bound.Intersects(box) {
		return false
	}
	for i := range w.chords {
		if w.chords[i].bound.Intersects(box) {
			return true
		}
	}
	return false
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
		p.piece = int32(len(m.triangles) + len(m.first))
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

// flat are the triangles of a piece.
func (m *lakeMesh) flat(piece int32) []geometry.Triangle {
	if n := int32(len(m.triangles)); piece >= n {
		i := piece - n
		if int(i)+1 < len(m.first) {
			return m.parts[m.first[i]:m.first[i+1]]
		}
		return m.parts[m.first[i]:]
	}
	if near := m.near[piece]; len(near) > 1 {
		return near[0].fan()
	}
	return m.triangles[piece : piece+1]
}

// pieces is the number of pieces.
func (m *lakeMesh) pieces() int { return len(m.triangles) + len(m.first) }

// pair finds for each side of a triangle the side of its neighbour. Sides are
// the same when their ends are, to the last digit.
func (m *lakeMesh) pair() {
	number := make(map[orb.Point]int32, len(m.triangles)/2+3)
	corner := make([]int32, 3*len(m.triangles))
	for i := range m.triangles {
		for k, p := range m.triangles[i].At {
			v, ok := number[p]
			if !ok {
				v = int32(len(number))
				number[p] = v
			}
			corner[3*i+k] = v
		}
	}
	start := make([]int32, len(number)+1) // of the sides that leave each corner
	for _, v := range corner {
		start[v+1]++
	}
	for v := range len(number) {
		start[v+1] += start[v]
	}
	leaving := make([]int32, len(corner))
	fill := append([]int32(nil), start[:len(number)]...)
	for h, v := range corner {
		leaving[fill[v]] = int32(h)
		fill[v]++
	}
	m.twin = make([]int32, len(corner))
	for h := range m.twin {
		m.twin[h] = noSide
	}
	for h := range m.twin {
		from, to := corner[h], corner[nextSide(int32(h))]
		if m.twin[h] != noSide {
			continue
		}
		for _, o := range leaving[start[to]:start[to+1]] {
			if m.twin[o] == noSide && corner[nextSide(o)] == from {
				m.twin[h], m.twin[o] = o, int32(h)
				break
			}
		}
	}
}

// nextSide is the next side of the same triangle.
func nextSide(h int32) int32 {
	if h%3 == 2 {
		return h - 2
	}
	return h + 1
}

// linkSide links the pieces on both sides of a triangle's side, once for each
// pair, or a side of the survey with what lies beyond.
func (m *lakeMesh) linkSide(h int32) {
	o := m.twin[h]
	if o != noSide && o < h {
		return
	}
	near, there := m.near[h/3], []flatPolygon(nil)
	if o != noSide {
		there = m.near[o/3]
	}
	if near == nil && there == nil {
		m.linkWhole(h, o)
		return
	}
	if near == nil {
		near = []flatPolygon{m.whole(h / 3)}
	}
	if there == nil && o != noSide {
		there = []flatPolygon{m.whole(o / 3)}
	}
	for i := range near {
		near[i].sides(int(h%3), func(e polygonEdge) {
			if o == noSide {
				m.join(e, polygonEdge{piece: beyondSurvey})
				return
			}
			for j := range there {
				there[j].sides(int(o%3), func(f polygonEdge) { m.join(e, f) })
			}
		})
	}
}

func (m *lakeMesh) whole(triangle int32) flatPolygon {
	p := polygonOf(&m.triangles[triangle])
	p.piece = triangle
	return p
}

// linkWhole links two triangles along a whole side, away from the wall.
func (m *lakeMesh) linkWhole(h, o int32) {
	t := &m.triangles[h/3]
	i, j := h%3, nextSide(h)%3
	l := link{a: h / 3, b: beyondSurvey, level: t.Elevation[i], at: t.At[i]}
	if t.Elevation[j] < l.level {
		l.level, l.at = t.Elevation[j], t.At[j]
	}
	if o != noSide {
		l.b = o / 3
		u := &m.triangles[o/3]
		if u.Elevation[nextSide(o)%3] != t.Elevation[i] || u.Elevation[o%3] != t.Elevation[j] {
			// A step in the ground along this side.
			e, f := m.whole(h/3), m.whole(o/3)
			m.join(e.edge(int(i)), f.edge(int(o%3)))
			return
		}
	}
	m.links = append(m.links, l)
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
