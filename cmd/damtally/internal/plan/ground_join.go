package plan

import (
	"errors"
	"fmt"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// prepareSurvey makes the surface of the survey's points and the files of
// ground, and finds where the centreline is on it.
func (j *Job) prepareSurvey() site.Problems {
	files, ps := j.readFiles()
	if len(ps) > 0 {
		return ps
	}
	g := j.groundUnion()
	for _, f := range files {
		g.limit(f)
	}
	if len(j.site.Survey) == 0 && g.limits.Outer == nil && g.limits.Holes == nil {
		if only := onlySurface(files); only != nil {
			j.surface = only
			return j.prepareTerrain()
		}
	}
	for _, f := range files {
		if p := g.add(f); p != nil {
			return site.Problems{*p}
		}
	}
	g.keepHoles()
	opt := geometry.TINOptions{LongestEdge: j.site.Settings.LongestEdge.Value, Breaklines: g.lines}
	tin, err := geometry.NewTINWithin(g.points, opt, g.limits)
	if err != nil {
		return site.Problems{g.problem(err)}
	}
	j.surface = tin
	g.notes(tin.Summary(), len(files))
	return j.prepareTerrain()
}

// onlySurface is the one surface that stands for itself: nothing is to be joined
// with it.
func onlySurface(files []groundFile) geometry.Surface {
	var only geometry.Surface
	for _, f := range files {
		if len(f.found.Points) > 0 || only != nil && f.found.Surface != nil {
			return nil
		}
		if f.found.Surface != nil {
			only = f.found.Surface
		}
	}
	return only
}

// groundUnion gathers the points and breaklines of all ground, so that it is
// triangulated as one.
type groundUnion struct {
	j      *Job
	points []geometry.GroundPoint
	lines  [][]int
	limits geometry.Limits
	files  []joinedFile
	drawn  []drawn
}

// joinedFile is where the points of a file begin.
type joinedFile struct {
	row   site.SurfaceFile
	first int
}

// groundUnion begins with the survey's own points.
func (j *Job) groundUnion() *groundUnion {
	rows := j.site.Survey
	g := &groundUnion{j: j, points: make([]geometry.GroundPoint, len(rows))}
	for i, r := range rows {
		g.points[i] = geometry.GroundPoint{At: j.here(r.At), Elevation: r.Elevation}
	}
	g.lines = breaklines(rows)
	return g
}

// limit takes the limits of a file.
func (g *groundUnion) limit(f groundFile) {
	g.limits.Outer = append(g.limits.Outer, f.found.Boundary...)
	g.limits.Holes = append(g.limits.Holes, f.found.Holes...)
	if len(f.found.Boundary)+len(f.found.Holes) > 0 {
		g.j.note("note", f.row.Ref, "the ground is taken only within the boundary that "+f.row.File+" draws", "")
	}
}

// add takes the ground of a file.
func (g *groundUnion) add(f groundFile) *site.Problem {
	first := len(g.points)
	g.files = append(g.files, joinedFile{f.row, first})
	if first == 0 {
		g.points = f.found.Points // no copy of what may be millions
	} else {
		g.points = append(g.points, f.found.Points...)
	}
	for _, line := range f.found.Breaklines {
		moved := make([]int, len(line))
		for i, p := range line {
			moved[i] = first + p
		}
		g.lines = append(g.lines, moved)
	}
	if f.found.Surface != nil {
		return g.addSurface(f)
	}
	return nil
}

// mostJoined is the number of triangles that are joined with other ground. It
// guards the memory of the computer.
const mostJoined = 8_000_000

// addSurface takes the corners of a surface, and where it is a surveyor's own the
// edges of its triangles as breaklines.
func (g *groundUnion) addSurface(f groundFile) *site.Problem {
	faces, own := f.found.Surface.(*geometry.Faces)
	first := len(g.points)
	number := map[orb.Point]int{}
	edges := map[[2]int]bool{}
	count := 0
	for t := range f.found.Surface.Triangles(f.found.Surface.Bound()) {
		if count++; count > mostJoined {
			return &site.Problem{
				Ref: f.row.Ref, Column: "file", What: fmt.Sprintf("%s has more than %s triangles, too many to be joined with other ground", f.row.File, units.Number(float64(mostJoined), 0)),
				Mend: "cut it to the site, or give it as the only ground",
			}
		}
		var corner [3]int
		for k, at := range t.At {
			n, seen := number[at]
			if !seen {
				n = len(g.points)
				number[at] = n
				g.points = append(g.points, geometry.GroundPoint{At: at, Elevation: t.Elevation[k]})
			}
			corner[k] = n
		}
		for k := range corner {
			a, b := corner[k], corner[(k+1)%3]
			edge := [2]int{min(a, b), max(a, b)}
			if own && !edges[edge] {
				edges[edge] = true
				g.lines = append(g.lines, []int{a, b})
			}
		}
	}
	if own {
		g.drawn = append(g.drawn, drawn{f.row, faces, first, len(g.points)})
	}
	return nil
}

// notes tells what was done to join the ground.
func (g *groundUnion) notes(s geometry.TINSummary, files int) {
	ref, what := site.Ref{Table: "survey"}, "survey point"
	if files > 0 {
		ref, what = site.Ref{Table: "surfaces"}, "ground point"
	}
	if n := s.Merged; n > 0 {
		g.j.note("note", ref, fmt.Sprintf("%d %s%s at a place that another point has already, with the same elevation; the first counts", n, what, stand(n)), "")
	}
	if sources := files + min(len(g.j.site.Survey), 1); sources > 1 {
		g.j.note("look", ref, fmt.Sprintf("the ground of %d sources is joined: all their points are made one surface of triangles; where they overlap they should agree", sources), "")
	}
}

// problem says where the points stand that are no surface.
func (g *groundUnion) problem(err error) site.Problem {
	var e *geometry.TINError
	if len(g.files) == 0 || !errors.As(err, &e) {
		return g.j.surveyProblem(err)
	}
	p := site.Problem{Ref: g.files[0].row.Ref, Column: "file", What: e.Rule.String(), Mend: "check the points and their units"}
	switch e.Rule {
	case geometry.ElevationsDiffer:
		a, b := e.Points[0], e.Points[1]
		if b < len(g.j.site.Survey) {
			return g.j.surveyProblem(err)
		}
		p.Ref = g.ref(b)
		p.What = fmt.Sprintf("two points at one place, %s, have different elevations: %s%s and %s%s", g.place(e.At),
			g.j.level(g.points[a].Elevation), g.from(a), g.j.level(g.points[b].Elevation), g.from(b))
		p.Mend = "keep the right one"
	case geometry.BreaklinesCross:
		p.Ref = g.ref(e.Points[2])
		p.What = fmt.Sprintf("two breaklines cross at %s, where one says %s%s and the other %s%s", g.place(e.At),
			g.j.level(e.Elevations[0]), g.from(e.Points[0]), g.j.level(e.Elevations[1]), g.from(e.Points[2]))
		p.Mend = "survey the crossing, or end one of the lines there"
	case geometry.TooFewPoints, geometry.OnOneLine:
		p.Mend = "give the ground on both sides of the centreline"
	case geometry.NoGroundLeft:
		p.Ref, p.Column, p.Mend = g.j.item("longest edge"), "value", "set `longest edge` larger"
		if len(g.limits.Outer)+len(g.limits.Holes) > 0 {
			p.Ref, p.Column = g.files[0].row.Ref, "file"
			p.What, p.Mend = "no ground is left within the boundary", "check the boundary, and `longest edge`"
		}
	}
	return p
}

// file is the file that a point comes from, nil for the survey.
func (g *groundUnion) file(point int) *site.SurfaceFile {
	var out *site.SurfaceFile
	for i := range g.files {
		if point >= g.files[i].first {
			out = &g.files[i].row
		}
	}
	return out
}

func (g *groundUnion) ref(point int) site.Ref {
	if f := g.file(point); f != nil {
		return f.Ref
	}
	if point < len(g.j.site.Survey) {
		return g.j.site.Survey[point].Ref
	}
	return site.Ref{Table: "surfaces"}
}

// from tells where a point comes from when that is not plain.
func (g *groundUnion) from(point int) string {
	if len(g.files)+min(len(g.j.site.Survey), 1) < 2 {
		return ""
	}
	if f := g.file(point); f != nil {
		return " in " + f.File
	}
	return " in the table survey"
}

// place writes a place in the unit of output.
func (g *groundUnion) place(p orb.Point) string {
	return fmt.Sprintf("x %s, y %s", g.j.level(p[0]+g.j.origin[0]), g.j.level(p[1]+g.j.origin[1]))
}
