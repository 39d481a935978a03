package drawing

import (
	"math"

	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
)

// pattern is how a zone is filled, so that it can be told from others in black and
// white.
type pattern struct {
	fill   ink
	angles []float64 // of its lines, degrees counter-clockwise
	gap    float64   // between them, points
	pen    pen
}

var (
	hatchPen  = pen{width: 0.35, ink: dark}
	dottedPen = pen{width: 0.9, ink: dark, dash: []float64{0.9, 3.1}}
	stonePen  = pen{width: 0.8, ink: black, dash: []float64{2.4, 1.8}}
)

// patternsOf gives each zone of a design a pattern by its kind; a second zone of
// a kind gets another one.
func patternsOf(zones []earthwork.Zone) []pattern {
	kinds := map[earthwork.Kind]pattern{
		earthwork.Core:    {fill: ink{226, 226, 226}, angles: []float64{45}, gap: 3.4, pen: hatchPen},
		earthwork.Shell:   {fill: white, angles: []float64{-45}, gap: 8, pen: hatchPen},
		earthwork.Filter:  {fill: white, angles: []float64{0}, gap: 2.6, pen: dottedPen},
		earthwork.Drain:   {fill: ink{235, 235, 235}, angles: []float64{90}, gap: 3, pen: stonePen},
		earthwork.Facing:  {fill: white, angles: []float64{30, -30}, gap: 3.6, pen: hatchPen},
		earthwork.Bedding: {fill: white, angles: []float64{0}, gap: 2, pen: hatchPen},
		earthwork.Cover:   {fill: ink{235, 235, 235}, angles: []float64{90}, gap: 2.2, pen: hatchPen},
	}
	if len(zones) == 0 {
		return []pattern{kinds[earthwork.Shell]}
	}
	seen := map[earthwork.Kind]int{}
	out := make([]pattern, len(zones))
	for i, z := range zones {
		p := kinds[z.Kind]
		n := float64(seen[z.Kind])
		seen[z.Kind]++
		angles := make([]float64, len(p.angles))
		for k, a := range p.angles {
			angles[k] = a + 25*n
		}
		p.angles, p.gap = angles, p.gap*(1+0.5*n)
		out[i] = p
	}
	return out
}

// fillWith fills rings on the paper with a pattern. Its lines run on from one
// drawing of a sheet to the next, so that parts of a zone match.
func (s *Sheet) fillWith(p pattern, rings []orb.LineString) {
	s.area(p.fill, pen{}, rings...)
	for _, a := range p.angles {
		if l := hatchLines(rings, a, p.gap); len(l) > 0 {
			s.line(p.pen, l...)
		}
	}
}

// hatchLines are parallel lines inside rings, by the rule of even and odd.
func hatchLines(rings []orb.LineString, angle, gap float64) []orb.LineString {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	// u runs along the lines, v across, on paper whose y points down.
	turn := func(p orb.Point) orb.Point { return orb.Point{p[0]*cos - p[1]*sin, p[0]*sin + p[1]*cos} }
	back := func(u, v float64) orb.Point { return orb.Point{u*cos + v*sin, v*cos - u*sin} }
	low, high := math.Inf(1), math.Inf(-1)
	turned := make([]orb.LineString, len(rings))
	for i, r := range rings {
		for _, p := range r {
			q := turn(p)
			turned[i] = append(turned[i], q)
			low, high = min(low, q[1]), max(high, q[1])
		}
	}
	var out []orb.LineString
	for k := math.Ceil(low / gap); k*gap < high; k++ {
		v := k * gap
		var us []float64
		for _, r := range turned {
			for i := 1; i < len(r); i++ {
				a, b := r[i-1], r[i]
				if (a[1] > v) != (b[1] > v) {
					us = append(us, a[0]+(b[0]-a[0])*(v-a[1])/(b[1]-a[1]))
				}
			}
		}
		sortFloats(us)
		for i := 0; i+1 < len(us); i += 2 {
			if us[i+1]-us[i] > leastHatch {
				out = append(out, orb.LineString{back(us[i], v), back(us[i+1], v)})
			}
		}
	}
	return out
}

// leastHatch is the length under which a line of a hatch is left out, points.
const leastHatch = 0.2
