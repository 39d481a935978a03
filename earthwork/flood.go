package earthwork

import (
	"cmp"
	"math"
	"slices"
)

// The pieces of the ground that water connects below a level are a basin. The
// basins that have touched the wall's upstream side are the lake. The flood takes
// the openings at the lake's rim from the lowest up, and at each one that leads
// to dry ground it looks over the basin there, as far as it is connected below
// that opening: the basin joins the lake, or leads the water away. So only ground
// that the water reaches is ever looked at, however large the survey.

// flooding is the state of the flood as the level rises.
type flooding struct {
	mesh  *lakeMesh
	marks marks
	taken []taken // the pieces that have joined, in the order in which they did
	lakes []basin
	rim   rim
	away  bool // somewhere along the wall the ground leads the water away

	standing int // basins that are lake: more than one where the dam shuts two valleys
	limit    LakeLimit
	hollows  []hollowAt

	look lookOver
}

// taken is a piece that has joined the lake.
type taken struct {
	joins float64 // the level; +Inf when its basin has run empty since
	piece int32
	next  int32 // in taken, the next piece of the basin, endOfList at the end
}

const endOfList = int32(-1)

// basin is a part of the lake.
type basin struct {
	parent      int32 // itself, or the basin that it has merged with
	first, last int32 // of its pieces, in taken
	empty       bool  // it has run empty
}

// hollowAt is a hollow and one of its pieces.
type hollowAt struct {
	Hollow
	piece int32
}

// What a piece is marked as; from firstBasin on the number of its basin.
const (
	dry = iota
	looking
	leadsAway
	firstBasin
)

// flood raises the water from the wall until it would leave the lake.
func (m *lakeMesh) flood() *flooding {
	f := &flooding{mesh: m, marks: newMarks(m.pieces()), limit: LakeLimit{Level: math.Inf(1)}}
	for i := range m.links {
		if l := &m.links[i]; l.b == upstreamWall {
			f.rim.push(keyOf(l, listedKey(i)))
		}
	}
	for len(f.rim) > 0 {
		if k := f.rim.pop(); !f.take(k, m.link(k)) {
			break
		}
	}
	return f
}

// basinOf is the basin that a piece belongs to, none when it is no lake.
func (f *flooding) basinOf(piece int32) (int32, bool) {
	mark := f.marks.at(piece)
	if mark < firstBasin {
		return 0, false
	}
	b := mark - firstBasin
	for f.lakes[b].parent != b {
		f.lakes[b].parent = f.lakes[f.lakes[b].parent].parent
		b = f.lakes[b].parent
	}
	return b, !f.lakes[b].empty
}

// take lets the water through one link. It reports false when the lake's rise
// ends there.
func (f *flooding) take(k linkKey, l link) bool {
	a, wet := f.basinOf(l.a)
	switch l.b {
	case upstreamWall:
		if !wet {
			f.reachWall(k, &l)
		}
		return true
	case beyondSurvey:
		if wet && !f.drain(a, l.level) {
			f.stop(SurveyEdge, &l, false)
			return false
		}
		return true
	}
	b, other := f.basinOf(l.b)
	switch {
	case wet && other:
		if a != b {
			f.standing--
			f.merge(a, b)
		}
		return true
	case wet:
		return f.spill(a, l.b, k, &l)
	case other:
		return f.spill(b, l.a, k, &l)
	}
	return true // its basin has run empty
}

// reachWall makes the basin of a piece a lake, as its water touches the wall.
// Where the water has another way out at that level already, none stands against
// the wall.
func (f *flooding) reachWall(k linkKey, l *link) {
	if f.leads(l.a, k) {
		f.away = true
		return
	}
	b := int32(len(f.lakes))
	f.lakes = append(f.lakes, basin{parent: b, first: endOfList, last: endOfList})
	f.standing++
	f.enter(b, l)
}

// spill lets the lake's water into a dry piece, unless it would leave by it.
func (f *flooding) spill(lake, into int32, k linkKey, l *link) bool {
	if !f.leads(into, k) {
		f.enter(lake, l)
		return true
	}
	if !f.drain(lake, l.level) {
		f.stop(Saddle, l, f.roundDam(into, k))
		return false
	}
	return true
}

const (
	// noWater is a volume that is none, m3: a cubic centimetre. It guards against
	// a pocket that rounding makes where ground touches the wall and falls away.
	noWater = 1e-6

	// pocketShare is the share of the lake's water below which a pocket against
	// the wall may run empty without ending the lake's rise. The lake is short by
	// no more than that.
	pocketShare = 0.001
)

// drain runs a basin of the lake empty that has found a way out at a level, if it
// is a mere pocket beside the rest of the lake: it is no lake then and never
// counts. Else it reports false: the lake leaves.
func (f *flooding) drain(a int32, level float64) bool {
	held := f.held(a, level, math.Inf(1))
	if held > noWater {
		if f.standing == 1 {
			return false
		}
		all := held
		for i := range f.lakes {
			if b := int32(i); b != a && f.lakes[b].parent == b && !f.lakes[b].empty {
				all += f.held(b, level, held/pocketShare-all)
			}
		}
		if held >= pocketShare*all {
			return false
		}
	}
	for t := f.lakes[a].first; t != endOfList; t = f.taken[t].next {
		f.taken[t].joins = math.Inf(1)
		f.marks.set(f.taken[t].piece, leadsAway)
	}
	f.lakes[a].empty = true
	f.standing--
	f.away = true
	return true
}

// held is the water in a basin below a level. Once it is more than enough the
// rest is not counted.
func (f *flooding) held(b int32, level, enough float64) float64 {
	sum := 0.0
	for t := f.lakes[b].first; t != endOfList && !(sum > enough); t = f.taken[t].next {
		sum += f.mesh.holds(f.taken[t].piece, level)
	}
	return sum
}

// holds is the water over a piece below a level.
func (m *lakeMesh) holds(piece int32, level float64) float64 {
	if m.alone(piece) {
		t := m.net.Triangle(int(piece))
		_, v := waterOver(&t, level)
		return v
	}
	sum := 0.0
	for _, t := range m.flat(piece) {
		_, v := waterOver(&t, level)
		sum += v
	}
	return sum
}

// stop ends the lake's rise.
func (f *flooding) stop(kind LimitKind, l *link, roundDam bool) {
	f.limit = LakeLimit{Kind: kind, Level: l.level, At: l.at, RoundDam: roundDam}
}

// leastHollow is how far below the saddle ground must lie to be a hollow, m. It
// guards against calling a slope one that rounding tips over.
const leastHollow = 1e-6

// enter lets the pieces that were looked over join a basin of the lake, and
// notes what they hold when they lie in a hollow.
func (f *flooding) enter(b int32, l *link) {
	if more := len(f.look.found); cap(f.taken)-len(f.taken) < more {
		f.taken = slices.Grow(f.taken, max(more, len(f.taken))) // twice as long, not the usual quarter longer
	}
	for _, p := range f.look.found {
		f.marks.set(p, firstBasin+b)
		t := int32(len(f.taken))
		f.taken = append(f.taken, taken{l.level, p, endOfList})
		if last := f.lakes[b].last; last != endOfList {
			f.taken[last].next = t
		} else {
			f.lakes[b].first = t
		}
		f.lakes[b].last = t
	}
	for _, k := range f.look.rim {
		f.rim.push(k)
	}
	if low := f.look.lowest; low < l.level-leastHollow {
		h := hollowAt{Hollow{Level: l.level, At: l.at, Lowest: low}, f.look.found[0]}
		for _, p := range f.look.found {
			h.Volume += f.mesh.holds(p, l.level)
		}
		f.hollows = append(f.hollows, h)
	}
}

// merge makes two basins of the lake one, which the first stands for.
func (f *flooding) merge(a, b int32) {
	f.lakes[b].parent = a
	f.taken[f.lakes[a].last].next = f.lakes[b].first
	f.lakes[a].last = f.lakes[b].last
}

// lake gathers what the flood has found.
func (f *flooding) lake() *Lake {
	l := &Lake{limit: f.limit}
	for _, c := range f.mesh.contact {
		if _, wet := f.basinOf(c.piece); wet {
			l.contact = append(l.contact, c)
		}
	}
	for _, h := range f.hollows {
		if _, wet := f.basinOf(h.piece); !wet { // run empty since
			continue
		}
		// Several that the water enters over one saddle are one.
		if n := len(l.hollows); n > 0 && l.hollows[n-1].Level == h.Level && l.hollows[n-1].At == h.At {
			l.hollows[n-1].Lowest = min(l.hollows[n-1].Lowest, h.Lowest)
			l.hollows[n-1].Volume += h.Volume
			continue
		}
		l.hollows = append(l.hollows, h.Hollow)
	}
	wet := slices.DeleteFunc(f.taken, func(t taken) bool { return math.IsInf(t.joins, 1) })
	slices.SortFunc(wet, func(a, b taken) int {
		if a.joins != b.joins {
			return cmp.Compare(a.joins, b.joins)
		}
		return cmp.Compare(a.piece, b.piece)
	})
	l.pieces = make([]lakePiece, 0, len(wet)+len(f.mesh.parts))
	for _, w := range wet {
		if f.mesh.alone(w.piece) {
			l.pieces = append(l.pieces, lakePiece{f.mesh.net.Triangle(int(w.piece)), w.joins})
			continue
		}
		for _, t := range f.mesh.flat(w.piece) {
			l.pieces = append(l.pieces, lakePiece{t, w.joins})
		}
	}
	return l
}
