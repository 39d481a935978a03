package borrow

import "math"

// flowTree is the state of the network simplex method: a tree of arcs that
// reaches every node, the others empty or full, and the prices at which every
// arc of the tree breaks even. One step takes an arc that pays into the tree and
// drops another.
//
// The tree is kept strongly feasible (Cunningham 1976): from every node some
// amount can be sent to the root along the tree. With the rule for the arc that
// leaves, the method then never runs in circles on degenerate problems, which
// are the usual ones here: a pit that just feeds a reach.
type flowTree struct {
	net              *network
	from, to         []int
	cap, cost, flow  []int64
	full             []bool // of an arc outside the tree: full, else empty
	inTree           []bool
	parent, arc      []int // of a node: the next towards the root, and the arc there
	depth            []int
	first, next, pre []int // children of a node, as lists
	price            []int64
	at, block        int // where the search for an arc that pays goes on
	pivots           int
}

// solve finds a flow of least cost. It always ends, and prove holds for it.
func (n *network) solve() *flowAnswer {
	t := newFlowTree(n)
	for {
		arc := t.entering()
		if arc < 0 {
			break
		}
		t.pivot(arc)
		t.pivots++
	}
	m := len(n.arcs)
	return &flowAnswer{flow: t.flow[:m], kept: t.flow[m:], price: t.price, pivots: t.pivots}
}

// newFlowTree begins with nothing moved: every node hangs on the root.
func newFlowTree(n *network) *flowTree {
	nodes, arcs := len(n.need), len(n.arcs)
	all := arcs + nodes
	t := &flowTree{
		net: n, from: make([]int, all), to: make([]int, all),
		cap: make([]int64, all), cost: make([]int64, all), flow: make([]int64, all),
		full: make([]bool, all), inTree: make([]bool, all),
		parent: make([]int, nodes+1), arc: make([]int, nodes+1), depth: make([]int, nodes+1),
		first: filled(nodes+1, -1), next: filled(nodes+1, -1), pre: filled(nodes+1, -1),
		price: make([]int64, nodes+1),
	}
	// A block of about the square root of the arcs is looked through at a time:
	// long enough for a good arc, short enough to be quick.
	t.block = max(20, int(math.Sqrt(float64(all))))
	for i, a := range n.arcs {
		t.from[i], t.to[i], t.cap[i], t.cost[i] = a.from, a.to, a.cap, a.cost
	}
	root := n.root()
	t.parent[root], t.arc[root] = -1, -1
	for v, need := range n.need {
		i := arcs + v
		t.from[i], t.to[i], t.price[v] = v, root, -n.spare[v]
		if need < 0 {
			t.from[i], t.to[i], t.price[v] = root, v, n.spare[v]
		}
		t.cap[i], t.cost[i], t.flow[i], t.inTree[i] = unlimited, n.spare[v], max(need, -need), true
		t.depth[v] = 1
		t.hang(v, root, i)
	}
	return t
}

func filled(n, v int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// reduced is the cost of a unit on an arc at the prices.
func (t *flowTree) reduced(i int) int64 { return t.cost[i] + t.price[t.from[i]] - t.price[t.to[i]] }

// entering looks for an arc that pays, the best of a block; -1 when none does.
func (t *flowTree) entering() int {
	best, gain := -1, int64(0)
	left := t.block
	for range t.cost {
		i := t.at
		if t.at++; t.at == len(t.cost) {
			t.at = 0
		}
		if !t.inTree[i] {
			g := -t.reduced(i)
			if t.full[i] {
				g = -g
			}
			if g > gain {
				best, gain = i, g
			}
		}
		if left--; left == 0 {
			if best >= 0 {
				return best
			}
			left = t.block
		}
	}
	return best
}

// pivot sends as much as it can round the cycle that an arc closes with the
// tree, and changes the tree.
func (t *flowTree) pivot(in int) {
	tail, head := t.from[in], t.to[in]
	if t.full[in] {
		tail, head = head, tail // it pays to take some off
	}
	join := t.meet(tail, head)
	amount, below, onTail := t.blocking(in, tail, head, join)
	t.push(in, tail, head, join, amount)
	if below < 0 { // the arc itself blocks: it goes from empty to full, or back
		t.full[in] = !t.full[in]
		return
	}
	out := t.arc[below]
	t.inTree[out], t.inTree[in] = false, true
	t.full[out] = t.flow[out] > 0
	if onTail {
		t.rehang(tail, below, head, in)
	} else {
		t.rehang(head, below, tail, in)
	}
}

// meet is where the ways of two nodes to the root meet.
func (t *flowTree) meet(u, v int) int {
	for u != v {
		if t.depth[u] >= t.depth[v] {
			u = t.parent[u]
		} else {
			v = t.parent[v]
		}
	}
	return u
}

// room is how much more can go along the tree's arc at a node, up to its parent
// or down from it.
func (t *flowTree) room(v int, up bool) int64 {
	i := t.arc[v]
	if (t.from[i] == v) == up {
		return t.cap[i] - t.flow[i]
	}
	return t.flow[i]
}

// blocking finds how much fits round the cycle and which arc stops it: the last
// one that does, going round from join, which keeps the tree strongly feasible.
// below is the node under that arc, -1 for the entering arc itself.
func (t *flowTree) blocking(in, tail, head, join int) (amount int64, below int, onTail bool) {
	amount, below = t.cap[in], -1
	for v := tail; v != join; v = t.parent[v] {
		if r := t.room(v, false); r < amount {
			amount, below, onTail = r, v, true
		}
	}
	for v := head; v != join; v = t.parent[v] {
		if r := t.room(v, true); r <= amount {
			amount, below, onTail = r, v, false
		}
	}
	return amount, below, onTail
}

// push changes the flow round the cycle.
func (t *flowTree) push(in, tail, head, join int, amount int64) {
	if amount == 0 {
		return
	}
	add := func(i int, along bool) {
		if along {
			t.flow[i] += amount
		} else {
			t.flow[i] -= amount
		}
	}
	add(in, t.from[in] == tail)
	for v := tail; v != join; v = t.parent[v] {
		add(t.arc[v], t.to[t.arc[v]] == v)
	}
	for v := head; v != join; v = t.parent[v] {
		add(t.arc[v], t.from[t.arc[v]] == v)
	}
}

// rehang takes the part of the tree under cut off and hangs it by its node v on
// the node under, by an arc; the prices of that part move together.
func (t *flowTree) rehang(v, cut, under, arc int) {
	moved := t.reduced(arc)
	if t.from[arc] == v {
		moved = -moved
	}
	for at := v; ; {
		up, old := t.parent[at], t.arc[at]
		t.unhang(at)
		t.hang(at, under, arc)
		if at == cut {
			break
		}
		under, arc, at = at, old, up
	}
	t.shift(v, moved)
}

// shift moves the prices of a node and all below it, and counts depths anew.
func (t *flowTree) shift(v int, by int64) {
	top := v
	for {
		t.price[v] += by
		t.depth[v] = t.depth[t.parent[v]] + 1
		if t.first[v] >= 0 {
			v = t.first[v]
			continue
		}
		for v != top && t.next[v] < 0 {
			v = t.parent[v]
		}
		if v == top {
			return
		}
		v = t.next[v]
	}
}

// hang makes v a child of a node.
func (t *flowTree) hang(v, under, arc int) {
	t.parent[v], t.arc[v] = under, arc
	t.pre[v], t.next[v] = -1, t.first[under]
	if t.next[v] >= 0 {
		t.pre[t.next[v]] = v
	}
	t.first[under] = v
}

// unhang takes v off its parent's list.
func (t *flowTree) unhang(v int) {
	if t.pre[v] >= 0 {
		t.next[t.pre[v]] = t.next[v]
	} else {
		t.first[t.parent[v]] = t.next[v]
	}
	if t.next[v] >= 0 {
		t.pre[t.next[v]] = t.pre[v]
	}
}
