package borrow

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Raising the floor of a dig gives what digging to that floor gives.
func TestRaisedFloorIsDugFloor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPit(t)
		r, err := p.prepare()
		if err != nil {
			t.Fatal(err)
		}
		up := rapid.Float64Range(0, 8).Draw(t, "up")
		floor := p.Floor + up
		if p.ByDepth {
			floor = max(0.01, p.Floor-up)
		}
		want, got := r.capacity(r.dig(floor, false)), r.capacity(r.raise(r.dig(p.Floor, true), floor))
		slack := 1e-7 * want.Area // as when a pit is cut along other lines
		for what, d := range map[string]float64{"dug": got.Dug - want.Dug, "bank": got.Bank - want.Bank, "floor": got.Floor - want.Floor, "deepest": (got.Deepest - want.Deepest) * want.Area} {
			if math.Abs(d) > slack {
				t.Fatalf("%s differs by %g: %+v and %+v", what, d, got, want)
			}
		}
	})
}
