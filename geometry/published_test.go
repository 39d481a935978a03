package geometry

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// readRows reads a CSV file of test data without its notes and heading.
func readRows(t testing.TB, name string) [][]string {
	t.Helper()
	f, err := os.Open("../testdata/published/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows [][]string
	for s := bufio.NewScanner(f); s.Scan(); {
		if line := s.Text(); line != "" && line[0] != '#' {
			rows = append(rows, strings.Split(line, ","))
		}
	}
	return rows[1:]
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// segmentSet gives each set's ends as points and its segments as breaklines.
func segmentSet(t testing.TB, set string) ([]GroundPoint, [][]int) {
	var points []GroundPoint
	var lines [][]int
	for _, row := range readRows(t, "terrain/cdt_segment_sets.csv") {
		if row[0] != set {
			continue
		}
		n := len(points)
		for k := range 2 {
			at := orb.Point{number(t, row[2+2*k]), number(t, row[3+2*k])}
			points = append(points, GroundPoint{At: at})
		}
		lines = append(lines, []int{n, n + 1})
	}
	return points, lines
}

// area of the triangles for which wanted is true, m2.
func (t *TIN) area(wanted func(i int) bool) (n int, area float64) {
	for i := range t.triangles() {
		if wanted(i) {
			n++
			area += t.leftOf(int32(3*i), t.at[t.apex(int32(3*i))]) / 2
		}
	}
	return n, area
}

// The segment sets of the CGAL 5.5.1 demo data (CC0), against the constrained
// triangulations that cdt2d 1.0.0 made of them; see the notes in the files.
func TestBreaklinesAgainstPublishedSets(t *testing.T) {
	for _, row := range readRows(t, "volume/cdt_segment_results.csv") {
		t.Run(row[0], func(t *testing.T) {
			points, lines := segmentSet(t, row[0])
			tin := mustTIN(t, points, TINOptions{Breaklines: lines})
			checkDrawn(t, tin, points, lines)
			inside := insideOutline(tin)
			n, area := tin.area(func(int) bool { return true })
			m, within := tin.area(func(i int) bool { return inside[i] })
			for what, v := range map[string][2]float64{
				"points":          {float64(len(tin.at)), number(t, row[1])},
				"triangles":       {float64(n), number(t, row[3])},
				"area":            {area, number(t, row[4])},
				"inner triangles": {float64(m), number(t, row[5])},
				"inner area":      {within, number(t, row[6])},
			} {
				if math.Abs(v[0]-v[1]) > 1e-9*v[1] { // the results carry 10 digits
					t.Errorf("%s %v, published %v", what, v[0], v[1])
				}
			}
		})
	}
}

// insideOutline marks triangles from which the outside is an odd number of
// breaklines away.
func insideOutline(tin *TIN) []bool {
	const unknown = -1
	depth := make([]int, tin.triangles())
	for i := range depth {
		depth[i] = unknown
	}
	var near, far []int32
	for _, c := range tin.hull {
		if tin.isFixed(c) {
			far = append(far, c)
		} else {
			near = append(near, c)
		}
	}
	for level := 0; len(near) > 0 || len(far) > 0; level, near, far = level+1, far, nil {
		for len(near) > 0 {
			i := near[len(near)-1] / 3
			near = near[:len(near)-1]
			if depth[i] != unknown {
				continue
			}
			depth[i] = level
			for c := 3 * i; c < 3*i+3; c++ {
				switch o := tin.twin[c]; {
				case o == none:
				case tin.isFixed(c):
					far = append(far, o)
				default:
					near = append(near, o)
				}
			}
		}
	}
	inside := make([]bool, len(depth))
	for i := range depth {
		inside[i] = depth[i]%2 == 1
	}
	return inside
}

// checkDrawn checks that lines which do not cross are chains of fixed edges.
func checkDrawn(t testing.TB, tin *TIN, points []GroundPoint, lines [][]int) {
	t.Helper()
	start := map[xy]int32{}
	for c, v := range tin.corner {
		start[tin.at[v]] = int32(c)
	}
	for _, line := range lines {
		for k := 1; k < len(line); k++ {
			r := newRay(&tin.mesh, place(points[line[k-1]].At), place(points[line[k]].At))
			for at := r.a; at != r.b; {
				s, ok := r.fromVertex(start[at])
				if !ok || s.along == none || !tin.isFixed(s.along) {
					t.Fatalf("breakline %v is no edge after %v", line, at)
				}
				at = tin.at[s.vertex]
			}
		}
	}
}

// Ground points of an airborne scan: triangle count, hull area and volume as two
// independent libraries gave them; see the notes in the file.
func TestTINAgainstPublishedVolume(t *testing.T) {
	for _, row := range readRows(t, "volume/tin_volumes.csv") {
		var points []GroundPoint
		var origin orb.Point
		for i, p := range readRows(t, "terrain/"+row[0]) {
			at := orb.Point{number(t, p[1]), number(t, p[2])}
			if i == 0 {
				origin = at
			}
			points = append(points, GroundPoint{orb.Point{at[0] - origin[0], at[1] - origin[1]}, number(t, p[3])})
		}
		tin := mustTIN(t, points, TINOptions{})
		n, area := tin.area(func(int) bool { return true })
		volume, datum := 0.0, number(t, row[2])
		for tri := range tin.Triangles(tin.Bound()) {
			z := tri.Elevation
			volume += planArea(tri) * ((z[0]+z[1]+z[2])/3 - datum)
		}
		for what, v := range map[string][3]float64{ // the last is half the last digit given
			"triangles": {float64(n), number(t, row[4]), 0},
			"area":      {area, number(t, row[5]), 0.0005},
			"volume":    {volume, number(t, row[6]), 0.00005},
		} {
			if math.Abs(v[0]-v[1]) > v[2]+1e-9 {
				t.Errorf("%s: %s %v, published %v", row[0], what, v[0], v[1])
			}
		}
	}
}

func planArea(tri Triangle) float64 {
	return sideOf(place(tri.At[0]), place(tri.At[1]), place(tri.At[2])) / 2
}
