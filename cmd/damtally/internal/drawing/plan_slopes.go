package drawing

import (
	"math"
	"slices"

	"github.com/damtally/damtally/earthwork"
)

// sameOffset is how close two offsets are one, m. It guards rounding.
const sameOffset = 1e-6

func sortFloats(v []float64) { slices.Sort(v) }

// faceOffsets are the offsets of the corners of a face from the crest's edge to
// the toe; side is -1 upstream and 1 downstream.
func faceOffsets(c *earthwork.Section, side float64) []float64 {
	toe := c.UpstreamToe
	if side > 0 {
		toe = c.DownstreamToe
	}
	edge := c.CrestWidth / 2
	if side*toe <= edge+sameOffset {
		return nil
	}
	var out []float64
	for _, k := range c.Outline {
		if x := side * k.Offset; x > edge+sameOffset && x < side*toe-sameOffset {
			out = append(out, k.Offset)
		}
	}
	out = append(out, side*edge, toe)
	slices.SortFunc(out, func(a, b float64) int {
		switch d := side * (a - b); {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	return slices.Compact(out)
}

// slopesBetween are the slopes at a share of the way from one section to the next:
// the offsets of the top and the foot of each, benches left out. Where the two
// have not the same corners there are none.
func slopesBetween(a, b *earthwork.Section, f float64) [][2]float64 {
	var out [][2]float64
	for _, side := range [2]float64{-1, 1} {
		p, q := faceOffsets(a, side), faceOffsets(b, side)
		if len(p) != len(q) {
			continue
		}
		for i := 1; i < len(p); i++ {
			z0, _ := a.Outline.At(p[i-1])
			z1, _ := a.Outline.At(p[i])
			if math.Abs(z0-z1) < sameOffset { // a bench
				continue
			}
			out = append(out, [2]float64{p[i-1] + f*(q[i-1]-p[i-1]), p[i] + f*(q[i]-p[i])})
		}
	}
	return out
}
