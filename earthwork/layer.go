package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// placedZone is a zone with what it takes from the others of the design.
type placedZone struct {
	Zone
	core  *Zone   // of a chimney
	inner float64 // of a chimney: what lies between it and the core, m
	// A layer on a face lies between two distances from the face, m, square to
	// it and positive outwards.
	deep, high float64
}

// placed works out how the zones of a design lie together. The error is a
// ZoneRuleError.
func placed(zones []Zone) ([]placedZone, error) {
	out := make([]placedZone, len(zones))
	for i := range zones {
		out[i].Zone = zones[i]
	}
	for i := range out {
		z := &out[i]
		var rule ZoneRule
		switch {
		case z.Form == Chimney && (z.Kind == Filter || z.Kind == Drain):
			rule = z.standByCore(zones[:i], zones)
		case z.Kind == Facing:
			z.layFacing(zones, i)
		case z.Kind == Bedding:
			rule = z.layUnder(zones, i)
		case z.Kind == Cover:
			z.deep, z.high = layerAt(0, z.Thickness, z.Outside)
		}
		if rule != "" {
			return nil, &ZoneRuleError{Zone: z.Name, Kind: z.Kind, Rule: rule}
		}
	}
	return out, nil
}

// layerAt is a layer at a distance from the face, outside or inside of it.
func layerAt(distance, thickness float64, outside bool) (deep, high float64) {
	if outside {
		return distance, distance + thickness
	}
	return -distance - thickness, -distance
}

// standByCore places a chimney against the first core, or against the chimneys
// before it on its side.
func (z *placedZone) standByCore(before, all []Zone) ZoneRule {
	for i := range all {
		if all[i].Kind == Core {
			z.core = &all[i]
			break
		}
	}
	if z.core == nil {
		return NeedsCore
	}
	for _, o := range before {
		if (o.Kind == Filter || o.Kind == Drain) && o.Form == Chimney && o.Side == z.Side {
			z.inner += o.Thickness
		}
	}
	return ""
}

// facingOf is the facing that a bedding lies under: the first one on its side
// that has an elevation in common with it; -1 for none.
func facingOf(bed *Zone, zones []Zone) int {
	for i, f := range zones {
		if f.Kind == Facing && f.Side == bed.Side && max(f.FromElevation, bed.FromElevation) < min(f.ToElevation, bed.ToElevation) {
			return i
		}
	}
	return -1
}

// layFacing places the facing with the index at: on the face, or on the beddings that lie outside.
func (z *placedZone) layFacing(zones []Zone, at int) {
	under := 0.0
	for i := range zones {
		b := &zones[i]
		if !z.Outside || b.Kind != Bedding || !b.Outside {
			continue
		}
		if facingOf(b, zones) == at {
			under += b.Thickness
		}
	}
	z.deep, z.high = layerAt(under, z.Thickness, z.Outside)
}

// layUnder places the bedding with the index i under its facing and under the
// beddings before it.
func (z *placedZone) layUnder(zones []Zone, i int) ZoneRule {
	f := facingOf(&z.Zone, zones)
	if f < 0 {
		return NeedsFacing
	}
	facing := placedZone{Zone: zones[f]}
	facing.layFacing(zones, f)
	if z.Outside && !facing.Outside {
		return BeddingOutside
	}
	over := 0.0 // beddings between the facing and this one
	for j := range i {
		if b := &zones[j]; b.Kind == Bedding && b.Outside == z.Outside && facingOf(b, zones) == f {
			over += b.Thickness
		}
	}
	if z.Outside {
		z.high = facing.deep - over
		z.deep = z.high - z.Thickness
		// What the sums of thicknesses leave by rounding is no gap.
		if math.Abs(z.deep) < geometry.SameLevel {
			z.deep = 0
		}
	} else {
		z.high = min(0, facing.deep) - over
		z.deep = z.high - z.Thickness
	}
	if math.IsInf(z.FromElevation, -1) {
		z.FromElevation = facing.FromElevation
	}
	if math.IsInf(z.ToElevation, 1) {
		z.ToElevation = facing.ToElevation
	}
	return ""
}

// face is the side's face in the view, and the sign of its offsets.
func (v *view) face(side DamSide) (faceLine, float64) {
	if side == UpstreamSide {
		return v.up, -1
	}
	return v.down, 1
}

// stretch is the part of its face that a layer covers in the view.
func (v *view) stretch(z *placedZone) (f faceLine, sign float64) {
	f, sign = v.face(z.Side)
	return f.between(v.raised(z.FromElevation), v.raised(z.ToElevation), v.room), sign
}

// layer is the region of a layer along a face: between the face moved by deep
// and by high, cut off level at both ends. Where it lies at the face itself the
// region is left open there, since the outline ends it.
func (v *view) layer(z *placedZone) region {
	f, sign := v.stretch(z)
	if len(f) < 2 {
		return region{none: true}
	}
	deep, high := f.moved(z.deep, v.room), f.moved(z.high, v.room)
	n := len(f) - 1
	top, bottom := f[0].z, f[n].z
	end := facePoint{high[len(high)-1].out, bottom}
	lower := v.room.face(len(deep) + 4)
	if z.deep == 0 {
		floor := min(v.floor, bottom)
		lower = append(lower, facePoint{f[0].out, floor}, facePoint{f[n].out, floor}, facePoint{f[n].out, bottom}, end)
	} else {
		lower = append(append(lower, deep...), end)
	}
	upper := append(v.room.face(len(high)+4), facePoint{deep[0].out, top})
	if z.high == 0 {
		above := v.c.crest + 1
		upper = append(upper, facePoint{f[0].out, top}, facePoint{f[0].out, above}, facePoint{f[n].out, above})
	} else {
		upper = append(upper, high...)
	}
	return bounded(lower.line(sign, v.room), upper.line(sign, v.room))
}

// surfaces adds to each zone the length of the outline that it covers between
// the toes, m. What two facings or covers would both cover belongs to the first.
// A bedding has the length of its own stretch, a blanket its width in plan.
func (v *view) surfaces(zones []placedZone, out []ZoneArea) {
	half := v.c.width / 2
	for i := range zones {
		z := &zones[i]
		switch {
		case z.Form == Blanket && (z.Kind == Filter || z.Kind == Drain):
			out[i].Surface = width(max(z.FromOffset, v.toes.From), min(z.ToOffset, v.toes.To))
		case z.Kind == Cover && z.Side == CrestSide:
			out[i].Surface = width(max(-half, v.toes.From), min(half, v.toes.To))
		case z.Kind == Bedding:
			f, sign := v.stretch(z)
			out[i].Surface = f.length(half, v.end(sign), sign)
		case z.Kind == Facing || z.Kind == Cover:
			out[i].Surface = v.bare(zones, i)
		}
	}
}

// end is how far out the toe lies.
func (v *view) end(sign float64) float64 {
	if sign < 0 {
		return -v.toes.From
	}
	return v.toes.To
}

// width is a stretch of offsets as a measure.
func width(from, to float64) geometry.Measure {
	if !(from < to) {
		return geometry.Measure{}
	}
	return geometry.Measure{Area: to - from, Moment: (to*to - from*from) / 2}
}

// bare is the length of the face that the layer i covers and no facing or cover
// before it.
func (v *view) bare(zones []placedZone, i int) geometry.Measure {
	z := &zones[i]
	f, sign := v.face(z.Side)
	low, high := v.raised(z.FromElevation), v.raised(z.ToElevation)
	sum := f.between(low, high, v.room).length(v.c.width/2, v.end(sign), sign)
	// What the layers before it cover of this stretch is taken off piece by
	// piece, each piece once.
	var taken []span
	for j := range i {
		o := &zones[j]
		if (o.Kind != Facing && o.Kind != Cover) || o.Side != z.Side {
			continue
		}
		s := span{max(low, v.raised(o.FromElevation)), min(high, v.raised(o.ToElevation))}
		for _, free := range s.less(taken) {
			sum = sum.Plus(f.between(free.low, free.high, v.room).length(v.c.width/2, v.end(sign), sign).Times(-1))
		}
		taken = append(taken, s)
	}
	return sum
}

// less is what is left of a span without others.
func (s span) less(others []span) []span {
	if !(s.low < s.high) {
		return nil
	}
	for i, o := range others {
		if o.low < s.high && s.low < o.high {
			rest := others[i+1:]
			left, right := span{s.low, min(s.high, o.low)}, span{max(s.low, o.high), s.high}
			return append(left.less(rest), right.less(rest)...)
		}
	}
	return []span{s}
}
