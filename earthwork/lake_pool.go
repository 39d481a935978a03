package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// Pool is what there is to say of a lake at one level.
type Pool struct {
	Storage
	Shoreline     float64 // length of the water's edge, m, along the dam too
	MeanDepth     float64 // Volume / Area, m; 0 without water
	GreatestDepth float64 // over ground and face, m
}

// Pool measures a lake at a level: as Storage, with its shoreline and depths,
// all of them exact over the triangles of ground and face. Survey ground is
// rougher than a map, so the shoreline is longer than one drawn with a sweep of
// the hand. The error is an *AboveLimitError.
func (l *Lake) Pool(level float64, face *Face) (Pool, error) {
	s, err := l.Storage(level, face)
	if err != nil {
		return Pool{}, err
	}
	p := Pool{Storage: s}
	if s.Area > 0 {
		p.MeanDepth = s.Volume / s.Area
	}
	deepest := level
	for i := range l.pieces {
		t := &l.pieces[i]
		if t.joins >= level {
			break
		}
		p.Shoreline += shoreOf(&t.Triangle, level)
		if face != nil {
			deepest = min(deepest, face.lowest[i])
		} else {
			deepest = min(deepest, lowestOf(&t.Triangle))
		}
	}
	if face == nil {
		p.Shoreline += l.alongWall(level)
	} else {
		shore, low := face.shore(level)
		p.Shoreline += shore
		deepest = min(deepest, low)
	}
	p.GreatestDepth = level - deepest
	return p, nil
}

// shore is what the face adds to the shoreline, the shore that it covers taken
// off, and the lowest point of the face under water.
func (f *Face) shore(level float64) (length, lowest float64) {
	lowest = math.Inf(1)
	for i := range f.parts {
		p := &f.parts[i]
		if p.joins >= level {
			continue
		}
		length += shoreOf(&p.face, level) - shoreOf(&p.ground, level)
		lowest = min(lowest, lowestOf(&p.face))
	}
	return length, lowest
}

// shoreOf is the length in which a level cuts a triangle.
func shoreOf(t *geometry.Triangle, level float64) float64 {
	a, b, ok := waterLine(t, level)
	if !ok {
		return 0
	}
	return math.Hypot(b[0]-a[0], b[1]-a[1])
}

// alongWall is the length of the water's edge on a dam without thickness.
func (l *Lake) alongWall(level float64) float64 {
	sum := 0.0
	for _, c := range l.contact {
		sum += c.length * wetShare(level-c.z0, level-c.z1)
	}
	return sum
}

// wetShare is the share of a straight stretch over which a depth that runs from
// a to b is above zero.
func wetShare(a, b float64) float64 {
	switch {
	case a <= 0 && b <= 0:
		return 0
	case a >= 0 && b >= 0:
		return 1
	}
	return max(a, b) / math.Abs(a-b)
}
