package borrow

import "slices"

// node is a box of the plan with the sides that may rule in it. A node with
// many sides is halved, across its longer way, the first time that a cell asks.
type node struct {
	box         box
	sides       []*side
	reach       float64 // how far in plan the sides run before they meet the floor, m
	lower, more *node   // by x or y; nil for a leaf
	middle      affine  // the line between them, positive on more's side
}

// A node of at most fewSides sides is a leaf: cutting a cell by them is cheap.
// So is a box whose size times its count of sides is within crowd times the
// sides' reach: round the tip of a cone any box holds all facets, and halving
// would not end, while many short sides close together call for smaller boxes.
const (
	fewSides = 8
	crowd    = 16
)

// newNode returns the root of the tree over a box that holds the pit.
func newNode(b box, sides []*side, reach float64) *node {
	return &node{box: b, sides: sides, reach: reach}
}

// visit hands a cell within the node's box to d, cut by the leaves' boxes.
func (n *node) visit(c cell, d *dig) {
	if n.leaf(d) {
		d.settle(c, n.sides)
		return
	}
	more, lower := d.split(c, n.middle)
	if lower != nil {
		n.lower.visit(lower, d)
	}
	if more != nil {
		n.more.visit(more, d)
	}
}

// leaf tells whether the node has no halves, and makes them when it should.
func (n *node) leaf(d *dig) bool {
	if n.lower != nil {
		return false
	}
	count := len(n.sides)
	if count <= fewSides || (n.box.half[0]+n.box.half[1])*float64(count) <= crowd*n.reach {
		return true
	}
	way := 0
	if n.box.half[1] > n.box.half[0] {
		way = 1
	}
	n.middle = affine{c: -n.box.mid[way], x: float64(1 - way), y: float64(way)}
	lower, more := n.box, n.box
	lower.half[way] /= 2
	more.half[way] /= 2
	lower.mid[way] -= lower.half[way]
	more.mid[way] += more.half[way]
	n.lower = &node{box: lower, sides: mayRule(n.sides, lower, d), reach: n.reach}
	n.more = &node{box: more, sides: mayRule(n.sides, more, d), reach: n.reach}
	return false
}

// mayRule returns the sides that may be the highest somewhere in a box: their
// bounds meet it, and neither the floor nor another piece of boundary hides them.
func mayRule(sides []*side, b box, d *dig) []*side {
	least := noFloor
	switch {
	case d.lows != nil:
		least.c = d.lows.over(b)
	case !d.pit.ByDepth && !d.pit.Follow:
		least.c = d.pit.Floor
	}
	d.met = d.met[:0]
	for _, s := range sides {
		if s.meets(b) {
			d.met = append(d.met, s)
		}
	}
	d.shown = unhidden(d.shown[:0], b.corners(), d.met, least)
	return slices.Clone(d.shown)
}

// corners is the box as a cell.
func (b box) corners() cell {
	return cell{
		{b.mid[0] - b.half[0], b.mid[1] - b.half[1]},
		{b.mid[0] + b.half[0], b.mid[1] - b.half[1]},
		{b.mid[0] + b.half[0], b.mid[1] + b.half[1]},
		{b.mid[0] - b.half[0], b.mid[1] + b.half[1]},
	}
}

// meets tells whether a box reaches to the right side of each bound.
func (s *side) meets(b box) bool {
	for i := range s.bounds {
		if _, high := s.bounds[i].over(b); high < -touch {
			return false
		}
	}
	return true
}
