package borrow

import (
	"math"

	"github.com/paulmach/orb"
)

// Measures of the strata's field, in this order, then the bottoms of the layers.
const (
	ofTopsoil = iota // depth of the topsoil's bottom
	ofBase           // depth below which nothing is dug, cover left
	ofLayers
)

// spread lays the strata and the water out over the pit's box. Both are nil
// without strata, water where no hole shows any.
func (p Pit) spread(o *outline) (strata, water []*patch, err error) {
	if p.Strata == nil {
		return nil, nil, nil
	}
	layers := field{under: p.lineOf(o), follows: make([]bool, ofLayers+len(p.Strata.Layers))}
	wet := field{under: layers.under, follows: make([]bool, 1)}
	layers.follows[ofTopsoil] = true
	for i, l := range p.Strata.Layers {
		if !l.Topsoil {
			break
		}
		layers.follows[ofLayers+i] = true
	}
	for i, h := range p.Strata.Holes {
		at := o.locally(h.At)
		base, _ := h.Base(p.Follow)
		depths := append([]float64{p.Strata.topsoil[i], max(0, base-p.Cover)}, p.Strata.bottoms[i]...)
		layers.at, layers.ground = append(layers.at, at), append(layers.ground, h.Elevation)
		layers.depth = append(layers.depth, depths)
		if !math.IsNaN(h.Water) {
			wet.at, wet.ground = append(wet.at, at), append(wet.ground, h.Elevation)
			wet.depth = append(wet.depth, []float64{h.Water})
		}
	}
	if strata, err = layers.patches(o.box); err != nil || len(wet.at) == 0 {
		return strata, nil, err
	}
	water, err = wet.patches(o.box)
	return strata, water, err
}

// lineOf returns the ground along a line of the plan, nil where it is not known.
func (p Pit) lineOf(o *outline) func(a, b orb.Point) []edge {
	return func(a, b orb.Point) []edge {
		edges, err := p.groundUnder(o, a, b)
		if err != nil {
			return nil
		}
		return edges
	}
}
