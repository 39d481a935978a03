package plan

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// The hull gives the distance that all pairs of points give.
func TestWidest(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 30).Draw(r, "n")
		var ring orb.Ring
		for range n {
			ring = append(ring, orb.Point{float64(rapid.IntRange(-9, 9).Draw(r, "x")), float64(rapid.IntRange(-9, 9).Draw(r, "y"))})
		}
		most := 0.0
		for _, a := range ring {
			for _, b := range ring {
				most = max(most, math.Hypot(b[0]-a[0], b[1]-a[1]))
			}
		}
		if got := widest(ring); got != most {
			r.Errorf("%v: %g, want %g", ring, got, most)
		}
	})
}
