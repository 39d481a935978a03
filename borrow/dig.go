package borrow

import (
	"math"

	"github.com/paulmach/orb"
)

// dig adds up a pit cell by cell.
type dig struct {
	pit Pit

	task   *task
	at     int32    // its number
	floors []ruling // of the cells that come next: the highest rules
	lows   *lows    // nil where they are not known

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
	met     []*side  // those that meet a box
	shown   []*side  // and are not hidden in it
	planes  []ruling
	splitter
}

// under names the ground over the cells that come next.
func (d *dig) under(i int32, t *task) {
	d.at, d.task, d.floors = i, t, d.floors[:0]
	d.points = d.points[:0] // no cell of the last task is wanted any more
	if p := &d.pit; p.ByDepth || !math.IsInf(p.Floor, -1) {
		d.floors = append(d.floors, ruling{p.level(t.ground), ownFloor})
	}
	if t.strata != nil {
		d.floors = append(d.floors, ruling{t.base(), baseFloor})
	}
}

// settle adds a cell, given all sides that may rule in it. The cell is cut along
// the bounds of the sides until each holds all over it or nowhere; a side that
// another or the floor hides all over the cell is left out on the way.
func (d *dig) settle(c cell, sides []*side) {
	d.noteFloor(c)
	base, planes := len(d.sides), len(d.planes)
	d.shownIn(c, sides)
	if len(d.sides) == base && len(d.floors) == 1 { // most cells, far from the sides
		d.add(c, d.floors[0])
		return
	}
	d.settleShown(c, base)
	d.sides, d.planes = d.sides[:base], d.planes[:planes]
}

// settleShown is settle with the sides from a place in the dig's list on, the extents
// of which are known.
func (d *dig) settleShown(c cell, base int) {
	planes := len(d.planes)
	d.planes = append(d.planes, d.floors...)
	all := len(d.sides)
	for i, s := range d.sides[base:all] {
		if d.extents[i] == allOver {
			d.planes, d.sides = append(d.planes, ruling{s.plane, s.number}), append(d.sides, s)
		}
	}
	rulers, partly := d.planes[planes:], len(d.sides)
	for i, s := range d.sides[base:all] {
		if d.extents[i] == inPart && !below(s.plane, rulers, c) {
			d.sides = append(d.sides, s)
		}
	}
	if len(d.sides) == partly {
		d.highest(c, rulers)
		return
	}
	// The middle one of those that hold in part: they come in the order of the
	// boundary, so that its bound halves a cone's facets rather than peels them.
	left := d.sides[all:]
	middle := left[(partly-all+len(left))/2]
	for i := range middle.bounds {
		if in, out := d.split(c, middle.bounds[i]); in != nil && out != nil {
			d.settle(in, left)
			d.settle(out, left)
			return
		}
	}
}

// shownIn adds to the dig's lists the sides that hold in a cell and are not hidden
// there, and how much of it they hold in.
func (d *dig) shownIn(c cell, sides []*side) {
	base := len(d.sides)
	d.extents = d.extents[:0]
	if len(sides) == 0 {
		return
	}
	level, few := cornerLevels{}, len(c) <= mostCorners
	if few {
		level.of(c, d.leastFloor())
	}
	for _, s := range sides {
		if few && !s.above(c, level[:len(c)]) {
			continue
		}
		if e := s.holds(c); e != nowhere {
			d.sides, d.extents = append(d.sides, s), append(d.extents, e)
		}
	}
	shown := d.sides[base:]
	if !few || len(shown) < 2 {
		return
	}
	best := highestSource(shown, middleOf(c))
	level.ofSource(c, best)
	n := 0
	for i, s := range shown {
		if s.source == best || s.rises(c, level[:len(c)], facetDip) {
			shown[n], d.extents[n] = s, d.extents[i]
			n++
		}
	}
	d.sides, d.extents = d.sides[:base+n], d.extents[:n]
}

// leastFloor is a plane that rules at least.
func (d *dig) leastFloor() affine {
	if len(d.floors) > 0 {
		return d.floors[0].affine
	}
	return noFloor
}

// noteFloor notes how high the ground stands over the floor, until it does: that
// tells why nothing is dug where nothing is.
func (d *dig) noteFloor(c cell) {
	if d.overFloor > touch {
		return
	}
	over := math.Inf(1)
	for _, f := range d.floors {
		_, high := d.task.ground.minus(f.affine).span(c)
		over = min(over, high)
	}
	d.overFloor = max(d.overFloor, over)
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
	for i := range s.bounds {
		b := &s.bounds[i]
		inside, outside := false, false
		for _, p := range c {
			if v := b.at(p); v < -touch {
				outside = true
			} else if v > touch {
				inside = true
			}
		}
		switch {
		case !outside:
		case !inside:
			return nowhere
		default:
			e = inPart
		}
	}
	return e
}

// below tells whether one of the others is above f all over the cell.
func below(f affine, others []ruling, c cell) bool {
	for _, o := range others {
		if _, high := f.minus(o.affine).span(c); high <= touch {
			return true
		}
	}
	return false
}

// highest adds a cell whose dug surface is the highest of the given planes. It
// is cut until one plane is.
func (d *dig) highest(c cell, planes []ruling) {
	for len(planes) > 1 {
		first, second := d.split(c, planes[0].minus(planes[1].affine))
		if second == nil { // the second plane is nowhere higher
			planes[1] = planes[0]
			planes = planes[1:]
			continue
		}
		if first != nil {
			base := len(d.planes)
			d.planes = append(append(d.planes, planes[0]), planes[2:]...)
			d.highest(first, d.planes[base:])
			d.planes = d.planes[:base]
			c = second
		}
		planes = planes[1:]
	}
	d.add(c, planes[0])
}

// splitter cuts cells in memory of its own, which serves again.
type splitter struct{ points []orb.Point }

// split is cell.split in the splitter's memory.
func (d *splitter) split(c cell, f affine) (above, below cell) {
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
