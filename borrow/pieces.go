package borrow

import (
	"math"

	"github.com/paulmach/orb"
)

// piece is a part of an excavation over which ground and dug surface are planes.
type piece struct {
	cell   cell
	task   *task // the one that it is of
	dug    ruling
	ground affine
}

// depth is that of the dug surface below the ground, m.
func (q *piece) depth() affine { return q.ground.minus(q.dug.affine) }

// ruling is a plane that is the dug surface somewhere, with what it is of.
type ruling struct {
	affine
	of int32 // ownFloor, baseFloor or the number of a side
}

const (
	ownFloor  = int32(-1) // the pit's own level or depth
	baseFloor = int32(-2) // the bottom of what the holes let it dig
)

// isFloor tells a floor from a side.
func (r ruling) isFloor() bool { return r.of < 0 }

// pieces is a list of pieces in little memory: a dense survey gives millions. Most
// floors are all of their task and need no corners of their own, and planes are
// kept by what they are of. Lists grow a run at a time, so that nothing is copied.
type pieces struct {
	pit     Pit // as dug
	tasks   *tasks
	sides   []affine // by number
	runs    [][]packedPiece
	corners [][]orb.Point
	gists   []gist // of gistRun pieces each
}

// packedPiece is a piece by its places in the lists.
type packedPiece struct {
	first int32 // corner: its place in all runs together
	count int32 // of corners; wholeTask where they are the task's own
	task  int32
	of    int32
}

const wholeTask = int32(0)

// pieceRun, a multiple of gistRun, sets memory and time alone.
const pieceRun = 1 << 12

// add keeps a piece of a task, with a copy of the cell, and adds its gist.
func (p *pieces) add(c cell, dug ruling, task int32, whole, below sum) {
	k := packedPiece{task: task, of: dug.of}
	t := p.tasks.at(task)
	if len(c) != len(t.cell) || &c[0] != &t.cell[0] {
		k.first, k.count = p.keep(c), int32(len(c))
	}
	end := len(p.runs) - 1
	if end < 0 || len(p.runs[end]) == pieceRun {
		p.runs = append(p.runs, make([]packedPiece, 0, pieceRun))
		end++
	}
	if len(p.runs[end])%gistRun == 0 {
		p.gists = append(p.gists, noGist)
	}
	p.runs[end] = append(p.runs[end], k)
	p.gists[len(p.gists)-1].add(c, dug, t.ground, p.pit.level(t.ground), whole, below)
}

// keep copies a cell, of fewer corners than a run, and returns its first one's place.
func (p *pieces) keep(c cell) int32 {
	last := len(p.corners) - 1
	if last < 0 || len(p.corners[last])+len(c) > cornerRun {
		p.corners = append(p.corners, make([]orb.Point, 0, cornerRun))
		last++
	}
	first := len(p.corners[last])
	p.corners[last] = append(p.corners[last], c...)
	return int32(last*cornerRun + first)
}

// level is the plane that the pit's own measures set for its floor under a plane of
// ground; at -Inf where it follows the layers alone.
func (p *Pit) level(ground affine) affine {
	if p.ByDepth {
		ground.c -= p.Floor
		return ground
	}
	return affine{c: p.Floor}
}

// base is the plane of the bottom of what the holes let the task be dug to.
func (t *task) base() affine { return t.ground.minus(t.strata.depth(ofBase, t.ground)) }

func (p *pieces) unpacked(k packedPiece) piece {
	t := p.tasks.at(k.task)
	q := piece{t.cell, t, ruling{of: k.of}, t.ground}
	if k.count != wholeTask {
		run, first := k.first/cornerRun, k.first%cornerRun
		q.cell = cell(p.corners[run][first : first+k.count : first+k.count])
	}
	switch k.of {
	case ownFloor:
		q.dug.affine = p.pit.level(t.ground)
	case baseFloor:
		q.dug.affine = t.base()
	default:
		q.dug.affine = p.sides[k.of]
	}
	return q
}

// upTo visits the pieces when the floor is raised to a level or a depth, in the
// order in which they were added, leaving out runs for which skip is true; skip may
// be nil. A piece's cell is the callback's until it returns.
func (p *pieces) upTo(floor float64, skip func(*gist) bool, use func(piece)) {
	pit := p.pit
	pit.Floor = floor
	var s splitter
	n := 0
	for _, run := range p.runs {
		for first := 0; first < len(run); first += gistRun {
			g := &p.gists[n]
			n++
			if skip != nil && skip(g) {
				continue
			}
			for _, k := range run[first:min(first+gistRun, len(run))] {
				s.points = s.points[:0]
				s.upTo(p.unpacked(k), &pit, floor == p.pit.Floor, use)
			}
		}
	}
}

// upTo visits the parts of a piece when the floor is raised to the pit's.
func (s *splitter) upTo(q piece, pit *Pit, same bool, use func(piece)) {
	if same {
		use(q)
		return
	}
	level := ruling{pit.level(q.ground), ownFloor}
	side, flat := cell(nil), q.cell
	if q.dug.of != ownFloor {
		side, flat = s.split(q.cell, q.dug.minus(level.affine))
	}
	if side != nil {
		use(piece{side, q.task, q.dug, q.ground})
	}
	if flat != nil {
		if flat, _ = s.split(flat, q.ground.minus(level.affine)); flat != nil {
			use(piece{flat, q.task, level, q.ground})
		}
	}
}

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
