package borrow

import "github.com/paulmach/orb"

// piece is a part of an excavation over which ground and dug surface are planes.
type piece struct {
	cell       cell
	depth, dug affine // depth below the ground, and elevation of the dug surface, m
	task       int32  // the one that it is of
	floor      bool   // the dug surface is the floor
}

// pieces is a list of pieces in little memory: a dense survey gives millions. A
// plane that many share is kept once, and lists grow a run at a time, so that
// nothing is copied.
type pieces struct {
	runs    [][]packedPiece
	corners [][]orb.Point
	planes  []affine
	number  map[affine]int32
	ground  []affine // by task
}

// packedPiece is a piece by its places in the lists.
type packedPiece struct {
	run, first  int32 // of its corners
	count       int32
	task, plane int32
	floor       bool
}

// Runs of pieces and of their corners; they set memory and time alone.
const (
	pieceRun  = 1 << 12
	cornerRun = 1 << 14
)

func newPieces(tasks []task) *pieces {
	p := &pieces{number: map[affine]int32{}, ground: make([]affine, len(tasks))}
	for i, t := range tasks {
		p.ground[i] = t.ground
	}
	return p
}

// add keeps a copy of a cell with its dug surface.
func (p *pieces) add(c cell, dug affine, task int32, floor bool) {
	n, seen := p.number[dug]
	if !seen {
		n = int32(len(p.planes))
		p.number[dug] = n
		p.planes = append(p.planes, dug)
	}
	last := len(p.corners) - 1
	if last < 0 || len(p.corners[last])+len(c) > cap(p.corners[last]) {
		p.corners = append(p.corners, make([]orb.Point, 0, max(cornerRun, len(c))))
		last++
	}
	first := len(p.corners[last])
	p.corners[last] = append(p.corners[last], c...)
	end := len(p.runs) - 1
	if end < 0 || len(p.runs[end]) == pieceRun {
		p.runs = append(p.runs, make([]packedPiece, 0, pieceRun))
		end++
	}
	p.runs[end] = append(p.runs[end], packedPiece{int32(last), int32(first), int32(len(c)), task, n, floor})
}

// each visits the pieces in the order in which they were added.
func (p *pieces) each(use func(piece)) {
	for _, run := range p.runs {
		for _, k := range run {
			c := cell(p.corners[k.run][k.first : k.first+k.count : k.first+k.count])
			dug := p.planes[k.plane]
			use(piece{c, p.ground[k.task].minus(dug), dug, k.task, k.floor})
		}
	}
}
