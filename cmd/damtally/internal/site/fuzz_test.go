package site

import (
	"archive/zip"
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"
)

// FuzzReadCSV feeds one table with any bytes beside an otherwise right site:
// Read never panics, fails with Problems alone, and what it reads is finite.
func FuzzReadCSV(f *testing.F) {
	names := []string{"site", "crest", "faces", "profile", "trench", "zones", "materials", "density", "outlines", "pits", "prices", "shots"}
	for i, text := range []string{
		"item,value\nsettlement allowance,10 %\ncrest is,built\n",
		"elevation (ft),width (ft)\n32,12\n",
		"side;slope (h:v)\nupstream;3:1\ndownstream;2,5\n",
		"station (ft)\televation (m)\n0+00\t30\n1+00\t1e3\n",
		"station (ft),bottom width (ft),side slope (h:v),depth (ft)\n0+60,10,1.5,3\n",
		"zone,kind,material,top below crest (ft),top width (ft),upstream slope,downstream slope\ncore,core,fill,3,10,1,1\n",
		"material,loss (%),water content low (%)\nfill,5,-1 %\n",
		"state,material,wet density (pcf),water content (%)\nbank,fill,115,12\n",
		"of,x (m),y (m)\nA,0,0\nA,1,0\nA,1,1\n",
		"\xEF\xBB\xBF\"pit\",material,depth (ft),ground elevation (ft)\r\nA,fill,10,50\r\n",
		"\xFF\xFEi\x00t\x00e\x00m\x00",
		"# x\nstation (ft),offset (ft),elevation (ft)\n0,0,0\n0,1,1\n",
	} {
		f.Add(uint8(i), []byte(text))
	}
	dir := plainSite().folder(f)
	f.Fuzz(func(t *testing.T, table uint8, data []byte) {
		name := names[int(table)%len(names)]
		path := filepath.Join(dir, name+".csv")
		before, err := os.ReadFile(path)
		write(t, path, data)
		checkRead(t, dir)
		if err != nil {
			must(t, os.Remove(path))
		} else {
			write(t, path, before)
		}
	})
}

// FuzzReadXLSX feeds any bytes as a workbook.
func FuzzReadXLSX(f *testing.F) {
	good, err := os.ReadFile(plainSite().book(f))
	must(f, err)
	f.Add(good)
	f.Add(good[:len(good)/2])
	f.Add([]byte("PK\x03\x04"))
	for _, sheet := range []string{
		`<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>item</t></is></c><c t="inlineStr"><is><t>value</t></is></c></row></sheetData>`,
		`<sheetData><row r="1048576"><c r="XFD1048576"><v>1e308</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B2"/></mergeCells>`,
	} {
		f.Add(withSheet(f, good, sheet))
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte) {
		path := filepath.Join(dir, "site.xlsx")
		write(t, path, data)
		checkRead(t, path)
	})
}

// FuzzSheet feeds the XML of one sheet, which bytes of a whole zip seldom reach.
func FuzzSheet(f *testing.F) {
	good, err := os.ReadFile(plainSite().book(f))
	must(f, err)
	for _, cells := range []string{
		`<row r="1"><c r="A1" t="inlineStr"><is><t>width (ft)</t></is></c><c r="B1" t="inlineStr"><is><t>elevation (ft)</t></is></c></row><row r="2"><c r="A2"><v>12</v></c><c r="B2"><v>NaN</v></c></row>`,
		`<row><c t="s"><v>1</v></c><c t="e"><v>#REF!</v></c><c t="b"><v>1</v></c><c><f>A1</f></c></row>`,
	} {
		f.Add([]byte("<worksheet><sheetData>" + cells + "</sheetData></worksheet>"))
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, sheet []byte) {
		path := filepath.Join(dir, "site.xlsx")
		write(t, path, withSheet(t, good, string(sheet)))
		checkRead(t, path)
	})
}

// withSheet replaces the XML of the second sheet of a workbook.
func withSheet(t testing.TB, book []byte, sheet string) []byte {
	t.Helper()
	old, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	must(t, err)
	var buffer bytes.Buffer
	w := zip.NewWriter(&buffer)
	for _, f := range old.File {
		if f.Name != "xl/worksheets/sheet2.xml" {
			must(t, w.Copy(f))
			continue
		}
		part, err := w.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Store})
		must(t, err)
		must(t, second(part.Write([]byte(sheet))))
	}
	must(t, w.Close())
	return buffer.Bytes()
}

// checkRead reads a site that may be wrong in any way.
func checkRead(t *testing.T, path string) {
	t.Helper()
	s, err := Read(path)
	if err != nil {
		var ps Problems
		if !errors.As(err, &ps) || len(ps) == 0 {
			t.Fatalf("not Problems: %v", err)
		}
		for _, p := range ps {
			if p.What == "" || p.Mend == "" {
				t.Fatalf("a problem without words: %+v", p)
			}
		}
		return
	}
	checkFinite(t, reflect.ValueOf(s))
}

// checkFinite fails for a NaN or an infinity anywhere in a value.
func checkFinite(t *testing.T, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			t.Fatal("a number that is not finite")
		}
	case reflect.Struct:
		for i := range v.NumField() {
			checkFinite(t, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			checkFinite(t, v.Index(i))
		}
	}
}
