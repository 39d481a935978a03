package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
)

// moveOut returns the section with its faces' overbuild made large enough to
// hold the layers outside the outline; nil when there is neither. It says how
// far the ground must be known, not what is built.
func (k *cutter) moveOut(c crossSection) *crossSection {
	if !k.outside && !c.hasOverbuild() {
		return nil
	}
	out := k.moved(c)
	return &out
}

// moved is the section with the overbuild of moveOut.
func (k *cutter) moved(c crossSection) crossSection {
	c.up = movedParts(c.up, k.thickness(UpstreamSide))
	c.down = movedParts(c.down, k.thickness(DownstreamSide))
	return c
}

// overLayers is the line over an outline and the layers that lie outside it. A layer
// over a bench stands as high above it as it is thick, which the faces moved out
// level do not show.
func (k *cutter) overLayers(h *shape, line geometry.Line, from, to float64) geometry.Line {
	lines := []geometry.Line{line}
	far := lowest(line) - 1
	toes := h.extent.Hull()
	for _, s := range []struct {
		side  DamSide
		face  faceLine
		parts []FacePart
		toe   float64
		sign  float64
	}{
		{UpstreamSide, h.up, h.c.up, -toes.From, -1}, {DownstreamSide, h.down, h.c.down, toes.To, 1},
	} {
		thick := k.thickness(s.side)
		if thick == 0 || !slices.ContainsFunc(s.parts, func(p FacePart) bool { return p.Bench > 0 }) {
			continue
		}
		outer := s.face.toToe(s.toe, &k.room).moved(thick, &k.room)
		end := max(-from, to)
		knots := append(faceLine{{0, far}, {outer[0].out, far}}, outer...)
		if last := knots[len(knots)-1]; last.out < end {
			knots = append(knots, facePoint{last.out, far}, facePoint{end, far})
		}
		if s.sign < 0 {
			knots = append(faceLine{{-to, far}}, knots...)
		} else {
			knots = append(faceLine{{from, far}}, knots...)
		}
		lines = append(lines, knots.line(s.sign, &k.room))
	}
	if len(lines) == 1 {
		return line
	}
	return highest(lines, from, to)
}

// thickness is how far, square to it, layers stand out from a face.
func (k *cutter) thickness(side DamSide) float64 {
	most := 0.0
	for i := range k.zones {
		if z := &k.zones[i]; z.Outside && z.Side == side {
			most = max(most, z.high)
		}
	}
	return most
}

// movedParts gives each part of a face at least the overbuild, measured level,
// that a layer of the thickness square to the face has. Benches between parts
// of unlike slope are passed over by the envelope of all.
func movedParts(parts []FacePart, thickness float64) []FacePart {
	out := make([]FacePart, len(parts))
	for i, p := range parts {
		p.Overbuild = max(p.Overbuild, thickness*math.Hypot(1, p.Slope))
		out[i] = p
	}
	return out
}

// hasOverbuild tells whether any face has overbuild.
func (c crossSection) hasOverbuild() bool {
	for _, parts := range [][]FacePart{c.up, c.down} {
		for _, p := range parts {
			if p.Overbuild > 0 {
				return true
			}
		}
	}
	return false
}

// overbuild measures what lies between the built outline and the faces moved
// out by their overbuild.
func (k *cutter) overbuild(s *Section, built *shape) {
	c := built.c
	if !s.Fill || !c.hasOverbuild() {
		return
	}
	from, to := s.Stripped.Span()
	outer := c.overbuilt(from, to)
	e := geometry.Above(s.Stripped, outer, from, to, c.crown())
	lines := []geometry.Line{s.Stripped, built.outline, outer}
	for _, p := range e.Parts {
		geometry.Strips(lines, p.From, p.To, func(t geometry.Strip) {
			below := 0 // the higher of ground and outline
			if t.Middle(1) > t.Middle(0) {
				below = 1
			}
			// Where the lines are one, rounding may turn them over.
			if m := t.Measure(below, 2); m.Area > 0 {
				s.Overbuild = s.Overbuild.Plus(m)
			}
		})
	}
}

// overbuilt returns the surface with each part of a face moved out by its
// overbuild, the highest of all where they overlap.
func (c crossSection) overbuilt(from, to float64) geometry.Line {
	base := c.outline(from, to)
	if !c.hasOverbuild() {
		return base
	}
	lines := []geometry.Line{base}
	far := lowest(base) - 1
	lines = append(lines, shifted(c.face(c.up, -from), c.up, c.crest, far, -1, from, to)...)
	lines = append(lines, shifted(c.face(c.down, to), c.down, c.crest, far, 1, from, to)...)
	return highest(lines, from, to)
}

// shifted returns, for each part with overbuild, the line that runs level at
// the part's top to its face moved out and down it to the part's bottom. sign
// is -1 for upstream. Elsewhere the line lies at the level far, below all else.
func shifted(face faceLine, parts []FacePart, crest, far float64, sign, from, to float64) []geometry.Line {
	var out []geometry.Line
	i := 0 // face[i] is where the part starts
	z := crest
	for _, p := range parts {
		if p.ToElevation >= z {
			if p.ledge {
				i++
			}
			continue
		}
		a, b := face[i], face[min(i+1, len(face)-1)]
		if p.Overbuild > 0 && b.out > a.out {
			out = append(out, ramp(a, b, p.Overbuild, far, sign, from, to))
		}
		i++
		if p.Bench > 0 {
			i++
		}
		z = p.ToElevation
		if i >= len(face)-1 {
			break
		}
	}
	return out
}

// ramp is one overbuilt part as a line over from..to.
func ramp(a, b facePoint, extra, far, sign, from, to float64) geometry.Line {
	x0, x1, x2 := a.out, a.out+extra, b.out+extra
	knots := geometry.Line{{Offset: x0, Elevation: far}, {Offset: x0, Elevation: a.z}, {Offset: x1, Elevation: a.z}, {Offset: x2, Elevation: b.z}, {Offset: x2, Elevation: far}}
	if sign < 0 {
		knots = knots.Mirror()
	}
	first, last := knots.Span()
	out := geometry.Line{}
	if from < first {
		out = append(out, geometry.Knot{Offset: from, Elevation: far})
	}
	out = append(out, knots...)
	if to > last {
		out = append(out, geometry.Knot{Offset: to, Elevation: far})
	}
	return out
}

// highest is the upper envelope of lines that all span from..to.
func highest(lines []geometry.Line, from, to float64) geometry.Line {
	var out geometry.Line
	geometry.Strips(lines, from, to, func(s geometry.Strip) {
		top := 0
		for i := range lines {
			if s.Middle(i) > s.Middle(top) {
				top = i
			}
		}
		left := geometry.Knot{Offset: s.From, Elevation: s.Left[top]}
		if n := len(out); n == 0 || out[n-1] != left {
			out = append(out, left)
		}
		out = append(out, geometry.Knot{Offset: s.To, Elevation: s.Right[top]})
	})
	return out
}
