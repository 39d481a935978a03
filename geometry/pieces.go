package geometry

import "math"

const (
	// sameKnot is how unlike two elevations at one offset may be and still be one
	// knot, m: it guards against vertical steps made by rounding alone.
	sameKnot = 1e-9

	// noGap is the length of a gap in the ground, m, that does not part a slice:
	// where it touches the corner of a gap, rounding may give the touch a length.
	noGap = 1e-9
)

// startPiece begins a piece, or takes up the one that ends here.
func (s *slicer) startPiece(k Knot) {
	n := len(s.pieces)
	if n == 0 || k.Offset-s.pieces[n-1][len(s.pieces[n-1])-1].Offset > noGap {
		s.piece = append(s.piece, k)
		return
	}
	s.piece, s.pieces = s.pieces[n-1], s.pieces[:n-1]
	s.put(k)
}

// put adds a knot to the piece. At one offset it keeps no more than two.
func (s *slicer) put(k Knot) {
	n := len(s.piece)
	if k.Offset == s.piece[n-1].Offset {
		switch {
		case math.Abs(k.Elevation-s.piece[n-1].Elevation) <= sameKnot:
			return
		case n > 1 && s.piece[n-2].Offset == k.Offset:
			s.piece[n-1] = k
			return
		}
	}
	s.piece = append(s.piece, k)
}

// endPiece closes the piece in hand; one of no length is no ground.
func (s *slicer) endPiece() {
	if n := len(s.piece); n > 1 && s.piece[n-1].Offset > s.piece[0].Offset {
		s.pieces = append(s.pieces, s.piece)
	}
	s.piece = nil
}

// level is the elevation at an offset between two knots, the nearer end's
// outside of them.
func level(a, b Knot, offset float64) float64 {
	switch {
	case offset <= a.Offset:
		return a.Elevation
	case offset >= b.Offset:
		return b.Elevation
	}
	return mix(a.Elevation, b.Elevation, (offset-a.Offset)/(b.Offset-a.Offset))
}
