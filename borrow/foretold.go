package borrow

// Foretold is a hole as the other holes would have it: the bottom of every layer
// at the mean of its depths in the others, weighted by 1 / distance squared. Place
// and ground are the hole's own. There are two holes or more.
func (s *Strata) Foretold(hole int) Hole {
	h := s.Holes[hole]
	bottoms := make([]float64, len(s.Layers))
	weights := 0.0
	for k, other := range s.Holes {
		if k == hole {
			continue
		}
		d := distance(h.At, other.At)
		w := 1 / (d * d)
		weights += w
		for i, b := range s.bottoms[k] {
			bottoms[i] += w * b
		}
	}
	h.Layers = nil
	from := 0.0
	for i, l := range s.Layers {
		l.From, l.To = from, bottoms[i]/weights
		if l.To > l.From+layerSlack {
			h.Layers = append(h.Layers, l)
			from = l.To
		}
	}
	return h
}
