package plan_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
)

// trough is a valley of V shape with sides 1:1, z = |x|, its bottom level; the dam
// stands across it and 60 m upstream the ground rises 1:1 to close it, z = |x| + y - 60.
func trough(t testing.TB, settings string) map[string]string {
	t.Helper()
	return map[string]string{
		"site":       "item,value\noutput units,metric\nupstream side,left\n" + settings,
		"centreline": "x (m),y (m)\n-30,0\n30,0\n",
		"survey":     "x (m),y (m),elevation (m)\n-30,-60,30\n0,-60,0\n30,-60,30\n-30,60,30\n0,60,0\n30,60,30\n-35,90,30\n0,90,30\n35,90,30\n",
		"crest":      "elevation (m),width (m)\n12,4\n",
		"faces":      "side,slope (h:v)\nupstream,2\ndownstream,2\n",
	}
}

// Water at 10 m behind a crest of 12 m, 4 m wide, face 2:1. Over the face, for y
// from 6 to 26 m, it is a trapezoid of area 100 - z^2 with z = (26 - y) / 2: 4/3 x
// 1000 m3. Over the bed to y = 60 m: 34 x 100. Beyond, two pyramids of 10^3 / 6.
// The surface is 20 m wide from y = 6 to 60 m, then a triangle 20 by 10 (closed form).
func TestLakeInAVValley(t *testing.T) {
	r := run(t, tables(t, trough(t, "normal pool elevation,10 m\n")))
	if r.Lake == nil || len(r.Lake.Pools) != 1 || !r.Lake.Pools[0].Known {
		t.Fatalf("no lake: %+v", r.Notes)
	}
	p := r.Lake.Pools[0].At
	volume, area := 4*1000.0/3+34*100+1000.0/3, 20.0*(60-6)+100
	near(t, "volume", p.Volume, volume, 1e-9*volume)
	near(t, "area", p.Area, area, 1e-9*area)
	near(t, "shoreline", p.Shoreline, 2*(60-6)+20+2*math.Sqrt(200), 1e-9)
	near(t, "mean depth", p.MeanDepth, volume/area, 1e-9)
	near(t, "greatest depth", p.GreatestDepth, 10, 1e-9)
	if r.Lake.Limit.Level < 12 {
		t.Errorf("limit %+v", r.Lake.Limit)
	}
}

// The table rises, holds the levels asked for, ends at the crest, and its contour
// methods are near the exact volume.
func TestLakeTable(t *testing.T) {
	r := run(t, tables(t, trough(t, "normal pool elevation,9.37 m\nspillway elevation,10 m\ndesign high water elevation,11 m\n")))
	rows := r.Lake.Rows
	seen := false
	for i, row := range rows {
		seen = seen || row.Level == 9.37
		if i > 0 && !(row.Level > rows[i-1].Level && row.Area >= rows[i-1].Area && row.Volume > rows[i-1].Volume) {
			t.Errorf("row %d does not rise: %+v after %+v", i, row, rows[i-1])
		}
	}
	last := rows[len(rows)-1]
	near(t, "last level", last.Level, 12, 0)
	near(t, "end area", last.Contours.EndArea, last.Volume, 0.01*last.Volume)
	near(t, "conic", last.Contours.Conic, last.Volume, 0.01*last.Volume)
	if !seen || len(rows) > 45 {
		t.Errorf("%d rows, normal pool seen: %v", len(rows), seen)
	}
	names := ""
	for _, p := range r.Lake.Pools {
		names += p.Name + ", "
		near(t, p.Name, p.At.Level, p.Level, 0)
	}
	if names != "normal pool, spillway, design high water, " {
		t.Error(names)
	}
}

// The demo's survey ends up the valley: the limit is told with its place in the
// site's own coordinates, and a level above it is not figured.
func TestLakeAtTheSurveysEdge(t *testing.T) {
	r := run(t, tables(t, edited(t, demoTables(t), "site", "spillway elevation,855.0", "spillway elevation,857.5")))
	if !hasNote(r.Notes, "look", "the lake is known up to 856.74 ft only: there the water reaches the edge of the survey, at x 5,470.37 ft, y 10,685.51 ft") {
		t.Error("the limit is not told")
	}
	if !hasNote(r.Notes, "look", "area and storage at the spillway, 857.50 ft, are not figured") || r.Lake.Pools[1].Known {
		t.Error("the level above the limit is not told")
	}
	if r.Lake.Limit.Kind != earthwork.SurveyEdge {
		t.Error(r.Lake.Limit)
	}
}

// Without ground in plan a level of water is told to be without a lake.
func TestNoLakeOfAProfile(t *testing.T) {
	r := run(t, tables(t, levelDam(t, "normal pool elevation,108 m\n", "")))
	if r.Lake != nil || !hasNote(r.Notes, "look", "the lake is not figured: the ground is not known in plan") {
		t.Error("a lake of a profile")
	}
}
