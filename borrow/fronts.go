package borrow

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
)

// run is a line from which the pit's sides fall, the pit on its left, in pieces
// over which the ground is straight. Its ends meet when it is closed.
type run struct {
	edges  []edge
	closed bool
}

// frontSlack is the distance, m, within which the end of one front is the start
// of the next, and within which a front lies on the rim of a piece of ground
// rather than in it. It is far above rounding and far below any survey.
const frontSlack = 1e-6

// fronts returns the lines that bound what is dug, joined end to start. Without
// a setback or a dam near by it is the boundary itself.
func (o *outline) fronts(setback bool, pieces []kept) [][]front {
	var all []front
	if !setback {
		for i, a := range o.ring {
			all = append(all, free(front{a, o.ring[(i+1)%len(o.ring)]}, pieces, -1)...)
		}
	}
	for i, k := range pieces {
		for _, f := range k.fronts {
			for _, in := range o.within(f) {
				all = append(all, free(in, pieces, i)...)
			}
		}
	}
	return endToEnd(all)
}

// stretch is a part of a front, as shares of its length.
type stretch struct{ from, to float64 }

// inCell returns the part of a front that lies in a convex cell shrunk by a
// margin, m; false for none.
func (f front) inCell(c cell, margin float64) (stretch, bool) {
	s := stretch{0, 1}
	for i, a := range c {
		b := c[(i+1)%len(c)]
		if a == b {
			continue
		}
		side := leftOf(a, b)
		v, w := side.at(f.from)-margin, side.at(f.to)-margin
		switch {
		case v <= 0 && w <= 0:
			return stretch{}, false
		case v < 0:
			s.from = max(s.from, v/(v-w))
		case w < 0:
			s.to = min(s.to, v/(v-w))
		}
	}
	return s, s.to > s.from
}

// part is a stretch of a front.
func (f front) part(s stretch) front {
	out := f
	if s.from > 0 {
		out.from = along(f.from, f.to, s.from)
	}
	if s.to < 1 {
		out.to = along(f.from, f.to, s.to)
	}
	return out
}

// within returns the parts of a front inside the ring.
func (o *outline) within(f front) []front {
	var in []stretch
	for _, s := range o.strips {
		if part, ok := f.inCell(s.cell, -touch); ok {
			in = append(in, part)
		}
	}
	slices.SortFunc(in, func(a, b stretch) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	length := distance(f.from, f.to)
	var out []front
	for i := 0; i < len(in); {
		s := in[i]
		for i++; i < len(in) && (in[i].from-s.to)*length <= frontSlack; i++ {
			s.to = max(s.to, in[i].to)
		}
		if (s.to-s.from)*length > frontSlack {
			out = append(out, f.part(s))
		}
	}
	return out
}

// free returns the parts of a front that lie in no piece of kept ground, its own
// piece left out.
func free(f front, pieces []kept, own int) []front {
	left := []stretch{{0, 1}}
	for i, k := range pieces {
		if i == own {
			continue
		}
		hidden, ok := f.inCell(k.cell, frontSlack/10)
		if !ok {
			continue
		}
		var next []stretch
		for _, s := range left {
			if before := (stretch{s.from, min(s.to, hidden.from)}); before.to > before.from {
				next = append(next, before)
			}
			if after := (stretch{max(s.from, hidden.to), s.to}); after.to > after.from {
				next = append(next, after)
			}
		}
		left = next
	}
	length := distance(f.from, f.to)
	var out []front
	for _, s := range left {
		if (s.to-s.from)*length > frontSlack {
			out = append(out, f.part(s))
		}
	}
	return out
}

// endToEnd puts fronts end to start into lines, as far as they meet.
func endToEnd(all []front) [][]front {
	used := make([]bool, len(all))
	next := func(f front) int {
		best, near := -1, frontSlack*10
		for i, g := range all {
			if d := distance(f.to, g.from); !used[i] && d <= near && (best < 0 || d < near) {
				best, near = i, d
			}
		}
		return best
	}
	var out [][]front
	for start := range all {
		if used[start] || !used[start] && hasBefore(all, used, start) {
			continue
		}
		out = append(out, follow(all, used, start, next))
	}
	for start := range all { // what is left are closed lines
		if !used[start] {
			out = append(out, follow(all, used, start, next))
		}
	}
	return out
}

// hasBefore tells whether an unused front ends where this one starts.
func hasBefore(all []front, used []bool, start int) bool {
	for i, g := range all {
		if i != start && !used[i] && distance(g.to, all[start].from) <= frontSlack*10 {
			return true
		}
	}
	return false
}

// follow takes fronts from start on until none goes on.
func follow(all []front, used []bool, start int, next func(front) int) []front {
	var line []front
	for at := start; at >= 0; at = next(all[at]) {
		used[at] = true
		line = append(line, all[at])
	}
	return line
}

// closes tells whether a line comes back to its start.
func closes(line []front) bool {
	return len(line) > 1 && distance(line[len(line)-1].to, line[0].from) <= frontSlack*10
}

// runs lays the ground under the lines that bound what is dug. The error is a
// *GroundError.
func (p Pit) runs(o *outline, pieces []kept) ([]run, error) {
	if len(pieces) == 0 {
		edges, err := p.groundAlong(o)
		return []run{{edges, true}}, err
	}
	var out []run
	for _, line := range o.fronts(p.Setback > leastKept, pieces) {
		r := run{closed: closes(line)}
		for _, f := range line {
			edges, err := p.groundUnder(o, f.from, f.to)
			if err != nil {
				return nil, err
			}
			r.edges = append(r.edges, edges...)
		}
		out = append(out, r)
	}
	return out, nil
}

// reversed is the same piece walked the other way.
func (e edge) reversed() edge { return edge{e.to, e.from, e.zTo, e.zFrom} }

// cones returns the cones at the corners of a run and at its free ends.
func (r run) cones(slope float64) []*side {
	var out []*side
	n := len(r.edges)
	for i := 1; i < n; i++ {
		out = append(out, cone(r.edges[i-1], r.edges[i], slope)...)
	}
	if n == 0 {
		return nil
	}
	first, last := r.edges[0], r.edges[n-1]
	if r.closed {
		return append(out, cone(last, first, slope)...)
	}
	out = append(out, cone(last, last.reversed(), slope)...)
	return append(out, cone(first.reversed(), first, slope)...)
}

// highestOf is the highest ground along some runs, m; none where there is none.
func highestOf(runs []run, none float64) float64 {
	high := none
	for _, r := range runs {
		for _, e := range r.edges {
			high = max(high, e.zFrom, e.zTo)
		}
	}
	return high
}

// locally is a point of the pit's coordinates about the outline's origin.
func (o *outline) locally(p orb.Point) orb.Point {
	return orb.Point{p[0] - o.origin[0], p[1] - o.origin[1]}
}
