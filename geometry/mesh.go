package geometry

// mesh is a triangulation of the convex hull of its places, in flat arrays.
// Corner c belongs to triangle c/3, whose corners run counter-clockwise. The
// corner stands also for the edge from its place to that of the next corner,
// and the triangle lies on the left of it.
type mesh struct {
	at     []xy
	corner []int32 // the place of each corner
	twin   []int32 // the corner of the same edge in the triangle beyond, or none
	hull   []int32 // the edges with nothing beyond, counter-clockwise
}

// following and preceding are the other corners of a triangle.
func following(c int32) int32 {
	if c%3 == 2 {
		return c - 2
	}
	return c + 1
}

func preceding(c int32) int32 {
	if c%3 == 0 {
		return c + 2
	}
	return c - 1
}

// from and to are the ends of a corner's edge, apex the place opposite to it.
func (m *mesh) from(c int32) int32 { return m.corner[c] }
func (m *mesh) to(c int32) int32   { return m.corner[following(c)] }
func (m *mesh) apex(c int32) int32 { return m.corner[preceding(c)] }

// triangles is the number of triangles.
func (m *mesh) triangles() int { return len(m.corner) / 3 }

// leftOf tells on which side of a corner's edge p lies, as sideOf.
func (m *mesh) leftOf(c int32, p xy) float64 {
	return sideOf(m.at[m.from(c)], m.at[m.to(c)], p)
}

// mesh gathers the triangles from finished spokes, whose ring order it uses up.
// ccw is any hull edge with the outside on its right.
func (s *spokes) mesh(ccw int32) *mesh {
	outer := s.takeHull(ccw)
	size := max(0, 3*(2*len(s.at)-2-len(outer)))
	m := &mesh{at: s.at, corner: make([]int32, 0, size), twin: make([]int32, size)}
	for e := int32(0); int(e) < len(s.all); e++ {
		if s.all[e].org <= freeMark {
			e += 2*(freeMark-s.all[e].org) - 1
			continue
		}
		if s.all[e].next == open {
			for range 3 {
				s.all[e].next = int32(len(m.corner))
				m.corner = append(m.corner, s.all[e].org)
				e = s.leftNext(e)
			}
		}
		if c := s.all[e].next; c >= 0 {
			m.twin[c] = max(none, s.all[e^1].next)
			if t := m.twin[c]; t >= 0 {
				m.twin[t] = c
			}
		}
	}
	m.hull = make([]int32, 0, len(outer))
	for _, e := range outer {
		if c := s.all[e].next; c >= 0 {
			m.hull = append(m.hull, c)
		}
	}
	return m
}

// Marks in a spoke's next once the rings are no longer needed; any other value
// is the corner that the spoke became.
const (
	open    = int32(-2) // its left face has not been seen yet
	outside = int32(-3) // its left face is the outside
)

// takeHull lists the hull edges, outside on their right, and sets the marks.
func (s *spokes) takeHull(ccw int32) []int32 {
	var outer []int32
	for e := ccw; ; {
		outer = append(outer, e)
		if e = s.rightPrev(e); e == ccw {
			break
		}
	}
	for e := int32(0); int(e) < len(s.all); e++ {
		if s.all[e].org <= freeMark {
			e += 2*(freeMark-s.all[e].org) - 1
			continue
		}
		s.all[e].next = open
	}
	for _, e := range outer {
		s.all[e^1].next = outside
	}
	return outer
}
