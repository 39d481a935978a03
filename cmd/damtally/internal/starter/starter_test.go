package starter

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

func TestChosen(t *testing.T) {
	for _, c := range []struct {
		with string
		want string
	}{
		{"", "site profile crest faces trench stripping zones materials proctor density"},
		{" Pits ", "site profile crest faces trench stripping zones outlines materials proctor density pits"},
		{"survey,shots", "site centreline survey crest faces trench stripping zones materials proctor density"},
		{"shots", "site shots crest faces trench stripping zones materials proctor density"},
		{"cuts", "site centreline survey crest faces trench stripping zones cuts outlines materials proctor density"},
		{"outlines", "site profile crest faces trench stripping zones outlines materials proctor density pits"},
		{"outlines,cuts", "site centreline survey crest faces trench stripping zones cuts outlines materials proctor density"},
	} {
		got := strings.Join(Chosen(Options{With: strings.Split(c.with, ",")}), " ")
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%q: %s", c.with, diff)
		}
	}
}

// onDisk writes a starter site both ways and returns the two paths.
func onDisk(t *testing.T, o Options) (folder, workbook string) {
	t.Helper()
	folder = filepath.Join(t.TempDir(), "pond")
	if err := os.Mkdir(folder, 0o777); err != nil {
		t.Fatal(err)
	}
	files, err := Folder(o)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(folder, f.Name), f.Bytes, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := Workbook(&b, o); err != nil {
		t.Fatal(err)
	}
	workbook = folder + ".xlsx"
	if err := os.WriteFile(workbook, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return folder, workbook
}

// TestPlansAtOnce plans every starter site, in both systems of units, from both
// forms: with each table that can be added, and with those of a kind together.
func TestPlansAtOnce(t *testing.T) {
	sets := [][]string{nil, {"shots", "pits"}, {"survey", "pits", "borings", "hauls"}, {"cuts", "blankets", "pits", "prices"}}
	for _, name := range Tables() {
		if !slices.Contains(basic, name) {
			sets = append(sets, []string{name})
		}
	}
	for _, units := range []string{"us", "metric"} {
		for _, with := range sets {
			t.Run(units+" "+strings.Join(with, ","), func(t *testing.T) {
				folder, workbook := onDisk(t, Options{with, units})
				one, two := planned(t, folder), planned(t, workbook)
				if one.Quantities.Total < 1000 || one.Quantities.Total != two.Quantities.Total {
					t.Errorf("the folder takes %v m3, the workbook %v m3", one.Quantities.Total, two.Quantities.Total)
				}
				for _, c := range one.Checks {
					if !c.Holds {
						t.Errorf("a check fails: %s", c.What)
					}
				}
				for _, b := range one.Balance {
					if len(one.Pits) > 0 && (b.Enough == nil || !*b.Enough) {
						t.Errorf("not enough %s", b.Material)
					}
				}
			})
		}
	}
}

// allowedLooks are parts of the only warnings that a starter site may give.
var allowedLooks = []string{
	"a trench can cave in", "level across", "there is no table `pits`", "water follows a pipe", "has no test hole in `borings`",
	"is figured as volume only", "real roads wind",
}

// planned reads and plans a site, and looks for warnings that an example made
// with care would not give.
func planned(t *testing.T, path string) *plan.Result {
	t.Helper()
	s, err := site.Read(path)
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	job, err := plan.Prepare(s)
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	r, err := job.Run(job.Design())
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	for _, n := range r.Notes {
		allowed := n.Level == "note" || slices.ContainsFunc(allowedLooks, func(part string) bool { return strings.Contains(n.Text, part) })
		if !allowed {
			t.Errorf("%s: %s: %s", path, n.Level, n.Text)
		}
	}
	return r
}

func TestEveryTableHasAnExampleInBothUnits(t *testing.T) {
	for _, spec := range site.Schema() {
		for _, units := range []string{"us", "metric"} {
			got, err := example(spec, units)
			if spec.Name == OwnFile {
				if err == nil {
					t.Errorf("there is an example of %s", OwnFile)
				}
				continue
			}
			if err != nil {
				t.Error(err)
				continue
			}
			for i, head := range got.header {
				if got.column(i).Name == "" {
					t.Errorf("%s, %s: the data model has no column %q", units, spec.Name, head)
				}
			}
			for _, c := range spec.Columns {
				if c.Needed && !slices.ContainsFunc(got.header, func(head string) bool { name, _, _ := strings.Cut(head, " ("); return name == c.Name }) {
					t.Errorf("%s, %s: no column %q, which the table needs", units, spec.Name, c.Name)
				}
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	o := Options{With: []string{"pits", "survey", "prices"}, Units: "us"}
	var one, two bytes.Buffer
	if err := Workbook(&one, o); err != nil {
		t.Fatal(err)
	}
	if err := Workbook(&two, o); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(one.Bytes(), two.Bytes()) {
		t.Error("two workbooks of the same options differ")
	}
}

// TestWorkbookForPeople looks for what the workbook promises a beginner.
func TestWorkbookForPeople(t *testing.T) {
	var b bytes.Buffer
	if err := Workbook(&b, Options{Units: "us"}); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sheets := f.GetSheetList()
	want := append(append([]string{"Read me"}, Chosen(Options{})...), "More tables")
	if diff := cmp.Diff(want, sheets); diff != "" {
		t.Error(diff)
	}
	first, err := f.GetCellValue("Read me", "A3")
	if err != nil || !strings.HasPrefix(first, "INVENTED EXAMPLE") {
		t.Errorf("the first sheet begins with %q (%v)", first, err)
	}
	lists, err := f.GetDataValidations("faces")
	if err != nil || len(lists) != 1 || lists[0].Formula1 != `"upstream,downstream"` || lists[0].Sqref != "A4:A500" {
		t.Errorf("faces offers %+v (%v)", lists, err)
	}
	rows, err := f.GetRows("More tables")
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, row := range rows {
		text += strings.Join(row, "\t") + "\n"
	}
	for _, spec := range site.Schema() {
		if !strings.Contains(text, "\n"+spec.Name+"\t") {
			t.Errorf("the last sheet does not name the table %s", spec.Name)
		}
	}
	for _, i := range site.Items() {
		if !strings.Contains(text, "\n"+i.Name+"\t") {
			t.Errorf("the last sheet does not name the setting %s", i.Name)
		}
	}
}

// TestSettingsListPointsAtTheSettings follows the list of settings' names to
// the sheet that it refers to.
func TestSettingsListPointsAtTheSettings(t *testing.T) {
	var b bytes.Buffer
	if err := Workbook(&b, Options{Units: "metric"}); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lists, err := f.GetDataValidations("site")
	if err != nil {
		t.Fatal(err)
	}
	items := site.Items()
	first, last := settingsRows(items)
	for row, name := range map[int]string{first: items[0].Name, last: items[len(items)-1].Name} {
		if got, _ := f.GetCellValue("More tables", cellName("A", row)); got != name {
			t.Errorf("row %d is %q, want %q", row, got, name)
		}
	}
	want := "'More tables'!$A$" + number(first) + ":$A$" + number(last)
	if !slices.ContainsFunc(lists, func(v *excelize.DataValidation) bool { return v.Formula1 == want && v.Sqref == "A4:A500" }) {
		t.Errorf("no list refers to %s", want)
	}
}

// TestWorkbookXMLHasNoFormula makes sure that what is typed over holds plain
// values alone.
func TestWorkbookXMLHasNoFormula(t *testing.T) {
	var b bytes.Buffer
	if err := Workbook(&b, Options{With: Tables(), Units: "us"}); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, part := range z.File {
		if !strings.HasPrefix(part.Name, "xl/worksheets/") {
			continue
		}
		r, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		seen++
		if bytes.Contains(text, []byte("<f>")) {
			t.Errorf("%s holds a formula", part.Name)
		}
	}
	if seen < 20 {
		t.Errorf("only %d sheets", seen)
	}
}

func TestLinesOf(t *testing.T) {
	for _, c := range []struct {
		text string
		want int
	}{{"", 1}, {"one", 1}, {"one two", 1}, {"one two three", 2}, {"aaaaaaaaaaaa b", 2}} {
		if got := linesOf(c.text, 10, 1); got != c.want {
			t.Errorf("%q takes %d lines, want %d", c.text, got, c.want)
		}
	}
}
