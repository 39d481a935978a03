package borrow

import "fmt"

// Shortage is the proof that soil does not suffice: Demands take Needed, and
// Supplies, which are all that may feed any of them, make no more than
// Available. Nothing else can help, however the soil is shared out.
type Shortage struct {
	Demands, Supplies []int   // indices into Transport, rising
	Needed, Available float64 // compacted m3
	Short             float64 // Needed - Available, above zero
}

// Forced is the proof that least digging cannot be placed: Supplies must give
// Least at the least, and Demands, which are all that they may feed, take no
// more than Room.
type Forced struct {
	Supplies, Demands []int   // indices into Transport, rising
	Least, Room       float64 // compacted m3
	Over              float64 // Least - Room, above zero
}

// shortages finds what cannot be, and proves it: by the theorem of Gale on
// supplies and demands (1957), some demands always take more than all that may
// feed them makes, which is what is looked for and then added up afresh.
func (c *counted) shortages(s *solved, out *Allocation) error {
	suppliers := len(c.give)
	// All that may feed a demand belongs to it, and to a supply all that it feeds now.
	for _, group := range c.groups(s, suppliers, len(s.net.need), func(v, route int, r Route) bool {
		return v == suppliers+r.Demand || v == r.Supply && s.answer.flow[route] > 0
	}) {
		short := Shortage{}
		short.Supplies, short.Demands = c.split(group)
		units := int64(0)
		for _, j := range short.Demands {
			units += c.take[j]
			short.Needed += c.t.Demands[j].Compacted
		}
		for _, i := range short.Supplies {
			units -= c.give[i]
		}
		if units <= 0 {
			return fmt.Errorf("demand %d lacks soil, and no proof of it was found", short.Demands[0]+1)
		}
		short.Short = float64(units) / c.unit
		short.Available = short.Needed - short.Short
		out.Short = append(out.Short, short)
	}
	// All that a supply may feed belongs to it, and to a demand all that feeds it now.
	for _, group := range c.groups(s, 0, suppliers, func(v, route int, r Route) bool {
		return v == r.Supply || v == suppliers+r.Demand && s.answer.flow[route] > 0
	}) {
		forced := Forced{}
		forced.Supplies, forced.Demands = c.split(group)
		units := int64(0)
		for _, i := range forced.Supplies {
			units += c.least[i]
		}
		for _, j := range forced.Demands {
			units -= c.take[j]
			forced.Room += c.t.Demands[j].Compacted
		}
		if units <= 0 {
			return fmt.Errorf("the least of supply %d cannot be placed, and no proof of it was found", forced.Supplies[0]+1)
		}
		forced.Over = float64(units) / c.unit
		forced.Least = forced.Room + forced.Over
		out.Forced = append(out.Forced, forced)
	}
	return nil
}

// groups gathers the nodes from first to last that are short, with all that is
// tied to them: tied tells whether a route ties its other end to a node. What is
// tied together comes as one group, in order of its lowest node.
func (c *counted) groups(s *solved, first, last int, tied func(v, route int, r Route) bool) [][]int {
	suppliers := len(c.give)
	group := filled(len(s.net.need), -1) // by node: the lowest node of its group
	top := func(v int) int {
		for group[v] != v {
			v = group[v]
		}
		return v
	}
	var list []int
	for v := first; v < last; v++ {
		if s.short(v) > 0 {
			group[v] = v
			list = append(list, v)
		}
	}
	for ; len(list) > 0; list = list[1:] {
		v := list[0]
		for i, r := range c.t.Routes {
			if !tied(v, i, r) {
				continue
			}
			to := r.Supply + suppliers + r.Demand - v // the other end
			if group[to] < 0 {
				group[to] = to
				list = append(list, to)
			}
			a, b := top(v), top(to)
			group[max(a, b)] = min(a, b)
		}
	}
	var out [][]int
	at := map[int]int{}
	for v := range group {
		if group[v] < 0 {
			continue
		}
		lowest := top(v)
		if lowest == v {
			at[v] = len(out)
			out = append(out, nil)
		}
		out[at[lowest]] = append(out[at[lowest]], v)
	}
	return out
}

// split parts nodes into supplies and demands.
func (c *counted) split(nodes []int) (supplies, demands []int) {
	for _, v := range nodes {
		if v < len(c.give) {
			supplies = append(supplies, v)
		} else {
			demands = append(demands, v-len(c.give))
		}
	}
	return supplies, demands
}

// reduce leaves out of the question what cannot be met, so that the rest can be
// answered.
func (c *counted) reduce(s *solved) {
	suppliers := len(c.give)
	for j := range c.take {
		if lack := s.short(suppliers + j); lack > 0 {
			c.take[j] -= lack
			c.filled[j] -= float64(lack) / c.unit
			if c.take[j] == 0 {
				c.filled[j] = 0
			}
		}
	}
	for i := range c.least {
		c.least[i] -= min(c.least[i], s.short(i))
	}
}
