package site

import (
	"encoding/binary"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf16"
)

func TestFileErrorsAreTheMachines(t *testing.T) {
	_, err := Read(filepath.Join(t.TempDir(), "nowhere"))
	if !errors.Is(err, fs.ErrNotExist) || errors.As(err, new(Problems)) {
		t.Errorf("missing folder: %v", err)
	}
	dir := plainSite().folder(t)
	must(t, os.Chmod(filepath.Join(dir, "crest.csv"), 0))
	if _, err := os.ReadFile(filepath.Join(dir, "crest.csv")); err == nil {
		return // the superuser may read everything
	}
	if _, err := Read(dir); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("unreadable file: %v", err)
	}
}

func TestFoldersThatAreNoSite(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Base(dir)
	same(t, "empty", lines(t, dir), []string{name + ": the folder is empty; `damtally new` writes a site to start from"})
	write(t, filepath.Join(dir, "notes.txt"), []byte("x"))
	same(t, "no tables", lines(t, dir), []string{name + ": the folder holds no tables; `damtally new` writes a site to start from"})
	write(t, filepath.Join(dir, "pond.xlsx"), []byte("x"))
	same(t, "a workbook in it", lines(t, dir), []string{
		name + ": the folder holds no tables; give the workbook in it instead: " + filepath.Join(dir, "pond.xlsx"),
	})
	file := filepath.Join(dir, "crest.csv")
	write(t, file, []byte("x"))
	same(t, "one file", lines(t, file), []string{"crest.csv: one CSV file is not a site; give the folder that it lies in, or one xlsx workbook"})
}

func TestWrongFiles(t *testing.T) {
	dir := plainSite().folder(t)
	write(t, filepath.Join(dir, "crst.csv"), []byte("a,b\n"))
	write(t, filepath.Join(dir, "pictures.csv"), []byte("a,b\n"))
	write(t, filepath.Join(dir, "Faces.CSV"), []byte("a\n"))
	write(t, filepath.Join(dir, "trench.csv"), nil)
	write(t, filepath.Join(dir, "zones.csv"), []byte{'z', 0, 'o', 0, 'n'})
	write(t, filepath.Join(dir, ".profile.csv"), []byte("passed over"))
	must(t, os.Mkdir(filepath.Join(dir, "stripping.csv"), 0o700))
	write(t, filepath.Join(dir, "prices.csv"), []byte("item,unit,unit price\nfill,yd3,\"4\nx,y,z\n"))
	same(t, "problems", lines(t, dir), []string{
		"faces: two files hold this table; keep one",
		`faces, side: the column is missing; add a column headed "side"`,
		`faces, slope: the column is missing; add a column headed "slope"`,
		"faces row 1, a: there is no such column in this table; the choices are: side, slope, to elevation, bench width, from station, to station, overbuild",
		"trench: the file is empty; write the column names in its first row, or take the file out",
		"stripping: stripping.csv is not a file; put a CSV file there, or take it out",
		"zones: the file is not a text file; save it as CSV from your spreadsheet program",
		"prices row 2: a quotation mark is opened and never closed; close it or take it out",
		`crst.csv: there is no table of this file's name; did you mean "crest"? Else rename the file or take it out of the folder`,
		"pictures.csv: there is no table of this file's name; rename the file or take it out of the folder; the tables are: " +
			"site, centreline, profile, shots, survey, surfaces, crest, faces, trench, stripping, zones, conduits, cuts, blankets, " +
			"outlines, materials, proctor, density, pits, borings, stockpiles, hauls, fleet, prices, loads",
	})
}

func TestLinksOutOfTheSite(t *testing.T) {
	dir := plainSite().with(tables{"crest": ""}).folder(t)
	outside := filepath.Join(t.TempDir(), "crest.csv")
	write(t, outside, []byte("elevation (ft),width (ft)\n32,12\n"))
	must(t, os.Symlink(outside, filepath.Join(dir, "crest.csv")))
	same(t, "problems", lines(t, dir), []string{
		"crest: the file crest.csv is a link that leads out of the site's folder or nowhere; put the file itself into the folder",
	})
	must(t, os.Remove(filepath.Join(dir, "crest.csv")))
	must(t, os.Mkdir(filepath.Join(dir, "inside"), 0o700))
	must(t, os.Rename(outside, filepath.Join(dir, "inside", "crest.txt")))
	must(t, os.Symlink("inside/crest.txt", filepath.Join(dir, "crest.csv")))
	same(t, "a link inside", len(read(t, dir).Crest), 1)
}

func TestTextFilesOfTablesAreNoted(t *testing.T) {
	dir := plainSite().folder(t)
	write(t, filepath.Join(dir, "survey.txt"), []byte("1,2,3"))
	same(t, "note", noteTexts(read(t, dir))[0], "look: : survey.txt is passed over, since tables are read from .csv files")
}

// TestKindsOfCSV: all of these are the same table.
func TestKindsOfCSV(t *testing.T) {
	const text = "item,value\nname,Étang\n"
	want := read(t, plainSite().with(tables{"site": text}).folder(t))
	same(t, "name", want.Settings.Name, "Étang")
	wide := utf16.Encode([]rune(text))
	little, big := []byte{0xFF, 0xFE}, []byte{0xFE, 0xFF}
	for _, c := range wide {
		little = binary.LittleEndian.AppendUint16(little, c)
		big = binary.BigEndian.AppendUint16(big, c)
	}
	for name, data := range map[string]string{
		"byte-order mark":                "\uFEFF" + text,
		"UTF-16 little":                  string(little),
		"UTF-16 big":                     string(big),
		"CRLF":                           strings.ReplaceAll(text, "\n", "\r\n"),
		"CR":                             strings.ReplaceAll(text, "\n", "\r"),
		"semicolons":                     strings.ReplaceAll(text, ",", ";"),
		"tabs":                           strings.ReplaceAll(text, ",", "\t"),
		"quoted":                         "\"item\",\"value\"\n\"name\" , \"Étang\"",
		"no last line end":               strings.TrimSuffix(text, "\n"),
		"trailing separators":            "item,value,,\nname,Étang,,\n",
		"title with the other separator": "Pond; of Smith; and Sons; by me\n" + text,
	} {
		t.Run(name, func(t *testing.T) {
			got := read(t, plainSite().with(tables{"site": data}).folder(t))
			same(t, "settings", got.Settings, want.Settings, butRefs)
		})
	}
	got := read(t, plainSite().with(tables{"site": "item,value\nname,\xC9tang\n"}).folder(t))
	same(t, "Windows-1252", got.Settings.Name, "Étang")
	same(t, "note", noteTexts(got)[0], "note: site: the file is not UTF-8 and is read as Windows-1252 text")
}

// TestRowsAreCountedAsSpreadsheetsCount: empty lines count, and a record of
// several lines is one row.
func TestRowsAreCountedAsSpreadsheetsCount(t *testing.T) {
	s := read(t, plainSite().with(tables{"survey": "", "profile": "# one\n\n\"station (ft)\",elevation (ft)\n# \"not, \"quoted\n0,30\n\n100,10\n200,30"}).folder(t))
	same(t, "rows", []int{s.Profile[0].Ref.Row, s.Profile[1].Ref.Row}, []int{5, 7})
	got := lines(t, plainSite().with(tables{"prices": "item,unit,unit price,quantity\n\"a\nb \"\"c\"\"\",yd3,1,1\nd,yd3,x,1\n"}).folder(t))
	same(t, "record of two lines", got, []string{`prices row 3, unit price: "x" is not a number; write a plain number such as 12.5`})
}

// TestAHundredThousandPointsAreQuick. It takes a tenth of a second; the limit leaves
// room for a busy machine and guards against reading in the square of the rows.
func TestAHundredThousandPointsAreQuick(t *testing.T) {
	dir := surveySite().with(tables{"profile": "", "survey": bigSurvey(100_000)}).folder(t)
	start := time.Now()
	s := read(t, dir)
	if took := time.Since(start); took > 10*time.Second {
		t.Errorf("took %v", took)
	}
	same(t, "points", len(s.Survey), 100_000)
}

func bigSurvey(n int) string {
	b := []byte("point,x (ft),y (ft),elevation (ft),code\n")
	for i := range n {
		b = appendPoint(b, i)
	}
	return string(b)
}

func BenchmarkReadSurvey(b *testing.B) {
	dir := surveySite().with(tables{"profile": "", "survey": bigSurvey(100_000)}).folder(b)
	b.ReportAllocs()
	for b.Loop() {
		read(b, dir)
	}
}
