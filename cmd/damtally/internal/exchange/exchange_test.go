package exchange

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/needtool"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/terrain"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// planned plans an example site after a change.
func planned(t *testing.T, name string, change func(*site.Site)) *plan.Result {
	t.Helper()
	s, err := site.Read(filepath.Join("..", "..", "..", "..", "testdata", "sites", name))
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(&s)
	}
	job, err := plan.Prepare(s)
	if err != nil {
		t.Fatal(err)
	}
	r, err := job.Run(job.Design())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// files are the files of a result by name.
func files(t *testing.T, r *plan.Result) map[string][]byte {
	t.Helper()
	list, left, err := Files(r, "test")
	if len(left) > 0 || err != nil {
		t.Errorf("left out: %q, %v", left, err)
	}
	out := map[string][]byte{}
	for _, f := range list {
		if !slices.Contains(Names(), f.Name) {
			t.Errorf("%s is not among the names", f.Name)
		}
		out[f.Name] = f.Bytes
	}
	return out
}

// curved gives the demo's bend a curve.
func curved(s *site.Site) { s.Centreline[1].Radius = 400 }

// survey feet, in which state grids of the United States stand.
func surveyFeet(s *site.Site) { s.PlanUnit = "ftUS" }

var cases = map[string]struct {
	site   string
	change func(*site.Site)
}{
	"demo, with a bend": {"demo", nil}, "demo, with a curve": {"demo", curved}, "season": {"season", nil}, "survey feet": {"season", surveyFeet},
}

// read reads a file back with the project's own reader, in the job's coordinates.
func read(t *testing.T, r *plan.Result, name string, content []byte, opt terrain.Options) terrain.Found {
	t.Helper()
	opt.Origin = r.Plan.Origin
	found, err := terrain.Read(bytes.NewReader(content), int64(len(content)), name, opt)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// readBack is how far a coordinate may lie from what was written, m: the promise
// of the file.
const readBack = 1e-6

// TestLandXMLReadsBack: the design surface comes back to 1e-6 m, triangle by
// triangle, and says its unit.
func TestLandXMLReadsBack(t *testing.T) {
	for name, c := range cases {
		r := planned(t, c.site, c.change)
		points, faces, err := newScribe(r, "test").designSurface()
		if err != nil {
			t.Fatal(name, err)
		}
		found := read(t, r, surfaceFile, files(t, r)[surfaceFile], terrain.Options{})
		if found.Unit.Name != r.Plan.Unit || found.Surface == nil {
			t.Fatalf("%s: read back in %s as %T", name, found.Unit.Name, found.Surface)
		}
		var got, want [][3]float64
		for tri := range found.Surface.Triangles(found.Surface.Bound()) {
			for k, p := range tri.At {
				got = append(got, [3]float64{p[0], p[1], tri.Elevation[k]})
			}
		}
		for _, f := range faces {
			for _, i := range f {
				want = append(want, [3]float64{points[i].At[0], points[i].At[1], points[i].Elevation})
			}
		}
		if len(got) != len(want) {
			t.Fatalf("%s: %d corners come back of %d", name, len(got), len(want))
		}
		nearest := func(p [3]float64) float64 {
			best := math.Inf(1)
			for _, q := range want {
				best = min(best, math.Max(math.Abs(p[0]-q[0]), math.Max(math.Abs(p[1]-q[1]), math.Abs(p[2]-q[2]))))
			}
			return best
		}
		for _, p := range got {
			if d := nearest(p); d > readBack {
				t.Fatalf("%s: corner %v comes back %g m away", name, p, d)
			}
		}
		var any struct{ XMLName xml.Name }
		if err := xml.Unmarshal(files(t, r)[surfaceFile], &any); err != nil || any.XMLName.Space != "http://www.landxml.org/schema/LandXML-1.2" {
			t.Errorf("%s: %v %v", name, any.XMLName, err)
		}
	}
}

// sectionsBetween is how far the volume of a surface drawn through sections 20 ft
// apart may lie from average end area, relative: the ground between sections is
// not a plane, and toes run straight between them.
const sectionsBetween = 0.01

// TestSurfaceHoldsTheFill: the earth between the stripped ground and the design
// surface as it is read back is the neat fill by average end area. Two ways.
func TestSurfaceHoldsTheFill(t *testing.T) {
	r := planned(t, "season", nil)
	found := read(t, r, surfaceFile, files(t, r)[surfaceFile], terrain.Options{})
	sum := 0.0
	for _, ring := range r.Plan.Footprint {
		c, err := geometry.Compare(r.Plan.Ground, found.Surface, orb.Polygon{ring})
		if err != nil {
			t.Fatal(err)
		}
		// Stripped ground lies a depth below: so much more over the whole footprint.
		sum += c.Net() + r.Design.Stripping[0].Depth*(c.Area-c.Missing)
	}
	want := r.Quantities.Fill.EndArea + r.Quantities.Fill.Bend
	if math.Abs(sum-want) > sectionsBetween*want {
		t.Errorf("%.1f m3 under the surface, %.1f m3 by end area", sum, want)
	}
}

// TestStakesLieOnTheSurface: each point to stake out lies on the design surface,
// at its offset from the centreline.
func TestStakesLieOnTheSurface(t *testing.T) {
	r := planned(t, "season", nil)
	all := files(t, r)
	rows := table(t, all[stakeFile])
	ft := units.US.Length.SI
	lines := map[string]int{}
	for _, row := range rows[1:] {
		n := make([]float64, 6)
		for i := range n {
			n[i], _ = strconv.ParseFloat(row[i+1], 64)
		}
		f := r.Plan.Line.Frame(n[0]*ft, false)
		p := f.Plan(n[1] * ft)
		x, y := newScribe(r, "").place(p)
		if math.Hypot(x-n[3], y-n[4]) > 0.002 { // stations and offsets are written to 0.001 ft
			t.Fatalf("%v stands at %.4f, %.4f", row, x, y)
		}
		if built := n[5]; built < n[2]-0.0015 {
			t.Errorf("%v is to be built lower than it is drawn", row)
		}
		lines[row[0]]++
	}
	fill := 0
	for _, s := range r.Quantities.Sections {
		if s.Fill {
			fill++
		}
	}
	if lines["upstream toe"] != fill || lines["downstream toe"] != fill || lines["centreline"] < fill-2 {
		t.Errorf("%d sections have fill, and there are %v", fill, lines)
	}
}

// table reads a CSV file without its remarks.
func table(t *testing.T, content []byte) [][]string {
	t.Helper()
	c := csv.NewReader(bytes.NewReader(content))
	c.Comment = '#'
	rows, err := c.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// TestGeoJSON: the file is GeoJSON by RFC 7946 with a note on its coordinates, and
// what it draws is where the plan has it.
func TestGeoJSON(t *testing.T) {
	for name, c := range cases {
		r := planned(t, c.site, c.change)
		content := files(t, r)[planFile]
		var got struct {
			Type, Note string
			Features   []struct {
				Type       string
				Properties map[string]any
				Geometry   struct {
					Type        string
					Coordinates json.RawMessage
				}
			}
		}
		if err := json.Unmarshal(content, &got); err != nil {
			t.Fatal(name, err)
		}
		kinds := map[string]int{}
		for _, f := range got.Features {
			kinds[fmt.Sprint(f.Properties["kind"])]++
			if f.Type != "Feature" || f.Geometry.Type == "" || len(f.Geometry.Coordinates) < 10 {
				t.Errorf("%s: %+v", name, f)
			}
		}
		if got.Type != "FeatureCollection" || !strings.Contains(got.Note, "not longitude and latitude") {
			t.Errorf("%s: type %q, note %q", name, got.Type, got.Note)
		}
		if kinds["footprint"] != len(r.Plan.Footprint) || kinds["pit"] != len(r.Pits) || kinds["toe"] < 2 || kinds["centreline"] != 1 || kinds["section"] == 0 || kinds["crest edge"] < 2 {
			t.Errorf("%s: %v", name, kinds)
		}
	}
}

// TestFootprintReadsBack: the footprint alone, read with the project's own reader,
// has the plan's corners.
func TestFootprintReadsBack(t *testing.T) {
	r := planned(t, "season", surveyFeet)
	m := &mapmaker{scribe: newScribe(r, "")}
	ring := r.Plan.Footprint[0]
	content, err := compact(feature{"Feature", map[string]any{}, m.polygon(orb.Polygon{ring})})
	if err != nil {
		t.Fatal(err)
	}
	found := read(t, r, planFile, content, terrain.Options{Unit: m.grid, Window: ring.Bound().Pad(1000)})
	if len(found.Boundary) != 1 || len(found.Boundary[0]) != len(ring) {
		t.Fatalf("%d rings come back", len(found.Boundary))
	}
	for i, p := range found.Boundary[0] {
		if math.Hypot(p[0]-ring[i][0], p[1]-ring[i][1]) > 1e-5 {
			t.Fatalf("corner %d is at %v, not %v", i, p, ring[i])
		}
	}
}

// TestGDALOpensTheMap asks another program to read the GeoJSON.
func TestGDALOpensTheMap(t *testing.T) {
	ogrinfo := needtool.Find(t, "ogrinfo")
	for name, c := range cases {
		r := planned(t, c.site, c.change)
		content := files(t, r)[planFile]
		file := filepath.Join(t.TempDir(), planFile)
		if err := os.WriteFile(file, content, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(ogrinfo, "-ro", "-al", "-so", file).CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, out)
		}
		features := bytes.Count(content, []byte(`"type":"Feature"`))
		for _, want := range []string{fmt.Sprintf("Feature Count: %d\n", features), "kind: String"} {
			if !strings.Contains(string(out), want) {
				t.Errorf("%s: no %q in\n%s", name, want, out)
			}
		}
		if strings.Contains(string(out), "Warning") || strings.Contains(string(out), "ERROR") {
			t.Errorf("%s:\n%s", name, out)
		}
	}
}

// TestQuantities: figures stand in the units of output with their state, and a
// user's text is never a formula.
func TestQuantities(t *testing.T) {
	r := planned(t, "season", func(s *site.Site) {
		s.Zones[0].Zone = "=1+2"
		for i := range s.Density {
			if s.Density[i].Zone == "core" {
				s.Density[i].Zone = "=1+2"
			}
		}
	})
	all := files(t, r)
	found := false
	for _, row := range table(t, all[quantitiesFile])[1:] {
		if row[0] == "total in the dam" {
			found = true
			if want := fmt.Sprintf("%.1f", units.US.Volume.FromSI(r.Quantities.Total)); row[3] != want || row[2] != "compacted" || row[4] != "yd3" {
				t.Errorf("total %v, want %s", row, want)
			}
		}
	}
	if !found {
		t.Error("no total")
	}
	for name, content := range all {
		if !strings.HasSuffix(name, ".csv") {
			continue
		}
		for _, row := range table(t, content) {
			for _, cell := range row {
				if strings.HasPrefix(cell, "=") || strings.HasPrefix(cell, "@") {
					t.Errorf("%s: %q would be a formula", name, cell)
				}
			}
		}
	}
	if rows := table(t, all[testsFile]); len(rows) != len(r.Tests)+1 {
		t.Errorf("%d rows for %d tests", len(rows), len(r.Tests))
	}
}

// TestSameBytes: the same result gives the same files.
func TestSameBytes(t *testing.T) {
	one, two := files(t, planned(t, "demo", nil)), files(t, planned(t, "demo", nil))
	for name := range one {
		if !bytes.Equal(one[name], two[name]) {
			t.Errorf("%s differs", name)
		}
	}
}

// TestLandXMLDate: the surface bears the day of the newest data, not one made up.
func TestLandXMLDate(t *testing.T) {
	r := planned(t, "demo", nil)
	newest := ""
	for _, d := range r.Site.Density {
		newest = max(newest, d.Date)
	}
	if got := files(t, r)[surfaceFile]; newest == "" || !bytes.Contains(got, []byte(` date="`+newest+`"`)) {
		t.Errorf("the surface is not dated %q: %.200s", newest, got)
	}
	r.Site.Density, r.Site.Surfaces = nil, nil
	if got := files(t, r)[surfaceFile]; !bytes.Contains(got, []byte("stands for none")) {
		t.Errorf("a surface without dated data does not say so: %.600s", got)
	}
}

// TestWithoutPlan: a site without a centreline has quantities, and says what is
// left out.
func TestWithoutPlan(t *testing.T) {
	list, left, err := Files(planned(t, "handbook", nil), "test")
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 1 || list[0].Name != quantitiesFile || len(left) != 1 {
		t.Errorf("%d files, left out %q", len(list), left)
	}
}
