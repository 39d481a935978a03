package site

import (
	"cmp"
	"fmt"
	"math"
	"math/bits"
	"slices"
)

// fewestPoints is how many points of a survey make a triangle.
const fewestPoints = 3

// checkGround checks that there is exactly one grade of ground, and its rows.
func (r *reading) checkGround() {
	r.checkGrades()
	r.checkCentreline()
	r.checkProfile()
	r.checkShots()
	r.checkSurvey()
	r.checkElevations()
	if (r.has("centreline") || r.has("shots") || r.mayAlign()) && !r.given("upstream side") {
		r.wrong(Ref{Table: "site"}, "upstream side", "the setting is missing",
			"add a row `upstream side` with left or right, the side of the water when looking up-station")
	}
}

// checkGrades: one of profile, shots, or survey and files with a centreline.
func (r *reading) checkGrades() {
	var grades []string
	for _, table := range []string{"profile", "shots", "survey"} {
		if _, ok := r.tables[table]; ok {
			grades = append(grades, table)
		}
	}
	if r.existing() && !slices.Contains(grades, "survey") {
		grades = append(grades, "surfaces")
	}
	switch {
	case len(grades) > 1:
		r.wrong(Ref{Table: grades[1]}, "", "the ground stands in "+grades[0]+" already", "keep one of profile, shots and survey")
	case len(grades) == 0 && r.has("surfaces") && r.whole("surfaces"):
		r.wrong(Ref{Table: "surfaces"}, "", "none of its files is the ground as it is", "set `use` to existing for the ground under the dam")
	case len(grades) == 0 && !r.has("surfaces"):
		r.wrong(Ref{}, "", "the site has no ground", "add one of the tables profile, shots, or survey with a centreline")
	case len(grades) > 0 && r.whole(grades[0]) && !r.has(grades[0]):
		r.wrong(Ref{Table: grades[0]}, "", "the table has no rows", "fill it in below the header")
	}
	if _, ok := r.tables["centreline"]; ok || r.mayAlign() {
		return
	}
	what := ""
	switch {
	case slices.Contains(grades, "survey"):
		what = "a survey"
	case len(grades) == 1 && grades[0] == "surfaces":
		what = "ground from files"
	default:
		return
	}
	r.wrong(Ref{Table: "centreline"}, "", "the table is missing, and "+what+" needs it",
		"add "+r.container("centreline")+" with the columns x (ft), y (ft)")
}

func (r *reading) checkCentreline() {
	line := r.site.Centreline
	if t, ok := r.tables["centreline"]; ok {
		r.site.PlanUnit = t.unit.Name
	}
	for i, v := range line {
		if i > 0 && v.Station.Given {
			r.wrong(v.Ref, "station", "stands beyond the first row", "give the start station in the first row alone; the others follow from x and y")
		}
		if i > 0 && v.At == line[i-1].At {
			r.wrong(v.Ref, "", fmt.Sprintf("is the same point as row %d", line[i-1].Ref.Row), "take one of the rows out")
		}
	}
	if r.whole("centreline") && len(line) < 2 {
		r.wrong(Ref{Table: "centreline"}, "", "has fewer than two points", "give both ends of the dam")
	}
}

func (r *reading) checkProfile() {
	p := r.site.Profile
	r.rising("profile", len(p), func(i int) (Ref, float64) { return p[i].Ref, p[i].Station })
	if len(p) == 1 {
		r.wrong(Ref{Table: "profile"}, "", "has a single point", "give the ground from end to end of the dam")
	}
}

func (r *reading) checkShots() {
	shots := r.site.Shots
	for i := 1; i < len(shots); i++ {
		if shots[i].Station < shots[i-1].Station {
			r.wrong(shots[i].Ref, "station", fmt.Sprintf("is before the station of row %d", shots[i-1].Ref.Row), "put the sections in order of station")
		}
	}
	sorted := slices.Clone(shots)
	slices.SortStableFunc(sorted, func(a, b Shot) int {
		return cmp.Or(cmp.Compare(a.Station, b.Station), cmp.Compare(a.Offset, b.Offset), cmp.Compare(a.Ref.Row, b.Ref.Row))
	})
	for i := 1; i < len(sorted); i++ {
		a, b := sorted[i-1], sorted[i]
		if a.Station == b.Station && a.Offset == b.Offset {
			r.wrong(b.Ref, "offset", fmt.Sprintf("row %d has the same station and offset", a.Ref.Row), "keep one of the rows")
		}
	}
	r.checkSections(sorted)
}

// checkSections checks that shots make at least two sections of two shots.
func (r *reading) checkSections(sorted []Shot) {
	if len(sorted) == 0 {
		return
	}
	sections := 0
	for from := 0; from < len(sorted); {
		to := from + 1
		for to < len(sorted) && sorted[to].Station == sorted[from].Station {
			to++
		}
		if to == from+1 && sorted[from].Station == sorted[from].Station {
			r.wrong(sorted[from].Ref, "station", "is a section of a single shot", "give the ground on both sides of the centreline")
		}
		sections++
		from = to
	}
	if sections == 1 {
		r.wrong(Ref{Table: "shots"}, "", "has a single section", "give sections from end to end of the dam")
	}
}

// checkSurvey reports points that stand on one spot at different elevations.
func (r *reading) checkSurvey() {
	points := r.site.Survey
	if r.whole("survey") && len(points) > 0 && len(points) < fewestPoints && !r.existing() {
		r.wrong(Ref{Table: "survey"}, "", fmt.Sprintf("has %s", plural(len(points), "point", "points")), "give the ground under the whole dam")
	}
	table := newPlaceTable(len(points))
	for k := range points {
		b := &points[k]
		i := table.last(points, k)
		if i < 0 {
			continue
		}
		if a := &points[i]; a.Elevation != b.Elevation && a.Elevation == a.Elevation && b.Elevation == b.Elevation {
			r.wrong(b.Ref, "elevation", fmt.Sprintf("row %d has the same x and y with another elevation", a.Ref.Row), "keep one of the rows")
		}
	}
}

// placeTable finds points at one place: a hash table with open addressing, much
// quicker than sorting a survey of millions.
type placeTable struct {
	slots []int32 // index of a point + 1, 0 where free
	shift int
}

// newPlaceTable has at least two slots for each of n points.
func newPlaceTable(n int) *placeTable {
	size := bits.Len(uint(2 * n))
	return &placeTable{make([]int32, 1<<size), 64 - size}
}

// last returns the last point before k at the same place, -1 when there is none,
// and remembers k.
func (t *placeTable) last(points []SurveyPoint, k int) int {
	at := points[k].At
	if math.IsNaN(at[0]) || math.IsNaN(at[1]) { // could not be read
		return -1
	}
	x, y := math.Float64bits(at[0]+0), math.Float64bits(at[1]+0) // -0 becomes 0
	h := (x*0x9e3779b97f4a7c15 ^ y) * 0xc2b2ae3d27d4eb4f
	h = (h ^ h>>29) * 0x9e3779b97f4a7c15
	for i := int(h >> t.shift); ; i = (i + 1) & (len(t.slots) - 1) {
		switch old := int(t.slots[i]) - 1; {
		case old < 0:
			t.slots[i] = int32(k + 1)
			return -1
		case points[old].At == at:
			t.slots[i] = int32(k + 1)
			return old
		}
	}
}
