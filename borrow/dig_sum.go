package borrow

// add adds a cell under which the dug surface is one plane.
func (d *dig) add(c cell, plane ruling) {
	depth := d.task.ground.minus(plane.affine)
	c, s, deepest := d.positive(c, depth)
	if c == nil {
		return
	}
	d.dug = d.dug.plus(s)
	if plane.isFloor() {
		d.floorArea += s.area
	}
	d.deepest = max(d.deepest, deepest)
	lowest, _ := plane.span(c)
	d.lowest = min(d.lowest, lowest)
	d.addWet(c, depth)
	below := d.belowTopsoil(c, depth)
	d.below = d.below.plus(below)
	if d.pieces != nil {
		d.pieces.add(c, plane, d.at, s, below)
	}
}

// positive is the part of a cell where f is positive, nil for none, with the
// integral and the greatest value of f over it.
func (d *dig) positive(c cell, f affine) (cell, sum, float64) {
	s, low, high := c.measure(f)
	switch {
	case low >= -touch:
		return c, s, high
	case high <= touch:
		return nil, sum{}, 0
	}
	c, _ = d.split(c, f)
	s, _, high = c.measure(f)
	return c, s, high
}

// addWet adds what lies below the water.
func (d *dig) addWet(c cell, depth affine) {
	if d.task.water == nil {
		return
	}
	down := d.task.water.depth(0, d.task.ground)
	dry, above := c.split(down) // where down is below 0 water stands over the ground
	if above != nil {
		d.wet += above.integral(depth).volume
	}
	if dry == nil {
		return
	}
	if wet, _ := dry.split(depth.minus(down)); wet != nil {
		d.wet += wet.integral(depth.minus(down)).volume
	}
}

// belowTopsoil is what lies below the topsoil, dug to a depth; it adds the layers.
func (d *dig) belowTopsoil(c cell, depth affine) sum {
	top := affine{c: d.pit.Strip}
	if d.task.strata == nil {
		return d.usable(c, depth, top)
	}
	var s sum
	found := d.task.strata.depth(ofTopsoil, d.task.ground)
	deeper, shallower := c.split(found.minus(top))
	if deeper != nil {
		s = d.usable(deeper, depth, found)
	}
	if shallower != nil {
		s = s.plus(d.usable(shallower, depth, top))
	}
	return s
}

// usable is what lies between the bottom of the topsoil and the dug surface; it adds
// the layers of it.
func (d *dig) usable(c cell, depth, top affine) sum {
	c, s, _ := d.positive(c, depth.minus(top))
	if c == nil {
		return s
	}
	last := 0.0
	for i := range d.layers {
		bottom := d.task.strata.depth(ofLayers+i, d.task.ground)
		to := clamped(c, bottom.minus(top), depth.minus(top))
		if i == len(d.layers)-1 {
			to = s.volume // nothing is dug below the bottom of the holes
		}
		part := max(0, to-last)
		d.layers[i] += part
		if d.task.far && d.pit.Strata.Layers[i].Usable {
			d.far += part
		}
		last = max(last, to)
	}
	return s
}

// clamped is the integral over a cell of f, where it is below 0 of 0 and where it
// is above most of most, which is not negative there.
func clamped(c cell, f, most affine) float64 {
	c, _ = c.split(f)
	if c == nil {
		return 0
	}
	sum := 0.0
	over, within := c.split(f.minus(most))
	if over != nil {
		sum += over.integral(most).volume
	}
	if within != nil {
		sum += within.integral(f).volume
	}
	return sum
}
