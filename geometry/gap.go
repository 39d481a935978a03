package geometry

import "slices"

// gap is the room under a segment while its triangles are replaced: those whose
// inside the segment crosses make up two polygons, one on either side of it.
type gap struct {
	crossed     []int32   // edges that the segment crosses, in order
	old         []int32   // triangles under it that were not used again yet
	left, right []rimEdge // the polygons' other edges, against the way of their bases
	hanging     map[int32]int32
}

// rimEdge is an edge of triangles that are replaced, which stays: with what lies
// beyond it.
type rimEdge struct {
	place   int32 // where it starts, the room on its left
	corner  int32 // that it was
	twin    int32 // that of the corner
	fixed   bool
	hanging bool // the room is on both sides of it
}

// rim is the edge of a corner.
func (d *drafter) rim(c int32) rimEdge {
	return rimEdge{place: d.corner[c], corner: c, twin: d.twin[c], fixed: d.fixed[c]}
}

// clear replaces the triangles under the segment from u to w, whose edges in
// between are those of gap.crossed, by triangles on either side of it.
func (d *drafter) clear(u, w int32) {
	g := &d.gap
	c := g.crossed[0]
	g.old = append(g.old[:0], c/3)
	g.left = append(g.left[:0], d.rim(following(c)))
	g.right = append(g.right[:0], d.rim(preceding(c)))
	for i, c := range g.crossed {
		in := d.twin[c]
		g.old = append(g.old, in/3)
		last := i+1 == len(g.crossed)
		if last || g.crossed[i+1] == following(in) {
			g.left = append(g.left, d.rim(preceding(in)))
		}
		if last || g.crossed[i+1] == preceding(in) {
			g.right = append(g.right, d.rim(following(in)))
		}
	}
	slices.Reverse(g.right)
	d.findHanging()
	d.link(d.fill(u, w, g.left), d.fill(w, u, g.right))
}

// findHanging marks the edges of the rim that hang into the room, so that both
// their triangles go.
func (d *drafter) findHanging() {
	for _, i := range d.gap.old {
		d.corner[3*i] = none
	}
	for _, side := range [2][]rimEdge{d.gap.left, d.gap.right} {
		for i := range side {
			o := side[i].twin
			side[i].hanging = o != none && d.corner[o-o%3] == none
		}
	}
}

// fill puts triangles between the edge from a to b and the rim on its left, which
// leads from b to a and is listed from its end: the one on the edge whose circle
// holds no place of the rim, and so on beyond its two other sides (Anglada 1997).
// It returns the edge's corner. Every place of the rim sees a point of the edge,
// since an edge that was crossed led from it to the other side; so all lie left
// of it. A place that the rim passes twice never is the one with the empty circle
// before the places between its passes: each of these lies in a triangle of that
// place and two points of the edge.
func (d *drafter) fill(a, b int32, rim []rimEdge) int32 {
	p, q, best := d.at[a], d.at[b], 0
	for i := 1; i < len(rim)-1; i++ {
		if inCircle(p, q, d.at[rim[best].place], d.at[rim[i].place]) > 0 {
			best = i
		}
	}
	v := rim[best].place
	last := len(d.gap.old) - 1
	c := 3 * d.gap.old[last]
	d.gap.old = d.gap.old[:last]
	d.put(c, a, b, v)
	d.beyond(c+1, v, b, rim[best+1:])
	d.beyond(c+2, a, v, rim[:best+1])
	return c
}

// beyond gives a corner's edge, which leads from b to a, what lies beyond it: the
// rim itself, or more triangles.
func (d *drafter) beyond(c, a, b int32, rim []rimEdge) {
	if len(rim) == 1 {
		d.join(c, rim[0])
		return
	}
	d.link(c, d.fill(a, b, rim))
}

// put makes a triangle of three places that run counter-clockwise; c is its first
// corner.
func (d *drafter) put(c, p, q, r int32) {
	d.corner[c], d.corner[c+1], d.corner[c+2] = p, q, r
	d.start[p], d.start[q], d.start[r] = c+1, c+2, c+3
}

// link makes two corners the two sides of one edge, which is no breakline's.
func (d *drafter) link(c, o int32) {
	d.twin[c], d.twin[o] = o, c
	d.fixed[c], d.fixed[o] = false, false
}

// join gives a corner the edge of a rim, with what lies beyond. Of an edge that
// hangs into the room, the side that comes first waits for the other.
func (d *drafter) join(c int32, e rimEdge) {
	d.fixed[c], d.twin[c] = e.fixed, e.twin
	o := e.twin
	if e.hanging {
		other, ok := d.gap.hanging[o]
		if !ok {
			if d.gap.hanging == nil {
				d.gap.hanging = map[int32]int32{}
			}
			d.gap.hanging[e.corner] = c
			return
		}
		delete(d.gap.hanging, o)
		d.twin[c], o = other, other
	}
	if o != none {
		d.twin[o] = c
	}
}
