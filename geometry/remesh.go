package geometry

// find returns a corner whose edge joins two places, in either direction, or
// none. A corner of p must be known.
func (d *drafter) find(p, q int32) int32 {
	found := none
	d.around(d.start[p]-1, func(c int32) bool {
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
			d.start[d.from(c)] = c + 1
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
	d.start = append(d.start, 0)
	d.summary.Crossings++
	d.split(v, triangle, on)
	return v
}

// split draws the new place v into its triangle, or into the two on either side
// of the edge of corner on when it lies there. A breakline's edge is divided.
func (d *drafter) split(v, triangle, on int32) {
	c := 3 * triangle
	old, rim := []int32{triangle}, []rimEdge{d.rim(c), d.rim(c + 1), d.rim(c + 2)}
	end := d.from(c)
	var source, p, q int32
	divided := false
	if on != none {
		p, q = d.ends(on)
		if source, divided = d.drawn[[2]int32{p, q}]; divided {
			delete(d.drawn, [2]int32{p, q})
		}
		rim, end = []rimEdge{d.rim(following(on)), d.rim(preceding(on))}, d.from(on)
		if o := d.twin[on]; o != none {
			old, end = append(old, o/3), d.to(on)
			rim = append(rim, d.rim(following(o)), d.rim(preceding(o)))
		}
	}
	d.fan(v, old, rim, end)
	if divided {
		d.fix(p, v, source)
		d.fix(v, q, source)
	}
	var edges [][2]int32
	for i, e := range rim {
		edges = append(edges, [2]int32{e.place, ahead(rim, i, end)})
	}
	d.relax(edges)
}

// ahead is where edge i of a rim leads, which as a whole leads to end.
func ahead(rim []rimEdge, i int, end int32) int32 {
	if i+1 < len(rim) {
		return rim[i+1].place
	}
	return end
}

// fan puts triangles between place v and a rim around it, counter-clockwise, in
// the room of old ones. When the rim does not end where it begins, v lies on the
// hull's edge between the two.
func (d *drafter) fan(v int32, old []int32, rim []rimEdge, end int32) {
	for len(old) < len(rim) {
		old = append(old, int32(d.triangles()))
		d.corner = append(d.corner, none, none, none)
		d.twin = append(d.twin, none, none, none)
		d.fixed = append(d.fixed, false, false, false)
	}
	last := len(rim) - 1
	for i, e := range rim {
		c := 3 * old[i]
		d.put(c, e.place, ahead(rim, i, end), v)
		d.join(c, e)
		if i > 0 {
			d.link(3*old[i-1]+1, c+2)
		}
	}
	if end == rim[0].place {
		d.link(3*old[last]+1, 3*old[0]+2)
		return
	}
	for _, c := range [2]int32{3*old[last] + 1, 3*old[0] + 2} {
		d.twin[c], d.fixed[c] = none, false
	}
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
		d.turn(c)
		edges = append(edges, [2]int32{p, y}, [2]int32{y, q}, [2]int32{q, x}, [2]int32{x, p})
	}
}

// turn draws the other diagonal of the two triangles at the edge of corner c.
func (d *drafter) turn(c int32) {
	o := d.twin[c]
	qx, xp, py, yq := d.rim(following(c)), d.rim(preceding(c)), d.rim(following(o)), d.rim(preceding(o))
	i, j := c-c%3, o-o%3
	d.put(i, xp.place, py.place, yq.place)
	d.put(j, yq.place, qx.place, xp.place)
	d.join(i, xp)
	d.join(i+1, py)
	d.join(j, yq)
	d.join(j+1, qx)
	d.link(i+2, j+2)
}

// findHull lists the hull again, from the edge that starts at place first, of
// which a corner must be known.
func (d *drafter) findHull(first int32) {
	c := none
	d.around(d.start[first]-1, func(e int32) bool {
		if d.twin[e] == none {
			c = e
		}
		return c == none
	})
	d.hull = d.hull[:0]
	for start := c; ; {
		d.hull = append(d.hull, c)
		c = following(c)
		for d.twin[c] != none {
			c = following(d.twin[c])
		}
		if c == start {
			return
		}
	}
}
