package borrow

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Short cuts must change no figure. Here each goes beside the plain way, which looks
// at every piece and every side.

// sameFigure is the share by which sums of the same pieces in another order differ.
const sameFigure = 1e-12

// compareCapacities fails where two capacities differ by more than slack of the pit.
func compareCapacities(t *rapid.T, p Pit, got, want Capacity, slack float64) {
	scale := want.Area * (1 + want.Deepest)
	for what, d := range map[string]float64{
		"dug": got.Dug - want.Dug, "strip": got.Strip - want.Strip, "bank": got.Bank - want.Bank,
		"opened": got.Opened - want.Opened, "floor": got.Floor - want.Floor, "far": got.Far - want.Far, "wet": got.BelowWater - want.BelowWater,
		"deepest": (got.Deepest - want.Deepest) * want.Area,
	} {
		if !(math.Abs(d) <= slack*scale) {
			t.Fatalf("%s differs by %g: %+v and %+v (pit %+v)", what, d, got, want, p)
		}
	}
	if want.Dug > slack*scale && math.Abs(got.DugTo-want.DugTo) > slack*100 {
		t.Fatalf("dug to %v and %v (pit %+v)", got.DugTo, want.DugTo, p)
	}
}

// rough is ground with a bump at every corner of its triangles, as surveys have.
func rough(x, y float64) float64 {
	return saddle(x, y) + 0.3*math.Sin(37*x+11*y)*math.Cos(5*x-23*y)
}

func roughPit(t *rapid.T) Pit {
	p := anyPit(t)
	if rapid.Bool().Draw(t, "rough") {
		p.Surface = gridGround(60, 200, rough)
	}
	return p
}

// Leaving out sides under the lowest of the floor changes nothing.
func TestLowFloorHidesNothingElse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := roughPit(t)
		r, err := p.prepare()
		if err != nil {
			t.Fatal(err)
		}
		plain := r.newDig(p.Floor, false)
		root := newNode(r.o.box, sidesOf(r.runs, r.o.ring, p.SideSlope), p.reach(r.runs, p.Floor))
		r.tasks.each(func(i int32, task *task) {
			plain.under(i, task)
			root.visit(task.cell, plain)
		})
		// The facets of cones are not cut by one line in both, and what a cell
		// within touch of a plane leaves uncut differs.
		compareCapacities(t, p, r.capacity(r.dig(p.Floor, false)), r.capacity(plain), 10*touch)
	})
}

// Raising the floor by the gists of runs gives what going through every piece does.
func TestGistsRaiseAsPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := roughPit(t)
		r, err := p.prepare()
		if err != nil {
			t.Fatal(err)
		}
		deep := r.dig(p.Floor, true)
		up := rapid.OneOf(rapid.Float64Range(0, 8), rapid.Float64Range(0, 0.1), rapid.Just(0.0)).Draw(t, "up")
		floor := p.Floor + up
		if p.ByDepth {
			floor = max(0.01, p.Floor-up)
		}
		plain := r.newDig(floor, false)
		deep.pieces.upTo(floor, nil, func(q piece) {
			plain.task, plain.points = q.task, plain.points[:0]
			plain.add(q.cell, q.dug)
		})
		compareCapacities(t, p, r.capacity(r.raise(deep, floor)), r.capacity(plain), sameFigure)
	})
}

// What a pool finds in a pit by the gists is what it finds piece by piece.
func TestGistsBelowAsPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := roughPit(t)
		w, err := p.DigWhole()
		if err != nil {
			return // nothing is dug
		}
		e := w.Excavation()
		if share := rapid.Float64Range(0.05, 1).Draw(t, "share"); w.c.Bank > 0 {
			if e, _, err = w.For("", share*w.c.Bank); err != nil {
				t.Fatal(err)
			}
		}
		level := rapid.Float64Range(8, 24).Draw(t, "level")
		want := 0.0
		e.pieces.upTo(e.floor, nil, func(q piece) {
			wet := affine{c: level}.minus(q.dug.affine)
			if c, _ := q.cell.split(wet); c != nil {
				want += clamped(c, wet, q.depth())
			}
		})
		if got := e.Below(level); math.Abs(got-want) > sameFigure*(want+w.c.Area) {
			t.Fatalf("below %v: %v, piece by piece %v", level, got, want)
		}
	})
}
