package site

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// Hole is a boring or test pit: the rows of `borings` of one name, by depth.
type Hole struct {
	Ref       Ref // its first row
	Name      string
	At        orb.Point
	Elevation Number // of the ground
	Pit       string // "" = a hole under the dam
	Water     Number // depth below the ground, m
	WaterDate string
	Layers    []Boring // from the ground down, without gaps; Usable is "yes" or "no"
}

// layerGap is how far the top of a layer may lie from the bottom of the one above
// it, m: rounding of a change of units.
const layerGap = 1e-6

// checkBorings gathers the rows of each hole and checks them.
func (r *reading) checkBorings() {
	var order []string
	rows := map[string][]*Boring{}
	told := false
	for i := range r.site.Borings {
		b := &r.site.Borings[i]
		if b.Pit != "" && !r.has("pits") && !told {
			r.note("look", b.Ref, "the holes in borings name pits, but there is no table pits, so they are not used")
			told = true
		}
		b.Pit = r.referIn(b.Ref, "pit", b.Pit, "pits", "no pit of the table pits")
		k := key(b.Hole)
		if k == "" {
			continue
		}
		if _, ok := rows[k]; !ok {
			order = append(order, k)
		}
		rows[k] = append(rows[k], b)
	}
	for _, k := range order {
		h := r.hole(rows[k])
		for _, o := range r.site.Holes {
			if o.At == h.At { // never where a coordinate could not be read
				r.wrong(h.Ref, "x", fmt.Sprintf("hole %s stands at the same place as hole %s", units.Quote(h.Name), units.Quote(o.Name)), "mend its coordinates, or give both the same name")
			}
		}
		r.site.Holes = append(r.site.Holes, h)
	}
}

// hole makes a hole of its rows. What stands in the first row counts; what later
// rows repeat must be the same.
func (r *reading) hole(rows []*Boring) Hole {
	first := rows[0]
	h := Hole{Ref: first.Ref, Name: first.Hole, At: first.At, Pit: first.Pit}
	for _, b := range rows {
		if b.At != h.At && !math.IsNaN(b.At[0]+b.At[1]+h.At[0]+h.At[1]) {
			r.wrong(b.Ref, "x", fmt.Sprintf("hole %s stands elsewhere in row %d", units.Quote(h.Name), h.Ref.Row), "give every row of a hole the same x and y")
		}
		if h.Pit == "" {
			h.Pit = b.Pit
		} else if b.Pit != "" && key(b.Pit) != key(h.Pit) {
			r.wrong(b.Ref, "pit", fmt.Sprintf("hole %s is in pit %s in row %d", units.Quote(h.Name), units.Quote(h.Pit), h.Ref.Row), "give every row of a hole the same pit")
		}
		r.once(b.Ref, "elevation", &h.Elevation, b.Elevation)
		r.once(b.Ref, "water depth", &h.Water, b.WaterDepth)
		if h.WaterDate == "" {
			h.WaterDate = b.WaterDate
		}
		r.layerUse(b)
		h.Layers = append(h.Layers, *b)
	}
	slices.SortStableFunc(h.Layers, func(a, b Boring) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	r.checkLayers(h)
	return h
}

// once takes a value of a hole, which later rows may repeat but not change.
func (r *reading) once(ref Ref, column string, into *Number, value Number) {
	switch {
	case !value.Given:
	case !into.Given:
		*into = value
	case into.Value != value.Value:
		r.wrong(ref, column, "differs from the row above of the same hole", "write it once, in the first row of the hole")
	}
}

// checkLayers checks that the layers of a hole follow one another from the ground
// down.
func (r *reading) checkLayers(h Hole) {
	at := 0.0
	for i, b := range h.Layers {
		switch {
		case math.IsNaN(b.From + b.To):
			return
		case b.To <= b.From:
			r.wrong(b.Ref, "to", "is not below `from`", "write depths below the ground, the bottom of the layer under `to`")
			return
		case i == 0 && b.From > layerGap:
			r.wrong(b.Ref, "from", fmt.Sprintf("the first layer of hole %s does not begin at the ground", units.Quote(h.Name)), "begin at 0, also where the soil is topsoil or of no use")
			return
		case b.From < at-layerGap:
			r.wrong(b.Ref, "from", fmt.Sprintf("begins above the bottom of the layer in row %d", h.Layers[i-1].Ref.Row), "let each layer begin where the one above it ends")
			return
		case b.From > at+layerGap:
			r.wrong(b.Ref, "from", fmt.Sprintf("leaves a gap below the layer in row %d", h.Layers[i-1].Ref.Row), "let each layer begin where the one above it ends")
			return
		}
		at = b.To
	}
}

// layerUse settles what a layer's material is and whether it may go into the dam.
// Where the cell is blank, it may if the dam's tables know the material.
func (r *reading) layerUse(b *Boring) {
	written, known := r.names["known materials"].written[key(b.Material)]
	switch {
	case b.Topsoil():
		if b.Usable == "yes" {
			r.wrong(b.Ref, "usable", "topsoil cannot go into the dam", "write no, or name the soil by what it is")
		}
		b.Usable = "no"
	case b.Usable == "yes" || b.Usable == "" && known:
		if !known {
			b.Material = r.material(b.Ref, b.Material)
		} else {
			b.Material = written
		}
		b.Usable = "yes"
	case known:
		b.Material = written
		b.Usable = "no"
	default:
		b.Usable = "no"
	}
	if b.Usable == "yes" && b.Rippable == "no" {
		r.wrong(b.Ref, "rippable", "the layer is usable, yet no ripper loosens it", "write yes in one of the two, or no in both")
	}
}

// Topsoil tells whether the layer is topsoil, by its material's name.
func (b *Boring) Topsoil() bool {
	return strings.Contains(strings.ReplaceAll(key(b.Material), " ", ""), "topsoil")
}

// Hard tells whether nothing is dug in the layer: rock, or what no ripper loosens.
func (b *Boring) Hard() bool {
	switch {
	case b.Rippable == "no":
		return true
	case b.Rippable == "yes" || b.Usable == "yes":
		return false
	}
	for _, word := range strings.FieldsFunc(strings.ToLower(b.Material), func(c rune) bool { return c == ' ' || c == ',' || c == '-' || c == '_' }) {
		if word == "rock" || word == "bedrock" {
			return true
		}
	}
	return false
}

// HolesOf are the holes in a pit.
func (s *Site) HolesOf(pit string) []Hole {
	var out []Hole
	for _, h := range s.Holes {
		if pit != "" && key(h.Pit) == key(pit) {
			out = append(out, h)
		}
	}
	return out
}
