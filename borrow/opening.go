package borrow

import (
	"math"
	"slices"
)

// branching looks for the places whose opening costs least together with the
// flows: every set of them is either figured or bounded from below by a cost
// that the best one known does not reach.
//
// While it is undecided, a place costs a share of its opening cost for every
// unit that it gives, as much as if all that could be used were dug. That is
// never more than the opening cost, so the cheapest flow at such costs bounds
// all decisions still open.
type branching struct {
	c       *counted
	room    []float64 // by place: units that could be used
	best    float64
	choices []choice // of the best, every place decided
	cases   int
}

// cheaperBy is the share of the cost by which a set of places must be cheaper
// than the best known one to be looked at. It guards rounding: sets of the same
// cost would otherwise be figured one after the other.
const cheaperBy = 1e-11

// choose finds the places to open. Those that are not used come back closed.
func (c *counted) choose(cases *int) ([]choice, error) {
	b := &branching{c: c, best: math.Inf(1), room: make([]float64, len(c.t.Places))}
	start := make([]choice, len(c.t.Places))
	free := true
	for p, place := range c.t.Places {
		start[p] = opened
		if place.Cost > 0 && place.Least == 0 {
			start[p], free = undecided, false
		}
	}
	if free {
		*cases = 1
		return start, nil
	}
	total := 0.0
	for _, units := range c.take {
		total += float64(units)
	}
	for i, s := range c.t.Supplies {
		if s.Place >= 0 {
			b.room[s.Place] = min(total, b.room[s.Place]+float64(c.give[i]))
		}
	}
	err := b.look(start)
	*cases = b.cases
	if err == nil && b.choices == nil {
		err = errUnproved
	}
	return b.choices, err
}

// look figures the flows with some places decided, and goes on to decide the
// one that matters most.
func (b *branching) look(choices []choice) error {
	b.cases++
	s := b.c.solve(choices, b.surcharge(choices))
	if s.lacks() {
		return nil // what could be met with all places open must stay so
	}
	if err := s.net.prove(s.answer); err != nil {
		return err
	}
	used := b.used(s)
	bound := s.net.cost(s.answer) + b.fixed(choices)
	if bound >= b.best*(1-cheaperBy) {
		return nil
	}
	held, err := b.keep(choices, s, used)
	if err != nil {
		return err
	}
	next, gap := -1, 0.0
	for p, chosen := range choices {
		if chosen == undecided && used[p] > 0 {
			if g := b.opening(p) - used[p]*float64(b.each(p)); g > gap {
				next, gap = p, g
			}
		}
	}
	if next < 0 && !held { // limits may ask for places that the flow without them leaves alone
		next = slices.Index(choices, undecided)
	}
	if next < 0 || b.best <= bound*(1+cheaperBy) {
		return nil
	}
	first, then := closed, opened
	if used[next] > b.room[next]/2 {
		first, then = opened, closed
	}
	for _, decision := range []choice{first, then} {
		deeper := append([]choice(nil), choices...)
		deeper[next] = decision
		if err := b.look(deeper); err != nil {
			return err
		}
	}
	return nil
}

// keep keeps the flows as they are, with all that they use opened, if that is
// the cheapest so far. It tells whether they hold the limits; where they do not, the
// cheapest flow that does stands for them.
func (b *branching) keep(choices []choice, s *solved, used []float64) (held bool, err error) {
	c := b.c
	cost := 0.0
	for i := range c.t.Routes {
		cost += float64(c.cost[i]) * float64(s.answer.flow[i])
	}
	if held = c.hold(c.limits, c.volumes(s)); !held {
		flows, err := c.byProgram(c.limits, choices)
		if err != nil {
			return false, err
		}
		if flows.lack > 0 {
			return false, nil
		}
		cost = flows.cost * c.money * c.unit
		used = make([]float64, len(choices))
		for i, r := range c.t.Routes {
			if p := c.t.Supplies[r.Supply].Place; p >= 0 && flows.compacted[i] > limitSlack*c.filled[r.Demand] {
				used[p] += flows.compacted[i] * c.unit
			}
		}
	}
	decided := make([]choice, len(choices))
	for p := range choices {
		decided[p] = closed
		if used[p] > 0 || c.t.Places[p].Cost == 0 || choices[p] == opened && c.t.Places[p].Least > 0 {
			decided[p] = opened
			cost += b.opening(p)
		}
	}
	if cost < b.best {
		b.best, b.choices = cost, decided
	}
	return held, nil
}

// opening is the cost of opening a place, in parts of money times units.
func (b *branching) opening(p int) float64 {
	return b.c.t.Places[p].Cost * b.c.money * b.c.unit
}

// fixed is the cost of all places that are decided to be opened.
func (b *branching) fixed(choices []choice) float64 {
	sum := 0.0
	for p, chosen := range choices {
		if chosen == opened {
			sum += b.opening(p)
		}
	}
	return sum
}

// each is the share of its opening cost that a unit from an undecided place
// bears. It is rounded down and kept within what a network can count, both of
// which leave the bound a bound.
func (b *branching) each(p int) int64 {
	if b.room[p] == 0 {
		return 0
	}
	return int64(min(b.opening(p)/b.room[p], limitCost))
}

// surcharge is the share by supply.
func (b *branching) surcharge(choices []choice) []int64 {
	out := make([]int64, len(b.c.give))
	for i, s := range b.c.t.Supplies {
		if s.Place >= 0 && choices[s.Place] == undecided {
			out[i] = b.each(s.Place)
		}
	}
	return out
}

// used is how many units each place gives.
func (b *branching) used(s *solved) []float64 {
	out := make([]float64, len(b.c.t.Places))
	for i, r := range b.c.t.Routes {
		if p := b.c.t.Supplies[r.Supply].Place; p >= 0 {
			out[p] += float64(s.answer.flow[i])
		}
	}
	return out
}
