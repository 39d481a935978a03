package earthwork

import (
	"math"
	"sync"

	"github.com/damtally/damtally/geometry"
)

// Kept wraps ground so that a section is looked up once and kept, for a dam
// that is cut again and again while its design changes. What it returns does
// not depend on what was asked before. It may be used from several goroutines.
func Kept(g Ground) Ground {
	if g.Stations() != nil {
		return g // profiles and shots are as quick as a look-up
	}
	k := &kept{Ground: g, lines: map[keptAt]geometry.Line{}, along: map[[4]float64][]ProfilePoint{}}
	if askew, ok := g.(Askew); ok {
		return &keptAskew{k, askew}
	}
	return k
}

// keptAskew is kept ground that can be cut askew.
type keptAskew struct {
	*kept
	ground Askew
}

// SectionAskew implements Askew.
func (k *keptAskew) SectionAskew(station float64, side Side, reach, lean float64) geometry.Line {
	return k.line(station, side, reach, lean, func(length float64) geometry.Line {
		return k.ground.SectionAskew(station, side, length, lean)
	})
}

type kept struct {
	Ground
	lock  sync.Mutex
	lines map[keptAt]geometry.Line
	along map[[4]float64][]ProfilePoint
	knots int // in both
}

// room counts n more knots, and empties the store first when it is full. The
// lock is held.
func (k *kept) room(n int) {
	if k.knots+n > mostKept {
		clear(k.lines)
		clear(k.along)
		k.knots = 0
	}
	k.knots += n
}

// Along implements Lengthwise; it returns nothing when the ground that is kept
// cannot be looked along.
func (k *kept) Along(from, to, offsetFrom, offsetTo float64) []ProfilePoint {
	g, ok := k.Ground.(Lengthwise)
	if !ok {
		return nil
	}
	at := [4]float64{from, to, offsetFrom, offsetTo}
	k.lock.Lock()
	line, ok := k.along[at]
	k.lock.Unlock()
	if !ok {
		line = g.Along(from, to, offsetFrom, offsetTo)
		k.lock.Lock()
		k.room(len(line))
		k.along[at] = line
		k.lock.Unlock()
	}
	return line
}

// keptAt names a section by its place and by the length it was cut to. Every
// reach is cut from the same length, the next power of two, so that an answer
// is the same to the last digit whatever was asked before.
type keptAt struct {
	station float64
	side    Side
	length  float64
	lean    float64
}

// mostKept is the number of knots that are kept, 16 bytes each; beyond it the
// store is emptied. It guards the memory of a program that runs for days.
const mostKept = 1 << 22

// Section implements Ground.
func (k *kept) Section(station float64, side Side, reach float64) geometry.Line {
	return k.line(station, side, reach, 0, func(length float64) geometry.Line {
		return k.Ground.Section(station, side, length)
	})
}

// line looks a section up, or cuts it to a length and keeps it.
func (k *kept) line(station float64, side Side, reach, lean float64, cut func(length float64) geometry.Line) geometry.Line {
	at := keptAt{station, side, math.Exp2(math.Ceil(math.Log2(reach))), lean}
	k.lock.Lock()
	line, ok := k.lines[at]
	k.lock.Unlock()
	if !ok {
		line = cut(at.length)
		k.lock.Lock()
		k.room(len(line))
		k.lines[at] = line
		k.lock.Unlock()
	}
	return within(line, reach)
}
