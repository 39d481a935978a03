package geometry

// spoke is a directed edge in the ring of edges around its origin. Spoke e and
// its reverse e^1 stand beside each other; next and prev are the spokes with the
// same origin that follow counter-clockwise and clockwise. 12 bytes, no pointer.
type spoke struct{ org, next, prev int32 }

// spokes is the working structure of the divide and conquer method of L. J.
// Guibas and J. Stolfi, "Primitives for the Manipulation of General Subdivisions
// and the Computation of Voronoi Diagrams", ACM Transactions on Graphics 4
// (1985), 74-123, with half of their edge records left out: the dual is not
// needed. It was chosen because it needs no search for a place, is n log n on
// any input, decides ties on lattices without special cases, and its halves are
// independent, so that they may be worked in parallel with the same outcome.
type spokes struct {
	at  []xy
	all []spoke
}

// hull is what a finished part tells its neighbour: ccw is the hull edge out of
// its first place with the outside on its right, cw the hull edge out of its
// last place with the outside on its left. free lists the unused spokes.
type hull struct {
	ccw, cw int32
	free    freeList
}

// freeList is a chain of runs of unused pairs of spokes. A run's first spoke
// has org = freeMark - (pairs in the run) and next = the next run.
type freeList struct{ head, tail int32 }

const (
	none     = int32(-1)
	freeMark = int32(-2)
)

// freeRun makes a list of the spokes that serve n places from the first on. A
// plane graph has fewer than 3n edges.
func (s *spokes) freeRun(first, n int) freeList {
	at := int32(6 * first)
	s.all[at] = spoke{freeMark - int32(3*n), none, none}
	return freeList{at, at}
}

func (s *spokes) join(a, b freeList) freeList {
	if a.head == none {
		return b
	}
	if b.head == none {
		return a
	}
	s.all[a.tail].next = b.head
	return freeList{a.head, b.tail}
}

// edge takes a new edge from place a to place b, in no ring yet but its own.
func (s *spokes) edge(f *freeList, a, b int32) int32 {
	e := f.head
	run := s.all[e]
	if left := freeMark - run.org - 1; left > 0 {
		f.head = e + 2
		s.all[e+2] = spoke{freeMark - left, run.next, none}
		if f.tail == e {
			f.tail = e + 2
		}
	} else {
		f.head = run.next
		if run.next == none {
			f.tail = none
		}
	}
	s.all[e] = spoke{a, e, e}
	s.all[e+1] = spoke{b, e + 1, e + 1}
	return e
}

// remove takes an edge out of both its rings.
func (s *spokes) remove(f *freeList, e int32) {
	for _, d := range [2]int32{e, e ^ 1} {
		p := s.all[d]
		s.all[p.prev].next = p.next
		s.all[p.next].prev = p.prev
	}
	e &^= 1
	s.all[e] = spoke{freeMark - 1, f.head, none}
	if f.head == none {
		f.tail = e
	}
	f.head = e
}

// after puts the lone spoke e into a ring, next counter-clockwise after a.
func (s *spokes) after(a, e int32) {
	b := s.all[a].next
	s.all[e].next, s.all[e].prev = b, a
	s.all[a].next, s.all[b].prev = e, e
}

// connect makes the edge from the end of a to the start of b, so that a, the
// new edge and b have the same face on their left.
func (s *spokes) connect(f *freeList, a, b int32) int32 {
	e := s.edge(f, s.all[a^1].org, s.all[b].org)
	s.after(s.all[a^1].prev, e) // clockwise of a's reverse: left of a
	s.after(b, e^1)
	return e
}

func (s *spokes) org(e int32) xy  { return s.at[s.all[e].org] }
func (s *spokes) dest(e int32) xy { return s.at[s.all[e^1].org] }

// leftNext is the next edge around the face on the left of e.
func (s *spokes) leftNext(e int32) int32 { return s.all[e^1].prev }

// rightPrev is the edge before e around the face on its right, seen from e.
func (s *spokes) rightPrev(e int32) int32 { return s.all[e^1].next }

// triangulate works the places from lo to hi, at least two, which ascend in
// north and, within one north, descend in east.
func (s *spokes) triangulate(lo, hi int, f *freeList) (ccw, cw int32) {
	switch hi - lo {
	case 2:
		e := s.edge(f, int32(lo), int32(lo+1))
		return e, e ^ 1
	case 3:
		return s.three(int32(lo), f)
	}
	mid := (lo + hi) / 2
	lccw, lcw := s.triangulate(lo, mid, f)
	rccw, rcw := s.triangulate(mid, hi, f)
	return s.merge(f, lccw, lcw, rccw, rcw)
}

func (s *spokes) three(p int32, f *freeList) (ccw, cw int32) {
	a := s.edge(f, p, p+1)
	b := s.edge(f, p+1, p+2)
	s.after(a^1, b)
	turn := sideOf(s.at[p], s.at[p+1], s.at[p+2])
	switch {
	case turn > 0:
		s.connect(f, b, a)
		return a, b ^ 1
	case turn < 0:
		c := s.connect(f, b, a)
		return c ^ 1, c
	}
	return a, b ^ 1
}

// merge joins two finished parts, all places of the first before those of the
// second, and returns the hull edges of the whole.
func (s *spokes) merge(f *freeList, lccw, lcw, rccw, rcw int32) (ccw, cw int32) {
	for { // down to the lower common tangent
		switch {
		case sideOf(s.org(lcw), s.dest(lcw), s.org(rccw)) > 0:
			lcw = s.leftNext(lcw)
		case sideOf(s.org(rccw), s.dest(rccw), s.org(lcw)) < 0:
			rccw = s.rightPrev(rccw)
		default:
			base := s.connect(f, rccw^1, lcw)
			if s.all[lcw].org == s.all[lccw].org {
				lccw = base ^ 1
			}
			if s.all[rccw].org == s.all[rcw].org {
				rcw = base
			}
			s.rise(f, base)
			return lccw, rcw
		}
	}
}

// rise sews the two parts together from the lower tangent up. base runs from
// the second part to the first, with what is still open on its right.
func (s *spokes) rise(f *freeList, base int32) {
	for {
		right, left := s.org(base), s.dest(base)
		l, lp, lok := s.leftCandidate(f, base, right, left)
		r, rp, rok := s.rightCandidate(f, base, right, left)
		switch {
		case !lok && !rok:
			return
		case !lok || rok && inCircle(lp, left, right, rp) > 0:
			base = s.connect(f, r, base^1)
		default:
			base = s.connect(f, base^1, l^1)
		}
	}
}

// leftCandidate is the first part's edge that may close a triangle on base, with
// its far end. Edges whose triangle would hold the next place go.
func (s *spokes) leftCandidate(f *freeList, base int32, right, left xy) (int32, xy, bool) {
	e := s.all[base^1].next
	p := s.dest(e)
	if sideOf(p, left, right) <= 0 {
		return e, p, false
	}
	for {
		n := s.all[e].next
		if n == base^1 {
			return e, p, true
		}
		q := s.dest(n)
		if inCircle(left, right, p, q) <= 0 {
			return e, p, true
		}
		s.remove(f, e)
		e, p = n, q
	}
}

// rightCandidate is leftCandidate for the second part.
func (s *spokes) rightCandidate(f *freeList, base int32, right, left xy) (int32, xy, bool) {
	e := s.all[base].prev
	p := s.dest(e)
	if sideOf(p, left, right) <= 0 {
		return e, p, false
	}
	for {
		n := s.all[e].prev
		if n == base {
			return e, p, true
		}
		q := s.dest(n)
		if inCircle(left, right, p, q) <= 0 {
			return e, p, true
		}
		s.remove(f, e)
		e, p = n, q
	}
}
