package site

import (
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/xuri/excelize/v2"
)

// tables is the text of each table of a site, as CSV.
type tables map[string]string

// plainSite is the smallest site: a level dam over a small valley.
func plainSite() tables {
	return tables{
		"site":    "item,value\nname,Test pond\n",
		"profile": "station (ft),elevation (ft)\n0,30\n100,10\n200,30\n",
		"crest":   "elevation (ft),width (ft)\n32,12\n",
		"faces":   "side,slope (h:v)\nupstream,3\ndownstream,2.5\n",
	}
}

// with returns the tables with some replaced; an empty text takes one out.
func (ts tables) with(changes tables) tables {
	out := maps.Clone(ts)
	for name, text := range changes {
		if text == "" {
			delete(out, name)
		} else {
			out[name] = text
		}
	}
	return out
}

// folder writes the tables as a folder of CSV files.
func (ts tables) folder(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range ts {
		write(t, filepath.Join(dir, name+".csv"), []byte(text))
	}
	return dir
}

// book writes the tables as a workbook, with cells that are plain numbers
// stored as numbers.
func (ts tables) book(t testing.TB) string {
	t.Helper()
	f := excelize.NewFile()
	for _, name := range slices.Sorted(maps.Keys(ts)) {
		must(t, second(f.NewSheet(name)))
		scan := csvScanner{text: ts[name], separator: ','}
		for scan.next() {
			for i, c := range scan.cells {
				address, _ := excelize.CoordinatesToCellName(i+1, scan.row)
				if v, err := strconv.ParseFloat(c.text, 64); err == nil && !strings.ContainsAny(c.text, "nN_xX") {
					must(t, f.SetCellValue(name, address, v))
				} else if c.text != "" {
					must(t, f.SetCellStr(name, address, c.text))
				}
			}
		}
	}
	return save(t, f)
}

// save writes a workbook without its first, empty sheet.
func save(t testing.TB, f *excelize.File) string {
	t.Helper()
	must(t, f.DeleteSheet("Sheet1"))
	path := filepath.Join(t.TempDir(), "site.xlsx")
	must(t, f.SaveAs(path))
	return path
}

func second[T any](_ T, err error) error { return err }

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func write(t testing.TB, path string, data []byte) {
	t.Helper()
	must(t, os.WriteFile(path, data, 0o600))
}

// read reads a site that must be right.
func read(t testing.TB, path string) Site {
	t.Helper()
	s, err := Read(path)
	must(t, err)
	return s
}

// lines are the problems of a site, one text each; none when it is right.
func lines(t testing.TB, path string) []string {
	t.Helper()
	s, err := Read(path)
	if err == nil {
		return nil
	}
	var ps Problems
	if !errors.As(err, &ps) {
		t.Fatalf("not Problems: %v", err)
	}
	if s.Path != "" || s.Crest != nil {
		t.Errorf("a site came back with problems: %+v", s)
	}
	return strings.Split(err.Error(), "\n")
}

func same(t testing.TB, what string, got, want any, options ...cmp.Option) {
	t.Helper()
	if diff := cmp.Diff(want, got, options...); diff != "" {
		t.Errorf("%s (-want +got):\n%s", what, diff)
	}
}

// butRefs compares sites but for where their rows stand.
// refsToo compares rows as well, but not where a workbook has its columns.
var refsToo = cmpopts.IgnoreUnexported(Ref{})

var butRefs = cmp.Options{
	cmpopts.IgnoreTypes(Ref{}, []Ref{}, map[string]Ref{}),
	cmpopts.IgnoreFields(Site{}, "Path"),
	cmpopts.EquateEmpty(),
}

// wrongCase is a site with something wrong, and all that must be said of it.
type wrongCase struct {
	name    string
	changes tables
	want    []string
}

// checkWrong reads each case as a folder and compares every line.
func checkWrong(t *testing.T, cases []wrongCase) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			same(t, "problems", lines(t, plainSite().with(c.changes).folder(t)), c.want, cmpopts.EquateEmpty())
		})
	}
}

// noteTexts are the texts of a site's notes with their level.
func noteTexts(s Site) []string {
	var texts []string
	for _, n := range s.Notes {
		at := ""
		if n.Ref.Row > 0 {
			at = " row " + strconv.Itoa(n.Ref.Row)
		}
		texts = append(texts, n.Level+": "+n.Ref.Table+at+": "+n.Text)
	}
	return texts
}

// appendPoint writes the n-th row of a large invented survey.
func appendPoint(b []byte, n int) []byte {
	b = strconv.AppendInt(b, int64(n), 10)
	b = append(b, ',')
	b = strconv.AppendFloat(b, 5000+float64(n%317)*7.25, 'f', 2, 64)
	b = append(b, ',')
	b = strconv.AppendFloat(b, 10000+float64(n/317)*3.5, 'f', 2, 64)
	b = append(b, ',')
	b = strconv.AppendFloat(b, 850+float64(n%97)/10, 'f', 2, 64)
	return append(b, ",GR\n"...)
}
