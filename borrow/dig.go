package borrow

import (
	"math"

	"github.com/paulmach/orb"
)

// dig adds up a pit cell by cell.
type dig struct {
	pit Pit

	task   task
	at     int32    // its number
	floors []affine // of the cells that come next: the highest rules

	dug, below sum // all that is dug, and what lies below the topsoil
	floorArea  float64
	deepest    float64
	lowest     float64
	overFloor  float64 // greatest height of the ground over the floor

	layers []float64 // below the topsoil, by Strata.Layers
	wet    float64   // below water
	far    float64   // usable and far from holes
	pieces *pieces   // nil where they are not wanted

	// Memory that serves again: sides and planes of the cells under work, one cell's
	// behind another's, and points of cells.
	sides   []*side
	extents []extent // of the sides in the cell under work
	planes  []affine
	points  []orb.Point
}

// under names the ground over the cells that come next.
func (d *dig) under(t task) {
	d.task, d.floors = t, d.floors[:0]
	d.points = d.points[:0] // no cell of the last task is wanted any more
	p := d.pit
	switch {
	case p.ByDepth:
		floor := t.ground
		floor.c -= p.Floor
		d.floors = append(d.floors, floor)
	case !math.IsInf(p.Floor, -1):
		d.floors = append(d.floors, affine{c: p.Floor})
	}
	if t.strata != nil {
		d.floors = append(d.floors, t.ground.minus(t.strata.depth(ofBase, t.ground)))
	}
}

// settle adds a cell, given all sides that may rule in it. The cell is cut along
// the bounds of the sides until each holds all over it or nowhere; a side that
// another or the floor hides all over the cell is left out on the way.
func (d *dig) settle(c cell, sides []*side) {
	over := math.Inf(1)
	for _, f := range d.floors {
		_, high := d.task.ground.minus(f).span(c)
		over = min(over, high)
	}
	d.overFloor = max(d.overFloor, over)
	base, planes := len(d.sides), len(d.planes)
	defer func() { d.sides, d.planes = d.sides[:base], d.planes[:planes] }()
	least := noFloor
	if len(d.floors) > 0 {
		least = d.floors[0]
	}
	d.sides = unhidden(d.sides, c, sides, least)
	d.planes = append(d.planes, d.floors...)
	all := len(d.sides)
	d.extents = d.extents[:0]
	for _, s := range d.sides[base:all] {
		d.extents = append(d.extents, s.holds(c))
		if d.extents[len(d.extents)-1] == allOver {
			d.planes, d.sides = append(d.planes, s.plane), append(d.sides, s)
		}
	}
	ruling, partly := d.planes[planes:], len(d.sides)
	for i, s := range d.sides[base:all] {
		if d.extents[i] == inPart && !below(s.plane, ruling, c) {
			d.sides = append(d.sides, s)
		}
	}
	if len(d.sides) == partly {
		d.highest(c, ruling, len(d.floors))
		return
	}
	left := d.sides[all:]
	for _, b := range left[partly-all].bounds {
		if in, out := d.split(c, b); in != nil && out != nil {
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
// is cut until one plane is. As many of the first planes as floors says are the
// floor.
func (d *dig) highest(c cell, planes []affine, floors int) {
	for len(planes) > 1 {
		first, second := d.split(c, planes[0].minus(planes[1]))
		fewer := max(min(floors, 1), floors-1)
		if second == nil { // the second plane is nowhere higher
			planes[1], floors = planes[0], fewer
			planes = planes[1:]
			continue
		}
		if first != nil {
			base := len(d.planes)
			d.planes = append(append(d.planes, planes[0]), planes[2:]...)
			d.highest(first, d.planes[base:], fewer)
			d.planes = d.planes[:base]
			c = second
		}
		planes, floors = planes[1:], max(0, floors-1)
	}
	d.add(c, planes[0], floors > 0)
}

// add adds a cell under which the dug surface is one plane.
func (d *dig) add(c cell, plane affine, floor bool) {
	depth := d.task.ground.minus(plane)
	c, _ = d.split(c, depth)
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
	if d.pieces != nil {
		d.pieces.add(c, plane, d.at, floor)
	}
	d.addWet(c, depth)
	d.belowTopsoil(c, depth)
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

// belowTopsoil adds what lies below the topsoil, dug to a depth.
func (d *dig) belowTopsoil(c cell, depth affine) {
	top := affine{c: d.pit.Strip}
	if d.task.strata == nil {
		d.usable(c, depth, top)
		return
	}
	found := d.task.strata.depth(ofTopsoil, d.task.ground)
	deeper, shallower := c.split(found.minus(top))
	if deeper != nil {
		d.usable(deeper, depth, found)
	}
	if shallower != nil {
		d.usable(shallower, depth, top)
	}
}

// usable adds what lies between the bottom of the topsoil and the dug surface,
// layer by layer.
func (d *dig) usable(c cell, depth, top affine) {
	c, _ = c.split(depth.minus(top))
	if c == nil {
		return
	}
	s := c.integral(depth.minus(top))
	d.below.area += s.area
	d.below.volume += s.volume
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

// split is cell.split in the dig's own memory.
func (d *dig) split(c cell, f affine) (above, below cell) {
	low, high := f.span(c)
	switch {
	case low >= -touch:
		return c, nil
	case high <= touch:
		return nil, c
	}
	n := len(c) + 2
	if cap(d.points)-len(d.points) < 2*n {
		d.points = make([]orb.Point, 0, max(pointChunk, 2*n))
	}
	base := len(d.points)
	d.points = d.points[:base+2*n]
	return c.cut(f, d.points[base:base:base+n], d.points[base+n:base+n:base+2*n])
}

// pointChunk is how many points of cells are given memory at a time.
const pointChunk = 1 << 12
