package site

import (
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// checkCuts checks what holds between the cells of a required excavation.
func (r *reading) checkCuts() {
	for i := range r.site.Cuts {
		c := &r.site.Cuts[i]
		if c.Material != "" {
			c.Material = r.material(c.Ref, c.Material)
		} else if c.Usable == "yes" {
			r.wrongOnce(c.Ref, "material", "is blank, but `usable` is yes", "name the soil that comes out, or write no under `usable`")
		}
		r.needsPlan(c.Ref, "cut")
		r.ownOutline(c.Ref, "cut", c.Name, "pits")
	}
}

// checkBlankets checks what holds between the cells of a lining.
func (r *reading) checkBlankets() {
	for i := range r.site.Blankets {
		b := &r.site.Blankets[i]
		if b.Material != "" {
			b.Material = r.material(b.Ref, b.Material)
		}
		r.needsPlan(b.Ref, "blanket")
		r.ownOutline(b.Ref, "blanket", b.Name, "pits", "cuts")
	}
}

// needsPlan reports a row that is measured on the ground where there is no ground
// in plan.
func (r *reading) needsPlan(ref Ref, column string) {
	if !r.has("survey") && !r.existing() {
		r.wrong(ref, column, "there is no survey of the ground in plan to measure it on", "give the ground as a survey or as surfaces, or take the row out")
	}
}

// ownOutline reports a name that another table with outlines has as well, since
// their corners could not be told apart.
func (r *reading) ownOutline(ref Ref, column, name string, tables ...string) {
	for _, t := range tables {
		if first, ok := r.names[t].first[key(name)]; ok {
			r.wrong(ref, column, units.Quote(name)+" is the name of row "+strconv.Itoa(first.Row)+" of "+t+" too, so their corners could not be told apart", "give each its own name")
		}
	}
}
