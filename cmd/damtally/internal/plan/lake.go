package plan

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"
	"sync"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
)

// Lake is the water behind the dam: from the ground upstream of its neat face,
// before anything is dug or silted up.
type Lake struct {
	Lowest float64 // where the water starts, m
	Crest  float64 // the lowest of the drawn crest, m
	// Limit is where the water would leave the lake; its At is in the site's own
	// coordinates. Area and storage are known up to it.
	Limit earthwork.LakeLimit
	// Rows are area and storage by elevation, from Lowest to the limit or the crest.
	Rows []earthwork.StorageRow
	// WithPits is the storage of each row with what the pits add to it, m3: the
	// ground dug out below that level, as deep as the dam needs; nil without pits.
	WithPits []float64
	Pools    []Pool // at the levels that the site names
}

// Pool is the lake at a level that the site names.
type Pool struct {
	Name  string // "normal pool", "spillway" or "design high water"
	Level float64
	// Known is false when the level lies above the limit or the crest, or below all
	// ground; then At holds nothing.
	Known bool
	At    earthwork.Pool
}

// lakeCache keeps the flooded ground, which depends on the ground and on the
// stretch of the crest alone.
type lakeCache struct {
	mu   sync.Mutex
	made bool
	of   stretch
	lake *earthwork.Lake
	err  error
}

// flooded is the ground behind the dam, flooded once and kept.
func (j *Job) flooded(d *earthwork.Design) (*earthwork.Lake, error) {
	of := j.surveyed
	if n := len(d.Crest); n > 1 {
		of = stretch{max(of.from, d.Crest[0].Station), min(of.to, d.Crest[n-1].Station)}
	}
	j.kept.mu.Lock()
	defer j.kept.mu.Unlock()
	if !j.kept.made || j.kept.of != of {
		j.kept.lake, j.kept.err = earthwork.NewLake(j.surface, j.place.Centreline, of.from, of.to)
		j.kept.made, j.kept.of = true, of
	}
	return j.kept.lake, j.kept.err
}

// floodAhead floods the ground for the site's own design while soils are read and
// pits measured; whoever asks for the lake first waits for it. It changes when the
// lake is made, never what it is.
func (j *Job) floodAhead() {
	if j.surface == nil || j.place.Centreline == nil {
		return
	}
	d := j.Design()
	go func() { _, _ = j.flooded(&d) }() // the error is kept for Run
}

// face lays a design in its lake.
func (j *Job) face(l *earthwork.Lake, d *earthwork.Design, q *earthwork.Quantities) *earthwork.Face {
	n := len(q.Sections)
	return l.Face(*d, j.place.Centreline, q.Sections[0].Station, q.Sections[n-1].Station)
}

// mostRows is about how many rows the table of storage by elevation has.
const mostRows = 40

// lake measures the lake behind a design that is laid in it as the face; nil when
// there is no ground in plan, or when no lake can stand, which the notes say.
func (j *Job) lake(d *earthwork.Design, q *earthwork.Quantities) (*Lake, *earthwork.Face, []site.Note) {
	if j.surface == nil || j.place.Centreline == nil {
		return nil, nil, j.noLakeNote("the ground is not known in plan; give `survey` or `surfaces` with a `centreline`")
	}
	l, err := j.flooded(d)
	if err != nil {
		return nil, nil, j.noLakeNote(noLakeText(err))
	}
	out := &Lake{Lowest: l.Lowest(), Crest: lowestCrest(d), Limit: l.Limit()}
	top := min(out.Crest, out.Limit.Level)
	out.Limit.At = orb.Point{out.Limit.At[0] + j.origin[0], out.Limit.At[1] + j.origin[1]}
	if !(top > out.Lowest) {
		return nil, nil, j.noLakeNote("the crest lies no higher than the ground where water would start to stand")
	}
	face := j.face(l, d, q)
	levels := j.lakeLevels(out.Lowest, top)
	for _, w := range j.waterLevels() {
		if !w.level.Given {
			continue
		}
		p := Pool{Name: strings.TrimSuffix(w.item, " elevation"), Level: w.level.Value}
		if p.Level > out.Lowest && p.Level <= top {
			p.At, err = l.Pool(p.Level, face)
			p.Known = err == nil
			levels = append(levels, p.Level)
		}
		out.Pools = append(out.Pools, p)
	}
	if out.Rows, err = l.Curve(distinct(levels), face); err != nil { // no level lies above the limit
		return nil, nil, j.noLakeNote(err.Error())
	}
	return out, face, j.lakeNotes(out, l)
}

// lowestCrest is the lowest elevation of the drawn crest.
func lowestCrest(d *earthwork.Design) float64 {
	low := math.Inf(1)
	for _, p := range d.Crest {
		low = min(low, p.Elevation)
	}
	return low
}

// lakeLevels are the levels of the table: both ends, and between them whole steps
// of the shown unit, about mostRows in all.
func (j *Job) lakeLevels(low, high float64) []float64 {
	unit := j.system.Length
	a, b := unit.FromSI(low), unit.FromSI(high)
	step := 0.1
	for _, s := range []float64{0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		if (b-a)/step <= mostRows {
			break
		}
		step = s
	}
	out := []float64{low}
	for k := math.Floor(a/step) + 1; k*step < b; k++ {
		out = append(out, unit.ToSI(k*step))
	}
	return append(out, high)
}

// sameLevel is how close two levels are taken as one, m: a row between them would
// show nothing.
const sameLevel = 1e-4

// distinct sorts levels and leaves out those that are next to the same. The ends
// stay.
func distinct(levels []float64) []float64 {
	sort.Float64s(levels)
	out := levels[:1]
	last := levels[len(levels)-1]
	for _, z := range levels[1:] {
		if z-out[len(out)-1] > sameLevel && (last-z > sameLevel || z == last) {
			out = append(out, z)
		}
	}
	return out
}

// noLakeNote says why there is no lake, when the site names a level of water or
// has the ground for it.
func (j *Job) noLakeNote(why string) []site.Note {
	level := "note"
	ref := j.site.Settings.Ref
	for _, w := range j.waterLevels() {
		if w.level.Given {
			level, ref = "look", j.item(w.item)
			break
		}
	}
	if level == "note" && j.surface == nil {
		return nil // nobody asked
	}
	return []site.Note{{Level: level, Ref: ref, Text: "the lake is not figured: " + why}}
}

func noLakeText(err error) string {
	var e *earthwork.LakeError
	if errors.As(err, &e) && e.FallsAway {
		return "the ground on the water's side leads the water away before any stands against the dam; check `upstream side`, and survey farther upstream"
	}
	return "there is no ground along the dam for water to stand on"
}

// sideValley is the share of the whole storage from which a hollow that fills at
// once is told of.
const sideValley = 0.01

// lakeNotes say where the lake ends and what is not in it.
func (j *Job) lakeNotes(k *Lake, l *earthwork.Lake) []site.Note {
	out := []site.Note{{Level: "note", Ref: j.item("normal pool elevation"), Text: "the lake's storage is measured from the ground as surveyed and from the dam's neat upstream face: " +
		"stripping, layers outside the outline and mud that settles later are not in it; what pits dug in the lake bed add stands beside it"}}
	if k.Limit.Level < k.Crest {
		out = append(out, j.limitNote(k))
	}
	for _, p := range k.Pools {
		ref := j.item(p.Name + " elevation")
		switch {
		case p.Known:
		case p.Level <= k.Lowest:
			out = append(out, site.Note{Level: "look", Ref: ref, Text: fmt.Sprintf("the %s, %s, lies no higher than the lowest ground along the dam, %s: there is no lake", p.Name, j.level(p.Level), j.level(k.Lowest))})
		case p.Level > k.Limit.Level && p.Level <= k.Crest:
			out = append(out, site.Note{Level: "look", Ref: ref, Text: fmt.Sprintf("area and storage at the %s, %s, are not figured: it lies above the level where the lake leaves the known ground or spills, %s", p.Name, j.level(p.Level), j.level(k.Limit.Level))})
		}
	}
	whole := k.Rows[len(k.Rows)-1].Volume
	for _, h := range l.Hollows(sideValley * whole) {
		if h.Level < min(k.Crest, k.Limit.Level) {
			out = append(out, site.Note{Level: "note", Ref: site.Ref{Table: j.groundTable()}, Text: fmt.Sprintf(
				"at %s the lake spills into a hollow of %s over a saddle at %s and fills it at once; it counts from that level on",
				j.level(h.Level), j.volume(h.Volume, ""), j.planPoint(orb.Point{h.At[0] + j.origin[0], h.At[1] + j.origin[1]}))})
		}
	}
	return out
}

// limitNote says where the water would leave the lake below the crest.
func (j *Job) limitNote(k *Lake) site.Note {
	n := site.Note{Level: "look", Ref: site.Ref{Table: j.groundTable()}}
	at := j.planPoint(k.Limit.At)
	switch {
	case k.Limit.Kind == earthwork.SurveyEdge:
		n.Text = fmt.Sprintf("the lake is known up to %s only: there the water reaches the edge of the survey, at %s; survey farther there, up to the crest's elevation", j.level(k.Limit.Level), at)
	case k.Limit.RoundDam:
		n.Level = "danger"
		n.Text = fmt.Sprintf("above %s the water would go round the dam, over the saddle at %s; the crest is %s: the saddle needs a dam of its own, or the lake must stay below it", j.level(k.Limit.Level), at, j.level(k.Crest))
	default:
		n.Text = fmt.Sprintf("above %s the lake would spill out over the saddle at %s, below the crest; area and storage are known up to it", j.level(k.Limit.Level), at)
	}
	return n
}

// planPoint writes a point of the site in the unit of its plan.
func (j *Job) planPoint(p orb.Point) string {
	return "x " + j.level(p[0]) + ", y " + j.level(p[1])
}
