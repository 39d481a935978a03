package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// Measured is what was surveyed after the ground was stripped and after the trench
// was dug. Where such a survey reaches it stands in the place of the design's own
// depths, which stay where there is none. It needs the centreline in plan.
type Measured struct {
	// Stripped is the ground after stripping, and Dug the open trench; of several
	// surfaces the later in the list counts where they overlap.
	Stripped, Dug []geometry.Surface
}

// SurveyNoise is the height within which a survey of dug ground and the ground it
// is set against are one, m: common practice, the roughness of stripped ground and
// the elevations of a satellite survey together.
const SurveyNoise = 0.05

// pieces are the stretches of ground that surfaces have in the section at a
// station, within reach of the centreline.
func (k *cutter) pieces(surfaces []geometry.Surface, station float64, side Side, reach float64) []geometry.Line {
	if len(surfaces) == 0 || k.line == nil {
		return nil
	}
	f := k.line.Frame(station, side == JustAfter)
	var out []geometry.Line
	for _, s := range surfaces {
		out = append(out, sliced(s, f, reach, k.lean)...)
	}
	return out
}

// patched is a line with pieces of others in its place where they reach, joined by
// upright steps; later pieces cover earlier ones. The pieces' parts beyond the line
// are left out.
func patched(l geometry.Line, pieces []geometry.Line) geometry.Line {
	for _, p := range pieces {
		from, to := l.Span()
		a, b := p.Span()
		a, b = max(a, from), min(b, to)
		if !(a < b) {
			continue
		}
		out := make(geometry.Line, 0, len(l)+len(p)+2)
		if a > from {
			out = append(out, stretchOf(l, from, a)...)
		}
		out = append(out, stretchOf(p, a, b)...)
		if b < to {
			out = append(out, stretchOf(l, b, to)...)
		}
		l = out
	}
	return l
}

// stretchOf is a copy of a line between two offsets inside its span, from < to.
func stretchOf(l geometry.Line, from, to float64) geometry.Line {
	return clipped(l, from, to, &arena{knots: make([]geometry.Knot, 0, len(l)+2)})
}

// strippedOf is the ground of a section with the topsoil off: as measured where it
// was, else lower by the design's depth. The cutter keeps the measured pieces, so
// that ground that is carried on later is stripped alike.
func (k *cutter) strippedOf(ground geometry.Line, station float64, side Side, c crossSection) geometry.Line {
	l := ground
	if c.strip != 0 {
		l = ground.Lift(-c.strip)
	}
	if len(k.measured.Stripped) == 0 || len(ground) == 0 {
		return l
	}
	from, to := ground.Span()
	if reach := max(-from, to); k.seen.station != station || k.seen.side != side || reach > k.seen.reach || k.seen.lean != k.lean {
		k.seen = seenAt{station, side, reach, k.lean, k.pieces(k.measured.Stripped, station, side, reach)}
	}
	return patched(l, k.seen.pieces)
}

// seenAt are measured pieces with the place that they were asked for.
type seenAt struct {
	station float64
	side    Side
	reach   float64
	lean    float64
	pieces  []geometry.Line
}

// stripping measures what is stripped from toe to toe, and how much of that width
// was measured. Ground that was raised instead is no stripping; Heaped is by how
// much it was.
func (k *cutter) stripping(s *Section, c crossSection) {
	s.Stripping = s.Width.Times(c.strip)
	if len(k.measured.Stripped) == 0 || !(s.UpstreamToe < s.DownstreamToe) {
		return
	}
	s.Stripping = geometry.Measure{}
	geometry.Strips([]geometry.Line{s.Stripped, s.Ground}, s.UpstreamToe, s.DownstreamToe, func(v geometry.Strip) {
		if m := v.Measure(0, 1); m.Area > 0 {
			s.Stripping = s.Stripping.Plus(m)
		}
		s.Heaped = max(s.Heaped, v.Left[0]-v.Left[1], v.Right[0]-v.Right[1])
	})
	s.StrippedSeen = covered(k.seen.pieces, s.UpstreamToe, s.DownstreamToe)
}

// covered is how much of a stretch of offsets the lines span, overlaps once, m.
func covered(lines []geometry.Line, from, to float64) float64 {
	var open []span
	for _, l := range lines {
		a, b := l.Span()
		s := span{max(a, from), min(b, to)}
		open = append(open, s.less(open)...)
	}
	sum := 0.0
	for _, s := range open {
		sum += max(0, s.high-s.low)
	}
	return sum
}

// measuredTrench adds the open trench as it was measured to the section, and
// reports whether there is any measured there. The trench is the part of the
// section below the stripped ground that is connected with the planned bottom, or
// lies anywhere under the dam where none is planned. Beside the survey the planned
// trench stands, where there is one.
func (k *cutter) measuredTrench(s *Section, c crossSection) bool {
	from, to := s.Stripped.Span()
	core := geometry.Interval{From: s.UpstreamToe, To: s.DownstreamToe}
	base, station := s.Stripped, s.Station
	t := c.trench
	if t == nil { // just beyond the planned end the survey must go on
		station += map[Side]float64{JustBefore: -besideEnd, JustAfter: besideEnd}[s.side]
	}
	pieces := k.pieces(k.measured.Dug, station, s.side, max(-from, to))
	if t != nil {
		core = geometry.Interval{From: t.Offset - t.BottomWidth/2, To: t.Offset + t.BottomWidth/2}
		if ground, ok := s.Stripped.At(t.Offset); ok && (len(k.design.Trench.Points) > 1 || s.meets()) {
			bottom := t.Level
			if c.byDepth {
				bottom = ground - t.Level
			}
			base = lowerOf(s.Stripped, trenchLine(*t, bottom, highestOf(s.Stripped)+1, from, to), from, to)
		}
	}
	if covered(pieces, core.From, core.To) == 0 {
		return false
	}
	s.DugSeen = true
	line := patched(base, pieces)
	label := TrenchZone(k.design.Zones)
	for _, p := range trenchParts(line, s.Stripped, from, to, core) {
		k.dig(s, line, p, label)
		s.TrenchDepth = max(s.TrenchDepth, deepest(line, s.Stripped, p))
	}
	s.Zones[label].Trench = s.Trench
	return true
}

// besideEnd is how far beyond the end of the planned trench a survey is looked at,
// m: one that ends just there shows an upright end, not a longer trench.
const besideEnd = 0.01

// flattestSide is the flattest side of a trench that is followed to the ground to
// its end, horizontal to one vertical: far flatter than any that is dug.
const flattestSide = 5

// trenchParts is where a measured line lies below the stripped ground by more than
// the noise of a survey, connected with the core, with the ends of its sides: there
// the depth falls to nothing within as far as the flattest side goes.
func trenchParts(line, stripped geometry.Line, from, to float64, core geometry.Interval) []geometry.Interval {
	whole := geometry.Above(line, stripped, from, to, core).Parts
	var out []geometry.Interval
	for _, p := range geometry.Above(line.Lift(SurveyNoise), stripped, from, to, core).Parts {
		for _, w := range whole {
			if w.From <= p.From && p.To <= w.To {
				p.From, p.To = max(w.From, p.From-flattestSide*SurveyNoise), min(w.To, p.To+flattestSide*SurveyNoise)
			}
		}
		if n := len(out); n > 0 && p.From < out[n-1].To { // two hollows of one trench
			out[n-1].To = p.To
			continue
		}
		out = append(out, p)
	}
	return out
}

// lowerOf is the lower of two lines.
func lowerOf(a, b geometry.Line, from, to float64) geometry.Line {
	up := func(l geometry.Line) geometry.Line {
		out := make(geometry.Line, len(l))
		for i, k := range l {
			out[i] = geometry.Knot{Offset: k.Offset, Elevation: -k.Elevation}
		}
		return out
	}
	return up(highest([]geometry.Line{up(a), up(b)}, from, to))
}

// deepest is how far a line lies at most below another over a stretch, m.
func deepest(lower, upper geometry.Line, over geometry.Interval) float64 {
	most := math.Inf(-1)
	geometry.Strips([]geometry.Line{lower, upper}, over.From, over.To, func(v geometry.Strip) {
		most = max(most, v.Left[1]-v.Left[0], v.Right[1]-v.Right[0])
	})
	return most
}
