package site

import (
	"cmp"
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// The test for elevations that slipped: all limits are common practice, wide
// enough that a real valley, bank or gorge stays below them.
const (
	// fewElevations is how many elevations a table needs before one of them can
	// be called unlike the others.
	fewElevations = 5
	// farOff is how many median absolute deviations from the median are far off.
	farOff = 20
	// zeroOff is the same for an elevation of exactly 0, which is what a blank
	// cell becomes in many programs.
	zeroOff = 5
	// leastRoom is the least median absolute deviation taken, as a share of the
	// length of the ground: on a plain, a single point in a creek is not far off.
	leastRoom = 0.01
	// spike is how far a point must stand above or below all its neighbours, m,
	// and more than it lies from each: no soil stands at 45 degrees all round.
	spike = 3.0
	// mostNear is how many neighbours in plan are looked at.
	mostNear = 4
	// mostTried is how many of the highest and of the lowest points of a survey
	// are held against their neighbours. It guards the time; a slipped digit or
	// a lost one makes a point the highest or the lowest.
	mostTried = 10
	// mostSampled is how many elevations the median is taken of.
	mostSampled = 20000
)

// levelAt is a ground point as the test sees it.
type levelAt struct {
	row  int
	z    float64
	near []beside
}

// beside is a neighbour of a point: how much higher the point stands than it,
// and how far it is away.
type beside struct{ rise, away float64 }

// checkElevations asks for a look at elevations that are unlike the others.
func (r *reading) checkElevations() {
	for _, line := range []levels{r.profileLevels(), r.shotLevels()} {
		r.lookAt(line.table, newUsual(len(line.all), func(i int) float64 { return line.all[i].z }, line.long), line.all)
	}
	points := r.site.Survey
	usual := newUsual(len(points), func(i int) float64 { return points[i].Elevation }, diagonal(points))
	r.lookAt("survey", usual, outermost(points))
}

// levels are the points of a table along lines, and how far they reach.
type levels struct {
	table string
	all   []levelAt
	long  float64
}

func (r *reading) profileLevels() levels {
	p := r.site.Profile
	out := levels{table: "profile"}
	for i := range p {
		at := levelAt{row: p[i].Ref.Row, z: p[i].Elevation}
		for _, k := range []int{i - 1, i + 1} {
			if k >= 0 && k < len(p) {
				at.near = append(at.near, beside{p[i].Elevation - p[k].Elevation, math.Abs(p[i].Station - p[k].Station)})
			}
		}
		out.all = append(out.all, at)
	}
	if len(p) > 0 {
		out.long = p[len(p)-1].Station - p[0].Station
	}
	return out
}

// shotLevels are the shots, each with its neighbours in its own section.
func (r *reading) shotLevels() levels {
	shots := slices.Clone(r.site.Shots)
	slices.SortStableFunc(shots, func(a, b Shot) int {
		return cmp.Or(cmp.Compare(a.Station, b.Station), cmp.Compare(a.Offset, b.Offset))
	})
	out := levels{table: "shots"}
	for i, s := range shots {
		at := levelAt{row: s.Ref.Row, z: s.Elevation}
		for _, k := range []int{i - 1, i + 1} {
			if k >= 0 && k < len(shots) && shots[k].Station == s.Station {
				at.near = append(at.near, beside{s.Elevation - shots[k].Elevation, math.Abs(s.Offset - shots[k].Offset)})
			}
		}
		out.all = append(out.all, at)
	}
	if n := len(shots); n > 0 {
		out.long = shots[n-1].Station - shots[0].Station
	}
	return out
}

// usual is where most elevations of a table lie.
type usual struct {
	n            int
	median, room float64 // room is the median absolute deviation, or the least taken
}

func newUsual(n int, at func(int) float64, long float64) usual {
	var zs []float64
	for i := 0; i < n; i += 1 + n/mostSampled {
		if z := at(i); z == z { // what could not be read is NaN
			zs = append(zs, z)
		}
	}
	if len(zs) < fewElevations {
		return usual{}
	}
	u := usual{n: len(zs), median: median(zs)}
	for i := range zs {
		zs[i] = math.Abs(zs[i] - u.median)
	}
	u.room = max(median(zs), leastRoom*long)
	return u
}

func median(xs []float64) float64 {
	slices.Sort(xs)
	return (xs[(len(xs)-1)/2] + xs[len(xs)/2]) / 2
}

// lookAt notes the points that are unlike the others.
func (r *reading) lookAt(table string, u usual, points []levelAt) {
	if u.n < fewElevations {
		return
	}
	var zeros, others []int
	for _, p := range points {
		switch off := math.Abs(p.z - u.median); {
		case p.z == 0 && off > max(zeroOff*u.room, spike):
			zeros = append(zeros, p.row)
		case p.stands(math.Inf(1)), off > farOff*u.room && p.stands(off):
			others = append(others, p.row)
		}
	}
	unit := r.tables[table].unit
	about := " " + where(unit, u.median)
	r.noteRows(table, zeros, "an elevation of 0, where the ground lies near"+about+"; a blank may have become a zero")
	r.noteRows(table, others, "an elevation unlike its neighbours', where the ground lies near"+about+"; look for a slipped digit")
}

// stands says that the point is higher or lower than all its neighbours, from
// each by more than half of off; or when off is infinite, by more than spike and
// by more than its distance, all on one side.
func (p levelAt) stands(off float64) bool {
	if len(p.near) == 0 || math.IsInf(off, 1) && len(p.near) < 2 {
		return false
	}
	up := p.near[0].rise > 0
	for _, n := range p.near {
		least := off / 2
		if math.IsInf(off, 1) {
			least = max(spike, n.away)
		}
		if n.rise > 0 != up || !(math.Abs(n.rise) > least) {
			return false
		}
	}
	return true
}

func where(unit units.Unit, m float64) string {
	if unit.SI == 0 {
		return short(m) + " m"
	}
	return short(math.Round(unit.FromSI(m))) + " " + unit.Name
}

func (r *reading) noteRows(table string, rows []int, words string) {
	if len(rows) == 0 {
		return
	}
	slices.Sort(rows)
	lead := "row "
	if len(rows) > 1 {
		lead = "rows "
	}
	r.note("look", Ref{Table: table, Row: rows[0]}, lead+listRows(rows)+": "+words)
	r.site.Notes[len(r.site.Notes)-1].Source = "common practice"
}

// diagonal is how far a survey reaches from corner to corner, m.
func diagonal(points []SurveyPoint) float64 {
	if len(points) == 0 {
		return 0
	}
	low, high := points[0].At, points[0].At
	for i := range points {
		at := points[i].At
		low = orb.Point{min(low[0], at[0]), min(low[1], at[1])}
		high = orb.Point{max(high[0], at[0]), max(high[1], at[1])}
	}
	return math.Hypot(high[0]-low[0], high[1]-low[1])
}

// outermost are the highest and the lowest points of a survey with their
// nearest neighbours, and all that are at 0.
func outermost(points []SurveyPoint) []levelAt {
	var low, high, out []int // indices, the outermost first
	for i := range points {
		z := points[i].Elevation
		if z != z { // could not be read
			continue
		}
		if len(low) < mostTried || z < points[low[mostTried-1]].Elevation {
			low = among(low, i, func(k int) bool { return z < points[k].Elevation })
		}
		if len(high) < mostTried || z > points[high[mostTried-1]].Elevation {
			high = among(high, i, func(k int) bool { return z > points[k].Elevation })
		}
		if z == 0 {
			out = append(out, i)
		}
	}
	out = append(append(out, low...), high...)
	slices.Sort(out)
	out = slices.Compact(out)
	all := make([]levelAt, len(out))
	for n, i := range out {
		all[n] = levelAt{row: points[i].Ref.Row, z: points[i].Elevation}
	}
	tried := slices.DeleteFunc(slices.Concat(low, high), func(i int) bool { return points[i].Elevation == 0 })
	for n, near := range neighbours(points, tried) {
		at, _ := slices.BinarySearch(out, tried[n])
		all[at].near = near
	}
	return all
}

// among puts i into a list of at most mostTried, before the first that it beats.
func among(list []int, i int, beats func(int) bool) []int {
	at := len(list)
	for at > 0 && beats(list[at-1]) {
		at--
	}
	list = slices.Insert(list, at, i)
	return list[:min(len(list), mostTried)]
}

// neighbours are the nearest points to each of those tried, found in one walk
// over the survey; points at the same place are left out.
func neighbours(points []SurveyPoint, tried []int) [][]beside {
	near := make([][]beside, len(tried)) // away is squared while they are looked for
	reach := slices.Repeat([]float64{math.Inf(1)}, len(tried))
	for k := range points {
		q := &points[k]
		if q.Elevation != q.Elevation {
			continue
		}
		for n, i := range tried {
			p := &points[i]
			dx, dy := q.At[0]-p.At[0], q.At[1]-p.At[1]
			away := dx*dx + dy*dy
			if away >= reach[n] || away == 0 {
				continue
			}
			at, _ := slices.BinarySearchFunc(near[n], away, func(b beside, x float64) int { return cmp.Compare(b.away, x) })
			near[n] = slices.Insert(near[n], at, beside{p.Elevation - q.Elevation, away})
			if len(near[n]) >= mostNear {
				near[n] = near[n][:mostNear]
				reach[n] = near[n][mostNear-1].away
			}
		}
	}
	for n := range near {
		for i := range near[n] {
			near[n][i].away = math.Sqrt(near[n][i].away)
		}
	}
	return near
}
