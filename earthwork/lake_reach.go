package earthwork

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// Reaches is the level, m, above which the lake's water stands on some ground
// inside a closed ring; +Inf where it never does below the lake's limit.
func (l *Lake) Reaches(ring orb.Ring) float64 {
	box := ring.Bound()
	best := math.Inf(1)
	for i := range l.pieces {
		p := &l.pieces[i]
		if p.joins >= best {
			break // pieces come by the level at which they join
		}
		if !boxOf(&p.Triangle).Intersects(box) {
			continue
		}
		best = min(best, max(p.joins, p.lowestIn(ring)))
	}
	if best >= l.limit.Level {
		return math.Inf(1)
	}
	return best
}

// lowestIn is the lowest ground of a piece inside a ring, +Inf for none: at a
// corner of either in the other, or where their sides cross.
func (p *lakePiece) lowestIn(ring orb.Ring) float64 {
	low := math.Inf(1)
	outline := orb.Ring{p.At[0], p.At[1], p.At[2], p.At[0]}
	for k, q := range p.At {
		if planar.RingContains(ring, q) {
			low = min(low, p.Elevation[k])
		}
	}
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if planar.RingContains(outline, a) {
			low = min(low, p.groundAt(a))
		}
		for k := range 3 {
			c, d := p.At[k], p.At[(k+1)%3]
			if t, ok := crossing(c, d, a, b); ok {
				low = min(low, p.Elevation[k]+t*(p.Elevation[(k+1)%3]-p.Elevation[k]))
			}
		}
	}
	return low
}

// groundAt is the elevation of the piece's plane at a place.
func (p *lakePiece) groundAt(q orb.Point) float64 {
	turn := func(a, b, c orb.Point) float64 { return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0]) }
	whole := turn(p.At[0], p.At[1], p.At[2])
	z := 0.0
	for k := range 3 {
		z += p.Elevation[k] * turn(q, p.At[(k+1)%3], p.At[(k+2)%3]) / whole
	}
	return z
}

// crossing is where on the line from a to b, as a share of it, the line from c to d
// crosses it; false where they do not meet within both.
func crossing(a, b, c, d orb.Point) (float64, bool) {
	ux, uy := b[0]-a[0], b[1]-a[1]
	vx, vy := d[0]-c[0], d[1]-c[1]
	det := ux*vy - uy*vx
	if det == 0 {
		return 0, false
	}
	wx, wy := c[0]-a[0], c[1]-a[1]
	t, s := (wx*vy-wy*vx)/det, (wx*uy-wy*ux)/det
	return t, t >= 0 && t <= 1 && s >= 0 && s <= 1
}
