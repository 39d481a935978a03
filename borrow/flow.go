package borrow

import (
	"fmt"
	"math"
)

// network is a flow of least cost on whole numbers. Nodes 0 to n-1 give (need
// above zero) or take (below zero); node n, the root, stands for all that is
// outside: what a giver keeps goes there, and what a taker lacks comes from
// there, at the cost that spare names for each unit.
//
// Whole numbers make the answer exact: whether it is the cheapest, and whether
// the soil suffices, is then a matter of comparing integers, not of a tolerance.
//
// Costs are zero or more. Amounts add up to less than limitUnits and costs stay
// below limitCost, so that no sum overflows 64 bits.
type network struct {
	need  []int64
	spare []int64
	arcs  []flowArc
}

// flowArc is a way from one node to another. Either end may be the root.
type flowArc struct {
	from, to  int
	cap, cost int64
}

const (
	// unlimited is the capacity of an arc without a limit of its own. Four of
	// them still fit into 64 bits.
	unlimited = math.MaxInt64 / 4
	// limitUnits bounds all amounts of a network together.
	limitUnits = 1e15
	// limitCost bounds the cost of a unit on one arc; a path of a thousand arcs
	// and the cost of a lack, which must be above any path, then fit.
	limitCost = 1e12
)

func (n *network) root() int { return len(n.need) }

// lacking is a cost of a unit that no path through the network comes up to.
func (n *network) lacking() int64 {
	most := int64(0)
	for _, a := range n.arcs {
		most = max(most, a.cost)
	}
	return (most + 1) * int64(len(n.need)+2)
}

// flowAnswer is a flow of least cost with the prices that prove it.
type flowAnswer struct {
	flow []int64 // on each arc
	kept []int64 // by node: what a giver keeps, or a taker lacks
	// price is what one more unit at the node is worth: at a taker what it costs
	// to bring it there, at a giver what it would save. The root's is 0.
	price  []int64
	pivots int
}

// cost is the cost of a flow, in whole units. It is added up in floating point,
// since a product of cost and amount may pass 64 bits.
func (n *network) cost(a *flowAnswer) float64 {
	sum := 0.0
	for i, arc := range n.arcs {
		sum += float64(arc.cost) * float64(a.flow[i])
	}
	return sum
}

// prove checks that an answer is a flow, and by complementary slackness that no
// other is cheaper: at its prices an unused arc does not pay, and one that pays
// is full (Ford and Fulkerson 1962, chapter III). It needs no trust in the way
// by which the answer was found.
func (n *network) prove(a *flowAnswer) error {
	left := append([]int64(nil), n.need...)
	for i, arc := range n.arcs {
		f := a.flow[i]
		if f < 0 || f > arc.cap {
			return fmt.Errorf("arc %d carries %d of at most %d", i, f, arc.cap)
		}
		if arc.from != n.root() {
			left[arc.from] -= f
		}
		if arc.to != n.root() {
			left[arc.to] += f
		}
		if err := slack(i, arc.cost+a.price[arc.from]-a.price[arc.to], f, arc.cap); err != nil {
			return err
		}
	}
	for v, over := range left {
		reduced := n.spare[v] + a.price[v] // to the root
		if n.need[v] < 0 {
			over, reduced = -over, n.spare[v]-a.price[v] // from it
		}
		if over != a.kept[v] || over < 0 {
			return fmt.Errorf("node %d is out of balance: %d against %d", v, over, a.kept[v])
		}
		if err := slack(-1-v, reduced, over, unlimited); err != nil {
			return err
		}
	}
	return nil
}

// slack checks one arc against its cost at the prices.
func slack(arc int, reduced, flow, limit int64) error {
	if reduced > 0 && flow > 0 || reduced < 0 && flow < limit {
		return fmt.Errorf("arc %d carries %d of at most %d at a reduced cost of %d", arc, flow, limit, reduced)
	}
	return nil
}

// steps lists, for an answer, what one unit more or less on each arc would
// cost: the ways on which a flow can be changed.
func (n *network) steps(a *flowAnswer) [][]step {
	out := make([][]step, len(n.need)+1)
	way := func(from, to int, cost, flow, limit int64) {
		if flow < limit {
			out[from] = append(out[from], step{to, cost})
		}
		if flow > 0 {
			out[to] = append(out[to], step{from, -cost})
		}
	}
	for i, arc := range n.arcs {
		way(arc.from, arc.to, arc.cost, a.flow[i], arc.cap)
	}
	for v, kept := range a.kept {
		if n.need[v] < 0 {
			way(n.root(), v, n.spare[v], kept, unlimited)
		} else {
			way(v, n.root(), n.spare[v], kept, unlimited)
		}
	}
	return out
}

type step struct {
	to   int
	cost int64
}

// oneMore gives for every node what one more unit at it would really change in
// cost: at a giver it is zero or a saving (below zero), at a taker a cost.
// Where the cheapest flow has several sets of prices, a price is only one of
// them; this is the change itself, by the cheapest way to rearrange the flow.
func (n *network) oneMore(a *flowAnswer) []int64 {
	steps := n.steps(a)
	back := make([][]step, len(steps))
	for v, list := range steps {
		for _, s := range list {
			back[s.to] = append(back[s.to], step{v, s.cost})
		}
	}
	root := n.root()
	fromRoot := cheapest(steps, root, a.price, 1)
	toRoot := cheapest(back, root, a.price, -1)
	out := make([]int64, len(n.need))
	for v := range out {
		if n.need[v] < 0 {
			out[v] = fromRoot[v]
		} else {
			out[v] = toRoot[v]
		}
	}
	return out
}

// cheapest is the cost of the cheapest way from start to every node, by the
// method of Dijkstra on costs that the prices have made zero or more. Sense is
// 1 along the steps and -1 against them. Every node can be reached, since each
// is tied to the root.
func cheapest(steps [][]step, start int, price []int64, sense int64) []int64 {
	dist := make([]int64, len(steps))
	done := make([]bool, len(steps))
	for v := range dist {
		dist[v] = unlimited
	}
	dist[start] = 0
	for {
		at := -1
		for v, d := range dist {
			if !done[v] && d < unlimited && (at < 0 || d < dist[at]) {
				at = v
			}
		}
		if at < 0 {
			break
		}
		done[at] = true
		for _, s := range steps[at] {
			dist[s.to] = min(dist[s.to], dist[at]+s.cost+sense*(price[at]-price[s.to]))
		}
	}
	for v := range dist {
		if dist[v] < unlimited {
			dist[v] += sense * (price[v] - price[start])
		}
	}
	return dist
}
