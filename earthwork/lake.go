package earthwork

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Lake is the ground that water behind a dam can cover, level by level. It is
// made once for a ground and a centreline; crest and faces may change under it.
// It is immutable and safe to use from several goroutines.
//
// The dam is a wall without thickness that stands in the vertical plane of its
// centreline, as high as the water. The water spreads from the wall's upstream
// side over the triangles of the ground wherever ground below its level is
// connected: a neighbouring valley counts only once the saddle toward it is
// under water. Ground that lies lower than the lowest ground along the wall fills
// from there. What the dam's own upstream face takes of the lake is taken off with
// a Face.
type Lake struct {
	pieces  []lakePiece // by the level at which they join, then in the ground's order
	contact []contact   // of the dam's upstream side
	limit   LakeLimit
	hollows []Hollow
}

// lakePiece is a flat triangle of the ground, and the level above which water
// in it is connected with the dam.
type lakePiece struct {
	geometry.Triangle
	joins float64
}

// LimitKind says what ends a lake's rise.
type LimitKind string

// The limits.
const (
	// NoLimit: the lake lies wholly inside the survey at every level.
	NoLimit LimitKind = ""
	// SurveyEdge: the water reaches the edge of the ground that is known.
	SurveyEdge LimitKind = "survey edge"
	// Saddle: the water spills over into ground that leads out of the survey or
	// to the downstream side of the dam.
	Saddle LimitKind = "saddle"
)

// LakeLimit is the level at which the water would leave the lake, and where.
// Area and storage are known up to it.
type LakeLimit struct {
	Kind  LimitKind
	Level float64   // m; +Inf without a limit
	At    orb.Point // lowest point of the saddle or edge that the water crosses
	// RoundDam says that the spilled water reaches the downstream side of the dam.
	RoundDam bool
}

// Hollow is ground that fills all at once when the water crosses a saddle, and
// counts from that level on: a side valley or pit without a way out of its own.
type Hollow struct {
	Level  float64   // of the saddle, m
	At     orb.Point // of the saddle
	Lowest float64   // elevation, m
	Volume float64   // below Level, m3
}

// LakeError says that there is no lake.
type LakeError struct {
	From, To float64 // stations of the dam, m
	// FallsAway says that there is ground along the dam, but that on the water's
	// side it leads the water out of the survey or round the dam: the sides may
	// be mixed up, or the survey ends too near to the dam.
	FallsAway bool
}

// Error implements error.
func (e *LakeError) Error() string {
	if e.FallsAway {
		return fmt.Sprintf("the ground upstream of the dam from station %.3f m to %.3f m leads the water away before any stands against the dam", e.From, e.To)
	}
	return fmt.Sprintf("no ground along the dam from station %.3f m to %.3f m, so no lake behind it", e.From, e.To)
}

// AboveLimitError says that a water level lies above the lake's limit.
type AboveLimitError struct {
	Level float64 // asked for, m
	Limit LakeLimit
}

// Error implements error.
func (e *AboveLimitError) Error() string {
	return fmt.Sprintf("water at %.3f m is above the lake's limit of %.3f m (%s)", e.Level, e.Limit.Level, e.Limit.Kind)
}

// NewLake floods the ground behind a dam. The wall stands on the centreline
// from one station to the other, wherever a dam might rise: the whole crest,
// whatever its elevation. The error is a *LakeError when that line lies nowhere
// on the ground, or when no water can stand against it.
//
// A pocket against the wall that has a way out of its own does not end the rise
// of a lake beside which it is nothing (a thousandth of its water); it is left
// out then.
//
// Method: basins merge in the order of the saddles between them, as in
// Kruskal's minimum spanning tree; what is connected with the wall below a level
// is the lake at that level.
func NewLake(surface geometry.Surface, line *geometry.Centreline, from, to float64) (*Lake, error) {
	m := newLakeMesh(surface, wallOf(line, from, to))
	f := m.flood()
	if l := f.lake(); len(l.pieces) > 0 {
		return l, nil
	}
	return nil, &LakeError{from, to, f.away}
}

// Limit is the level at which the water would leave the lake.
func (l *Lake) Limit() LakeLimit { return l.limit }

// Hollows returns the ground that joins the lake at once, by rising level, as
// far as each holds at least the given volume, m3. Ground from a survey has
// many small ones.
func (l *Lake) Hollows(least float64) []Hollow {
	var out []Hollow
	for _, h := range l.hollows {
		if h.Volume >= least {
			out = append(out, h)
		}
	}
	return out
}

// Lowest is the level at which the water starts, m: the lowest ground along the
// dam.
func (l *Lake) Lowest() float64 { return l.pieces[0].joins }

// Storage is the water at one level.
type Storage struct {
	Level  float64 // elevation of the water, m
	Area   float64 // of its surface, m2
	Volume float64 // m3
}

// Storage measures the water at a level, exactly over the triangles of ground
// and face. A nil face is a dam without thickness on the centreline; else it is
// one of this lake's own. The level should not lie above the crest: the dam holds
// water at any level here. The error is an *AboveLimitError.
func (l *Lake) Storage(level float64, face *Face) (Storage, error) {
	s, err := l.storages([]float64{level}, face)
	if err != nil {
		return Storage{}, err
	}
	return s[0], nil
}

// lakeBlock is the number of pieces over which all levels are measured before the
// next ones are fetched: they fit in a processor's cache. It sets time alone.
const lakeBlock = 512

// storages is Storage at several levels.
func (l *Lake) storages(levels []float64, face *Face) ([]Storage, error) {
	out := make([]Storage, len(levels))
	for k, level := range levels {
		if level > l.limit.Level || math.IsNaN(level) {
			return nil, &AboveLimitError{level, l.limit}
		}
		out[k].Level = level
	}
	for first := 0; first < len(l.pieces); first += lakeBlock {
		block := l.pieces[first:min(first+lakeBlock, len(l.pieces))]
		for k := range out {
			out[k].add(block)
		}
	}
	for k := range out {
		if face != nil {
			// Where the face covers all water, rounding may leave less than none.
			area, volume := face.takes(levels[k])
			out[k].Area = max(0, out[k].Area-area)
			out[k].Volume = max(0, out[k].Volume-volume)
		}
	}
	return out, nil
}

// add adds the water over pieces that come by the level at which they join.
func (s *Storage) add(pieces []lakePiece) {
	for i := range pieces {
		p := &pieces[i]
		if p.joins >= s.Level {
			return
		}
		a, v := waterOver(&p.Triangle, s.Level)
		s.Area += a
		s.Volume += v
	}
}
