package borrow

import "github.com/paulmach/orb"

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
