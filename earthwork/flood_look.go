package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// lookOver is what was seen of a basin of dry ground. Its lists serve again for
// the next one.
type lookOver struct {
	found  []int32   // its pieces, in the order in which they were reached
	rim    []linkKey // the openings out of it that lie higher
	lowest float64   // ground, m
}

// leads looks over the basin of a dry piece, connected by openings below the one
// of the key. It reports true, and has marked what it saw, when the basin leads
// the water out of the survey or to the downstream side of the dam.
func (f *flooding) leads(start int32, under linkKey) bool {
	s := &f.look
	s.found, s.rim, s.lowest = s.found[:0], s.rim[:0], math.Inf(1)
	if f.marks.at(start) == leadsAway {
		return true
	}
	f.marks.set(start, looking)
	s.found = append(s.found, start)
	var around [8]opening
	for i := 0; i < len(s.found); i++ {
		p := s.found[i]
		leaves := !f.mesh.alone(p) && f.mesh.downstream[p]
		low, openings := f.mesh.openings(p, around[:0])
		for _, o := range openings {
			switch {
			case under.before(o.key):
				s.rim = append(s.rim, o.key)
			case o.to == beyondSurvey || f.marks.at(o.to) == leadsAway:
				leaves = true
			case f.marks.at(o.to) == dry:
				f.marks.set(o.to, looking)
				s.found = append(s.found, o.to)
			}
		}
		if leaves {
			for _, p := range s.found {
				f.marks.set(p, leadsAway)
			}
			return true
		}
		s.lowest = min(s.lowest, low)
	}
	return false
}

// roundDam tells whether the basin of a piece, connected by openings below the
// one of the key, reaches the downstream side of the dam.
func (f *flooding) roundDam(start int32, under linkKey) bool {
	seen := newMarks(f.mesh.pieces())
	seen.set(start, looking)
	reached := []int32{start}
	var around [8]opening
	for len(reached) > 0 {
		p := reached[len(reached)-1]
		reached = reached[:len(reached)-1]
		if !f.mesh.alone(p) && f.mesh.downstream[p] {
			return true
		}
		_, openings := f.mesh.openings(p, around[:0])
		for _, o := range openings {
			if o.to >= 0 && o.key.before(under) && seen.at(o.to) == dry {
				seen.set(o.to, looking)
				reached = append(reached, o.to)
			}
		}
	}
	return false
}

// opening is a link seen from one of its pieces.
type opening struct {
	key linkKey
	to  int32 // the other piece, or beyondSurvey
}

// openings are the links of a piece but those to the wall, and its lowest ground.
func (m *lakeMesh) openings(piece int32, out []opening) (lowest float64, all []opening) {
	lowest = math.Inf(1)
	alone := m.alone(piece)
	if !alone && (piece >= m.count || m.near[piece] != nil) {
		for _, t := range m.flat(piece) {
			lowest = min(lowest, lowestOf(&t))
		}
		return lowest, m.listed(piece, out)
	}
	t := m.net.Triangle(int(piece))
	lowest = lowestOf(&t)
	if !alone {
		out = m.listed(piece, out)
	}
	for h := 3 * int(piece); h < 3*int(piece)+3; h++ {
		o := m.net.Across(h)
		if !alone && o != geometry.NoSide && m.near[int32(o/3)] != nil {
			continue // listed
		}
		if k, open := m.sideKey(&t, h, o); open {
			to := beyondSurvey
			if o != geometry.NoSide {
				to = int32(o / 3)
			}
			out = append(out, opening{k, to})
		}
	}
	return lowest, out
}

// listed adds a piece's links that were made beforehand.
func (m *lakeMesh) listed(piece int32, out []opening) []opening {
	for _, i := range m.ofPiece[piece] {
		l := &m.links[i]
		switch {
		case l.b == upstreamWall:
		case l.a == piece:
			out = append(out, opening{keyOf(l, listedKey(int(i))), l.b})
		default:
			out = append(out, opening{keyOf(l, listedKey(int(i))), l.a})
		}
	}
	return out
}

// sideKey is the key of the link across a side away from the wall. t is the
// side's triangle, o the side beyond. Both sides give the same key.
func (m *lakeMesh) sideKey(t *geometry.Triangle, h, o int) (linkKey, bool) {
	if o != geometry.NoSide && m.net.Stepped() {
		if o < h {
			u := m.net.Triangle(o / 3)
			t, h, o = &u, o, h
		}
		l, open := m.opening(t, h, o)
		return keyOf(&l, uint64(h)), open
	}
	k := linkKey{level: min(t.Elevation[h%3], t.Elevation[nextSide(h)%3]), order: rankBetween | uint64(h)}
	switch {
	case o == geometry.NoSide:
		k.order = rankBeyond | uint64(h)
	case o < h:
		k.order = rankBetween | uint64(o)
	}
	return k, true
}

// link is the link of a key.
func (m *lakeMesh) link(k linkKey) link {
	number := int(k.order & numberMask)
	if k.order&listedBit != 0 {
		return m.links[number]
	}
	t := m.net.Triangle(number / 3)
	l, _ := m.opening(&t, number, m.net.Across(number))
	return l
}
