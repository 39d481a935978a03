package plan_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/xuri/excelize/v2"
)

// gridX and gridY are where the small valley lies in state plane feet.
const gridX, gridY = 2_000_000, 500_000

// valley is the level of an invented valley, ft, with its bed at x = 300.
func valley(x, y float64) float64 { return 700 + math.Abs(x-300)*0.1 + (y-300)*0.01 }

// valleyPoints are its points, 600 ft square, every 20 ft, bed included.
func valleyPoints(visit func(x, y, z float64)) {
	for y := 0.0; y <= 600; y += 20 {
		for x := 0.0; x <= 600; x += 20 {
			visit(x, y, valley(x, y))
		}
	}
}

// fileSite is a dam across the valley whose ground is the text of each table.
func fileSite(t testing.TB, more map[string]string) string {
	t.Helper()
	texts := map[string]string{
		"site":       "item,value\nname,Valley (invented)\nupstream side,left\noutput units,us\n",
		"centreline": fmt.Sprintf("x (ft),y (ft)\n%d,%d\n%d,%d\n", gridX+50, gridY+300, gridX+550, gridY+300),
		"crest":      "elevation (ft),width (ft)\n715,12\n",
		"faces":      "side,slope (h:v)\nupstream,3\ndownstream,2.5\n",
	}
	for name, text := range more {
		if texts[name] = text; text == "" {
			delete(texts, name)
		}
	}
	return tables(t, texts)
}

func put(t testing.TB, dir, name, text string) {
	t.Helper()
	path := filepath.Join(dir, filepath.FromSlash(name))
	if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o700), os.WriteFile(path, []byte(text), 0o600)); err != nil {
		t.Fatal(err)
	}
}

// asSurvey is the valley as the table survey.
func asSurvey() string {
	var b strings.Builder
	b.WriteString("x (ft),y (ft),elevation (ft)\n")
	valleyPoints(func(x, y, z float64) { fmt.Fprintf(&b, "%.3f,%.3f,%.6f\n", gridX+x, gridY+y, z) })
	return b.String()
}

// asPoints is the valley as a point file, northing first, in a unit.
func asPoints(unit float64) string {
	var b strings.Builder
	n := 0
	valleyPoints(func(x, y, z float64) {
		n++
		fmt.Fprintf(&b, "%d,%.6f,%.6f,%.6f,GR\n", n, (gridY+y)*0.3048/unit, (gridX+x)*0.3048/unit, z*0.3048/unit)
	})
	return b.String()
}

// asLandXML is the valley as a surveyor's triangles, with an alignment.
func asLandXML(alignment string) string {
	return drawnValley(alignment, func(x, y float64) bool { return true })
}

// drawnValley is asLandXML with the cells alone, by their corner, that are wanted.
func drawnValley(alignment string, wanted func(x, y float64) bool) string {
	var points, faces strings.Builder
	const across = 31
	i := 0
	valleyPoints(func(x, y, z float64) {
		fmt.Fprintf(&points, "<P id=\"%d\">%.3f %.3f %.6f</P>\n", 1000+2*i, gridY+y, gridX+x, z)
		if x > 0 && y > 0 && wanted(x, y) {
			a, b, c, d := 1000+2*i, 998+2*i, 998+2*(i-across), 1000+2*(i-across)
			fmt.Fprintf(&faces, "<F>%d %d %d</F><F>%d %d %d</F>\n", a, b, c, a, c, d)
		}
		i++
	})
	return `<?xml version="1.0"?><LandXML version="1.2"><Units><Imperial linearUnit="foot"/></Units>` + alignment +
		`<Surfaces><Surface name="valley"><Definition surfType="TIN"><Pnts>` + points.String() + `</Pnts><Faces>` + faces.String() + `</Faces></Definition></Surface></Surfaces></LandXML>`
}

// asGeoJSON is the valley as points with elevations.
func asGeoJSON() string {
	var list []string
	valleyPoints(func(x, y, z float64) { list = append(list, fmt.Sprintf("[%.3f,%.3f,%.6f]", gridX+x, gridY+y, z)) })
	return `{"type":"MultiPoint","coordinates":[` + strings.Join(list, ",") + `]}`
}

func fill(t testing.TB, dir string) float64 {
	t.Helper()
	return run(t, dir).Quantities.Total
}

func noteHolds(r *plan.Result, words string) bool {
	return slices.ContainsFunc(r.Notes, func(n site.Note) bool { return strings.Contains(n.Text, words) })
}

// The same ground gives the same dam whatever file it comes in: the elevations are
// printed to a millionth of a foot, so volumes agree to a hundred-thousandth.
func TestOneGroundInManyFiles(t *testing.T) {
	want := fill(t, fileSite(t, map[string]string{"survey": asSurvey()}))
	if !(want > 1000) {
		t.Fatalf("the dam takes %v m3", want)
	}
	const head = "name,file,use,unit,column order\n"
	half := strings.SplitAfter(asPoints(0.3048), "\n")
	for name, c := range map[string]struct {
		rows  string
		files map[string]string
	}{
		"points in feet":        {"a,g.csv,existing,ft,pnezd\n", map[string]string{"g.csv": asPoints(0.3048)}},
		"points in metres":      {"a,sub/g.txt,existing,m,p n e z d\n", map[string]string{"sub/g.txt": asPoints(1)}},
		"points in survey feet": {"a,g.txt,existing,ftUS,p n e z d\n", map[string]string{"g.txt": asPoints(1200.0 / 3937)}},
		"triangles":             {"a,g.xml,existing,,\n", map[string]string{"g.xml": asLandXML("")}},
		"GeoJSON":               {"a,g.geojson,existing,ft,\n", map[string]string{"g.geojson": asGeoJSON()}},
		"two halves": {"a,g.txt,existing,ft,pnezd\nb,h.txt,existing,ft,pnezd\n", map[string]string{
			"g.txt": strings.Join(half[:500], ""), "h.txt": strings.Join(half[480:], ""),
		}},
		"triangles beside points": {"a,g.xml,existing,,\nb,h.txt,existing,ft,pnezd\n", map[string]string{"g.xml": asLandXML(""), "h.txt": strings.Join(half[:40], "")}},
	} {
		t.Run(name, func(t *testing.T) {
			dir := fileSite(t, map[string]string{"surfaces": head + c.rows})
			for file, text := range c.files {
				put(t, dir, file, text)
			}
			near(t, "fill", fill(t, dir)/want, 1, 1e-5)
		})
	}
	t.Run("survey and a file", func(t *testing.T) {
		rows := strings.SplitAfter(asSurvey(), "\n")
		dir := fileSite(t, map[string]string{"survey": strings.Join(rows[:500], ""), "surfaces": head + "a,g.txt,existing,ft,pnezd\n"})
		put(t, dir, "g.txt", strings.Join(half[490:], ""))
		r := run(t, dir)
		near(t, "fill", r.Quantities.Total/want, 1, 1e-5)
		if !noteHolds(r, "the ground of 2 sources is joined") || !noteHolds(r, "9 ground points stand at a place") {
			t.Errorf("notes %v", r.Notes)
		}
	})
}

// An alignment is the centreline when no table is; its stations and curves count.
func TestAlignmentAsCentreline(t *testing.T) {
	want := fill(t, fileSite(t, map[string]string{"survey": asSurvey()}))
	line := func(name, geometry string) string {
		return `<Alignment name="` + name + `" staStart="100"><CoordGeom>` + geometry + `</CoordGeom></Alignment>`
	}
	straight := line("dam", fmt.Sprintf("<Line><Start>%d %d</Start><End>%d %d</End></Line>", gridY+300, gridX+50, gridY+300, gridX+550))
	with := func(alignments, rows string) string {
		dir := fileSite(t, map[string]string{"centreline": "", "surfaces": "name,file,use\n" + rows})
		put(t, dir, "g.xml", asLandXML("<Alignments>"+alignments+"</Alignments>"))
		return dir
	}
	r := run(t, with(straight, "valley,g.xml,existing\n"))
	near(t, "fill", r.Quantities.Total/want, 1, 1e-5)
	// The valley's bed is 250 ft from the start; a section stands within half an interval of it.
	near(t, "highest section", r.Quantities.Sections[r.Quantities.Highest].Station, 350*0.3048, 12.5*0.3048+1e-9)
	if !noteHolds(r, `the centreline is the alignment "dam" of g.xml, from station 1+00`) {
		t.Errorf("notes %v", r.Notes)
	}
	fails := func(name, dir, words string) {
		t.Helper()
		if text := problems(t, dir); !strings.Contains(text, words) {
			t.Errorf("%s: %s", name, text)
		}
	}
	spiral := line("dam", "<Spiral/>")
	fails("spiral", with(spiral, "valley,g.xml,existing\n"), "surfaces row 2, file: g.xml, line 1: the alignment holds a <Spiral>")
	fails("several", with(straight+line("road", "<Spiral/>"), "valley,g.xml,existing\n"), `surfaces row 2, name: g.xml holds 2 alignments: "dam", "road"`)
	fails("none", with("", "valley,g.xml,existing\n"), "surfaces row 2, file: there is no table `centreline`, and g.xml holds no alignment")
	gap := line("dam", "<Line><Start>0 0</Start><End>0 9</End></Line><Line><Start>5 9</Start><End>5 19</End></Line>")
	fails("gap", with(gap, "valley,g.xml,existing\n"), `part 2 of the alignment "dam": it begins 5.00 ft away`)
}

// problems is the text of what is wrong with a site.
func problems(t testing.TB, dir string) string {
	t.Helper()
	s, err := site.Read(dir)
	if err == nil {
		_, err = plan.Prepare(s)
	}
	if err == nil {
		t.Fatal("no problem found")
	}
	var ps site.Problems
	if !errors.As(err, &ps) {
		t.Fatalf("not Problems: %v", err)
	}
	return err.Error()
}

func TestGroundFileProblems(t *testing.T) {
	swapped := asPoints(0.3048)
	for name, c := range map[string]struct{ row, file, text, want string }{
		"no file":     {"a,g.csv,existing,ft,pnezd", "", "", "surfaces row 2, file: g.csv: cannot be opened"},
		"no order":    {"a,g.csv,existing,ft,", "g.csv", swapped, `surfaces row 2, column order: g.csv: which column is the easting`},
		"swapped":     {"a,g.csv,existing,ft,penzd", "g.csv", swapped, "its x and y look swapped"},
		"unit":        {"a,g.csv,existing,m,pnezd", "g.csv", swapped, "its `unit` looks like ft, not m"},
		"no unit":     {"a,g.csv,existing,,pnezd", "g.csv", swapped, "surfaces row 2, unit: g.csv: it does not say what unit"},
		"format":      {"a,g.dat,existing,ft,pnezd", "g.dat", swapped, "surfaces row 2"},
		"two points":  {"a,g.csv,existing,ft,x y z", "g.csv", "2000100 500300 700\n2000200 500301 701\n", "surfaces row 2, file: ground needs at least three points"},
		"on one line": {"a,g.csv,existing,ft,x y z", "g.csv", "2000100 500300 700\n2000200 500300 701\n2000300 500300 701\n", "all points lie on one straight line"},
		"unlike":      {"a,g.csv,existing,ft,x y z", "g.csv", "2000100 500300 700\n2000100 500300 701\n2000300 500310 701\n", "two points at one place, x 2,000,100.00 ft, y 500,300.00 ft, have different elevations: 700.00 ft and 701.00 ft; keep the right one"},
		"crossing": {
			"a,g.geojson,existing,ft,", "g.geojson", `{"type":"MultiLineString","coordinates":[[[2000100,500300,700],[2000500,500300,700]],[[2000300,500100,710],[2000300,500500,710]]]}`,
			"surfaces row 2, file: two breaklines cross at x 2,000,300.00 ft, y 500,300.00 ft, where one says 710.00 ft and the other 700.00 ft; survey the crossing",
		},
		"beside it":    {"a,g.csv,existing,ft,x y z", "g.csv", "2001000 500900 700\n2001100 500900 700\n2001100 501000 701\n", "the centreline lies nowhere on the survey"},
		"a LAZ":        {"a,g.laz,existing,ft,", "g.laz", "LASF" + strings.Repeat("\x00", 20) + "\x01\x02" + strings.Repeat("\x00", 300), "surfaces row 2, file: g.laz"},
		"a folder":     {"a,sub,existing,ft,", "sub/x", "", "surfaces row 2, file: sub: this is a folder"},
		"out of range": {"a,g.xml,existing,m,", "g.xml", asLandXML(""), "surfaces row 2, unit: g.xml: the file says that its unit is ft, the table says m"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := fileSite(t, map[string]string{"surfaces": "name,file,use,unit,column order\n" + c.row + "\n"})
			if c.file != "" {
				put(t, dir, c.file, c.text)
			}
			if got := problems(t, dir); !strings.Contains(got, c.want) {
				t.Errorf("%s\nwant %s", got, c.want)
			}
		})
	}
}

// Files are named from the folder of a site that is a workbook.
func TestFilesBesideAWorkbook(t *testing.T) {
	dir := fileSite(t, map[string]string{"surfaces": "name,file,use,unit,column order\na,sub/g.txt,existing,ft,pnezd\n"})
	put(t, dir, "sub/g.txt", asPoints(0.3048))
	book := excelize.NewFile()
	names, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		sheet := strings.TrimSuffix(filepath.Base(name), ".csv")
		_, err = book.NewSheet(sheet)
		for i, line := range strings.Split(strings.TrimSpace(string(data)), "\n") {
			cells := strings.Split(line, ",")
			err = errors.Join(err, book.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &cells))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(dir, "site.xlsx")
	if err := errors.Join(book.DeleteSheet("Sheet1"), book.SaveAs(path)); err != nil {
		t.Fatal(err)
	}
	near(t, "fill", fill(t, path), fill(t, dir), 1e-9)
}

// Breaklines and a boundary in files shape the ground; what lies beyond the
// boundary is no ground.
func TestBoundaryFile(t *testing.T) {
	ring := func(x0, y0, x1, y1 int) string {
		return fmt.Sprintf(`{"type":"Polygon","coordinates":[[[%[1]d,%[2]d],[%[3]d,%[2]d],[%[3]d,%[4]d],[%[1]d,%[4]d],[%[1]d,%[2]d]]]}`, gridX+x0, gridY+y0, gridX+x1, gridY+y1)
	}
	rows := "name,file,use,unit,column order\na,g.csv,existing,ft,pnezd\nb,edge.geojson,existing,ft,\n"
	dir := fileSite(t, map[string]string{"surfaces": rows})
	put(t, dir, "g.csv", asPoints(0.3048))
	put(t, dir, "edge.geojson", ring(10, 200, 590, 400))
	near(t, "fill", fill(t, dir)/fill(t, fileSite(t, map[string]string{"survey": asSurvey()})), 1, 1e-5)
	put(t, dir, "edge.geojson", ring(10, 290, 590, 310))
	s, err := site.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	j, err := plan.Prepare(s)
	if err != nil {
		t.Fatal(err)
	}
	if _, err = j.Run(j.Design()); err == nil || !strings.Contains(err.Error(), "the ground ends") {
		t.Errorf("a boundary nearer than the toes: %v", err)
	}
}

// A pit's boundary from a file is that of the table outlines, and is measured on
// the ground of files.
func TestPitBoundaryFile(t *testing.T) {
	base := map[string]string{
		"surfaces":  "name,file,use,unit,column order\na,g.csv,existing,ft,pnezd\n",
		"materials": "material,shrink factor (-),swell (%)\nfill,0.9,25\n",
	}
	site1 := func(pits, outlines, boundary string) string {
		base["pits"], base["outlines"] = pits, outlines
		dir := fileSite(t, base)
		put(t, dir, "g.csv", asPoints(0.3048))
		put(t, dir, "sub/pit.geojson", boundary)
		return dir
	}
	corners := [][2]int{{400, 450}, {400, 560}, {560, 560}, {560, 450}} // clockwise
	table, list := "of,x (ft),y (ft)\n", []string{}
	for _, c := range append(corners, corners[0]) {
		list = append(list, fmt.Sprintf("[%d,%d]", gridX+c[0], gridY+c[1]))
	}
	for _, c := range corners {
		table += fmt.Sprintf("east,%d,%d\n", gridX+c[0], gridY+c[1])
	}
	polygon := `{"type":"Polygon","coordinates":[[` + strings.Join(list, ",") + `]]}`
	const head = "pit,material,side slope (h:v),depth (ft)"
	want := run(t, site1(head+"\neast,fill,2,10\n", table, "")).Pits[0].Capacity.Bank
	r := run(t, site1(head+",boundary\neast,fill,2,10,sub/pit.geojson\n", "", polygon))
	near(t, "capacity", r.Pits[0].Capacity.Bank/want, 1, 1e-9)
	if !(want > 1000) || !noteHolds(r, "the boundary of pit east in sub/pit.geojson is taken to be in ft, as the centreline is") {
		t.Errorf("capacity %v, notes %v", want, r.Notes)
	}
	two := `{"type":"MultiPolygon","coordinates":[[[` + strings.Join(list, ",") + `]],[[` + strings.Join(list, ",") + `]]]}`
	if text := problems(t, site1(head+",boundary\neast,fill,2,10,sub/pit.geojson\n", "", two)); !strings.Contains(text, "pits row 2, boundary: sub/pit.geojson holds 2 polygons") {
		t.Error(text)
	}
	if text := problems(t, site1(head+",boundary\neast,fill,2,10,no.geojson\n", "", two)); !strings.Contains(text, "pits row 2, boundary: no.geojson: cannot be opened") {
		t.Error(text)
	}
}
