package earthwork

import "github.com/damtally/damtally/geometry"

// stretch is a straight part of a line in a section: elevation z0 at offset x0
// to z1 at x1, x0 < x1, m.
type stretch struct {
	x0, x1, z0, z1 float64
}

// sidesOf are the lower and the upper side of a trapezoid of a slab.
func sidesOf(s geometry.Slab, t geometry.Trapezoid) (bottom, top stretch) {
	return stretch{s.From, s.To, t.BottomFrom, t.BottomTo}, stretch{s.From, s.To, t.TopFrom, t.TopTo}
}

// under is the volume that the area between the stretch and a level above it
// stands for. The area is exact: a trapezoid, or the triangle that the level
// leaves of it.
func (s *stretch) under(level float64, w weight) float64 {
	d0, d1 := level-s.z0, level-s.z1
	x0, x1 := s.x0, s.x1
	if d0 < 0 || d1 < 0 {
		if d0 <= 0 && d1 <= 0 {
			return 0
		}
		x0, x1, d0, d1 = s.part(d0, d1)
	}
	v := w.length * (d0 + d1) / 2
	if w.turn != 0 {
		v += w.turn * (d0*(2*x0+x1) + d1*(x0+2*x1)) / 6
	}
	return (x1 - x0) * v
}

// part is the part of the stretch below a level that cuts it, with the depths
// of its ends; d0 and d1 are those of the stretch, one of them negative.
func (s *stretch) part(d0, d1 float64) (x0, x1, e0, e1 float64) {
	at := s.x0 + (s.x1-s.x0)*(d0/(d0-d1))
	if d0 < 0 {
		return at, s.x1, 0, d1
	}
	return s.x0, at, d0, 0
}
