package geometry

// find returns a corner whose edge joins two places, in either direction, or
// none.
func (d *drafter) find(p, q int32) int32 {
	found := none
	d.around(d.start[p], func(c int32) bool {
		switch q {
		case d.to(c):
			found = c
		case d.apex(c):
			found = preceding(c)
		}
		return found == none
	})
	return found
}

// neighbour is what lies beyond an edge of triangles that are replaced: none when
// the triangle there goes too.
type neighbour struct {
	twin  int32
	fixed bool
}

// replace puts new triangles in the room of old ones: both must fill the same
// room, and there may be more new ones. Edges that stay keep their neighbours and
// their marks.
func (d *drafter) replace(old []int32, fresh [][3]int32) {
	before := d.surroundings(old)
	for len(old) < len(fresh) {
		old = append(old, int32(d.triangles()))
		d.corner = append(d.corner, 0, 0, 0)
		d.twin = append(d.twin, none, none, none)
		d.fixed = append(d.fixed, false, false, false)
	}
	unpaired := map[[2]int32]int32{}
	for k, tri := range fresh {
		for j, v := range tri {
			c, w := 3*old[k]+int32(j), tri[(j+1)%3]
			e, ok := before[[2]int32{v, w}]
			if !ok {
				e.twin = none
			}
			if o, paired := unpaired[[2]int32{w, v}]; paired {
				e.twin = o
			} else {
				unpaired[[2]int32{v, w}] = c
			}
			d.corner[c], d.fixed[c], d.start[v] = v, e.fixed, c
			d.twin[c] = e.twin
			if e.twin != none {
				d.twin[e.twin] = c
			}
		}
	}
}

func (d *drafter) surroundings(triangles []int32) map[[2]int32]neighbour {
	gone := make(map[int32]bool, len(triangles))
	for _, i := range triangles {
		gone[i] = true
	}
	edges := make(map[[2]int32]neighbour, 3*len(triangles))
	for _, i := range triangles {
		for c := 3 * i; c < 3*i+3; c++ {
			e := neighbour{d.twin[c], d.fixed[c]}
			if e.twin != none && gone[e.twin/3] {
				e.twin = none
			}
			edges[[2]int32{d.from(c), d.to(c)}] = e
		}
	}
	return edges
}

// insert adds a place, inside the hull and near a triangle, and returns its
// number: that of the place which is there already, if one is, and instead if
// rounding has put it outside the hull.
func (d *drafter) insert(x xy, elevation float64, near, instead int32) int32 {
	triangle, inside := d.locate(int(near), x)
	if !inside {
		return instead
	}
	on := none
	for c := 3 * triangle; c < 3*triangle+3; c++ {
		if d.at[d.from(c)] == x {
			return d.from(c)
		}
		if d.leftOf(c, x) == 0 {
			on = c
		}
	}
	v := int32(len(d.at))
	d.at = append(d.at, x)
	d.elevation = append(d.elevation, elevation)
	d.input = append(d.input, none)
	d.start = append(d.start, none)
	d.summary.Crossings++
	d.split(v, triangle, on)
	return v
}

// split draws the new place v into its triangle, or into the two on either side
// of the edge of corner on when it lies there.
func (d *drafter) split(v, triangle, on int32) {
	old := []int32{triangle}
	var source, p, q int32
	divided := false
	if on != none {
		p, q = d.ends(on)
		source, divided = d.drawn[[2]int32{p, q}]
		if divided {
			d.unfix(p, q)
		}
		if o := d.twin[on]; o != none {
			old = append(old, o/3)
		}
	}
	var fresh [][3]int32
	var rim [][2]int32
	for _, i := range old {
		for c := 3 * i; c < 3*i+3; c++ {
			if on == none || c != on && c != d.twin[on] {
				fresh = append(fresh, [3]int32{d.from(c), d.to(c), v})
				rim = append(rim, [2]int32{d.from(c), d.to(c)})
			}
		}
	}
	d.replace(old, fresh)
	if divided {
		d.fix(p, v, source)
		d.fix(v, q, source)
	}
	d.relax(rim)
}

// relax turns edges, and those around what was turned, until each is a part of a
// breakline or has no place beyond it inside its triangle's circle (C. L. Lawson,
// "Software for C1 Surface Interpolation", Mathematical Software III, 1977).
func (d *drafter) relax(edges [][2]int32) {
	for n := len(edges); n > 0; n = len(edges) {
		p, q := edges[n-1][0], edges[n-1][1]
		edges = edges[:n-1]
		c := d.find(p, q)
		if c == none || d.fixed[c] || d.twin[c] == none {
			continue
		}
		p, q = d.from(c), d.to(c)
		x, y := d.apex(c), d.apex(d.twin[c])
		if inCircle(d.at[p], d.at[q], d.at[x], d.at[y]) <= 0 {
			continue
		}
		d.replace([]int32{c / 3, d.twin[c] / 3}, [][3]int32{{x, p, y}, {y, q, x}})
		edges = append(edges, [2]int32{p, y}, [2]int32{y, q}, [2]int32{q, x}, [2]int32{x, p})
	}
}

// findHull lists the hull again, from the edge that starts at place first.
func (t *TIN) findHull(first int32) {
	c := none
	for d, o := range t.twin {
		if o == none && t.corner[d] == first {
			c = int32(d)
			break
		}
	}
	t.hull = t.hull[:0]
	for start := c; ; {
		t.hull = append(t.hull, c)
		c = following(c)
		for t.twin[c] != none {
			c = following(t.twin[c])
		}
		if c == start {
			return
		}
	}
}
