package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// view is what the zones of one section are drawn from: the design at its
// station, cut under one outline.
type view struct {
	c        crossSection
	up, down faceLine
	stripped geometry.Line
	from, to float64
	floor    float64           // below everything that is cut
	toes     geometry.Interval // where the outline meets the stripped ground
	// With an allowance the zones' own levels rise by it times their height
	// over the level ground, like the crest.
	allowance, ground float64
	room              *arena
}

// raised is where a level of the design lies in this view.
func (v *view) raised(z float64) float64 { return rise(z, v.allowance, v.ground) }

// below is where the level a depth below the design's crest lies. The depth is
// the settled dam's; in the raised section it grows with the height like
// everything else.
func (v *view) below(depth float64) float64 {
	settled := v.c.crest
	if v.allowance > 0 && settled > v.ground {
		settled = v.ground + (settled-v.ground)/(1+v.allowance)
	}
	return v.raised(settled - depth)
}

// top is the level at which a core or a chimney begins.
func (v *view) top(z *Zone) float64 {
	if z.ByElevation {
		return v.raised(z.TopElevation)
	}
	return v.below(z.TopBelowCrest)
}

// region draws a zone in the view: inside the outline, or, when outside is set,
// outside of it. A zone that has no part there is none.
func (v *view) region(z *placedZone, outside bool) region {
	if outside != z.Outside {
		return region{none: true}
	}
	switch {
	case z.Kind == Shell:
		return boundless()
	case z.Kind == Core:
		return v.core(&z.Zone)
	case z.Kind == Cover && z.Side == CrestSide:
		return v.crestCover(z)
	case z.onFace():
		return v.layer(z)
	case z.Form == Chimney:
		return v.chimney(z)
	case z.Form == Blanket:
		return v.blanket(&z.Zone)
	case z.Form == Toe:
		return v.toe(&z.Zone)
	}
	return region{none: true}
}

// core is the region of a core, cut off at the floor.
func (v *view) core(z *Zone) region {
	top, half := v.top(z), z.TopWidth/2
	deep := top - v.floor
	r := v.trapezium(-half, half, top, -half-z.UpstreamSlope*deep, half+z.DownstreamSlope*deep, v.floor, 1)
	r.watched = true
	return r
}

// chimney is a band along the face of a core.
func (v *view) chimney(z *placedZone) region {
	core := z.core
	sign, slope := 1.0, core.DownstreamSlope
	if z.Side == UpstreamSide {
		sign, slope = -1, core.UpstreamSlope
	}
	coreTop := v.top(core)
	top := min(v.top(&z.Zone), coreTop)
	at := func(level float64) float64 { return core.TopWidth/2 + slope*(coreTop-level) + z.inner }
	a, b := at(top), at(v.floor)
	return v.trapezium(a, a+z.Thickness, top, b, b+z.Thickness, v.floor, sign)
}

// toe is a trapezoid at the toe of a face.
func (v *view) toe(z *Zone) region {
	out, outer, inner, sign := v.toes.To, z.DownstreamSlope, z.UpstreamSlope, 1.0
	if z.Side == UpstreamSide {
		out, outer, inner, sign = -v.toes.From, z.UpstreamSlope, z.DownstreamSlope, -1
	}
	ground, ok := v.stripped.At(sign * out)
	if !ok {
		return region{none: true}
	}
	top := ground + z.Thickness
	edge := out - outer*z.Thickness
	deep := top - v.floor
	r := v.trapezium(edge-z.TopWidth, edge, top, edge-z.TopWidth-inner*deep, edge+outer*deep, v.floor, sign)
	r.watched = true
	return r
}

// blanket is a layer on the stripped ground.
func (v *view) blanket(z *Zone) region {
	from, to := max(z.FromOffset, v.from), min(z.ToOffset, v.to)
	if !(from < to) {
		return region{none: true}
	}
	l := clipped(v.stripped, from, to, v.room)
	for i := range l {
		l[i].Elevation += z.Thickness
	}
	return bounded(nil, l)
}

// crestCover is a layer on the crest, or inside below it.
func (v *view) crestCover(z *placedZone) region {
	level := func(at float64) geometry.Line {
		return geometry.Line{{Offset: -v.c.width / 2, Elevation: at}, {Offset: v.c.width / 2, Elevation: at}}
	}
	if z.Outside {
		return bounded(nil, level(v.c.crest+z.Thickness))
	}
	return bounded(level(v.c.crest-z.Thickness), nil)
}

// trapezium is the region between two levels, from one straight side to the
// other. A side may lean either way; at every level the left one lies left of
// the right one. With the sign -1 the offsets given are distances upstream.
func (v *view) trapezium(topLeft, topRight, top, bottomLeft, bottomRight, bottom, sign float64) region {
	if !(top > bottom) {
		return region{none: true}
	}
	if sign < 0 {
		topLeft, topRight = -topRight, -topLeft
		bottomLeft, bottomRight = -bottomRight, -bottomLeft
	}
	upper, lower := v.room.line(4), v.room.line(4)
	knot := func(x, z float64) geometry.Knot { return geometry.Knot{Offset: x, Elevation: z} }
	if bottomLeft < topLeft {
		upper = append(upper, knot(bottomLeft, bottom))
	} else if bottomLeft > topLeft {
		lower = append(lower, knot(topLeft, top))
	}
	upper = append(upper, knot(topLeft, top), knot(topRight, top))
	lower = append(lower, knot(bottomLeft, bottom), knot(bottomRight, bottom))
	if bottomRight > topRight {
		upper = append(upper, knot(bottomRight, bottom))
	} else if bottomRight < topRight {
		lower = append(lower, knot(topRight, top))
	}
	return bounded(lower, upper)
}

// clipped is a copy of a line between two offsets inside its span, from < to.
func clipped(l geometry.Line, from, to float64, room *arena) geometry.Line {
	i := 0
	for i+1 < len(l) && l[i+1].Offset <= from {
		i++
	}
	out := room.line(len(l) - i + 1)
	out = append(out, knotAt(l, i, from))
	for i++; i < len(l) && l[i].Offset < to; i++ {
		out = append(out, l[i])
	}
	if i < len(l) {
		out = append(out, knotAt(l, i-1, to))
	}
	return out
}

// knotAt is the point of a line at an offset between its knots i and i+1.
func knotAt(l geometry.Line, i int, offset float64) geometry.Knot {
	a, b := l[i], l[i+1]
	if offset == a.Offset {
		return a
	}
	return geometry.Knot{Offset: offset, Elevation: mix(a.Elevation, b.Elevation, (offset-a.Offset)/(b.Offset-a.Offset))}
}

// TrenchZone is the index of the zone whose material fills the cutoff trench: the first
// core, or without one the shell, or without one the zone of highest priority.
func TrenchZone(zones []Zone) int {
	for _, kind := range []Kind{Core, Shell} {
		for i, z := range zones {
			if z.Kind == kind {
				return i
			}
		}
	}
	return 0
}

// lowest is the lowest elevation of a line.
func lowest(l geometry.Line) float64 {
	low := math.Inf(1)
	for _, k := range l {
		low = min(low, k.Elevation)
	}
	return low
}
