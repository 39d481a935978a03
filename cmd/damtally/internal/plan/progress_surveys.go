package plan

import (
	"errors"
	"fmt"
	"iter"
	"math"
	"sort"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// The words of the column `use` for surfaces that show the work.
const (
	useStripped    = "stripped"
	useTrenchDug   = "trench dug"
	useFillSurvey  = "fill survey"
	usePitSurvey   = "pit survey"
	usePitStripped = "pit stripped"
)

// workSurvey is a surface that shows the work at some day.
type workSurvey struct {
	row     site.SurfaceFile
	surface geometry.Surface
}

// readWork reads every surface that shows the work, in the order of their days;
// one without a day comes first.
func (j *reconciler) readWork() ([]workSurvey, site.Problems) {
	var rows []site.SurfaceFile
	for _, f := range j.site.Surfaces {
		if f.Use != "existing" {
			rows = append(rows, f)
		}
	}
	if len(rows) == 0 {
		return nil, nil
	}
	if j.place.Centreline == nil {
		return nil, site.Problems{{Ref: rows[0].Ref, Column: "use", What: "a survey of the work needs a centreline, and there is none", Mend: "give a table centreline"}}
	}
	root, err := j.openSite()
	if err != nil {
		return nil, site.Problems{openProblem(rows[0].Ref, err)}
	}
	defer root.Close()
	var out []workSurvey
	var ps site.Problems
	for _, row := range rows {
		found, p := j.readGround(root, row, j.window())
		if p == nil {
			var w workSurvey
			if w, p = j.workSurface(groundFile{row, found}); p == nil {
				out = append(out, w)
				continue
			}
		}
		ps = append(ps, *p)
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].row.Date < out[b].row.Date })
	return out, ps
}

// workSurface makes one surface of a file: its own triangles, or its points
// triangulated.
func (j *reconciler) workSurface(f groundFile) (workSurvey, *site.Problem) {
	w := workSurvey{row: f.row, surface: onlySurface([]groundFile{f})}
	if w.surface != nil && len(f.found.Boundary)+len(f.found.Holes) == 0 {
		return w, nil
	}
	g := &groundUnion{j: j.Job}
	g.limits.Outer, g.limits.Holes = f.found.Boundary, f.found.Holes
	if p := g.add(f); p != nil {
		return w, p
	}
	opt := geometry.TINOptions{LongestEdge: j.site.Settings.LongestEdge.Value, Breaklines: g.lines}
	tin, err := geometry.NewTINWithin(g.points, opt, g.limits)
	if err != nil {
		p := &site.Problem{Ref: f.row.Ref, Column: "file", What: f.row.File + ": " + err.Error(), Mend: "check the points and their units"}
		var e *geometry.TINError
		if errors.As(err, &e) {
			p.What = f.row.File + ": " + e.Rule.String()
			if e.Rule == geometry.ElevationsDiffer || e.Rule == geometry.BreaklinesCross {
				p.What += " at " + g.place(e.At)
				p.Mend = "keep the right one"
			}
		}
		return w, p
	}
	w.surface = tin
	return w, nil
}

// lowered is a surface moved down, such as ground with its topsoil off.
type lowered struct {
	geometry.Surface
	by float64 // m
}

// Range implements geometry.Surface.
func (l lowered) Range() (low, high float64) {
	low, high = l.Surface.Range()
	return low - l.by, high - l.by
}

// Slice implements geometry.Surface.
func (l lowered) Slice(c *geometry.Cursor, a, b orb.Point) []geometry.Line {
	out := l.Surface.Slice(c, a, b)
	for i := range out {
		out[i] = out[i].Lift(-l.by)
	}
	return out
}

// Triangles implements geometry.Surface.
func (l lowered) Triangles(box orb.Bound) iter.Seq[geometry.Triangle] {
	return func(yield func(geometry.Triangle) bool) {
		for t := range l.Surface.Triangles(box) {
			for k := range t.Elevation {
				t.Elevation[k] -= l.by
			}
			if !yield(t) {
				return
			}
		}
	}
}

// pointsWithin counts the corners of a surface's triangles within rings: the
// points that a volume over them rests on.
func pointsWithin(s geometry.Surface, rings []orb.Ring) int {
	seen := map[orb.Point]bool{}
	for _, ring := range rings {
		for t := range s.Triangles(ring.Bound()) {
			for _, p := range t.At {
				if !seen[p] && ringHolds(ring, p) {
					seen[p] = true
				}
			}
		}
	}
	return len(seen)
}

// ringHolds tells whether a closed ring goes round a point, by counting the sides
// that a ray from it crosses.
func ringHolds(ring orb.Ring, p orb.Point) bool {
	in := false
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// PitSurveys are two surveys of a pit and the earth between them.
type PitSurveys struct {
	Pit           int    // index into Result.Pits
	Before, After string // names of the two surfaces
	From, To      string // their days; From is "" where the first has none
	// Strip is the topsoil taken off the surface before, m, where it is the ground
	// as it was.
	Strip  float64
	Change geometry.CutFill // Cut = bank volume that is gone, Fill = filled back
	Noise  float64          // what of Fill is no earth but the noise of the surveys, m3
	Points [2]int           // of either survey within the boundary
	Error  float64          // standard error of the bank volume, m3
}

// Lost is the bank volume that is gone, m3: the cut, less as much noise as there
// is on the other side, since where nothing was dug noise makes cut and fill
// alike.
func (p *PitSurveys) Lost() float64 { return max(0, p.Change.Cut-p.Noise) }

// noiseDepth is the mean height of noise where it is above nought, for two surveys
// whose points are off by a standard deviation of 1: sqrt(2) x sqrt(2 / pi), the
// mean of half a normal distribution.
const noiseDepth = 1.1283791670955126

// measurePits compares the surveys of every pit that has any.
func (j *reconciler) measurePits(work []workSurvey) ([]PitSurveys, site.Problems) {
	var out []PitSurveys
	var ps site.Problems
	for i := range j.pits {
		before, after, strip := j.pitPair(i, work)
		if after == nil {
			continue
		}
		p := PitSurveys{Pit: i, Before: before.row.Name, After: after.row.Name, From: before.row.Date, To: after.row.Date, Strip: strip}
		ring := j.local(j.pits[i].Row.Ring)
		from := before.surface
		if strip > 0 {
			from = lowered{from, strip}
		}
		var err error
		if p.Change, err = geometry.Compare(from, after.surface, orb.Polygon{ring}); err != nil {
			ps = append(ps, site.Problem{Ref: after.row.Ref, Column: "pit", What: "the volume of pit " + j.pits[i].Row.Name + " cannot be measured: " + err.Error(), Mend: "check its corners and its surveys"})
			continue
		}
		p.Noise = min(p.Change.Fill, noiseDepth*assumed.Point*p.Change.FillArea)
		p.Points = [2]int{pointsWithin(before.surface, []orb.Ring{ring}), pointsWithin(after.surface, []orb.Ring{ring})}
		p.Error = assumed.survey().VolumeError(p.Change.CutArea+p.Change.FillArea, p.Points[0], p.Points[1])
		if strip > 0 {
			p.Error = math.Hypot(p.Error, assumed.Strip*p.Change.CutArea)
		}
		j.notePit(&p, before, after)
		out = append(out, p)
	}
	return out, ps
}

// pitPair picks the survey of a pit before the digging and the last one; after is
// nil where there are not two.
func (j *reconciler) pitPair(pit int, work []workSurvey) (before, after *workSurvey, strip float64) {
	name := j.pits[pit].Row.Name
	var surveys []*workSurvey
	for i := range work {
		w := &work[i]
		if w.row.Pit != name {
			continue
		}
		switch w.row.Use {
		case usePitStripped:
			before = w // the latest of them
		case usePitSurvey:
			surveys = append(surveys, w)
		}
	}
	if len(surveys) == 0 {
		return nil, nil, 0
	}
	after = surveys[len(surveys)-1]
	switch {
	case before != nil:
	case len(surveys) > 1:
		before = surveys[0]
	case j.surface != nil:
		row := site.SurfaceFile{Name: "the ground as it was", Ref: site.Ref{Table: j.groundTable()}}
		before, strip = &workSurvey{row: row, surface: j.surface}, j.pits[pit].Row.StripDepth
	default:
		j.note("look", after.row.Ref, "pit "+name+" has one survey and no ground in plan, so nothing tells what it lost; survey it before the digging too", "")
		return nil, nil, 0
	}
	return before, after, strip
}

// missingShare is the share of a boundary without survey from which it is said.
// It guards the rounding of a survey's edge.
const missingShare = 0.005

// notePit tells what was assumed of a pit's surveys.
func (j *reconciler) notePit(p *PitSurveys, before, after *workSurvey) {
	name := j.pits[p.Pit].Row.Name
	if share := p.Change.Missing / p.Change.Area; share > missingShare {
		j.note("look", after.row.Ref, fmt.Sprintf("pit %s: %s of its area is not in both surveys (%s and %s), so what was dug there is not counted",
			name, percent(math.Round(1000*share)/1000), before.row.Name, after.row.Name), "")
	}
	if p.Strip > 0 {
		j.note("look", after.row.Ref, fmt.Sprintf("pit %s was not surveyed after stripping: the ground less its strip depth of %s stands for that survey, taken as sure to +-%s",
			name, j.length(p.Strip), j.level(assumed.Strip)), "common practice")
	}
	if heaped := p.Change.Fill - p.Noise; heaped > filledBack*p.Change.Cut {
		j.note("look", after.row.Ref, fmt.Sprintf("pit %s: %s was filled back or heaped up within its boundary between the surveys; the bank volume it lost is the cut alone, %s",
			name, j.volume(heaped, "loose"), j.volume(p.Lost(), "bank")), "")
	}
}

// filledBack is the share of the cut from which fill in a pit is told. It is a
// judgement that keeps the notes short.
const filledBack = 0.02
