package borrow

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"
)

// Hole is a boring or a test pit: what was found at one place, from the ground
// down. Below its last layer nothing is known.
type Hole struct {
	Name      string
	At        orb.Point
	Elevation float64 // of the ground, m
	Layers    []Layer // from the ground down, without gaps
	Water     float64 // depth to water below the ground, m; NaN where it was not seen or not looked for
}

// Layer is a layer in a hole, by depths below the ground, m.
type Layer struct {
	Name     string // matches it between holes; "" = by Material, Usable and Hard
	Material string
	From, To float64
	Usable   bool // may go into the dam
	Topsoil  bool // stripped first; counts only above all that is not topsoil
	Hard     bool // cannot be loosened: nothing is dug in it or below it
}

// key is what two layers must share to be the same layer in two holes.
func (l Layer) key() string {
	if l.Name != "" {
		return "layer " + l.Name
	}
	return fmt.Sprintf("%s %t %t %t", l.Material, l.Usable, l.Topsoil, l.Hard)
}

// called is the layer's name in words.
func (l Layer) called() string {
	if l.Name != "" {
		return l.Name
	}
	return l.Material
}

// Strata is the ground under a pit as test holes show it: layers in one order,
// each with its bottom in every hole. A layer that a hole lacks has no thickness
// there, so it pinches out on the way to it. What lies below the bottom of a hole is
// unknown.
//
// Between holes the bottoms of layers are planes over the triangulation of the
// holes, in elevation, cut off where they would rise above the ground. Topsoil
// follows the ground: its depth is what is taken between holes. Beyond the holes'
// hull the depth below the ground is that at the nearest point of the hull, so
// one hole gives its own depths all over the pit.
type Strata struct {
	Holes  []Hole
	Layers []Layer // in order from the ground down; From and To mean nothing here
	// Guessed are pairs of layers that no hole shows above one another: the
	// first is taken to lie above the second, in the order of the holes.
	Guessed [][2]string

	numbers [][]int     // by hole and layer of it: number in Layers
	bottoms [][]float64 // by hole and layer: depth of the bottom, m
	topsoil []float64   // by hole: depth of the bottom of the topsoil, m
}

// StrataRule names what holes broke. The list is closed.
type StrataRule int

// The rules of strata.
const (
	NoHoles       StrataRule = iota + 1
	EmptyHole                // a hole without layers
	LayerGap                 // a layer does not begin where the one above it ends, or has no thickness
	RepeatedLayer            // a hole has a layer more often than another: which is which cannot be told
	OrderDiffers             // two holes have two layers in opposite order
	LayerDiffers             // a named layer is of unlike material, usable or hard in two holes
	SamePlace                // two holes within a millimetre of one another
	NoNumber                 // a place, an elevation or a depth is not a number, or beyond farthestHole
)

var strataRules = map[StrataRule]string{
	NoHoles:       "there is no hole",
	EmptyHole:     "the hole has no layers",
	LayerGap:      "a layer does not begin where the one above it ends",
	RepeatedLayer: "a layer comes more often in one hole than in another",
	OrderDiffers:  "two holes have two layers in opposite order",
	LayerDiffers:  "a layer differs between two holes",
	SamePlace:     "two holes stand at one place",
	NoNumber:      "a place, an elevation or a depth is no number that can be",
}

func (r StrataRule) String() string { return strataRules[r] }

// StrataError says why holes are no strata. Hole and Layer count from 0; Other
// is the second hole, -1 where only one is concerned; Names are the layers.
type StrataError struct {
	Rule        StrataRule
	Hole, Layer int
	Other       int
	Names       []string
}

// Error states the rule and where it is broken.
func (e *StrataError) Error() string {
	text := fmt.Sprintf("%s (hole %d, layer %d, counted from 0", e.Rule, e.Hole, e.Layer)
	if e.Other >= 0 {
		text += fmt.Sprintf("; hole %d", e.Other)
	}
	return text + fmt.Sprintf(") %q", e.Names)
}

// NewStrata puts the layers of holes in one order. Layers match by Name, else by
// material and use, the first of a hole to the first, the second to the second; two
// neighbouring layers of a hole that match are one layer. The error is a *StrataError.
func NewStrata(holes []Hole) (*Strata, error) {
	if len(holes) == 0 {
		return nil, &StrataError{Rule: NoHoles, Other: -1}
	}
	s := &Strata{Holes: slices.Clone(holes)}
	for i, h := range holes {
		if err := checkHole(i, h); err != nil {
			return nil, err
		}
		for k := range i {
			if distance(holes[k].At, h.At) < holesApart {
				return nil, &StrataError{Rule: SamePlace, Hole: k, Other: i}
			}
		}
	}
	if err := s.order(); err != nil {
		return nil, err
	}
	s.measure()
	return s, nil
}

// checkHole returns an error for layers that leave a gap.
func checkHole(i int, h Hole) error {
	if len(h.Layers) == 0 {
		return &StrataError{Rule: EmptyHole, Hole: i, Other: -1}
	}
	for _, v := range []float64{h.At[0], h.At[1], h.Elevation, h.Bottom()} {
		if !(abs(v) <= farthestHole) || abs(h.Water) > farthestHole { // no water is NaN
			return &StrataError{Rule: NoNumber, Hole: i, Other: -1}
		}
	}
	from := 0.0
	for k, l := range h.Layers {
		if abs(l.From-from) > layerSlack || !(l.To > l.From) {
			return &StrataError{Rule: LayerGap, Hole: i, Layer: k, Other: -1, Names: []string{l.called()}}
		}
		from = l.To
	}
	return nil
}

// farthestHole is how far from zero a coordinate, elevation or depth of a hole may
// lie, m. Map coordinates stay far below it; beyond it a number is in no unit of
// length, and the planes between holes would drown in rounding.
const farthestHole = 1e8

// holesApart is the distance, m, within which two holes stand at one place: less
// than a survey tells apart. The direction from one to the other would be rounding,
// and the soil beyond them is spread square to it.
const holesApart = 1e-3

// layerSlack is how far the top of a layer may lie from the bottom of the one
// above it, m: rounding of a change of units.
const layerSlack = 1e-6

// measure fills in the bottoms of the layers in every hole.
func (s *Strata) measure() {
	for i, h := range s.Holes {
		bottoms := make([]float64, len(s.Layers))
		for k, l := range h.Layers {
			bottoms[s.numbers[i][k]] = l.To
		}
		for i := 1; i < len(bottoms); i++ {
			bottoms[i] = max(bottoms[i], bottoms[i-1]) // a layer that is not there has no thickness
		}
		s.bottoms = append(s.bottoms, bottoms)
		top := 0.0
		for _, l := range h.Layers {
			if !l.Topsoil {
				break
			}
			top = l.To
		}
		s.topsoil = append(s.topsoil, top)
	}
}

// Bottom is how deep a hole shows the ground, m.
func (h Hole) Bottom() float64 { return h.Layers[len(h.Layers)-1].To }

// Base is the depth in a hole, m, below which nothing is dug, before any cover is
// left: the bottom of its lowest usable layer, or, when the floor is to follow the
// layers, of its first run of usable ones. Nothing is dug in a hard layer or
// below it. It is 0 where nothing is usable. below is what lies there: a layer, or
// nil where the hole ends and the ground is unknown.
func (h Hole) Base(follow bool) (depth float64, below *Layer) {
	at := -1
	for i, l := range h.Layers {
		if l.Hard || follow && at >= 0 && !l.Usable {
			break
		}
		if l.Usable {
			at = i
		}
	}
	if at < 0 {
		return 0, &h.Layers[0]
	}
	if at+1 < len(h.Layers) {
		below = &h.Layers[at+1]
	}
	return h.Layers[at].To, below
}

// Usable is the thickness of usable soil in a hole between two depths, m.
func (h Hole) Usable(from, to float64) float64 {
	sum := 0.0
	for _, l := range h.Layers {
		if l.Usable && !l.Hard {
			sum += max(0, min(to, l.To)-max(from, l.From))
		}
	}
	return sum
}
