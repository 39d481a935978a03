package borrow

import "math"

// node is a box of the plan with the sides that may rule in it. A node with
// many sides is quartered, the first time that a cell asks for it.
type node struct {
	box   box
	level int
	sides []side
	kids  *[4]*node // nil for a leaf
}

// A node of at most fewSides sides is a leaf: cutting a cell by them is cheap.
// Below deepest levels a node is a leaf anyhow, since round the tip of a cone
// any box holds all its facets.
const (
	fewSides = 6
	deepest  = 10
)

// newNode returns the root of the tree over a box that holds the pit.
func newNode(b box, sides []side) *node { return &node{box: b, sides: sides} }

// visit hands a cell within the node's box to d, cut by the leaves' boxes.
func (n *node) visit(c cell, d *dig) {
	if n.kids == nil {
		if len(n.sides) <= fewSides || n.level == deepest {
			d.settle(c, n.sides)
			return
		}
		n.quarter(d)
	}
	east, west := c.split(affine{c: -n.box.mid[0], x: 1})
	for i, half := range []cell{west, east} {
		if half == nil {
			continue
		}
		north, south := half.split(affine{c: -n.box.mid[1], y: 1})
		if south != nil {
			n.kids[2*i].visit(south, d)
		}
		if north != nil {
			n.kids[2*i+1].visit(north, d)
		}
	}
}

// quarter makes the node's four children, each with the sides that may rule in
// its box.
func (n *node) quarter(d *dig) {
	n.kids = new([4]*node)
	for i := range n.kids {
		b := box{half: [2]float64{n.box.half[0] / 2, n.box.half[1] / 2}}
		b.mid[0] = n.box.mid[0] + b.half[0]*float64(2*(i/2)-1)
		b.mid[1] = n.box.mid[1] + b.half[1]*float64(2*(i%2)-1)
		n.kids[i] = &node{box: b, level: n.level + 1, sides: mayRule(n.sides, b, d)}
	}
}

// mayRule returns the sides that may be the highest somewhere in a box: their
// bounds meet it, and at their highest there they reach what the others leave
// as the least. The dug surface falls or rises by distance / slope at most.
func mayRule(sides []side, b box, d *dig) []side {
	invSlope := 1 / d.pit.SideSlope
	least := math.Inf(-1)
	for _, s := range sides {
		least = max(least, s.from.value(b.mid, invSlope))
	}
	least -= math.Hypot(b.half[0], b.half[1]) * invSlope
	if !d.pit.ByDepth {
		least = max(least, d.pit.Floor)
	}
	var out []side
	for _, s := range sides {
		if _, high := s.plane.over(b); high >= least-touch && s.meets(b) {
			out = append(out, s)
		}
	}
	return out
}

// meets tells whether a box reaches to the right side of each bound.
func (s side) meets(b box) bool {
	for _, f := range s.bounds {
		if _, high := f.over(b); high < -touch {
			return false
		}
	}
	return true
}
