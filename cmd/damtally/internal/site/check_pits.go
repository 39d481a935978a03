package site

import (
	"fmt"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

func (r *reading) checkPits() {
	rings := map[string]Outline{}
	for _, o := range r.site.Outlines {
		rings[key(o.Of)] = o
	}
	for i := range r.site.Pits {
		p := &r.site.Pits[i]
		r.checkPit(p)
		if o, ok := rings[key(p.Name)]; ok {
			p.Ring, p.RingRefs = o.Ring, o.Refs
			if p.Boundary != "" {
				r.wrong(p.Ref, "boundary", "the corners of "+units.Quote(p.Name)+" stand in outlines already", "keep one of the two")
			}
		} else if p.Boundary == "" && p.Name != "" && !r.outlined(p.Name) && !(r.has("outlines") && !r.whole("outlines")) {
			r.wrong(p.Ref, "pit", units.Quote(p.Name)+" has no corners", "give its corners in "+r.container("outlines")+", in order round it")
		}
	}
}

// outlined reports whether the table `outlines` holds corners of that name,
// right or wrong.
func (r *reading) outlined(name string) bool {
	for _, c := range r.corners {
		if key(c.of) == key(name) {
			return true
		}
	}
	return false
}

func (r *reading) checkPit(p *Pit) {
	holes := len(r.site.HolesOf(p.Name)) > 0
	switch {
	case p.Material != "":
		p.Material = r.material(p.Ref, p.Material)
	case !holes:
		r.wrongOnce(p.Ref, "material", "is blank", "name the soil that the pit holds, or give holes of the pit in borings")
	}
	switch {
	case p.FloorElevation.Given && p.Depth.Given:
		r.wrong(p.Ref, "floor elevation", "stands beside a depth", "keep one of the two")
	case !p.FloorElevation.Given && !p.Depth.Given && !holes:
		r.wrong(p.Ref, "floor elevation", "there is neither a floor elevation nor a depth", "give one of the two, or give holes of the pit in borings, whose layers the floor then follows")
	}
	_, survey := r.tables["survey"]
	survey = survey || r.existing()
	switch {
	case !survey && !p.GroundElevation.Given:
		r.wrong(p.Ref, "ground elevation", "is blank, and there is no survey of the ground", "fill it in, or give the ground as a survey")
	case p.FloorElevation.Given && p.GroundElevation.Given && p.FloorElevation.Value >= p.GroundElevation.Value:
		r.wrong(p.Ref, "floor elevation", "is not below the ground elevation", "look which of the two is wrong")
	}
	if p.Depth.Given && p.Depth.Value <= p.StripDepth {
		r.wrong(p.Ref, "depth", "is not below the stripping, so the pit gives nothing", "dig deeper than the strip depth")
	}
	r.checkLoss(p.Ref, "loss", p.Loss)
}

// wrongOnce reports a problem unless that cell has one.
func (r *reading) wrongOnce(ref Ref, column, what, mend string) {
	for _, p := range r.found {
		if p.Ref.Table == ref.Table && p.Ref.Row == ref.Row && p.Column == column {
			return
		}
	}
	r.wrong(ref, column, what, mend)
}

// corner is a row of the table `outlines`.
type corner struct {
	ref Ref
	of  string
	at  orb.Point
}

// buildOutlines makes the rings of the table `outlines`, one for each name in
// the order of their first rows, and checks them.
func (r *reading) buildOutlines() {
	var order []string
	corners := map[string][]corner{}
	for _, c := range r.corners {
		k := key(c.of)
		if k == "" {
			continue
		}
		if _, ok := corners[k]; !ok {
			order = append(order, k)
		}
		corners[k] = append(corners[k], c)
	}
	for _, k := range order {
		if o, ok := r.outline(corners[k]); ok {
			r.site.Outlines = append(r.site.Outlines, o)
		}
	}
}

// outline makes one ring: closed, counter-clockwise, with its owner's name.
func (r *reading) outline(corners []corner) (Outline, bool) {
	first := corners[0]
	owner, ok := r.outlineOwner(first)
	if n := len(corners); n > 1 && corners[n-1].at == first.at {
		corners = corners[:n-1] // closed by the user already
	}
	name := units.Quote(first.of)
	if len(corners) < 3 {
		r.wrong(first.ref, "of", fmt.Sprintf("the outline of %s has %s", name, plural(len(corners), "corner", "corners")), "give at least three, in order round it")
		return Outline{}, false
	}
	for i := 1; i < len(corners); i++ {
		if corners[i].at == corners[i-1].at {
			r.wrong(corners[i].ref, "", fmt.Sprintf("is the same corner as row %d", corners[i-1].ref.Row), "take one of the rows out")
			return Outline{}, false
		}
	}
	if a, b, cross := findCrossing(corners); cross {
		r.wrong(corners[a].ref, "of", fmt.Sprintf("the outline of %s crosses itself: its sides from rows %d and %d meet", name, corners[a].ref.Row, corners[b].ref.Row),
			"give the corners in order round it")
		return Outline{}, false
	}
	return makeOutline(owner, corners), ok
}

// outlineOwner finds what an outline is the outline of: a pit, a cut or a lining.
func (r *reading) outlineOwner(c corner) (string, bool) {
	for _, table := range []string{"pits", "cuts", "blankets"} {
		if written, ok := r.names[table].written[key(c.of)]; ok {
			return written, true
		}
	}
	for _, table := range []string{"pits", "cuts", "blankets"} {
		if _, ok := r.tables[table]; ok && !r.whole(table) {
			return c.of, true
		}
	}
	var all []string
	for _, table := range []string{"pits", "cuts", "blankets"} {
		all = append(all, r.names[table].list()...)
	}
	mend := "mend the name, or add the pit"
	if near := nearest(c.of, all); near != "" {
		mend = "did you mean " + units.Quote(near) + "?"
	}
	r.wrong(c.ref, "of", units.Quote(c.of)+" is no pit, cut or blanket of the site", mend)
	return c.of, false
}
