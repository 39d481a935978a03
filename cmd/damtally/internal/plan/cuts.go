package plan

import (
	"errors"
	"fmt"
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
)

// Cut is an excavation that the job needs beside the trench, such as a spillway,
// and what comes out of it. Its boundary is drawn at the ground, as a pit's is.
type Cut struct {
	Row site.Cut
	// Capacity is what is dug; no topsoil is parted off, so Bank is all of it.
	Capacity borrow.Capacity
	// Usable says that what comes out may go into the dam: then the cut is a
	// source of Row.Material.
	Usable bool
	Loose  float64 // m3 in trucks; NaN where the material's swell is not known
}

// prepareCuts measures every cut.
func (j *Job) prepareCuts() site.Problems {
	ps := j.cutConflicts()
	for _, row := range j.site.Cuts {
		if len(row.Ring) == 0 {
			continue // its boundary is a problem already
		}
		c, err := borrow.Pit{Ring: j.local(row.Ring), SideSlope: row.SideSlope, Floor: row.FloorElevation, Surface: j.surface}.Measure()
		if err != nil {
			ps = append(ps, j.cutProblem(row, err))
			continue
		}
		out := Cut{Row: row, Capacity: c, Usable: row.Usable == "yes", Loose: math.NaN()}
		if s := j.soil(row.Material); s != nil && s.factors.LoadFactor > 0 {
			out.Loose = borrow.LooseFor(c.Bank, s.factors.Swell)
		}
		j.cuts = append(j.cuts, out)
		j.noteCut(&out)
	}
	return ps
}

// noteCut says what a cut gives and what was taken for granted.
func (j *Job) noteCut(c *Cut) {
	name := c.Row.Name
	text := fmt.Sprintf("cut %s: %s come out, between its boundary at the ground and its floor at %s, up to %s deep; topsoil on it is not parted off",
		name, j.volume(c.Capacity.Bank, "bank"), j.level(c.Row.FloorElevation), j.length(c.Capacity.Deepest))
	switch {
	case c.Usable:
		text += "; `usable` is yes, so it counts as a source of " + c.Row.Material
	case c.Row.Usable == "" && c.Row.Material != "":
		text += "; it does not say `usable`, so none of it counts as borrow"
	default:
		text += "; none of it counts as borrow"
	}
	j.note("note", c.Row.Ref, text, "")
	if !c.Row.SideSlopeGiven {
		j.note("look", c.Row.Ref, fmt.Sprintf("cut %s has no `side slope`, so its sides are taken as vertical, which may not stand; give the slope", name), "")
	}
	if c.Capacity.Floor == 0 {
		j.note("look", c.Row.Ref, fmt.Sprintf("the sides of cut %s meet %s below the ground, before they reach the floor", name, j.length(c.Capacity.Deepest)), "")
	}
}

// cutConflicts finds cuts over ground that a pit or another cut has already.
func (j *Job) cutConflicts() site.Problems {
	var ps site.Problems
	for i, c := range j.site.Cuts {
		wrong := func(other string) {
			ps = append(ps, site.Problem{
				Ref: c.Ref, Column: "cut",
				What: fmt.Sprintf("cut %s and %s overlap, so the ground they share would be counted twice", c.Name, other),
				Mend: "move the corners of one of them",
			})
		}
		for _, o := range j.site.Cuts[:i] {
			if overlap(o.Ring, c.Ring) {
				wrong("cut " + o.Name)
			}
		}
		for _, o := range j.site.Pits {
			if overlap(o.Ring, c.Ring) {
				wrong("pit " + o.Name)
			}
		}
	}
	return ps
}

// cutProblem says in the table's words why a cut has no volume.
func (j *Job) cutProblem(row site.Cut, err error) site.Problem {
	p := site.Problem{Ref: row.Ref, Column: "cut", What: fmt.Sprintf("cut %s: %v", row.Name, err), Mend: "check its corners, floor and slope"}
	var ground *borrow.GroundError
	var ring *borrow.RingError
	switch {
	case errors.As(err, &ground):
		p.What = fmt.Sprintf("cut %s reaches off the survey near %s, along %s", row.Name, j.planPoint(j.siteOf(ground.At)), j.length(ground.Gap))
		p.Mend = "survey the whole cut, or move its corners in"
	case errors.As(err, &ring):
		p.What = fmt.Sprintf("the boundary of cut %s is no cut near %s: %s", row.Name, j.planPoint(j.siteOf(ring.At)), ring.What)
		p.Mend = "give its corners in order round it"
	case errors.Is(err, borrow.ErrSteepGround):
		p.Column, p.Mend = "side slope", "make the sides steeper or move the corners"
		p.What = fmt.Sprintf("cut %s: the ground falls away from the boundary as steeply as the sides, so nothing can be dug", row.Name)
	case errors.Is(err, borrow.ErrFloorAbove):
		p.Column, p.Mend = "floor elevation", "check the floor's elevation and the ground's"
		p.What = fmt.Sprintf("cut %s: the floor lies above the ground everywhere", row.Name)
	}
	return p
}

// siteOf turns a point of the job's own coordinates into the site's.
func (j *Job) siteOf(p orb.Point) orb.Point { return orb.Point{p[0] + j.origin[0], p[1] + j.origin[1]} }

// cutResults are the results of cuts that a pay item may name.
func (j *Job) cutResults(set func(name string, kind units.Kind, value func() float64)) {
	for i, c := range j.cuts {
		set("cut "+c.Row.Name, units.Volume, func() float64 { return j.cuts[i].Capacity.Bank })
	}
}

// doubtCuts says where a cut reaches under the dam.
func (j *Job) doubtCuts(r *Result) []site.Note {
	var out []site.Note
	for _, c := range r.Cuts {
		if at, under := j.underDamAt(j.local(c.Row.Ring), &r.Quantities); under {
			out = append(out, site.Note{Level: "danger", Ref: c.Row.Ref, Text: fmt.Sprintf(
				"cut %s reaches under the dam or its toe between stations %s and %s: what is dug there is not filled again in these figures, it weakens the foundation and lets water through; move the cut, and ask your engineer",
				c.Row.Name, j.station(at.from), j.station(at.to))})
		}
	}
	return out
}

// underDamAt tells whether a boundary, in the job's own coordinates, reaches
// under the dam, and on which stretch: between every two neighbouring sections the
// ground from toe to toe is a quadrangle in plan.
func (j *Job) underDamAt(ring orb.Ring, q *earthwork.Quantities) (at stretch, under bool) {
	line := j.place.Centreline
	if line == nil || len(ring) == 0 {
		return stretch{}, false
	}
	for i := 1; i < len(q.Sections); i++ {
		a, b := &q.Sections[i-1], &q.Sections[i]
		if a.Station == b.Station || a.Width.Area+b.Width.Area == 0 {
			continue
		}
		fa, fb := line.Frame(a.Station, true), line.Frame(b.Station, false)
		quad := orb.Ring{fa.Plan(a.UpstreamToe), fb.Plan(b.UpstreamToe), fb.Plan(b.DownstreamToe), fa.Plan(a.DownstreamToe), fa.Plan(a.UpstreamToe)}
		if !overlap(quad, ring) {
			continue
		}
		if !under {
			at.from = a.Station
		}
		at.to, under = b.Station, true
	}
	return at, under
}
