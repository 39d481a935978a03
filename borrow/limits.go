package borrow

import (
	"fmt"
	"math"
)

// Limit binds what several supplies give together, such as all materials of one
// pit, or all of one material so that a reserve stays in the ground.
type Limit struct {
	Name        string
	Supplies    []int   // indices into Transport.Supplies
	Least, Most float64 // bank m3; 0 and +Inf = none
}

// limitSlack is the share by which a limit may be passed. It guards rounding.
const limitSlack = 1e-9

// nothing is the share of all volumes below which a flow of a linear program is
// none. It guards rounding, which must not open a pit.
const nothing = 1e-12

// joint lists the limits over several supplies: those of the question, and those
// of places with more than one supply. Limits of a single supply are in give and
// least.
func (c *counted) joint() []Limit {
	out := append([]Limit(nil), c.t.Limits...)
	for p, place := range c.t.Places {
		if c.sharing[p] < 2 || place.Least == 0 && math.IsInf(place.Most, 1) {
			continue
		}
		l := Limit{Name: place.Name, Least: place.Least, Most: place.Most}
		for i := range c.t.Supplies {
			if c.t.Supplies[i].Place == p {
				l.Supplies = append(l.Supplies, i)
			}
		}
		out = append(out, l)
	}
	return out
}

// loosen drops the limits over several supplies when they cannot be held even
// with all places open, and says which.
func (c *counted) loosen(out *Allocation, all []choice) error {
	if len(c.limits) == 0 {
		return nil
	}
	flows, err := c.withLimits(c.solve(all, nil), all)
	if err != nil {
		return err
	}
	if flows.lack == 0 {
		return nil
	}
	out.Over = flows.lack
	for _, k := range flows.bound {
		out.Unheld = append(out.Unheld, c.limits[k])
	}
	c.limits = nil
	return nil
}

// hold tells whether volumes by route, compacted m3, keep within the limits.
func (c *counted) hold(limits []Limit, compacted []float64) bool {
	dug := make([]float64, len(c.t.Supplies))
	for i, r := range c.t.Routes {
		dug[r.Supply] += compacted[i] / c.t.Supplies[r.Supply].gain()
	}
	for _, l := range limits {
		sum := 0.0
		for _, i := range l.Supplies {
			sum += dug[i]
		}
		if sum < l.Least*(1-limitSlack) || sum > l.Most*(1+limitSlack) {
			return false
		}
	}
	return true
}

// limited is the cheapest flow within limits.
type limited struct {
	compacted []float64 // by route, m3
	cost      float64   // in the question's money
	lack      float64   // compacted m3 that the limits leave out, 0 = they can be held
	// supply and demand are the prices of one compacted m3, in the question's money;
	// bound are the limits that matter.
	supply, demand []float64
	bound          []int
}

// withLimits is the cheapest flow with some places closed, within all limits. Where
// the flow without them happens to hold them, it is the answer, since it is the
// cheapest of more.
func (c *counted) withLimits(s *solved, open []choice) (*limited, error) {
	volumes := c.volumes(s)
	if c.hold(c.limits, volumes) {
		out := &limited{compacted: volumes}
		for i, r := range c.t.Routes {
			out.cost += r.Cost * volumes[i] / c.t.Supplies[r.Supply].gain()
		}
		return out, nil
	}
	return c.byProgram(c.limits, open)
}

// byProgram finds the cheapest flow within limits as a linear program. Volumes
// are scaled to 1 in all and costs to 1 for the dearest route.
func (c *counted) byProgram(limits []Limit, open []choice) (*limited, error) {
	p := c.program(limits, open)
	for weight := 1e3; ; weight *= 1e3 {
		answer, err := p.solve(weight)
		if err != nil {
			return nil, fmt.Errorf("within the limits: %w", err)
		}
		if answer.lacking(p) <= limitSlack {
			return c.readProgram(p, answer, 0), nil
		}
		// Lacking is dear, but was it dear enough? What must lack at the least:
		least, err := p.solveLack()
		if err != nil {
			return nil, fmt.Errorf("within the limits: %w", err)
		}
		if lack := least.lacking(p); lack > limitSlack {
			return c.readProgram(p, least, lack*p.total), nil
		}
		if weight > 1e6 {
			return nil, fmt.Errorf("within the limits: lack could not be priced")
		}
	}
}

// program sets a question with limits up as equations: one row for each supply,
// each demand and each bound of a limit.
func (c *counted) program(limits []Limit, open []choice) *program {
	p := &program{}
	for _, d := range c.filled {
		p.total += d
	}
	for _, l := range limits {
		p.total += l.Least
	}
	if p.total == 0 {
		p.total = 1
	}
	p.dearest = dearest(c.t)
	suppliers := len(c.give)
	for i := range c.t.Supplies {
		holds := float64(c.give[i]) / c.unit
		if at := c.t.Supplies[i].Place; at >= 0 && open[at] == closed {
			holds = 0
		}
		p.row(holds/p.total, false)
	}
	for _, d := range c.filled {
		p.row(d/p.total, true)
	}
	member := c.limitRows(p, limits)
	p.first = len(p.cost)
	for i, r := range c.t.Routes {
		gain := c.t.Supplies[r.Supply].gain()
		list := []entry{{r.Supply, 1}, {suppliers + r.Demand, 1}}
		for _, at := range member[r.Supply] {
			list = append(list, entry{at, 1 / gain})
		}
		p.column(float64(c.cost[i])/c.money/p.dearest, list...)
	}
	return p
}

// limitRows adds a row for each bound of the limits, and of the least of single
// supplies, and returns by supply the rows that it is in.
func (c *counted) limitRows(p *program, limits []Limit) [][]int {
	for i := range c.least {
		if c.least[i] > 0 {
			limits = append(limits, Limit{Supplies: []int{i}, Least: float64(c.least[i]) / c.unit / c.t.Supplies[i].gain(), Most: math.Inf(1)})
		}
	}
	member := make([][]int, len(c.give))
	for k, l := range limits {
		for n, v := range []float64{l.Most, l.Least} {
			if n == 0 && math.IsInf(v, 1) || n == 1 && v == 0 {
				continue
			}
			at := p.row(v/p.total, n == 1)
			p.limit = append(p.limit, limitRow{at, k})
			if n == 1 {
				p.column(0, entry{at, -1}) // more than the least
			}
			for _, i := range l.Supplies {
				member[i] = append(member[i], at)
			}
		}
	}
	return member
}

// readProgram turns an answer back into volumes and prices.
func (c *counted) readProgram(p *program, a *programAnswer, lack float64) *limited {
	out := &limited{lack: lack, compacted: make([]float64, len(c.t.Routes))}
	for i := range c.t.Routes {
		if share := a.x[p.first+i]; share > nothing {
			out.compacted[i] = share * p.total
		}
	}
	if lack == 0 {
		c.trim(out.compacted)
	}
	for i, r := range c.t.Routes {
		out.cost += r.Cost * out.compacted[i] / c.t.Supplies[r.Supply].gain()
	}
	for i := range c.t.Supplies {
		out.supply = append(out.supply, max(0, -a.price[i])*p.dearest)
	}
	for j := range c.t.Demands {
		out.demand = append(out.demand, max(0, a.price[len(c.give)+j])*p.dearest)
	}
	for _, l := range p.limit {
		if math.Abs(a.price[l.row]) > limitSlack && l.limit < len(c.limits) {
			out.bound = append(out.bound, l.limit)
		}
	}
	return out
}
