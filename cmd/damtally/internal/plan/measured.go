package plan

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// Dug is what was measured after stripping or after the trench was dug, beside what
// was planned. The volumes of the result rest on the measured ground; Planned is the
// same design with its own depths.
type Dug struct {
	// Stripped and Trench say from which surfaces it was measured, with their days,
	// in the order in which they count; either may be empty.
	Stripped, Trench []string
	Planned          earthwork.Quantities
	Rows             []DugRow // one for each section of the result
}

// DugRow is one section. What was planned there lies between the planned sections
// beside it where they stand elsewhere.
type DugRow struct {
	PlannedStripping, PlannedTrench float64 // m2
	// PlannedBottom and Bottom are the lowest of the trench, m; NaN where none is dug.
	PlannedBottom, Bottom float64
}

// prepareMeasured reads the surfaces that show the ground after stripping and the
// open trench.
func (j *Job) prepareMeasured() site.Problems {
	var rows []site.SurfaceFile
	for _, f := range j.site.Surfaces {
		if f.Use == useStripped || f.Use == useTrenchDug {
			rows = append(rows, f)
		}
	}
	if len(rows) == 0 {
		return nil
	}
	if j.place.Centreline == nil {
		return site.Problems{{Ref: rows[0].Ref, Column: "use", What: "measured ground is set against the dam in plan, and there is no centreline", Mend: "give a table centreline"}}
	}
	root, err := j.openSite()
	if err != nil {
		return site.Problems{openProblem(rows[0].Ref, err)}
	}
	defer root.Close()
	sort.SliceStable(rows, func(a, b int) bool { return rows[a].Date < rows[b].Date })
	var ps site.Problems
	reader := reconciler{Job: j}
	for _, row := range rows {
		found, p := j.readGround(root, row, j.window())
		if p != nil {
			ps = append(ps, *p)
			continue
		}
		j.noteFile(row, found)
		w, p := reader.workSurface(groundFile{row, found})
		if p != nil {
			ps = append(ps, *p)
			continue
		}
		j.takeMeasured(w)
	}
	return ps
}

// takeMeasured keeps a measured surface in its place.
func (j *Job) takeMeasured(w workSurvey) {
	j.measured = append(j.measured, w)
	m := &j.place.Measured
	if w.row.Use == useStripped {
		m.Stripped = append(m.Stripped, w.surface)
	} else {
		m.Dug = append(m.Dug, w.surface)
	}
}

// dug sets the measured ground beside the planned depths; nil where nothing was
// measured.
func (j *Job) dug(d earthwork.Design, q *earthwork.Quantities) (*Dug, site.Problems) {
	if len(j.measured) == 0 {
		return nil, nil
	}
	out := &Dug{Rows: make([]DugRow, len(q.Sections))}
	for _, w := range j.measured {
		name := w.row.Name
		if w.row.Date != "" {
			name += ", " + w.row.Date
		}
		if w.row.Use == useStripped {
			out.Stripped = append(out.Stripped, name)
		} else {
			out.Trench = append(out.Trench, name)
		}
	}
	place := j.place
	place.Measured = earthwork.Measured{}
	var err error
	if out.Planned, err = earthwork.Cut(d, place); err != nil {
		return nil, j.problemsOf(err)
	}
	for i := range q.Sections {
		s := &q.Sections[i]
		row := plannedAt(&out.Planned, s)
		row.Bottom = trenchBottom(s)
		out.Rows[i] = row
	}
	return out, nil
}

// plannedAt is what was planned at a section: that of the planned section there,
// else straight between those beside it, and nothing beyond the planned dam.
func plannedAt(q *earthwork.Quantities, at *earthwork.Section) DugRow {
	none := DugRow{PlannedBottom: math.NaN()}
	for i := range q.Sections {
		s := &q.Sections[i]
		if math.Abs(s.Station-at.Station) <= sameEnd && (s.At == at.At || s.At == earthwork.On || at.At == earthwork.On) {
			return DugRow{PlannedStripping: s.Stripping.Area, PlannedTrench: s.Trench.Area, PlannedBottom: trenchBottom(s)}
		}
		if s.Station > at.Station && i > 0 {
			b := &q.Sections[i-1]
			f := (at.Station - b.Station) / (s.Station - b.Station)
			mix := func(x, y float64) float64 { return x + f*(y-x) }
			return DugRow{
				PlannedStripping: mix(b.Stripping.Area, s.Stripping.Area), PlannedTrench: mix(b.Trench.Area, s.Trench.Area),
				PlannedBottom: mix(trenchBottom(b), trenchBottom(s)),
			}
		}
	}
	return none
}

// trenchBottom is the lowest of a section's trench, NaN where none is dug.
func trenchBottom(s *earthwork.Section) float64 {
	low := math.NaN()
	for _, slab := range s.Dug {
		for _, t := range slab.Stack {
			if z := min(t.BottomFrom, t.BottomTo); math.IsNaN(low) || z < low {
				low = z
			}
		}
	}
	return low
}

// measuredRef is the row of the first measured surface of a use.
func (j *Job) measuredRef(use string) site.Ref {
	for _, w := range j.measured {
		if w.row.Use == use {
			return w.row.Ref
		}
	}
	return site.Ref{Table: "surfaces"}
}

// wholeWidth is the share of the dam's width from which measured ground counts as
// whole. It guards the rounding of a survey's edge.
const wholeWidth = 0.995

// dugNotes tell what was measured in the place of the planned depths, and where the
// two are far apart.
func (j *Job) dugNotes(r *Result) []site.Note {
	if r.Dug == nil {
		return nil
	}
	var out []site.Note
	add := func(level, use, text string) {
		out = append(out, site.Note{Level: level, Ref: j.measuredRef(use), Text: text})
	}
	q, planned := &r.Quantities, &r.Dug.Planned
	if len(r.Dug.Stripped) > 0 {
		width, seen := seenWidth(q)
		text := fmt.Sprintf("the stripped ground is that measured (%s): %s of topsoil in place, where %s were planned; the neat fill is %s, where %s were planned",
			strings.Join(r.Dug.Stripped, "; "), j.volume(q.Stripping, ""), j.volume(planned.Stripping, ""),
			j.volume(q.Fill.EndArea+q.Fill.Bend, "compacted"), j.volume(planned.Fill.EndArea+planned.Fill.Bend, "compacted"))
		level := "note"
		if seen < wholeWidth*width {
			level = "look"
			text += fmt.Sprintf("; it covers %s of the ground from toe to toe, and elsewhere the depths of `stripping` stand", percent(math.Floor(1000*seen/width)/1000))
		}
		add(level, useStripped, text)
		if s := most(q, func(s *earthwork.Section) float64 { return s.Heaped }); s.Heaped > earthwork.SurveyNoise {
			add("look", useStripped, fmt.Sprintf("at station %s the ground measured after stripping lies %s above the ground as it was: was soil filled there, or do the two surveys differ?", j.station(s.Station), j.length(s.Heaped)))
		}
	}
	if len(r.Dug.Trench) > 0 {
		add("note", useTrenchDug, fmt.Sprintf("the trench is that measured (%s): %s dug and filled again, where %s were planned",
			strings.Join(r.Dug.Trench, "; "), j.volume(q.Trench, "in place"), j.volume(planned.Trench, "in place")))
		out = append(out, j.shallowTrench(r)...)
	}
	return out
}

// shallowTrench tells where the open trench is not as deep as planned, and where it
// was not measured.
func (j *Job) shallowTrench(r *Result) []site.Note {
	var out []site.Note
	worst, at, bare := earthwork.SurveyNoise, -1, -1
	for i, row := range r.Dug.Rows {
		s := &r.Quantities.Sections[i]
		bottom := row.Bottom
		if math.IsNaN(bottom) { // nothing is dug
			bottom = s.StrippedLevel
		}
		switch {
		case math.IsNaN(row.PlannedBottom):
		case !s.DugSeen:
			bare = i
		case bottom-row.PlannedBottom > worst:
			worst, at = bottom-row.PlannedBottom, i
		}
	}
	ref := j.measuredRef(useTrenchDug)
	if at >= 0 {
		out = append(out, site.Note{Level: "look", Ref: ref, Text: fmt.Sprintf(
			"at station %s the open trench is %s less deep than planned, the most anywhere: did it reach the layer that holds the water back? let your engineer see it before it is filled",
			j.station(r.Quantities.Sections[at].Station), j.length(worst))})
	}
	if bare >= 0 {
		out = append(out, site.Note{Level: "look", Ref: ref, Text: fmt.Sprintf(
			"the measured trench does not reach all of the planned one, such as at station %s; there the planned depths stand", j.station(r.Quantities.Sections[bare].Station))})
	}
	return out
}

// seenWidth is the plan area from toe to toe, and how much of it was measured after
// stripping, m2 by average end area.
func seenWidth(q *earthwork.Quantities) (width, seen float64) {
	for _, r := range q.Reaches {
		a, b := &q.Sections[r.From], &q.Sections[r.To]
		width += r.Length * (a.Width.Area + b.Width.Area) / 2
		seen += r.Length * (a.StrippedSeen + b.StrippedSeen) / 2
	}
	return max(width, math.SmallestNonzeroFloat64), seen
}

// most is the section at which something is greatest.
func most(q *earthwork.Quantities, of func(*earthwork.Section) float64) *earthwork.Section {
	best := &q.Sections[0]
	for i := range q.Sections {
		if s := &q.Sections[i]; of(s) > of(best) {
			best = s
		}
	}
	return best
}
