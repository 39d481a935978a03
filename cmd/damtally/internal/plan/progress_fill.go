package plan

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// FillSurvey is the dam at the day of a survey.
type FillSurvey struct {
	Name, Date string
	Base       string // the survey of the base, "" where it is the design's own
	Progress   earthwork.Progress
	Covered    float64 // share of the dam's plan area that the survey covers
	NotBegun   int     // sections that show the ground as it was before stripping
	Points     [2]int  // of base and of fill survey within the footprint
	Area       float64 // in plan that is covered by fill, m2
	Error      float64 // standard error of the compacted volume, m3
	// Between is the fill within the toes measured between surfaces, a check of the
	// sections; NaN where the base is not one surface or the survey not whole.
	Between float64
}

// measureFills measures the dam at each survey of the fill.
func (j *reconciler) measureFills(r *Result, work []workSurvey) []FillSurvey {
	var base *workSurvey
	var fills []*workSurvey
	for i := range work {
		switch w := &work[i]; w.row.Use {
		case useTrenchDug:
			base = w
		case useStripped:
			if base == nil || base.row.Use == useStripped {
				base = w
			}
		case useFillSurvey:
			fills = append(fills, w)
		}
	}
	var out []FillSurvey
	for _, w := range fills {
		out = append(out, j.measureFill(r, w, base))
	}
	return out
}

// measureFill measures the dam at one survey.
func (j *reconciler) measureFill(r *Result, fill, base *workSurvey) FillSurvey {
	q := &r.Quantities
	ground := func(w *workSurvey) earthwork.Ground {
		return earthwork.Terrain{Surface: w.surface, Centreline: j.place.Centreline, From: math.Inf(-1), To: math.Inf(1)}
	}
	out := FillSurvey{Name: fill.row.Name, Date: fill.row.Date}
	var under earthwork.Ground
	if base != nil {
		out.Base = base.row.Name
		if base.row.Use == useTrenchDug { // the sections rest on the stripped survey already
			under = ground(base)
		}
	}
	out.Progress = earthwork.Surveyed(q, j.place, ground(fill), under)
	out.Covered, out.NotBegun, out.Area = spreadOver(q, &out.Progress)
	rings := r.Plan.Footprint
	out.Points = [2]int{len(q.Sections), pointsWithin(fill.surface, rings)}
	if base != nil {
		out.Points[0] = pointsWithin(base.surface, rings)
	} else if j.surface != nil {
		out.Points[0] = pointsWithin(j.surface, rings)
	}
	out.Error = assumed.survey().VolumeError(out.Area, out.Points[0], out.Points[1])
	if base == nil && len(r.Design.Stripping) > 0 {
		out.Error = math.Hypot(out.Error, assumed.Strip*out.Area)
	}
	if out.Between = math.NaN(); out.NotBegun == 0 && 1-out.Covered <= missingShare {
		out.Between = j.betweenSurfaces(r, fill, base)
	}
	j.noteFill(&out, fill)
	return out
}

// spreadOver is the share of the dam's plan area that a survey covers, how many
// sections are not begun, and the plan area under fill, m2. Areas are widths by
// average end area.
func spreadOver(q *earthwork.Quantities, p *earthwork.Progress) (covered float64, notBegun int, area float64) {
	width, seen := 0.0, 0.0
	filled := make([]float64, len(p.Sections))
	for i, s := range p.Sections {
		if s.NotBegun {
			notBegun++
		}
		placed, design := s.Above+s.Beside, 0.0
		for k := range s.Zones {
			placed += s.Zones[k]
			design += s.Design[k]
		}
		if placed > 0 && design > 0 {
			filled[i] = q.Sections[i].Width.Area
		}
	}
	for _, r := range q.Reaches {
		a, b := q.Sections[r.From].Width.Area, q.Sections[r.To].Width.Area
		width += r.Length * (a + b) / 2
		seen += r.Length * (a*p.Sections[r.From].Covered + b*p.Sections[r.To].Covered) / 2
		area += r.Length * (filled[r.From] + filled[r.To]) / 2
	}
	if width == 0 {
		return 1, notBegun, area
	}
	return seen / width, notBegun, area
}

// betweenSurfaces is the fill within the toes between the base and the survey, m3.
func (j *reconciler) betweenSurfaces(r *Result, fill, base *workSurvey) float64 {
	var from geometry.Surface
	trench := 0.0
	switch {
	case base != nil:
		from = base.surface
		if base.row.Use == useStripped {
			trench = r.Quantities.Trench
		}
	case j.surface != nil && len(r.Design.Stripping) <= 1:
		from, trench = j.surface, r.Quantities.Trench
		if len(r.Design.Stripping) == 1 {
			s := r.Design.Stripping[0]
			if !math.IsInf(s.From, -1) || !math.IsInf(s.To, 1) {
				return math.NaN()
			}
			from = lowered{from, s.Depth}
		}
	default:
		return math.NaN()
	}
	sum := 0.0
	for _, ring := range r.Plan.Footprint {
		c, err := geometry.Compare(from, fill.surface, orb.Polygon{ring})
		if err != nil || c.Missing > missingShare*c.Area {
			return math.NaN()
		}
		sum += c.Fill
	}
	return sum + trench
}

// noteFill tells what was assumed of a survey of the fill.
func (j *reconciler) noteFill(f *FillSurvey, w *workSurvey) {
	if 1-f.Covered > missingShare {
		j.note("look", w.row.Ref, fmt.Sprintf("the survey %s covers %s of the dam's plan area; what lies elsewhere is not counted", w.row.Name, percent(math.Round(1000*f.Covered)/1000)), "")
	}
	if f.NotBegun > 0 {
		j.note("look", w.row.Ref, fmt.Sprintf("at %d sections the survey %s shows the ground as it was before stripping; nothing is counted there", f.NotBegun, w.row.Name), "")
	}
	if f.Base == "" {
		j.note("look", w.row.Ref, "no survey shows the ground under the dam as stripped and dug, so the design's own stands for it; a deeper trench or soft spots dug out would look like too little fill", "")
	}
}
