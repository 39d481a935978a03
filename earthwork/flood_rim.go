package earthwork

// linkKey orders links from the lowest up and says which link it is. At one
// level those to the wall come first and those out of the survey last, so that
// level ground between the two is a lake that ends at the survey's edge; then
// ties stay in the ground's order.
type linkKey struct {
	level float64
	// order is the rank, then whether the link was made beforehand, then its number:
	// in the mesh's links, or that of the side it leads across, the lower of the two.
	order uint64
}

const (
	rankBetween = 1 << 62
	rankBeyond  = 2 << 62
	listedBit   = 1 << 61
	numberMask  = listedBit - 1
)

// listedKey is the number of a link that was made beforehand.
func listedKey(i int) uint64 { return listedBit | uint64(i) }

// keyOf is the key of a link with a number.
func keyOf(l *link, number uint64) linkKey {
	switch l.b {
	case upstreamWall:
		return linkKey{l.level, number}
	case beyondSurvey:
		return linkKey{l.level, rankBeyond | number}
	}
	return linkKey{l.level, rankBetween | number}
}

// before is the order of keys, which is total.
func (k linkKey) before(other linkKey) bool {
	if k.level != other.level {
		return k.level < other.level
	}
	return k.order < other.order
}

// rim is the openings out of the lake, a binary heap with the lowest first.
type rim []linkKey

func (r *rim) push(k linkKey) {
	h := append(*r, k)
	*r = h
	for i := len(h) - 1; i > 0; {
		up := (i - 1) / 2
		if !h[i].before(h[up]) {
			break
		}
		h[i], h[up] = h[up], h[i]
		i = up
	}
}

func (r *rim) pop() linkKey {
	h := *r
	lowest, n := h[0], len(h)-1
	h[0] = h[n]
	h = h[:n]
	*r = h
	for i := 0; ; {
		down := 2*i + 1
		if down >= n {
			break
		}
		if down+1 < n && h[down+1].before(h[down]) {
			down++
		}
		if !h[down].before(h[i]) {
			break
		}
		h[i], h[down] = h[down], h[i]
		i = down
	}
	return lowest
}

// marks holds a number for each piece, zero at first. Memory is taken only
// for runs of pieces that were marked.
type marks struct{ runs [][]int32 }

// markRun is the length of a run. It sets memory and time, never the outcome.
const markRun = 1 << 12

func newMarks(n int) marks { return marks{make([][]int32, n/markRun+1)} }

func (m *marks) at(i int32) int32 {
	run := m.runs[i/markRun]
	if run == nil {
		return 0
	}
	return run[i%markRun]
}

func (m *marks) set(i, mark int32) {
	run := &m.runs[i/markRun]
	if *run == nil {
		*run = make([]int32, markRun)
	}
	(*run)[i%markRun] = mark
}

// marked is a set of pieces, one bit each.
type marked []uint64

func newMarked(n int) marked { return make(marked, n/64+1) }

func (m marked) set(i int32)      { m[i/64] |= 1 << (i % 64) }
func (m marked) has(i int32) bool { return m[i/64]>>(i%64)&1 != 0 }
