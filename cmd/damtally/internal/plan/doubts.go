package plan

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// This file holds what the tables leave open or say oddly about the dam: reaches
// that miss it, cells left blank that stand for a number, sizes out of the way.

// Sizes beyond which a cell is likely a slip (common practice for pond dams).
const (
	deepStripping = 1.0  // m
	flatFace      = 10.0 // horizontal to one vertical
)

// extentOf is the stretch of stations on which the dam stands.
func extentOf(q *earthwork.Quantities) stretch {
	out := stretch{math.Inf(1), math.Inf(-1)}
	for i := range q.Sections {
		if s := &q.Sections[i]; s.Fill || s.Width.Area > 0 {
			out.from, out.to = min(out.from, s.Station), max(out.to, s.Station)
		}
	}
	return out
}

// misses tells whether a reach of stations has nothing in common with the dam.
func (s stretch) misses(from, to site.Number) bool {
	return (from.Given && from.Value >= s.to) || (to.Given && to.Value <= s.from)
}

// offTheDam finds the reaches of tables that lie wholly beside the dam, so that
// nothing comes of them.
func (j *Job) offTheDam(q *earthwork.Quantities) site.Problems {
	var ps site.Problems
	dam := extentOf(q)
	wrong := func(ref site.Ref, column, what string) {
		ps = append(ps, site.Problem{
			Ref: ref, Column: column,
			What: fmt.Sprintf("%s, but the dam stands from station %s to %s", what, j.station(dam.from), j.station(dam.to)),
			Mend: "check the stations, or take the row out",
		})
	}
	for _, r := range j.site.Stripping {
		if dam.misses(r.FromStation, r.ToStation) {
			wrong(r.Ref, "from station", "this stripping lies wholly beside the dam")
		}
	}
	for _, f := range j.site.Faces {
		if dam.misses(f.FromStation, f.ToStation) {
			wrong(f.Ref, "from station", "this part of the face lies wholly beside the dam")
		}
	}
	if t := j.site.Trench; len(t) > 0 && !underFill(q) {
		last := t[len(t)-1]
		if len(t) > 1 && (t[0].Station >= dam.to || last.Station <= dam.from) {
			wrong(t[0].Ref, "station", fmt.Sprintf("the trench runs from station %s to %s", j.station(t[0].Station), j.station(last.Station)))
		} else {
			ps = append(ps, site.Problem{
				Ref: t[0].Ref, What: "nothing is dug for the trench anywhere under the dam",
				Mend: "check its offset, and its depth or bottom elevation against the ground",
			})
		}
	}
	return ps
}

// underFill tells whether the trench is dug under the dam anywhere.
func underFill(q *earthwork.Quantities) bool {
	for i := range q.Sections {
		s := &q.Sections[i]
		if n := len(s.Dug); n > 0 && s.Dug[0].From < s.DownstreamToe && s.Dug[n-1].To > s.UpstreamToe {
			return true
		}
	}
	return false
}

// doubts are the notes about blank cells and odd sizes of the dam's tables.
func (j *Job) doubts(r *Result) []site.Note {
	var out []site.Note
	add := func(level string, ref site.Ref, text string) {
		out = append(out, site.Note{Level: level, Ref: ref, Text: text})
	}
	dam := extentOf(&r.Quantities)
	j.doubtStripping(dam, add)
	j.doubtTrench(r, dam, add)
	for _, f := range j.site.Faces {
		if f.Slope > flatFace {
			add("look", f.Ref, fmt.Sprintf("a slope of %.1f across to 1 up is very flat for a dam; check it", f.Slope))
		}
		if f.ToElevation.Given && !j.reaches(f, &r.Quantities) {
			add("look", f.Ref, fmt.Sprintf("this part of the face ends at %s, above the crest wherever it stands, so it and its bench are left out", j.level(f.ToElevation.Value)))
		}
	}
	out = append(out, j.doubtLoss(r)...)
	if set := r.Design.Settlement; set.Allowance > 0 && !set.CrestIsBuilt && set.Basis == earthwork.OnHeight {
		add("note", j.item("settlement allowance"), "stripping and ground covered are figured to the toes of the dam as drawn; the dam as built, higher by the allowance with the same slopes, reaches somewhat farther out on both sides")
	}
	return out
}

// reaches tells whether the crest lies above the end of a part of a face
// anywhere.
func (j *Job) reaches(f site.FacePart, q *earthwork.Quantities) bool {
	for i := range q.Sections {
		if s := &q.Sections[i]; s.Fill && s.Crest > f.ToElevation.Value {
			return true
		}
	}
	return false
}

func (j *Job) doubtStripping(dam stretch, add func(level string, ref site.Ref, text string)) {
	rows := j.site.Stripping
	if len(rows) == 0 {
		add("look", site.Ref{}, "there is no table `stripping`, so no topsoil is taken off under the dam and the fill starts at the surveyed ground")
	}
	covered := dam.from
	for _, r := range rows {
		if r.Depth > deepStripping {
			add("look", r.Ref, fmt.Sprintf("stripping %s deep is very deep; check the depth and its unit", j.length(r.Depth)))
		}
		if from := r.FromStation.Or(dam.from); from > covered+sameEnd {
			add("look", r.Ref, fmt.Sprintf("nothing is stripped from station %s to %s, between two rows", j.station(covered), j.station(from)))
		}
		covered = max(covered, r.ToStation.Or(dam.to))
	}
	if len(rows) > 0 && covered < dam.to-sameEnd {
		add("look", rows[len(rows)-1].Ref, fmt.Sprintf("nothing is stripped from station %s to the end of the dam at %s", j.station(covered), j.station(dam.to)))
	}
}

func (j *Job) doubtTrench(r *Result, dam stretch, add func(level string, ref site.Ref, text string)) {
	t := j.site.Trench
	if len(t) == 1 {
		add("note", t[0].Ref, "a trench of a single row runs as long as the dam, with the same measures all along")
	}
	if len(t) > 1 && (t[0].Station < dam.from-sameEnd || t[len(t)-1].Station > dam.to+sameEnd) {
		add("look", t[0].Ref, fmt.Sprintf("the trench runs from station %s to %s, beyond the dam, which stands from %s to %s; all of it is counted",
			j.station(t[0].Station), j.station(t[len(t)-1].Station), j.station(dam.from), j.station(dam.to)))
	}
	for i := range r.Quantities.Sections {
		s := &r.Quantities.Sections[i]
		if !s.Fill || len(s.Dug) == 0 {
			continue
		}
		if s.Dug[0].From < s.UpstreamToe-sameEnd || s.Dug[len(s.Dug)-1].To > s.DownstreamToe+sameEnd {
			add("look", t[0].Ref, fmt.Sprintf("at station %s the trench reaches out beyond the dam's toe; check its offset and width", j.station(s.Station)))
			return
		}
	}
}

// doubtLoss says where a loss or a waste was left blank.
func (j *Job) doubtLoss(r *Result) []site.Note {
	var out []site.Note
	of := func(level string, ref site.Ref, text, item string) {
		out = append(out, site.Note{Level: level, Ref: ref, Text: text, Item: item})
	}
	for _, m := range r.Materials {
		name := m.Row.Name
		switch {
		case !m.used():
		case m.Bought && !m.Row.Waste.Given:
			of("look", m.Row.Ref, "no `waste` is given, so what is bought is what lies in the dam; some is always lost", name)
		case m.Bought:
			of("note", m.Row.Ref, "what is bought is what lies in the dam / (1 - waste); waste is a share of what is bought", name+" "+percent(m.Row.Waste.Value))
		case m.Known && m.Loss == 0 && !m.Row.Loss.Given:
			of("look", m.Row.Ref, "no `loss` is given, so all that is dug is taken to reach the dam; some is always spilled or rejected", name)
		}
	}
	return out
}

// doubtPits says what is odd about the pits: sides left blank, a floor that the
// sides never reach, a pit under the dam.
func (j *Job) doubtPits(r *Result) []site.Note {
	var out []site.Note
	for _, p := range r.Pits {
		if !p.Row.SideSlopeGiven {
			out = append(out, site.Note{Level: "look", Ref: p.Row.Ref, Text: fmt.Sprintf(
				"pit %s has no `side slope`, so its sides are taken as vertical: that holds the most and may not stand; give the slope", p.Row.Name)})
		}
		if p.Capacity.Floor == 0 && p.Capacity.Dug > 0 {
			out = append(out, site.Note{Level: "look", Ref: p.Row.Ref, Text: fmt.Sprintf(
				"the sides of pit %s meet %s below the ground, before they reach the floor", p.Row.Name, j.length(p.Capacity.Deepest))})
		}
		if j.underDam(p.Row, &r.Quantities) {
			out = append(out, site.Note{Level: "danger", Ref: p.Row.Ref, Text: fmt.Sprintf(
				"pit %s lies under the dam or at its toe: digging there weakens the foundation and lets water through; ask your engineer", p.Row.Name)})
		}
	}
	return out
}

// underDam tells whether a pit reaches under the dam, by points across each
// section from toe to toe and the pit's own corners against the footprint.
func (j *Job) underDam(row site.Pit, q *earthwork.Quantities) bool {
	if j.place.Centreline == nil {
		return false
	}
	ring := j.local(row.Ring)
	var up, down orb.Ring
	for i := range q.Sections {
		s := &q.Sections[i]
		if !s.Fill {
			continue
		}
		f := j.place.Centreline.Frame(s.Station, s.At == earthwork.After)
		up = append(up, f.Plan(s.UpstreamToe))
		down = append(down, f.Plan(s.DownstreamToe))
		for k := range acrossDam + 1 {
			x := s.UpstreamToe + (s.DownstreamToe-s.UpstreamToe)*float64(k)/acrossDam
			if planar.RingContains(ring, f.Plan(x)) {
				return true
			}
		}
	}
	for i := len(down) - 1; i >= 0; i-- {
		up = append(up, down[i])
	}
	if len(up) < 3 {
		return false
	}
	up = append(up, up[0])
	for _, corner := range ring {
		if planar.RingContains(up, corner) {
			return true
		}
	}
	return false
}

// acrossDam is the number of parts into which a section is divided to see
// whether a pit lies under it.
const acrossDam = 16
