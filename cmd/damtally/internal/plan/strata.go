package plan

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// farFromHole is the distance from a test hole, m, beyond which what a pit holds is
// counted as far from any: common practice asks for a hole each 100 to 200 ft in a
// borrow area, so that no point lies much farther than this from one.
func (j *Job) farFromHole() float64 {
	if j.system.Name == "us" {
		return 100 * 0.3048
	}
	return 30
}

// strataOf are the layers in the holes of a pit, nil without holes.
func (j *Job) strataOf(row site.Pit) (*borrow.Strata, site.Problems) {
	rows := j.site.HolesOf(row.Name)
	if len(rows) == 0 {
		return nil, nil
	}
	var holes []borrow.Hole
	var ps site.Problems
	for _, h := range rows {
		hole := borrow.Hole{Name: h.Name, At: j.here(h.At), Water: math.NaN()}
		if h.Water.Given {
			hole.Water = h.Water.Value
		}
		ground, known := row.GroundElevation.Value, row.GroundElevation.Given
		if !known && j.surface != nil {
			ground, known = elevationAt(j.surface, hole.At)
		}
		switch {
		case h.Elevation.Given:
			hole.Elevation = h.Elevation.Value
		case known:
			hole.Elevation = ground
		default:
			ps = append(ps, site.Problem{
				Ref: h.Ref, Column: "elevation",
				What: fmt.Sprintf("hole %s lies off the survey, and its own elevation is blank", h.Name),
				Mend: "fill in the ground elevation at the hole, or mend its x and y",
			})
		}
		for _, l := range h.Layers {
			hole.Layers = append(hole.Layers, borrow.Layer{
				Name: l.Layer, Material: l.Material, From: l.From, To: l.To,
				Usable: l.Usable == "yes", Topsoil: l.Topsoil(), Hard: l.Hard(),
			})
		}
		holes = append(holes, hole)
	}
	if len(ps) > 0 {
		return nil, ps
	}
	s, err := borrow.NewStrata(holes)
	if err != nil {
		return nil, site.Problems{strataProblem(rows, err)}
	}
	for _, h := range rows {
		for _, l := range h.Layers {
			if m := j.soil(l.Material); m != nil && m.bought && l.Usable == "yes" {
				ps = append(ps, site.Problem{
					Ref: l.Ref, Column: "material",
					What: fmt.Sprintf("the layer is %s, which `materials` says is bought", l.Material),
					Mend: "write borrow as its source, or no under `usable`",
				})
			}
		}
	}
	return s, ps
}

// strataProblem says in the table's words why holes are no layers.
func strataProblem(rows []site.Hole, err error) site.Problem {
	var e *borrow.StrataError
	if !errors.As(err, &e) {
		return site.Problem{Ref: rows[0].Ref, Column: "hole", What: err.Error(), Mend: "check the layers of the holes"}
	}
	h := rows[e.Hole]
	p := site.Problem{Ref: h.Ref, Column: "hole"}
	if e.Layer < len(h.Layers) {
		p.Ref, p.Column = h.Layers[e.Layer].Ref, "layer"
	}
	other := ""
	if e.Other >= 0 {
		other = rows[e.Other].Name
	}
	switch e.Rule {
	case borrow.RepeatedLayer:
		p.What = fmt.Sprintf("%s does not come as often in hole %s as in hole %s, so it cannot be told which layers are the same", e.Names[0], h.Name, other)
		p.Mend = "give such layers names under `layer`, the same name for the same layer in every hole"
	case borrow.OrderDiffers:
		p.What = fmt.Sprintf("%s lies above %s in hole %s, and below it in others", e.Names[0], e.Names[1], h.Name)
		if other != "" {
			p.What = fmt.Sprintf("%s lies above %s in hole %s, and hole %s has them the other way round", e.Names[0], e.Names[1], h.Name, other)
		}
		p.Mend = "give the layers names under `layer`, the same name for the same layer in every hole"
	case borrow.LayerDiffers:
		p.What = fmt.Sprintf("layer %s is of another material or use in hole %s", e.Names[0], other)
		p.Mend = "give the same layer the same material, `usable` and `rippable` in every hole, or another name"
	case borrow.SamePlace:
		p.Ref, p.Column = rows[e.Other].Ref, "x"
		p.What = fmt.Sprintf("hole %s stands within 1 mm of hole %s", other, h.Name)
		p.Mend = "mend its coordinates, or give both the same name"
	default:
		p.What, p.Mend = fmt.Sprintf("hole %s: %s", h.Name, e.Rule), "check its depths"
	}
	return p
}

// strataNotes says what the holes leave open and what was taken for granted.
func (j *Job) strataNotes(p *Pit) {
	row := p.Row
	look := func(text string) { j.note("look", row.Ref, text, "") }
	if p.Strata == nil {
		return // holeNotes tells of it
	}
	s := p.Strata
	if len(s.Holes) == 1 {
		look(fmt.Sprintf("pit %s has one test hole, so the depths in hole %s are taken all over the pit", row.Name, s.Holes[0].Name))
	} else {
		j.noteOf("note", row.Ref, "a pit's layers lie between its test holes on planes over the triangles between them; outside these the depth at the nearest point of their outline is taken; below the bottom of the holes nothing is counted",
			fmt.Sprintf("%s with %d holes", row.Name, len(s.Holes)), "")
	}
	if row.Material != "" {
		j.noteOf("note", row.Ref, "test holes say what a pit holds, so its `material` in `pits` is not used", row.Name, "")
	}
	for _, g := range s.Guessed {
		j.note("note", row.Ref, fmt.Sprintf("pit %s: no hole shows %s and %s one above the other; %s is taken to lie above where both may meet", row.Name, g[0], g[1], g[0]), "")
	}
	if c := p.Capacity; c.Bank > 0 && c.Far > farShare*c.Bank {
		look(fmt.Sprintf("pit %s: %s of its usable soil lies farther than %s from any test hole; more holes would show whether it is there", row.Name, percent(math.Round(100*p.ShareBeyond)/100), j.length(p.Beyond)))
	}
	j.noteHolePlaces(p)
	j.noteUsable(p)
	j.noteFloor(p)
}

// farShare is the share of a pit's soil far from any hole from which that is worth
// a look: a judgement.
const farShare = 0.2

// surveyOff is how far a hole's ground may lie from the survey before it is worth
// a look, m: a judgement, about what a hand level and a walk of the site give.
const surveyOff = 0.3

// noteHolePlaces tells of holes off their pit, or off the survey in height.
func (j *Job) noteHolePlaces(p *Pit) {
	ring := j.local(p.Row.Ring)
	for _, h := range j.site.HolesOf(p.Row.Name) {
		at := j.here(h.At)
		if !strictly(ring, at) {
			j.note("look", h.Ref, fmt.Sprintf("hole %s lies outside pit %s; its layers are counted for that pit all the same", h.Name, p.Row.Name), "")
		}
		if !h.Elevation.Given || j.surface == nil || p.Row.GroundElevation.Given {
			continue
		}
		if z, ok := elevationAt(j.surface, at); ok && math.Abs(z-h.Elevation.Value) > surveyOff {
			j.note("look", h.Ref, fmt.Sprintf("hole %s says that the ground there is at %s, the survey has %s; the hole's own elevation is used for its layers", h.Name, j.level(h.Elevation.Value), j.level(z)), "")
		}
	}
}

// noteUsable tells what was taken to be usable where the cell is blank.
func (j *Job) noteUsable(p *Pit) {
	var yes, no []string
	add := func(list []string, name string) []string {
		for _, n := range list {
			if n == name {
				return list
			}
		}
		return append(list, name)
	}
	for _, h := range j.site.HolesOf(p.Row.Name) {
		for _, l := range h.Layers {
			switch {
			case l.UsableIsGiven || l.Topsoil():
			case l.Usable == "yes":
				yes = add(yes, l.Material)
			default:
				no = add(no, l.Material)
			}
		}
	}
	if len(yes) > 0 {
		j.note("note", p.Row.Ref, fmt.Sprintf("pit %s: %s is taken as usable, since the dam's tables name it and `usable` is blank", p.Row.Name, strings.Join(yes, ", ")), "")
	}
	if len(no) > 0 {
		j.note("note", p.Row.Ref, fmt.Sprintf("pit %s: %s is not counted as usable, since `usable` is blank and no table of the dam names it", p.Row.Name, strings.Join(no, ", ")), "")
	}
}

// noteFloor tells what stopped the dig and what it goes through.
func (j *Job) noteFloor(p *Pit) {
	row, c := p.Row, p.Capacity
	var short, thin, open []string
	cover := row.CoverToLeave.Value
	for _, h := range p.Strata.Holes {
		base, below := h.Base(p.shape.Follow)
		want := h.Bottom()
		switch {
		case row.Depth.Given:
			want = row.Depth.Value
		case row.FloorElevation.Given:
			want = h.Elevation - row.FloorElevation.Value
		}
		if want > h.Bottom()+surveyOff/100 {
			short = append(short, h.Name)
		}
		if below == nil && want >= base-cover {
			open = append(open, h.Name)
		}
		if cover > 0 && base-row.StripDepth < cover {
			thin = append(thin, h.Name)
		}
	}
	look := func(text string) { j.note("look", row.Ref, text, "") }
	if len(short) > 0 {
		look(fmt.Sprintf("pit %s: its floor lies below the bottom of %s; what lies below a hole is not known and not counted", row.Name, holesNamed(short)))
	}
	if len(open) > 0 && len(short) == 0 {
		look(fmt.Sprintf("pit %s is dug to the bottom of %s; what lies below is not known, so it may be rock, sand or water", row.Name, holesNamed(open)))
	}
	if len(thin) > 0 {
		look(fmt.Sprintf("pit %s: the usable soil in %s is thinner than the cover of %s to leave, so nothing is dug there, and the cover is thinner than asked as it lies", row.Name, holesNamed(thin), j.length(cover)))
	}
	if c.Waste > 0 {
		look(fmt.Sprintf("pit %s: %s that cannot go into the dam must be dug to reach the rest; it needs a place to go", row.Name, j.volume(c.Waste, "bank")))
	}
	if c.WaterSeen && c.BelowWater > 0 {
		look(fmt.Sprintf("pit %s: %s of what is dug lies below the water seen in its holes; it comes out wet, or the pit must be drained", row.Name, j.volume(c.BelowWater, "bank")))
	}
	if p.shape.Follow {
		j.note("note", row.Ref, fmt.Sprintf("pit %s has neither a floor elevation nor a depth, so its floor follows the bottom of the first usable layers in its holes", row.Name), "")
	}
}

// holesNamed lists holes in words.
func holesNamed(names []string) string {
	if len(names) == 1 {
		return "hole " + names[0]
	}
	const most = 6
	if len(names) > most {
		return fmt.Sprintf("holes %s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return "holes " + strings.Join(names, ", ")
}
