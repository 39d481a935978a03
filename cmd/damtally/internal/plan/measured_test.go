package plan_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// pointFile is a list of points in feet over the vale's dam, from x 0 to 600 ft and
// over the given pairs of offset (y) and depth below the ground.
func pointFile(from, to float64, pairs ...float64) string {
	out := "x,y,z\n"
	xs := []float64{from, to}
	if from < 300 && 300 < to {
		xs = append(xs, 300)
	}
	for _, x := range xs {
		for i := 0; i < len(pairs); i += 2 {
			out += fmt.Sprintf("%g,%g,%g\n", x, pairs[i], 100+math.Abs(x-300)/10-pairs[i+1])
		}
	}
	return out
}

// withFiles writes a site with files beside its tables.
func withFiles(t *testing.T, texts, files map[string]string) string {
	t.Helper()
	dir := tables(t, texts)
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// dugVale is the vale with a trench 4 ft deep below 0.5 ft of stripping from station
// 1+00 to 5+00.
func dugVale(surfaces string) map[string]string {
	texts := changed(vale(), "trench", "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n1+00,8,1,4\n5+00,8,1,4\n")
	return changed(texts, "surfaces", "name,file,use,date,unit,column order\n"+surfaces)
}

// The ground was stripped 1 ft deep, half a foot more than planned, and the trench
// is 3 ft deep below that at a bottom of 10 ft: the result takes them, and the plan
// stands beside it.
func TestMeasuredGround(t *testing.T) {
	// Offsets run along y: 0 is the centreline. The middle of the trench is flat.
	stripped := pointFile(0, 600, -90, 1, 90, 1)
	trench := pointFile(80, 520, -20, 1, -8, 1, -5, 4, 5, 4, 8, 1, 20, 1)
	dir := withFiles(t, dugVale("clean,clean.csv,stripped,2026-05-02,ft,x y z\nopen,open.csv,trench dug,2026-05-09,ft,x y z\n"),
		map[string]string{"clean.csv": stripped, "open.csv": trench})
	r := run(t, dir)
	planned := run(t, tables(t, changed(dugVale(""), "surfaces", "")))
	near(t, "planned stripping", r.Dug.Planned.Stripping, planned.Quantities.Stripping, 1e-9)
	near(t, "planned trench", r.Dug.Planned.Trench, planned.Quantities.Trench, 1e-9)
	const ft2 = 0.3048 * 0.3048
	for i, s := range r.Quantities.Sections {
		if s.Station != 250*0.3048 {
			continue
		}
		// At 2+50 the ground lies at 105 ft, the dam is 16 ft high and 108 ft wide.
		near(t, "stripped", s.Stripping.Area/ft2, 108*1, 1e-6)
		near(t, "dug", s.Trench.Area/ft2, (10+16)/2*3, 1e-3) // a quarter metre of the survey's slack
		near(t, "planned stripped", r.Dug.Rows[i].PlannedStripping/ft2, (12+6*15.5)*0.5, 1e-6)
		near(t, "planned dug", r.Dug.Rows[i].PlannedTrench/ft2, (8+16)/2*4, 1e-6)
		near(t, "bottom", r.Dug.Rows[i].Bottom/0.3048, 101, 1e-6)
		near(t, "planned bottom", r.Dug.Rows[i].PlannedBottom/0.3048, 100.5, 1e-6)
	}
	for part, level := range map[string]string{
		"the stripped ground is that measured (clean, 2026-05-02): ": "note",
		"the trench is that measured (open, 2026-05-09): ":           "note",
		"the open trench is 0.5 ft less deep than planned":           "look",
	} {
		if !hasNote(r.Notes, level, part) {
			t.Errorf("no %s with %q in\n%s", level, part, listed(r.Notes))
		}
	}
	if r.SurfaceVolume == nil {
		t.Fatal("no volume between surfaces")
	}
	near(t, "between the surfaces", *r.SurfaceVolume, r.Quantities.Fill.Prismoidal, 1e-9)
}

// A survey over a part of the dam, raised at one place.
func TestMeasuredGroundInPart(t *testing.T) {
	part := pointFile(200, 400, -90, 0.5, -10, 0.5, 0, -0.8, 10, 0.5, 90, 0.5)
	dir := withFiles(t, dugVale("clean,clean.csv,stripped,,ft,x y z\n"), map[string]string{"clean.csv": part})
	r := run(t, dir)
	for _, want := range []string{"of the ground from toe to toe, and elsewhere the depths of `stripping` stand", "the ground measured after stripping lies 0.8 ft above the ground as it was"} {
		if !hasNote(r.Notes, "look", want) {
			t.Errorf("no look with %q in\n%s", want, listed(r.Notes))
		}
	}
	if len(r.Dug.Trench) != 0 {
		t.Error("no trench was measured")
	}
}

func TestWrongMeasuredGround(t *testing.T) {
	dir := withFiles(t, dugVale("clean,clean.csv,stripped,,ft,x y z\n"), map[string]string{"clean.csv": "x,y,z\n1,1,1\n2,2,2\n"})
	if got := failingPath(t, dir); !strings.Contains(got, "surfaces row 2, file: clean.csv: ") {
		t.Error(got)
	}
	texts := changed(dugVale("clean,clean.csv,stripped,,ft,x y z\n"), "centreline", "")
	texts = changed(changed(texts, "survey", ""), "profile", "station (ft),elevation (ft)\n0,130\n300,100\n600,130\n")
	dir = withFiles(t, texts, map[string]string{"clean.csv": pointFile(0, 600, -90, 1, 90, 1)})
	if got := failingPath(t, dir); !strings.Contains(got, "surfaces row 2, use: measured ground is set against the dam in plan, and there is no centreline; give a table centreline") {
		t.Error(got)
	}
}
