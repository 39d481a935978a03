package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// facePoint is a corner of a face: how far out from the centreline (zero or
// more), and its elevation.
type facePoint struct{ out, z float64 }

// faceLine is a face from the crest's edge outwards: out never falls, z never
// rises.
type faceLine []facePoint

// between returns the part of the face from the elevation high down to low. A
// bench that lies just at high or at low is left out.
func (f faceLine) between(low, high float64, room *arena) faceLine {
	out := room.face(len(f))
	for i := 1; i < len(f); i++ {
		a, b := f[i-1], f[i]
		if a.z <= low || b.z >= high {
			continue
		}
		if len(out) == 0 {
			out = append(out, a)
			if a.z > high {
				out[0] = a.towards(b, high)
			}
		}
		if b.z < low {
			b = a.towards(b, low)
		}
		out = append(out, b)
	}
	return out
}

// towards is the point at elevation z on the way from a down to b, a.z > b.z.
func (a facePoint) towards(b facePoint, z float64) facePoint {
	return facePoint{mix(a.out, b.out, (a.z-z)/(a.z-b.z)), z}
}

// toToe returns the face as a layer outside it runs on past the toe, at the distance
// out: straight on down the slope that meets the ground there. Where the toe lies on
// a bench the face stays as it is, since the layer goes over the bench.
func (f faceLine) toToe(out float64, room *arena) faceLine {
	for i := 1; i < len(f)-1; i++ {
		a, b := f[i-1], f[i]
		if out > b.out+geometry.SameLevel {
			continue
		}
		if a.z <= b.z { // a bench
			return f
		}
		end := f[len(f)-1]
		carried := append(room.face(i+1), f[:i]...)
		return append(carried, facePoint{end.out, a.z - (end.out-a.out)*(a.z-b.z)/(b.out-a.out)})
	}
	return f
}

// parallel is the angle, as its sine, below which two neighbouring parts of a
// face are one straight line. It guards the division in finding their corner.
const parallel = 1e-12

// moved returns the face moved out by d, square to itself, or in when d is
// negative. Neighbouring parts are mitred: each corner lies where the moved
// parts meet. Both ends stay at their elevations, so that a straight part is
// moved to a parallelogram of its own length times d. A part that is shorter
// than what the mitres take off it is left out; so is a bench that is moved past the
// elevation of an end, since the layer is cut off level there.
func (f faceLine) moved(d float64, room *arena) faceLine {
	if d == 0 || len(f) < 2 {
		return f
	}
	var few [8]faceLeg // most faces have no more
	parts := few[:0]
	for i := 1; i < len(f); i++ {
		if p := newFaceLeg(f[i-1], f[i], d); p.length > 0 {
			parts = append(parts, p)
		}
	}
	for {
		parts = withinEnds(parts, f[0].z, f[len(f)-1].z)
		if len(parts) == 0 {
			return append(room.face(2), f[0], f[len(f)-1])
		}
		out := joined(parts, f, room)
		i := backward(out)
		if i < 0 || len(parts) == 1 {
			return out
		}
		if parts[0].isLevel() { // which has one more corner
			i = max(0, i-1)
		}
		i = min(i, len(parts)-1)
		parts = append(parts[:i], parts[i+1:]...)
	}
}

// faceLeg is a moved straight part of a face: a point on it and its direction.
type faceLeg struct {
	at     facePoint
	dx, dz float64 // of length one
	length float64
}

func newFaceLeg(a, b facePoint, d float64) faceLeg {
	dx, dz := b.out-a.out, b.z-a.z
	l := math.Hypot(dx, dz)
	if l == 0 {
		return faceLeg{}
	}
	dx, dz = dx/l, dz/l
	return faceLeg{at: facePoint{a.out - dz*d, a.z + dx*d}, dx: dx, dz: dz, length: l}
}

// level is where the part, carried on, has the elevation z.
func (p faceLeg) level(z float64) facePoint {
	return facePoint{p.at.out + p.dx*(z-p.at.z)/p.dz, z}
}

// isLevel tells whether the part is a bench.
func (p faceLeg) isLevel() bool { return math.Abs(p.dz) < parallel }

// withinEnds leaves out benches at either end that were moved past its elevation.
func withinEnds(parts []faceLeg, first, last float64) []faceLeg {
	for len(parts) > 0 && parts[0].isLevel() && parts[0].at.z >= first {
		parts = parts[1:]
	}
	for len(parts) > 0 && parts[len(parts)-1].isLevel() && parts[len(parts)-1].at.z <= last {
		parts = parts[:len(parts)-1]
	}
	return parts
}

// joined finds the corners of moved parts of the face f; the first and the last end
// at its elevations. A bench at an end, which never meets that elevation, is cut off
// upright there.
func joined(parts []faceLeg, f faceLine, room *arena) faceLine {
	first, last := f[0], f[len(f)-1]
	out := room.face(len(parts) + 3)
	if p := parts[0]; p.isLevel() {
		out = append(out, first, facePoint{first.out, p.at.z})
	} else {
		out = append(out, p.level(first.z))
	}
	for i := 1; i < len(parts); i++ {
		a, b := parts[i-1], parts[i]
		cross := a.dx*b.dz - a.dz*b.dx
		if math.Abs(cross) < parallel {
			out = append(out, b.at)
			continue
		}
		t := ((b.at.out-a.at.out)*b.dz - (b.at.z-a.at.z)*b.dx) / cross
		out = append(out, facePoint{a.at.out + t*a.dx, a.at.z + t*a.dz})
	}
	if p := parts[len(parts)-1]; p.isLevel() {
		return append(out, facePoint{last.out, p.at.z}, last)
	}
	return append(out, parts[len(parts)-1].level(last.z))
}

// backward is the first part that runs backwards, -1 for none.
func backward(f faceLine) int {
	for i := 1; i < len(f); i++ {
		if f[i].out < f[i-1].out {
			return i - 1
		}
	}
	return -1
}

// length is the face's length between two distances out, and its moment about
// the centreline with offsets of the sign given.
func (f faceLine) length(from, to, sign float64) geometry.Measure {
	var m geometry.Measure
	for i := 1; i < len(f); i++ {
		a, b := f[i-1], f[i]
		x0, x1 := max(a.out, from), min(b.out, to)
		if !(x0 < x1) {
			continue
		}
		l := math.Hypot(b.out-a.out, b.z-a.z) * (x1 - x0) / (b.out - a.out)
		m = m.Plus(geometry.Measure{Area: l, Moment: sign * l * (x0 + x1) / 2})
	}
	return m
}

// line turns the face into a line of offsets, which are negative upstream.
func (f faceLine) line(sign float64, room *arena) geometry.Line {
	out := room.line(len(f))[:len(f)]
	for i, p := range f {
		if sign < 0 {
			out[len(f)-1-i] = geometry.Knot{Offset: -p.out, Elevation: p.z}
		} else {
			out[i] = geometry.Knot{Offset: p.out, Elevation: p.z}
		}
	}
	return out
}
