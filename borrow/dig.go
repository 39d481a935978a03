package borrow

// dig adds up a pit cell by cell.
type dig struct {
	pit    Pit
	ground affine // over the cells that come next
	floor  affine

	dug, below sum // all that is dug, and what lies below the topsoil
	floorArea  float64
	deepest    float64
	lowest     float64
	overFloor  float64 // greatest height of the ground over the floor
}

// under names the ground over the cells that come next.
func (d *dig) under(ground affine) {
	d.ground, d.floor = ground, d.pit.floorUnder(ground)
}

// settle adds a cell, given all sides that may rule in it. The cell is first cut
// along the bounds of the sides until each holds all over it or nowhere.
func (d *dig) settle(c cell, sides []side) {
	_, high := d.ground.minus(d.floor).span(c)
	d.overFloor = max(d.overFloor, high)
	ruling := make([]affine, 1, len(sides)+1)
	ruling[0] = d.floor
	for _, s := range sides {
		if _, high := s.plane.minus(d.floor).span(c); high <= touch {
			continue // the floor is above it all over the cell
		}
		in, out := s.splits(c)
		switch {
		case out == nil:
			ruling = append(ruling, s.plane)
		case in != nil:
			d.settle(in, sides)
			d.settle(out, sides)
			return
		}
	}
	d.highest(c, ruling, true)
}

// splits cuts a cell along the first of the side's bounds that crosses it. in is
// the part that may hold the side, out the part that does not.
func (s side) splits(c cell) (in, out cell) {
	for _, b := range s.bounds {
		if in, out = c.split(b); out != nil {
			return in, out
		}
	}
	return c, nil
}

// highest adds a cell whose dug surface is the highest of the given planes. It
// is cut until one plane is. The first plane is the floor when floor is set.
func (d *dig) highest(c cell, planes []affine, floor bool) {
	for len(planes) > 1 {
		first, second := c.split(planes[0].minus(planes[1]))
		switch {
		case second == nil:
			planes = without(planes, 1)
		case first == nil:
			planes, floor = planes[1:], false
		default:
			d.highest(first, without(planes, 1), floor)
			d.highest(second, planes[1:], false)
			return
		}
	}
	d.add(c, planes[0], floor)
}

// add adds a cell under which the dug surface is one plane.
func (d *dig) add(c cell, plane affine, floor bool) {
	depth := d.ground.minus(plane)
	c, _ = c.split(depth)
	if c == nil {
		return
	}
	s := c.integral(depth)
	d.dug.area += s.area
	d.dug.volume += s.volume
	if floor {
		d.floorArea += s.area
	}
	_, deepest := depth.span(c)
	d.deepest = max(d.deepest, deepest)
	lowest, _ := plane.span(c)
	d.lowest = min(d.lowest, lowest)
	depth.c -= d.pit.Strip
	if c, _ = c.split(depth); c != nil {
		s = c.integral(depth)
		d.below.area += s.area
		d.below.volume += s.volume
	}
}

// without is a copy of the list that lacks one entry.
func without[T any](list []T, i int) []T {
	out := make([]T, 0, len(list)-1)
	return append(append(out, list[:i]...), list[i+1:]...)
}
