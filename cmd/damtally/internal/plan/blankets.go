package plan

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Blanket is a lining of the lake bed and what it takes. It is no part of the
// dam: the dam's volumes leave it out, its material's need holds it.
type Blanket struct {
	Row       site.Blanket
	Plan      float64 // area in plan, m2
	Surface   float64 // area along the slope of the ground, m2
	Low, High float64 // lowest and highest ground under it, m
	// Compacted is Surface times the thickness, square to the ground, m3.
	Compacted float64
	// Lift is the compacted thickness of one lift, m, and Lifts how many there
	// are; Tests are due by the site's rule, 0 where none is set or the material
	// is bought.
	Lift  float64
	Lifts int
	Tests int
}

// BlanketShare is what one blanket takes of a material.
type BlanketShare struct {
	Blanket   int     // index into Result.Blankets
	Compacted float64 // m3
}

// bareLining is the area without ground that a blanket may have, as a share of its
// own: it guards a boundary drawn along the survey's edge, which misses it by
// rounding.
const bareLining = 1e-6

// prepareBlankets measures every blanket on the ground.
func (j *Job) prepareBlankets() site.Problems {
	var ps site.Problems
	for i, row := range j.site.Blankets {
		if len(row.Ring) == 0 {
			continue // its boundary is a problem already
		}
		ring := j.local(row.Ring)
		lie, err := geometry.LieOver(j.surface, orb.Polygon{ring})
		switch {
		case err != nil:
			ps = append(ps, site.Problem{Ref: row.Ref, Column: "blanket", What: fmt.Sprintf("the boundary of blanket %s is no outline: %v", row.Name, err), Mend: "give its corners in order round it"})
			continue
		case lie.Missing > bareLining*(lie.Plan+lie.Missing):
			ps = append(ps, site.Problem{
				Ref: row.Ref, Column: "blanket",
				What: fmt.Sprintf("blanket %s reaches off the survey with %s of its %s", row.Name, j.area(lie.Missing), j.area(lie.Plan+lie.Missing)),
				Mend: "survey the whole blanket, or move its corners in",
			})
			continue
		}
		b := Blanket{Row: row, Plan: lie.Plan, Surface: lie.True, Low: lie.Low, High: lie.High, Compacted: lie.True * row.Thickness}
		j.blankets = append(j.blankets, b)
		j.noteBlanket(&b, i)
	}
	return ps
}

// noteBlanket says what a blanket takes and over what it lies.
func (j *Job) noteBlanket(b *Blanket, i int) {
	j.note("note", b.Row.Ref, fmt.Sprintf("blanket %s: %s along the slope of the ground (%s in plan) x %s thick = %s of %s; it is beside the dam's own volumes and in the need of its material; "+
		"joints at its edge, and ground dug or stripped before it is laid, are not in it",
		b.Row.Name, j.area(b.Surface), j.area(b.Plan), j.thickness(b.Row.Thickness), j.volume(b.Compacted, "compacted"), b.Row.Material), "")
	over := func(what string, other orb.Ring, tell string) {
		if overlap(other, b.Row.Ring) {
			j.note("look", b.Row.Ref, fmt.Sprintf("blanket %s and %s overlap: %s", b.Row.Name, what, tell), "")
		}
	}
	for _, o := range j.site.Blankets[:i] {
		over("blanket "+o.Name, o.Ring, "both are counted there")
	}
	for _, p := range j.site.Pits {
		over("pit "+p.Name, p.Ring, "it is measured on the ground as surveyed, not on what is left when the pit is dug")
	}
	for _, c := range j.site.Cuts {
		over("cut "+c.Name, c.Ring, "it is measured on the ground as surveyed, not on what is left when the cut is dug")
	}
}

// blanketNeeds adds what the blankets take to the materials, before the zones are
// shared out, and takes it off what is left of the borrow: a blanket has one
// material, so it has no other choice.
func (j *Job) blanketNeeds(out []Material, index map[string]int, left map[string]float64) {
	for i := range j.blankets {
		b := &j.blankets[i]
		k, ok := index[b.Row.Material]
		if !ok {
			continue
		}
		m := &out[k]
		m.Blankets = append(m.Blankets, BlanketShare{Blanket: i, Compacted: b.Compacted})
		m.Compacted += b.Compacted
		if m.Known && !m.Bought {
			left[b.Row.Material] -= borrow.BankFor(b.Compacted, m.Factors.Shrink, m.Loss)
		}
	}
}

// blanketLifts are the blankets with their lifts and the tests that they need.
func (j *Job) blanketLifts(r *Result) ([]Blanket, []site.Note) {
	out := append([]Blanket(nil), j.blankets...)
	var notes []site.Note
	for i := range out {
		b := &out[i]
		m := materialNamed(r, b.Row.Material)
		b.Lift = j.commonLift()
		if m != nil && m.Row.LiftThickness.Given {
			b.Lift, _ = j.compactedLift(m) // its note stands with the material's
		} else {
			notes = append(notes, site.Note{Level: "note", Ref: b.Row.Ref, Source: "common practice", Text: fmt.Sprintf(
				"lifts of %s compacted are taken for blanket %s, since no `lift thickness` is given for %s", j.thickness(b.Lift), b.Row.Name, b.Row.Material)})
		}
		b.Lifts = int(math.Ceil(b.Row.Thickness/b.Lift - sameLift/b.Lift))
		if r.Lifts != nil && r.Lifts.Asked && m != nil && !m.Bought {
			b.Tests = b.Lifts * earthwork.TestsDue(b.Compacted/float64(b.Lifts), r.Lifts.TestEvery, r.Lifts.LeastTests)
		}
	}
	return out, notes
}

// materialNamed is a material of the result, nil for none.
func materialNamed(r *Result, name string) *Material {
	for i := range r.Materials {
		if r.Materials[i].Row.Name == name {
			return &r.Materials[i]
		}
	}
	return nil
}

// blanketResults are the results of blankets that a pay item may name.
func (j *Job) blanketResults(set func(name string, kind units.Kind, value func() float64)) {
	for i, b := range j.blankets {
		set("blanket "+b.Row.Name, units.Volume, func() float64 { return j.blankets[i].Compacted })
		set("surface of blanket "+b.Row.Name, units.Area, func() float64 { return j.blankets[i].Surface })
	}
}

// promptBlankets asks about what no table says of a lining.
func (j *Job) promptBlankets(r *Result) []site.Note {
	if len(r.Blankets) == 0 {
		return nil
	}
	var names []string
	for _, b := range r.Blankets {
		names = append(names, "blanket "+b.Row.Name)
	}
	out := prompt(true, site.Ref{Table: "blankets"}, fmt.Sprintf(
		"%s figured as volume only: how thick a lining must be depends on the depth of water and on how tight the soil is, it must be kept wet or covered so that it does not crack, and it must not be laid on gravel that its soil can wash into; "+
			"none of that is checked here%s", wereFigured(names), askEngineer), "common practice")
	for _, b := range r.Blankets {
		if at, under := j.underDamAt(j.local(b.Row.Ring), &r.Quantities); under {
			out = append(out, site.Note{Level: "look", Ref: b.Row.Ref, Text: fmt.Sprintf(
				"blanket %s reaches under the dam between stations %s and %s: dam and blanket are both counted there; end the blanket at the toe, or where it joins the core",
				b.Row.Name, j.station(at.from), j.station(at.to))})
		}
		if pool := r.Site.Settings.NormalPool; pool.Given && b.High < pool.Value {
			out = append(out, site.Note{Level: "note", Ref: b.Row.Ref, Text: fmt.Sprintf(
				"the ground under blanket %s lies between %s and %s, wholly below the normal pool of %s; ask whether it must reach up to the pool",
				b.Row.Name, j.level(b.Low), j.level(b.High), j.level(pool.Value))})
		}
	}
	return out
}
