package plan

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// prepareGround lays out the centreline and builds the ground.
func (j *Job) prepareGround() site.Problems {
	s := &j.site
	j.origin = originOf(s)
	j.place.Extend = earthwork.Extend(s.Settings.ExtendGround)
	if j.place.Extend == "" {
		j.place.Extend = earthwork.ExtendNo
	}
	if ps := j.layOut(); len(ps) > 0 {
		return ps
	}
	if ps := j.readBoundaries(); len(ps) > 0 {
		return ps
	}
	switch {
	case len(s.Profile) > 0:
		j.place.Ground = profileOf(s.Profile)
	case len(s.Shots) > 0:
		return j.prepareShots()
	case len(s.Survey) > 0 || len(s.ExistingGround()) > 0:
		return j.prepareSurvey()
	}
	if j.place.Ground == nil {
		return site.Problems{{Ref: s.Settings.Ref, What: "there is no ground", Mend: "give a table `profile`, `shots`, `survey` or `surfaces`"}}
	}
	if len(s.Profile) > 0 {
		j.note("look", site.Ref{Table: "profile"}, "the ground is known on the centreline alone and taken as level across; where the valley slopes across the dam the volume differs, so survey cross-sections before you bid", "")
	}
	return nil
}

// originOf is a point near the site. Plan coordinates are taken from it, so that
// a grid with large numbers loses no digits.
func originOf(s *site.Site) orb.Point {
	var p orb.Point
	switch {
	case len(s.Centreline) > 0:
		p = s.Centreline[0].At
	case len(s.Survey) > 0:
		p = s.Survey[0].At
	}
	return orb.Point{math.Round(p[0]), math.Round(p[1])}
}

// here turns a point of the site into the job's own coordinates.
func (j *Job) here(p orb.Point) orb.Point {
	return orb.Point{p[0] - j.origin[0], p[1] - j.origin[1]}
}

// local turns a boundary into the job's own coordinates.
func (j *Job) local(r orb.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = j.here(p)
	}
	return out
}

func profileOf(rows []site.ProfilePoint) earthwork.Profile {
	var p earthwork.Profile
	for _, r := range rows {
		p.Points = append(p.Points, earthwork.ProfilePoint{Station: r.Station, Elevation: r.Elevation})
	}
	return p
}

// layOut makes the centreline of its vertices, where the site has one.
func (j *Job) layOut() site.Problems {
	rows := j.site.Centreline
	j.planUnit = j.site.PlanUnit
	if len(rows) == 0 {
		return j.alignFromFiles()
	}
	v := make([]geometry.Vertex, len(rows))
	for i, r := range rows {
		v[i] = geometry.Vertex{At: j.here(r.At), Radius: r.Radius}
	}
	c, err := geometry.NewCentreline(v, rows[0].Station.Value, j.site.Settings.UpstreamSide == "left")
	if err == nil {
		j.place.Centreline = c
		return nil
	}
	p := site.Problem{Ref: rows[0].Ref, What: err.Error(), Mend: "check the corners and their unit"}
	var at *geometry.VertexError
	if errors.As(err, &at) {
		p.Ref, p.What = rows[max(0, at.Vertex)].Ref, at.Say(j.level)
		if rows[max(0, at.Vertex)].Radius > 0 {
			p.Mend = "check the corner, or give a smaller radius"
		}
	}
	return site.Problems{p}
}

// prepareShots groups the shots by station. The surveyor's offsets are negative
// to the left; ours are negative upstream.
func (j *Job) prepareShots() site.Problems {
	sign := 1.0
	if j.site.Settings.UpstreamSide == "right" {
		sign = -1
	}
	rows := map[float64][]site.Shot{}
	var stations []float64
	for _, r := range j.site.Shots {
		if len(rows[r.Station]) == 0 {
			stations = append(stations, r.Station)
		}
		rows[r.Station] = append(rows[r.Station], r)
	}
	sort.Float64s(stations)
	var g earthwork.Shots
	var ps site.Problems
	for _, st := range stations {
		var l geometry.Line
		for _, r := range rows[st] {
			l = append(l, geometry.Knot{Offset: sign * r.Offset, Elevation: r.Elevation})
		}
		sort.SliceStable(l, func(a, b int) bool { return l[a].Offset < l[b].Offset })
		if from, to := l.Span(); len(l) < 2 || from > 0 || to < 0 {
			ps = append(ps, site.Problem{
				Ref: rows[st][0].Ref, Column: "offset",
				What: fmt.Sprintf("the shots at station %s do not reach from one side of the centreline to the other", j.station(st)),
				Mend: "shoot both sides, or check the signs: negative left, positive right looking up-station",
			})
		}
		g.Sections = append(g.Sections, earthwork.SurveyedSection{Station: st, Line: l})
	}
	if len(stations) < 2 {
		ps = append(ps, site.Problem{
			Ref: j.site.Shots[0].Ref, Column: "station",
			What: "all shots are at one station", Mend: "survey two cross-sections or more",
		})
	}
	j.place.Ground = g
	return ps
}

func stand(n int) string {
	if n == 1 {
		return " stands"
	}
	return "s stand"
}

// breaklines lists the points of each named line in order.
func breaklines(rows []site.SurveyPoint) [][]int {
	index := map[string]int{}
	var out [][]int
	for i, r := range rows {
		if r.Line == "" {
			continue
		}
		k, seen := index[r.Line]
		if !seen {
			k = len(out)
			index[r.Line] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// surveyProblem says in the table's words why points are no surface.
func (j *Job) surveyProblem(err error) site.Problem {
	rows := j.site.Survey
	p := site.Problem{Ref: site.Ref{Table: "survey"}, What: err.Error(), Mend: "check the points and their units"}
	var e *geometry.TINError
	if !errors.As(err, &e) {
		return p
	}
	p.What = e.Rule.String()
	if len(e.Points) > 0 && e.Rule != geometry.UnknownPoint {
		p.Ref = rows[e.Points[len(e.Points)-1]].Ref
	}
	switch e.Rule {
	case geometry.ElevationsDiffer:
		a, b := rows[e.Points[0]], rows[e.Points[1]]
		p.Column = "elevation"
		p.What = fmt.Sprintf("the same place as row %d, but %s there and %s here", a.Ref.Row, j.level(a.Elevation), j.level(b.Elevation))
		p.Mend = "keep the right one"
	case geometry.BreaklinesCross:
		p.Column = "line"
		p.What = fmt.Sprintf("the breaklines %s and %s cross at x %s, y %s, where one says %s and the other %s",
			rows[e.Points[0]].Line, rows[e.Points[2]].Line, j.level(e.At[0]+j.origin[0]), j.level(e.At[1]+j.origin[1]), j.level(e.Elevations[0]), j.level(e.Elevations[1]))
		p.Mend = "survey the crossing, or end one of the lines there"
	case geometry.TooFewPoints, geometry.OnOneLine:
		p.Mend = "survey the ground on both sides of the centreline"
	case geometry.NoGroundLeft:
		p.Ref, p.Column = j.item("longest edge"), "value"
		p.Mend = "set `longest edge` larger"
	}
	return p
}

// sagitta is how far a chord may lie inside a curve of the centreline when its
// ends on the survey are sought, m.
const sagitta = 0.01

// prepareTerrain finds the stretch of the centreline that lies on the surface.
func (j *Job) prepareTerrain() site.Problems {
	points, stations := j.place.Centreline.Chords(sagitta)
	from, to := math.Inf(1), math.Inf(-1)
	cursor := &geometry.Cursor{}
	for i := 1; i < len(points); i++ {
		length := math.Hypot(points[i][0]-points[i-1][0], points[i][1]-points[i-1][1])
		share := (stations[i] - stations[i-1]) / length
		for _, piece := range j.surface.Slice(cursor, points[i-1], points[i]) {
			a, b := piece.Span()
			from, to = min(from, stations[i-1]+a*share), max(to, stations[i-1]+b*share)
		}
	}
	if from >= to {
		return site.Problems{j.farCentreline()}
	}
	// What the slice leaves out at an end through rounding is no gap.
	if from-j.place.Centreline.Start() < sameEnd {
		from = j.place.Centreline.Start()
	}
	if j.place.Centreline.End()-to < sameEnd {
		to = j.place.Centreline.End()
	}
	j.surveyed = stretch{from, to}
	j.terrain = &earthwork.Terrain{Surface: j.surface, Centreline: j.place.Centreline, From: from, To: to}
	j.place.Ground = earthwork.Kept(*j.terrain)
	return nil
}

// stretch is a stretch of stations.
type stretch struct{ from, to float64 }

// surveyEnds finds where the survey stops before the centreline does while the
// dam is still above the ground.
func (j *Job) surveyEnds(d *earthwork.Design) site.Problems {
	if j.surface == nil || j.place.Centreline == nil {
		return nil
	}
	var ps site.Problems
	for _, e := range []struct{ survey, line, sign float64 }{
		{j.surveyed.from, j.place.Centreline.Start(), -1},
		{j.surveyed.to, j.place.Centreline.End(), 1},
	} {
		if e.sign*(e.line-e.survey) <= sameEnd || !d.Stands(e.survey) {
			continue
		}
		line := j.place.Ground.Section(e.survey-e.sign*sameEnd, earthwork.JustBefore, 1)
		ground, ok := line.At(0)
		crest, _ := d.CrestAt(e.survey)
		if !ok || crest <= ground {
			continue
		}
		ps = append(ps, site.Problem{
			Ref: site.Ref{Table: j.groundTable()},
			What: fmt.Sprintf("the survey ends at station %s on the centreline, where the crest is still %s above the ground; the centreline goes on to %s",
				j.station(e.survey), j.length(crest-ground), j.station(e.line)),
			Mend: "survey the whole dam, or end the crest there with `station` in `crest`",
		})
	}
	return ps
}

// surfaceVolume measures the neat dam between surfaces. What lies beyond a hump
// would be in it, and ground that was carried on would not, so then it is not
// figured.
func (j *Job) surfaceVolume(d earthwork.Design, q earthwork.Quantities) *float64 {
	if j.terrain == nil {
		return nil
	}
	v := math.NaN()
	if fits(q) {
		n := len(q.Sections)
		v = earthwork.BetweenStripped(d, *j.terrain, j.place.Measured.Stripped, q.Sections[0].Station, q.Sections[n-1].Station)
	}
	return &v
}

func fits(q earthwork.Quantities) bool {
	for _, w := range q.Warnings {
		if w.Kind == earthwork.Extended {
			return false
		}
	}
	beyond := 0.0
	for _, r := range q.Reaches {
		beyond += earthwork.EndArea(r.Length, q.Sections[r.From].Beyond, q.Sections[r.To].Beyond)
	}
	return beyond <= smallBeyond*q.Fill.EndArea
}

// smallBeyond is the share of the fill that may lie past a hump and do no harm to a
// check of volume: far less than the check allows. Where a bench comes down to
// ground that falls across the dam there is always a little.
const smallBeyond = 1e-4

// sameEnd is how far the survey's edge may lie from the centreline's end and be
// taken as it, m. It guards rounding.
const sameEnd = 1e-6

// farCentreline says that the centreline lies off the survey, and why that may be.
func (j *Job) farCentreline() site.Problem {
	b := j.surface.Bound()
	ref, start := site.Ref{Table: j.groundTable()}, j.place.Centreline.Frame(j.place.Centreline.Start(), true).At
	if len(j.site.Centreline) > 0 {
		ref = j.site.Centreline[0].Ref
	} else if j.alignment != nil {
		ref = j.alignment.Ref
	}
	p := site.Problem{
		Ref:  ref,
		What: fmt.Sprintf("the centreline lies nowhere on the survey; its first point is %s from the survey's points", j.length(boxDistance(b, start))),
		Mend: "check that both use one grid and one unit",
	}
	grid := orb.Point{start[0] + j.origin[0], start[1] + j.origin[1]}
	if b.Contains(j.here(orb.Point{grid[1], grid[0]})) {
		p.Mend = "x and y seem to be swapped in one of the two"
	}
	for _, f := range [2]float64{foot, 1 / foot} {
		if b.Contains(j.here(orb.Point{grid[0] * f, grid[1] * f})) {
			p.Mend = "one of the two seems to be in metres and the other in feet; check the units"
		}
	}
	return p
}

// foot is the international foot, m.
const foot = 0.3048

// boxDistance is how far a point lies from a box, m.
func boxDistance(b orb.Bound, p orb.Point) float64 {
	dx := max(b.Min[0]-p[0], 0, p[0]-b.Max[0])
	dy := max(b.Min[1]-p[1], 0, p[1]-b.Max[1])
	return math.Hypot(dx, dy)
}
