package drawing

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// rowsPerDot is into how many rows a row of dots is divided for smooth edges;
// along a row the share of each dot is exact.
const rowsPerDot = 5

// crossing is where an edge crosses a row, and whether it goes down or up.
type crossing struct {
	x   float64
	dir int
}

// fill fills rings that are in dots, by the rule of winding numbers that are not
// zero, as SVG and PDF do.
func (c *canvas) fill(rings []orb.LineString, with ink) {
	first, rows := c.crossings(rings)
	wide := c.picture.Bounds().Dx()
	cover := make([]float64, wide+1)
	for at := 0; at < len(rows); at += rowsPerDot {
		from, to := wide, -1
		for _, row := range rows[at:min(len(rows), at+rowsPerDot)] {
			slices.SortFunc(row, func(a, b crossing) int {
				switch {
				case a.x < b.x:
					return -1
				case a.x > b.x:
					return 1
				}
				return 0
			})
			winding := 0
			for i, k := range row {
				if winding != 0 {
					a, b := max(0, row[i-1].x), min(float64(wide), k.x)
					if a < b {
						addSpan(cover, a, b)
						from, to = min(from, int(a)), max(to, int(b))
					}
				}
				winding += k.dir
			}
		}
		if to >= 0 {
			c.blend((first+at)/rowsPerDot, from, min(to, wide-1), cover, with)
			clear(cover[from : to+1])
		}
	}
}

// crossings lists where the rings cross each row of the picture that they reach;
// first is the number of the first row, the top of a dot.
func (c *canvas) crossings(rings []orb.LineString) (first int, rows [][]crossing) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range rings {
		for _, p := range r {
			low, high = min(low, p[1]), max(high, p[1])
		}
	}
	low, high = max(low, 0), min(high, float64(c.picture.Bounds().Dy()))
	if !(low < high) {
		return 0, nil
	}
	first = int(math.Floor(low)) * rowsPerDot
	rows = make([][]crossing, int(math.Ceil(high))*rowsPerDot-first)
	for _, r := range rings {
		for i := range r {
			a, b, dir := r[i], r[(i+1)%len(r)], 1
			if a[1] > b[1] {
				a, b, dir = b, a, -1
			}
			// A row is met at its middle, (k + 1/2) / rowsPerDot.
			k := max(first, int(math.Ceil(a[1]*rowsPerDot-0.5)))
			for ; k < first+len(rows); k++ {
				y := (float64(k) + 0.5) / rowsPerDot
				if y >= b[1] {
					break
				}
				x := a[0] + (b[0]-a[0])*(y-a[1])/(b[1]-a[1])
				rows[k-first] = append(rows[k-first], crossing{x, dir})
			}
		}
	}
	return first, rows
}

// addSpan adds what a stretch of a row covers of each dot.
func addSpan(cover []float64, a, b float64) {
	const whole = 1.0 / rowsPerDot
	i, k := int(a), int(b)
	if i == k {
		cover[i] += (b - a) * whole
		return
	}
	cover[i] += (float64(i+1) - a) * whole
	for n := i + 1; n < k; n++ {
		cover[n] += whole
	}
	cover[k] += (b - float64(k)) * whole
}

// blend lays a colour over a row of dots.
func (c *canvas) blend(y, from, to int, cover []float64, with ink) {
	for x := from; x <= to; x++ {
		t := min(1, cover[x])
		if t <= 0 {
			continue
		}
		d := c.picture.Pix[c.picture.PixOffset(x, y):]
		for k, v := range [3]uint8{with.r, with.g, with.b} {
			d[k] = uint8(math.Round(float64(d[k]) + t*(float64(v)-float64(d[k]))))
		}
	}
}
