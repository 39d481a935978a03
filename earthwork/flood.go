package earthwork

import (
	"cmp"
	"math"
	"slices"
)

// The pieces of the ground that water connects below a level are a basin.
// Basins merge as the level rises: links are taken in the order of their levels,
// and each one that leads from one basin to another makes them one. The basin
// that has touched the wall's upstream side is the lake.

// basin is a set of connected pieces, kept at the piece that stands for it.
type basin struct {
	last   int32   // the piece at the end of the list that next makes
	lowest float64 // m
	lake   bool
	leaves bool // reaches the edge of the survey
	below  bool // reaches the downstream side of the dam
}

// flooding is the state of the flood as the level rises.
type flooding struct {
	mesh   *lakeMesh
	parent []int32   // toward the piece that stands for the basin
	next   []int32   // the next piece of the basin, noSide at the end
	joins  []float64 // level at which a piece joins the lake; +Inf never
	basins []basin
	lakes  int  // basins that are lake: more than one where the dam shuts two valleys
	away   bool // somewhere along the wall the ground leads the water away

	limit   LakeLimit
	hollows []hollowAt
}

// hollowAt is a hollow and one of its pieces.
type hollowAt struct {
	Hollow
	piece int32
}

// flood raises the water from the wall until it would leave the lake.
func (m *lakeMesh) flood() *flooding {
	n := m.pieces()
	f := &flooding{
		mesh: m, parent: make([]int32, n), next: make([]int32, n),
		joins: make([]float64, n), basins: make([]basin, n),
		limit: LakeLimit{Level: math.Inf(1)},
	}
	for i := range f.parent {
		low := math.Inf(1)
		for _, t := range m.flat(int32(i)) {
			low = min(low, t.Elevation[0], t.Elevation[1], t.Elevation[2])
		}
		f.parent[i], f.next[i], f.joins[i] = int32(i), noSide, math.Inf(1)
		f.basins[i] = basin{last: int32(i), lowest: low}
	}
	for _, p := range m.downstream {
		f.basins[p].below = true
	}
	for _, k := range m.byLevel() {
		if !f.take(&m.links[k.link]) {
			break
		}
	}
	return f
}

// byLevel numbers the links from the lowest up. At one level those to the wall
// come first and those out of the survey last, so that level ground between the
// two is a lake that ends at the survey's edge; then ties stay in the mesh's
// order.
func (m *lakeMesh) byLevel() []linkKey {
	order := make([]linkKey, len(m.links))
	for i := range m.links {
		l := &m.links[i]
		order[i] = linkKey{l.level, 1, int32(i)}
		switch l.b {
		case upstreamWall:
			order[i].rank = 0
		case beyondSurvey:
			order[i].rank = 2
		}
	}
	slices.SortFunc(order, func(a, b linkKey) int {
		switch {
		case a.level < b.level:
			return -1
		case a.level > b.level:
			return 1
		}
		return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.link, b.link))
	})
	return order
}

// linkKey is what links are sorted by: the sorted list is walked by the number.
type linkKey struct {
	level float64
	rank  int32
	link  int32
}

// take lets the water through one link. It reports false when the lake's rise
// ends there.
func (f *flooding) take(l *link) bool {
	a := f.basin(l.a)
	switch l.b {
	case upstreamWall:
		f.reachWall(a, l)
		return true
	case beyondSurvey:
		if f.basins[a].lake && !f.drain(a, l.level) {
			f.stop(SurveyEdge, l, false)
			return false
		}
		f.basins[a].leaves = true
		return true
	}
	b := f.basin(l.b)
	if a == b {
		return true
	}
	if f.basins[a].lake != f.basins[b].lake {
		if f.basins[b].lake {
			a, b = b, a
		}
		return f.spill(a, b, l)
	}
	if f.basins[a].lake {
		f.lakes--
	}
	f.merge(a, b)
	return true
}

// reachWall makes the basin a lake, as its water touches the wall. Where the
// water has another way out at that level already, none stands against the wall.
func (f *flooding) reachWall(a int32, l *link) {
	b := &f.basins[a]
	switch {
	case b.lake:
	case b.leaves || b.below:
		f.away = true
	default:
		f.enter(a, l)
		b.lake = true
		f.lakes++
	}
}

// spill lets the lake's water into a basin, unless it would leave by it.
func (f *flooding) spill(lake, into int32, l *link) bool {
	if b := &f.basins[into]; b.leaves || b.below {
		if !f.drain(lake, l.level) {
			f.stop(Saddle, l, b.below)
			return false
		}
	} else {
		f.enter(into, l)
	}
	f.merge(lake, into)
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
	held := f.held(a, level)
	if held > noWater {
		if f.lakes == 1 {
			return false
		}
		all := 0.0
		for i := range f.basins {
			if f.parent[i] == int32(i) && f.basins[i].lake {
				all += f.held(int32(i), level)
			}
		}
		if held >= pocketShare*all {
			return false
		}
	}
	for p := a; p != noSide; p = f.next[p] {
		f.joins[p] = math.Inf(1)
	}
	f.basins[a].lake = false
	f.lakes--
	f.away = true
	return true
}

// held is the water in a basin below a level.
func (f *flooding) held(b int32, level float64) float64 {
	sum := 0.0
	for p := b; p != noSide; p = f.next[p] {
		for _, t := range f.mesh.flat(p) {
			_, v := waterOver(&t, level)
			sum += v
		}
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

// enter notes the level at which a basin's pieces join the lake, and what it
// holds below that.
func (f *flooding) enter(b int32, l *link) {
	for p := b; p != noSide; p = f.next[p] {
		f.joins[p] = l.level
	}
	if low := f.basins[b].lowest; low < l.level-leastHollow {
		f.hollows = append(f.hollows, hollowAt{Hollow{Level: l.level, At: l.at, Lowest: low, Volume: f.held(b, l.level)}, b})
	}
}

// basin is the piece that stands for the basin of a piece.
func (f *flooding) basin(p int32) int32 {
	for f.parent[p] != p {
		f.parent[p] = f.parent[f.parent[p]]
		p = f.parent[p]
	}
	return p
}

// merge makes two basins one, which the first stands for.
func (f *flooding) merge(a, b int32) {
	f.parent[b] = a
	x, y := &f.basins[a], &f.basins[b]
	f.next[x.last] = b
	x.last = y.last
	x.lowest = min(x.lowest, y.lowest)
	x.lake, x.leaves, x.below = x.lake || y.lake, x.leaves || y.leaves, x.below || y.below
}

// lake gathers what the flood has found.
func (f *flooding) lake() *Lake {
	l := &Lake{limit: f.limit}
	for _, c := range f.mesh.contact {
		if f.joins[c.piece] < math.Inf(1) {
			l.contact = append(l.contact, c)
		}
	}
	for _, h := range f.hollows {
		if f.joins[h.piece] < math.Inf(1) { // not run empty since
			l.hollows = append(l.hollows, h.Hollow)
		}
	}
	order := make([]int32, 0, len(f.joins))
	for i, z := range f.joins {
		if z < math.Inf(1) {
			order = append(order, int32(i))
		}
	}
	slices.SortFunc(order, func(a, b int32) int {
		return cmp.Or(cmp.Compare(f.joins[a], f.joins[b]), cmp.Compare(a, b))
	})
	for _, i := range order {
		for _, t := range f.mesh.flat(i) {
			l.pieces = append(l.pieces, lakePiece{t, f.joins[i]})
		}
	}
	return l
}
