package borrow

import "math"

// gist sums a run of neighbouring pieces up, so that most of them need not be gone
// through again when the floor is raised or water stands at a level.
type gist struct {
	dug, below sum     // as in dig
	over       float64 // integral of the ground's height over the pit's own floor, m3
	// Least and greatest height over the pit's own floor, m, of the dug surface and
	// of the ground.
	lowDug, highDug, lowOver, highOver float64
	// Elevations: of the dug surface, and of the ground, m.
	deepest, lowest, lowGround, highGround float64
}

// gistRun is how many pieces a gist sums up. It sets memory and time alone.
const gistRun = 64

var noGist = gist{
	lowDug: math.Inf(1), highDug: math.Inf(-1), lowOver: math.Inf(1), highOver: math.Inf(-1),
	deepest: math.Inf(-1), lowest: math.Inf(1), lowGround: math.Inf(1), highGround: math.Inf(-1),
}

// add adds a piece with its sums. level is the pit's own floor.
func (g *gist) add(c cell, dug ruling, ground, level affine, whole, below sum) {
	g.dug, g.below = g.dug.plus(whole), g.below.plus(below)
	if dug.of == ownFloor {
		g.over += whole.volume
	} else {
		g.over += c.integral(ground.minus(level)).volume
	}
	for _, p := range c {
		top, bottom, floor := ground.at(p), dug.at(p), level.at(p)
		widen(&g.lowDug, &g.highDug, bottom-floor)
		widen(&g.lowOver, &g.highOver, top-floor)
		widen(&g.lowGround, &g.highGround, top)
		g.deepest, g.lowest = max(g.deepest, top-bottom), min(g.lowest, bottom)
	}
}

// widen lets a range hold a value; NaN it leaves out.
func widen(low, high *float64, v float64) {
	if v < *low {
		*low = v
	}
	if v > *high {
		*high = v
	}
}

// raised is the gist when the floor of a pit without holes is raised by a height. It
// reports false where the pieces must be gone through: the new floor meets a side,
// the topsoil or the ground in the run.
func (g *gist) raised(by, strip float64) (out gist, ok bool) {
	switch {
	case g.lowDug > by: // the sides stay as they are
		return *g, true
	case g.highDug <= by && g.lowOver-by >= max(strip, touch): // all is floor
		out = *g
		out.dug.volume = g.over - by*g.dug.area
		out.below = sum{g.dug.area, g.over - (by+strip)*g.dug.area}
		out.deepest = g.highOver - by
		return out, true
	}
	return gist{}, false
}
