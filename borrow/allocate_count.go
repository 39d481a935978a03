package borrow

import "math"

// counted is a Transport in whole numbers: volumes in units of compacted
// volume, costs in parts of money for such a unit.
//
// Supplies are rounded up and demands down, so that soil that just suffices
// never seems short by the rounding of floating point. What that hides is a unit
// for each of them, less than one part in 1e13 of all volumes together.
type counted struct {
	t       *Transport
	unit    float64 // units in one compacted m3
	money   float64 // parts in one of the currency for one compacted m3
	give    []int64 // by supply, units
	least   []int64 // by supply: what of it must be dug
	take    []int64 // by demand
	cost    []int64 // by route, parts for a unit
	sharing []int   // by place: how many supplies it has
	// filled is, by demand, the compacted volume to be filled, m3: all of it, or
	// what the soil suffices for.
	filled []float64
	// limits are those over several supplies that are to be held.
	limits []Limit
}

// mostUnits is what all supplies and demands may add up to; see network.
const mostUnits = limitUnits / 4

// choice is what is decided about opening a place.
type choice int8

const (
	undecided choice = iota
	opened
	closed
)

// count turns a question into whole numbers.
func count(t *Transport) *counted {
	c := &counted{
		t: t, give: make([]int64, len(t.Supplies)), least: make([]int64, len(t.Supplies)),
		take: make([]int64, len(t.Demands)), cost: make([]int64, len(t.Routes)),
		sharing: make([]int, len(t.Places)), filled: make([]float64, len(t.Demands)),
	}
	asked, least := 0.0, 0.0
	for j, d := range t.Demands {
		asked += d.Compacted
		c.filled[j] = d.Compacted
	}
	for i := range t.Supplies {
		if p := t.Supplies[i].Place; p >= 0 {
			c.sharing[p]++
			least += t.Places[p].Least * t.Supplies[i].gain()
		}
	}
	c.unit = decimal(mostUnits / max(asked+least, 1))
	for j, d := range t.Demands {
		c.take[j] = int64(math.Floor(d.Compacted * c.unit))
	}
	for i := range t.Supplies {
		c.give[i], c.least[i] = c.bounds(i, asked+least)
	}
	c.money = decimal(limitCost / dearest(t))
	for i, r := range t.Routes {
		c.cost[i] = int64(math.Round(r.Cost / t.Supplies[r.Supply].gain() * c.money))
	}
	c.limits = c.joint()
	return c
}

// bounds is what a supply may and must give, in units. No supply counts for more
// than could be used. The limits of a place with several supplies are kept apart,
// in withLimits.
func (c *counted) bounds(i int, usable float64) (give, least int64) {
	s := &c.t.Supplies[i]
	may, must := s.Bank, 0.0
	if s.Place >= 0 {
		may = min(may, c.t.Places[s.Place].Most)
		if c.sharing[s.Place] == 1 {
			must = c.t.Places[s.Place].Least
		}
	}
	give = int64(math.Ceil(min(may*s.gain(), usable) * c.unit))
	return give, min(give, int64(math.Floor(must*s.gain()*c.unit)))
}

// dearest is the highest cost of a compacted m3 on any route, 1 when all are free.
func dearest(t *Transport) float64 {
	most := 0.0
	for _, r := range t.Routes {
		most = max(most, r.Cost/t.Supplies[r.Supply].gain())
	}
	if most == 0 {
		return 1
	}
	return most
}

// decimal is the greatest power of ten, within what is exact in floating point,
// that is not above limit.
func decimal(limit float64) float64 {
	k := 22
	for k > -22 && math.Pow10(k) > limit {
		k--
	}
	return math.Pow10(k)
}

// solved is a network with its cheapest flow. The first arcs of the network are
// the routes, in order.
type solved struct {
	net    *network
	answer *flowAnswer
	slack  []int // by supply: the arc that takes what may stay, -1 = none
}

// solve finds the cheapest flow with some places closed. surcharge, parts for a
// unit by supply, is added to the cost of all that a supply gives; nil = none.
func (c *counted) solve(choices []choice, surcharge []int64) *solved {
	suppliers := len(c.give)
	n := &network{need: make([]int64, 0, suppliers+len(c.take)), arcs: make([]flowArc, 0, len(c.cost)+suppliers)}
	for i, units := range c.give {
		if p := c.t.Supplies[i].Place; p >= 0 && choices[p] == closed {
			units = 0
		}
		n.need = append(n.need, units)
	}
	for _, units := range c.take {
		n.need = append(n.need, -units)
	}
	for i, r := range c.t.Routes {
		cost := c.cost[i]
		if surcharge != nil {
			cost += surcharge[r.Supply]
		}
		n.arcs = append(n.arcs, flowArc{r.Supply, suppliers + r.Demand, unlimited, cost})
	}
	lacking := n.lacking()
	n.spare = make([]int64, len(n.need))
	slack := filled(suppliers, -1)
	for v := range n.spare {
		switch {
		case v >= suppliers:
			n.spare[v] = lacking
		case c.least[v] > 0 && n.need[v] > 0:
			n.spare[v], slack[v] = lacking, len(n.arcs)
			n.arcs = append(n.arcs, flowArc{v, n.root(), n.need[v] - c.least[v], 0})
		}
	}
	return &solved{n, n.solve(), slack}
}

// short is how many units lack at a demand, or of the least digging of a supply.
func (s *solved) short(v int) int64 {
	if s.net.spare[v] == 0 {
		return 0
	}
	return s.answer.kept[v]
}

// lacks tells whether anything is short.
func (s *solved) lacks() bool {
	for v := range s.net.need {
		if s.short(v) > 0 {
			return true
		}
	}
	return false
}

// volumes turns the flow on the routes into compacted m3. What a demand gets is
// what was to be filled, but for a unit where a supply would be overdrawn by its
// rounding.
func (c *counted) volumes(s *solved) []float64 {
	got := make([]int64, len(c.take))
	for i, r := range c.t.Routes {
		got[r.Demand] += s.answer.flow[i]
	}
	out := make([]float64, len(c.t.Routes))
	dug := make([]float64, len(c.give))
	for i, r := range c.t.Routes {
		if f := s.answer.flow[i]; f > 0 {
			out[i] = c.filled[r.Demand] * (float64(f) / float64(got[r.Demand]))
			dug[r.Supply] += out[i] / c.t.Supplies[r.Supply].gain()
		}
	}
	for i, r := range c.t.Routes {
		if bank := c.t.Supplies[r.Supply].Bank; dug[r.Supply] > bank {
			out[i] *= bank / dug[r.Supply]
		}
	}
	return out
}

// trim sets volumes by route of a linear program right in their last digits: each
// demand gets what was to be filled, and no supply gives more than it holds.
func (c *counted) trim(compacted []float64) {
	got := make([]float64, len(c.filled))
	for i, r := range c.t.Routes {
		got[r.Demand] += compacted[i]
	}
	dug := make([]float64, len(c.give))
	for i, r := range c.t.Routes {
		if compacted[i] > 0 {
			compacted[i] *= c.filled[r.Demand] / got[r.Demand]
			dug[r.Supply] += compacted[i] / c.t.Supplies[r.Supply].gain()
		}
	}
	for i, r := range c.t.Routes {
		if bank := c.t.Supplies[r.Supply].Bank; dug[r.Supply] > bank {
			compacted[i] *= bank / dug[r.Supply]
		}
	}
}

// prices sets what one more unit at each supply and demand would change, the
// places being opened as they are.
func (c *counted) prices(out *Allocation, open []choice) {
	full := *c
	full.take = make([]int64, len(c.take))
	for j, d := range c.t.Demands {
		full.take[j] = int64(math.Floor(d.Compacted * c.unit))
	}
	s := full.solve(open, nil)
	more := s.net.oneMore(s.answer)
	bound := s.net.lacking() / 2
	price := func(v int, sense float64) float64 {
		if more[v] > bound || more[v] < -bound {
			return math.Inf(1)
		}
		return max(0, sense*float64(more[v])/c.money)
	}
	for i := range c.t.Supplies {
		p := price(i, -1) * c.t.Supplies[i].gain()
		if at := c.t.Supplies[i].Place; at >= 0 && open[at] == closed {
			p = math.NaN()
		}
		out.Saving = append(out.Saving, p)
	}
	for j := range c.t.Demands {
		out.Price = append(out.Price, price(len(c.give)+j, 1))
	}
}
