package borrow

// upTo visits the pieces when the floor is raised to a level or a depth, in the
// order in which they were added, leaving out runs for which skip is true; skip may
// be nil. A piece's cell is the callback's until it returns.
func (p *pieces) upTo(floor float64, skip func(*gist) bool, use func(piece)) {
	pit := p.pit
	pit.Floor = floor
	var s splitter
	n := 0
	for _, run := range p.runs {
		for first := 0; first < len(run); first += gistRun {
			g := &p.gists[n]
			n++
			if skip != nil && skip(g) {
				continue
			}
			for _, k := range run[first:min(first+gistRun, len(run))] {
				s.points = s.points[:0]
				s.upTo(p.unpacked(k), &pit, floor == p.pit.Floor, use)
			}
		}
	}
}

// upTo visits the parts of a piece when the floor is raised to the pit's.
func (s *splitter) upTo(q piece, pit *Pit, same bool, use func(piece)) {
	if same {
		use(q)
		return
	}
	level := ruling{pit.level(q.ground), ownFloor}
	side, flat := cell(nil), q.cell
	if q.dug.of != ownFloor {
		side, flat = s.split(q.cell, q.dug.minus(level.affine))
	}
	if side != nil {
		use(piece{side, q.task, q.dug, q.ground})
	}
	if flat != nil {
		if flat, _ = s.split(flat, q.ground.minus(level.affine)); flat != nil {
			use(piece{flat, q.task, level, q.ground})
		}
	}
}

// raise digs to a floor no lower than that of a dig whose pieces were kept. The
// dug surface is the higher of that one's and the floor, so the sides need not be
// gone through again.
func (r *prepared) raise(deep *dig, floor float64) *dig {
	d := r.newDig(floor, false)
	d.overFloor = deep.overFloor
	deep.pieces.upTo(floor, func(g *gist) bool { return r.simple() && d.addGist(g, deep.pit.rise(floor)) }, func(q piece) {
		d.task, d.points = q.task, d.points[:0]
		d.add(q.cell, q.dug)
	})
	return d
}

// simple tells that there is neither a layer nor water in the pit.
func (r *prepared) simple() bool { return r.pit.Strata == nil }

// rise is by how much the floor is raised, m.
func (p *Pit) rise(floor float64) float64 {
	if p.ByDepth {
		return p.Floor - floor
	}
	return floor - p.Floor
}

// addGist adds a run of pieces whose floor is raised. It reports false, and adds
// nothing, where they must be gone through.
func (d *dig) addGist(g *gist, rise float64) bool {
	s, ok := g.raised(rise, d.pit.Strip)
	if !ok {
		return false
	}
	d.dug, d.below = d.dug.plus(s.dug), d.below.plus(s.below)
	d.deepest = max(d.deepest, s.deepest)
	if s.highDug > rise {
		d.lowest = min(d.lowest, s.lowest)
		return true
	}
	d.floorArea += s.dug.area
	lowest := d.pit.Floor
	if d.pit.ByDepth {
		lowest = s.lowGround - d.pit.Floor
	}
	d.lowest = min(d.lowest, lowest)
	return true
}
