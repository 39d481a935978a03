package borrow

import "slices"

// order merges the holes' layers into one order from the ground down: each hole
// shows which lie above which, and of those that may come next the one that the
// holes name first does.
func (s *Strata) order() error {
	m := merging{index: map[turn]int{}, times: map[string]times{}}
	numbers := make([][]int, len(s.Holes))
	for i, h := range s.Holes {
		var err error
		if numbers[i], err = m.take(i, h); err != nil {
			return err
		}
	}
	place := make([]int, len(m.layers))
	for len(s.Layers) < len(m.layers) {
		ready := m.ready()
		if len(ready) == 0 {
			return m.opposed()
		}
		for _, other := range ready[1:] {
			s.Guessed = append(s.Guessed, [2]string{m.layers[ready[0]].called(), m.layers[other].called()})
		}
		m.done[ready[0]] = true
		place[ready[0]] = len(s.Layers)
		s.Layers = append(s.Layers, m.layers[ready[0]])
	}
	for _, hole := range numbers {
		for k, n := range hole {
			hole[k] = place[n]
		}
	}
	s.numbers = numbers
	return nil
}

// turn is a layer's key and how many of that key lie above it in its hole.
type turn struct {
	key   string
	above int
}

// times is how often a key comes in the hole that names it first.
type times struct{ count, hole int }

// merging is layers while they are put in order.
type merging struct {
	index  map[turn]int
	times  map[string]times
	layers []Layer
	first  []int    // the hole that names it first
	above  [][]link // layers that a hole shows above each
	done   []bool
}

// link says that a layer lies above another in a hole.
type link struct{ layer, hole int }

// take adds one hole and returns the numbers of its layers.
func (m *merging) take(i int, h Hole) ([]int, error) {
	seen := map[string]int{}
	var numbers []int
	var key string
	for k, l := range h.Layers {
		if k > 0 && l.key() == key {
			numbers = append(numbers, numbers[k-1])
			continue
		}
		key = l.key()
		n := m.number(turn{key, seen[key]}, l, i)
		seen[key]++
		if was := m.layers[n]; was.Material != l.Material || was.Usable != l.Usable || was.Hard != l.Hard || was.Topsoil != l.Topsoil {
			return nil, &StrataError{Rule: LayerDiffers, Hole: i, Layer: k, Other: m.first[n], Names: []string{l.called()}}
		}
		if k > 0 {
			m.above[n] = append(m.above[n], link{numbers[k-1], i})
		}
		numbers = append(numbers, n)
	}
	return numbers, m.alike(i, h, seen)
}

// number is a layer's number, a new one for one that no hole above has.
func (m *merging) number(t turn, l Layer, hole int) int {
	n, known := m.index[t]
	if !known {
		n = len(m.layers)
		m.index[t] = n
		m.layers, m.first = append(m.layers, l), append(m.first, hole)
		m.above, m.done = append(m.above, nil), append(m.done, false)
	}
	return n
}

// alike returns an error when a hole has a layer more or less often than another
// that has it: the second of two may be the only one elsewhere.
func (m *merging) alike(i int, h Hole, seen map[string]int) error {
	for k, l := range h.Layers {
		was, known := m.times[l.key()]
		if !known {
			m.times[l.key()] = times{seen[l.key()], i}
		} else if was.count != seen[l.key()] {
			return &StrataError{Rule: RepeatedLayer, Hole: i, Layer: k, Other: was.hole, Names: []string{l.called()}}
		}
	}
	return nil
}

// ready are the layers that none left lies above, in the order in which the holes
// name them. The rules in a hole run from each layer to the next, so that a
// chain of holes is enough to say which is above.
func (m *merging) ready() []int {
	var out []int
	for n := range m.layers {
		if !m.done[n] && !slices.ContainsFunc(m.above[n], func(l link) bool { return !m.done[l.layer] }) {
			out = append(out, n)
		}
	}
	return out
}

// opposed finds two layers that lie above one another by a ring of holes.
func (m *merging) opposed() error {
	at := slices.Index(m.done, false)
	seen := map[int]bool{}
	for {
		seen[at] = true
		i := slices.IndexFunc(m.above[at], func(l link) bool { return !m.done[l.layer] })
		l := m.above[at][i]
		if seen[l.layer] {
			return m.clash(l, at)
		}
		at = l.layer
	}
}

// clash names two holes of a ring: one that shows a layer above another, and one
// that shows a layer of the ring above that.
func (m *merging) clash(l link, lower int) error {
	e := &StrataError{Rule: OrderDiffers, Hole: l.hole, Other: -1, Names: []string{m.layers[l.layer].called(), m.layers[lower].called()}}
	for _, over := range m.above[l.layer] {
		if !m.done[over.layer] && over.hole != l.hole {
			e.Other = over.hole
		}
	}
	return e
}
