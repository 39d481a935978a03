package borrow

import (
	"fmt"
	"math"
)

// ShortError says that a pit dug to its floor does not hold what is wanted.
type ShortError struct {
	Material      string  // "" for all that is usable
	Wanted, Holds float64 // bank m3
}

// Error says how much is wanted and how much there is.
func (e *ShortError) Error() string {
	what := e.Material
	if what == "" {
		what = "usable soil"
	}
	return fmt.Sprintf("the pit holds %.1f m3 of %s in the bank, and %.1f m3 are wanted", e.Holds, what, e.Wanted)
}

// sameVolume is how far the volume at the floor found may lie from the one
// wanted, as a share of it: rounding of the sum of many pieces.
const sameVolume = 1e-11

// shortSlack is the share of the wanted volume by which a pit may fall short
// through rounding and still be dug to its floor.
const shortSlack = 1e-9

// mostDigs is far more than the root finding takes: it halves the bracket in
// one step of three at the least, and a bracket of doubles ends after 60 halvings.
const mostDigs = 200

// FloorFor returns the floor to which a pit must be dug so that it gives a bank
// volume, m3, of one usable material, or of all usable soil for "", and what the
// pit gives in all when it is dug to there. Floor means what it means in the pit: a
// depth when ByDepth is set, an elevation otherwise. Where the pit follows its
// layers that is the level down to which it follows them.
//
// The volume never falls as the floor goes down and has no jumps, so the root is
// bracketed between the highest ground and the pit's own floor. The error is one of
// Measure's, or a *ShortError when the pit's own floor does not give enough.
func (p Pit) FloorFor(material string, bank float64) (floor float64, c Capacity, err error) {
	e, floor, err := p.DigFor(material, bank)
	if err != nil {
		return 0, Capacity{}, err
	}
	return floor, e.Capacity, nil
}

// DigFor is FloorFor that gives what is dug as well, as Excavate does.
func (p Pit) DigFor(material string, bank float64) (e *Excavation, floor float64, err error) {
	w, err := p.DigWhole()
	if err != nil {
		return nil, 0, err
	}
	return w.For(material, bank)
}

// Whole is a pit dug to its own floor, kept so that it can be dug less deep
// without going through its sides again. It is immutable and safe to use from
// several goroutines.
type Whole struct {
	r    *prepared
	dug  *dig
	c    Capacity
	flat float64 // a floor at which nothing is dug
}

// DigWhole digs the pit to its own floor. See Measure for its errors and how exact
// it is.
func (p Pit) DigWhole() (*Whole, error) {
	r, err := p.prepare()
	if err != nil {
		return nil, err
	}
	d := r.dig(p.Floor, true)
	d.sides, d.extents, d.met, d.shown, d.planes, d.points = nil, nil, nil, nil, nil, nil // not needed any more
	d.lows = nil
	return &Whole{r, d, r.capacity(d), r.undug()}, r.nothing(d)
}

// Excavation is the pit dug to its own floor.
func (w *Whole) Excavation() *Excavation {
	return &Excavation{w.c, w.r.o.origin, w.dug.pieces, w.r.pit.Floor}
}

// For digs the pit to the floor that FloorFor finds.
func (w *Whole) For(material string, bank float64) (e *Excavation, floor float64, err error) {
	p := w.r.pit
	holds := w.c.Of(p.Strata, material)
	if bank > holds*(1+shortSlack) {
		return nil, 0, &ShortError{material, bank, holds}
	}
	if bank >= holds {
		return w.Excavation(), p.deepestFloor(w.c), nil
	}
	gives := func(floor float64) (float64, Capacity) {
		c := w.r.capacity(w.r.raise(w.dug, floor))
		return c.Of(p.Strata, material), c
	}
	floor, c, err := rootOf(gives, bank, w.flat, p.deepestFloor(w.c), holds)
	if err != nil {
		return nil, 0, err
	}
	return &Excavation{c, w.r.o.origin, w.dug.pieces, floor}, floor, nil
}

// deepestFloor is the pit's own floor, or the level that it reaches in following
// its layers.
func (p Pit) deepestFloor(c Capacity) float64 {
	if p.Follow && math.IsInf(p.Floor, -1) {
		return c.DugTo
	}
	return p.Floor
}

// undug is a floor at which nothing is dug.
func (r *prepared) undug() float64 {
	if r.pit.ByDepth {
		return 0
	}
	high := math.Inf(-1)
	r.tasks.each(func(_ int32, t *task) {
		_, top := t.ground.span(t.cell)
		high = max(high, top)
	})
	return high
}

// rootOf finds the floor between flat, which gives nothing, and deep, which gives
// more than is wanted: by chords whose standing end is let down (Illinois rule of Dowell and
// Jarratt, BIT 11 (1971), 168-174), and by halving in every third step.
func rootOf(gives func(float64) (float64, Capacity), wanted, flat, deep, holds float64) (float64, Capacity, error) {
	a, b := flat, deep
	fa, fb := -wanted, holds-wanted // what the ends give too little and too much
	var c Capacity
	var at float64
	last := 0.0
	for step := range mostDigs {
		at = (a + b) / 2
		if step%3 != 2 {
			at = b - fb*(b-a)/(fb-fa)
		}
		if !(at > min(a, b) && at < max(a, b)) {
			at = (a + b) / 2
		}
		var v float64
		v, c = gives(at)
		f := v - wanted
		if abs(f) <= sameVolume*wanted || at == a || at == b {
			break
		}
		down := 1.0
		if f*last > 0 { // the same end stood twice
			down = 0.5
		}
		last = f
		if f < 0 {
			a, fa, fb = at, f, fb*down
		} else {
			b, fb, fa = at, f, fa*down
		}
	}
	return at, c, nil
}
