package borrow

import (
	"math"

	"github.com/paulmach/orb"
)

// Excavation is a pit dug to a floor, in flat pieces.
type Excavation struct {
	Capacity Capacity
	origin   orb.Point
	pieces   *pieces
	floor    float64 // no lower than that of the pieces
}

// prepared is a pit with all that does not hang on its floor.
type prepared struct {
	pit   Pit
	o     *outline
	runs  []run
	tasks tasks
	water bool // the holes show water
}

// Excavate digs the pit to its floor. See Measure for its errors and how exact
// it is.
func (p Pit) Excavate() (*Excavation, error) {
	r, err := p.prepare()
	if err != nil {
		return nil, err
	}
	d := r.dig(p.Floor, true)
	if err := r.nothing(d); err != nil {
		return nil, err
	}
	return &Excavation{r.capacity(d), r.o.origin, d.pieces, p.Floor}, nil
}

// sameArea is the share of the boundary's area by which what is opened may pass it:
// rounding of the sum of many cells, and ground that misses the rim by gapSlack.
const sameArea = 1e-4

// nothing says why nothing was dug, nil where something was.
func (r *prepared) nothing(d *dig) error {
	switch p := r.pit; {
	case !(d.dug.volume <= math.MaxFloat64) || !(d.dug.area <= r.o.area*(1+sameArea)):
		return ErrOverlap // or ground without a number; never seen, but never a figure then
	case d.dug.volume > 0:
		return nil
	case r.tasks.count() == 0:
		return ErrNoRoom
	case d.overFloor > touch:
		return ErrSteepGround
	case p.Strata != nil && p.deepest() <= p.Cover:
		return ErrNothingUsable
	}
	return ErrFloorAbove
}

// prepare checks the pit and lays out what does not hang on its floor.
func (p Pit) prepare() (*prepared, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	o, err := newOutline(p.Ring)
	if err != nil {
		return nil, err
	}
	pieces, err := p.keepAll(o)
	if err != nil {
		return nil, err
	}
	r := &prepared{pit: p, o: o}
	if r.runs, err = p.runs(o, pieces); err != nil {
		return nil, err
	}
	strata, water, err := p.spread(o)
	if err != nil {
		return nil, err
	}
	r.water = len(water) > 0
	discs := p.nearHoles(o)
	err = p.eachGround(o, func(c cell, ground affine) {
		for _, c := range outside(c, pieces) {
			eachPatch(c, strata, func(c cell, layers *patch) {
				eachPatch(c, water, func(c cell, wet *patch) {
					r.byDistance(c, discs, task{ground: ground, strata: layers, water: wet})
				})
			})
		}
	})
	return r, err
}

// byDistance adds a cell as tasks, cut into what is near a hole and what is not.
func (r *prepared) byDistance(c cell, discs []kept, t task) {
	if len(discs) == 0 {
		t.cell = c
		r.tasks.add(t)
		return
	}
	left := []cell{c}
	for _, disc := range discs {
		var next []cell
		for _, c := range left {
			in, out := disc.divide(c)
			if in != nil {
				t.cell = in
				r.tasks.add(t)
			}
			next = append(next, out...)
		}
		left = next
	}
	t.far = true
	for _, t.cell = range left {
		r.tasks.add(t)
	}
}

// eachPatch calls use for the parts of a cell in each patch; once, with nil,
// without patches.
func eachPatch(c cell, patches []*patch, use func(cell, *patch)) {
	if len(patches) == 0 {
		use(c, nil)
		return
	}
	for _, p := range patches {
		if in := p.take(c); in != nil {
			use(in, p)
		}
	}
}

// discFacets is the number of sides of a disc about a hole; the disc has the
// area of the circle.
const discFacets = 48

// nearHoles are the discs about the holes, Near wide.
func (p Pit) nearHoles(o *outline) []kept {
	if p.Strata == nil || p.Near == 0 {
		return nil
	}
	width := 2 * math.Pi / discFacets
	radius := p.Near * math.Sqrt(width/math.Sin(width))
	var out []kept
	for _, h := range p.Strata.Holes {
		at := o.locally(h.At)
		var c cell
		for k := range discFacets {
			sin, cos := math.Sincos(float64(k) * width)
			c = append(c, orb.Point{at[0] + radius*cos, at[1] + radius*sin})
		}
		out = append(out, newKept(c))
	}
	return out
}

// newDig is a dig to a floor, an elevation or a depth as the pit has it. keep says
// that the pieces are wanted.
func (r *prepared) newDig(floor float64, keep bool) *dig {
	p := r.pit
	p.Floor = floor
	d := &dig{pit: p, lowest: math.Inf(1)}
	if keep {
		d.pieces = &pieces{pit: p, tasks: &r.tasks}
	}
	if p.Strata != nil {
		d.layers = make([]float64, len(p.Strata.Layers))
	}
	return d
}

// dig digs to a floor.
func (r *prepared) dig(floor float64, keep bool) *dig {
	d := r.newDig(floor, keep)
	sides := sidesOf(r.runs, r.o.ring, r.pit.SideSlope)
	if keep {
		for _, s := range sides {
			d.pieces.sides = append(d.pieces.sides, s.plane)
		}
	}
	root := newNode(r.o.box, sides, r.pit.reach(r.runs, floor))
	if r.pit.ByDepth || r.pit.Strata != nil { // else the floor is one level
		d.lows = r.lowsOf(d)
	}
	r.tasks.each(func(i int32, t *task) {
		d.under(i, t)
		root.visit(t.cell, d)
	})
	return d
}

// capacity is what a dig comes to.
func (r *prepared) capacity(d *dig) Capacity {
	c := Capacity{
		Area:    r.o.area,
		Opened:  d.dug.area,
		Dug:     d.dug.volume,
		Strip:   d.dug.volume - d.below.volume,
		Bank:    d.below.volume,
		Floor:   d.floorArea,
		Deepest: d.deepest,
		DugTo:   d.lowest,

		Layers:     d.layers,
		BelowWater: d.wet,
		WaterSeen:  r.water,
		Far:        d.far,
	}
	if r.pit.Strata != nil {
		c.Bank = 0
		for i, l := range r.pit.Strata.Layers {
			if l.Usable {
				c.Bank += d.layers[i]
			}
		}
		c.Waste = c.Dug - c.Strip - c.Bank
	}
	return c
}

// Below is the volume between the dug surface and the ground that lies below an
// elevation, m3: what the pit adds to a pool at that level.
func (e *Excavation) Below(level float64) float64 {
	sum := 0.0
	p := &e.pieces.pit
	rise := p.rise(e.floor)
	known := func(g *gist) bool {
		lowest := max(g.lowest, e.floor)
		if p.ByDepth {
			lowest = max(g.lowest, g.lowGround-e.floor)
		}
		if lowest >= level { // all dry
			return true
		}
		if g.highGround > level || p.Strata != nil {
			return false
		}
		s, ok := g.raised(rise, p.Strip)
		sum += s.dug.volume
		return ok
	}
	var s splitter
	e.pieces.upTo(e.floor, known, func(q piece) {
		s.points = s.points[:0]
		wet, depth := affine{c: level}.minus(q.dug.affine), q.depth()
		c, _ := s.split(q.cell, wet)
		if c == nil {
			return
		}
		full, part := s.split(c, wet.minus(depth)) // the ground too is below the level
		if full != nil {
			sum += full.integral(depth).volume
		}
		if part != nil {
			sum += part.integral(wet).volume
		}
	})
	return sum
}
