package drawing

import (
	"math"

	"github.com/paulmach/orb"
)

// dashed cuts a line into the parts that a dash pattern draws; all of it without
// one.
func dashed(l orb.LineString, dash []float64) []orb.LineString {
	if len(dash) == 0 || len(l) < 2 {
		return []orb.LineString{l}
	}
	var out []orb.LineString
	k, left := 0, dash[0]
	run := orb.LineString{l[0]}
	for i := 1; i < len(l); i++ {
		a, b := l[i-1], l[i]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		for at := 0.0; length-at > 0; {
			step := min(left, length-at)
			at += step
			left -= step
			p := between(a, b, at/length)
			if k%2 == 0 {
				run = append(run, p)
			}
			if left > 0 {
				break
			}
			if k%2 == 0 {
				out = append(out, run)
			}
			k = (k + 1) % len(dash)
			left = dash[k]
			run = orb.LineString{p}
		}
	}
	if k%2 == 0 && len(run) > 1 {
		out = append(out, run)
	}
	return out
}

// roundFrom is the width in dots from which corners of a line are rounded; below,
// the notch between two pieces cannot be seen.
const roundFrom = 1.5

// stroked turns a line into rings that all turn the same way: a rectangle for each
// piece and, on wide lines, a disc at each corner.
func stroked(l orb.LineString, width float64) []orb.LineString {
	var out []orb.LineString
	for i := 1; i < len(l); i++ {
		a, b := l[i-1], l[i]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		if length == 0 {
			continue
		}
		x, y := -(b[1]-a[1])/length*width/2, (b[0]-a[0])/length*width/2
		out = append(out, orb.LineString{
			{a[0] - x, a[1] - y}, {b[0] - x, b[1] - y}, {b[0] + x, b[1] + y}, {a[0] + x, a[1] + y}, {a[0] - x, a[1] - y},
		})
		if width >= roundFrom && i+1 < len(l) {
			out = append(out, circle(b, width/2))
		}
	}
	return out
}
