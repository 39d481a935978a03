package borrow

import "slices"

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

// settle adds a cell, given all sides that may rule in it. The cell is cut along
// the bounds of the sides until each holds all over it or nowhere; a side that
// another or the floor hides all over the cell is left out on the way.
func (d *dig) settle(c cell, sides []*side) {
	_, high := d.ground.minus(d.floor).span(c)
	d.overFloor = max(d.overFloor, high)
	ruling := append(make([]affine, 0, len(sides)+1), d.floor)
	var whole, partly []*side
	for _, s := range sides {
		switch s.holds(c) {
		case allOver:
			ruling = append(ruling, s.plane)
			whole = append(whole, s)
		case inPart:
			partly = append(partly, s)
		}
	}
	partly = slices.DeleteFunc(partly, func(s *side) bool { return below(s.plane, ruling, c) })
	if len(partly) == 0 {
		d.highest(c, ruling, true)
		return
	}
	left := append(whole, partly...)
	for _, b := range partly[0].bounds {
		if in, out := c.split(b); in != nil && out != nil {
			d.settle(in, left)
			d.settle(out, left)
			return
		}
	}
}

// extent is how much of a cell a side holds in.
type extent int

const (
	nowhere extent = iota
	inPart
	allOver
)

// holds tells how much of a cell lies within the side's bounds.
func (s *side) holds(c cell) extent {
	e := allOver
	for _, b := range s.bounds {
		low, high := b.span(c)
		switch {
		case low >= -touch:
		case high <= touch:
			return nowhere
		default:
			e = inPart
		}
	}
	return e
}

// below tells whether one of the others is above f all over the cell.
func below(f affine, others []affine, c cell) bool {
	for _, o := range others {
		if _, high := f.minus(o).span(c); high <= touch {
			return true
		}
	}
	return false
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
