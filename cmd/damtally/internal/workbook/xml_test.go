package workbook

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"
)

// stored is a cell as it stands in the file.
type stored struct {
	Ref     string  `xml:"r,attr"`
	Type    string  `xml:"t,attr"`
	Formula string  `xml:"f"`
	Value   *string `xml:"v"`
	Text    string  `xml:"is>t"`
}

// parts reads every part of a workbook.
func parts(tb testing.TB, book []byte) map[string][]byte {
	tb.Helper()
	z, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		tb.Fatal(err)
	}
	out := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			tb.Fatal(err)
		}
		if out[f.Name], err = io.ReadAll(r); err != nil {
			tb.Fatal(err)
		}
	}
	return out
}

// sheetParts maps sheet names to the names of their parts.
func sheetParts(tb testing.TB, book map[string][]byte) map[string]string {
	tb.Helper()
	var names struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"id,attr"`
		} `xml:"sheets>sheet"`
	}
	var links struct {
		Links []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:",attr"`
		} `xml:"Relationship"`
	}
	for part, into := range map[string]any{"xl/workbook.xml": &names, "xl/_rels/workbook.xml.rels": &links} {
		if err := xml.Unmarshal(book[part], into); err != nil {
			tb.Fatal(part, err)
		}
	}
	target := map[string]string{}
	for _, l := range links.Links {
		target[l.ID] = "xl/" + strings.TrimPrefix(l.Target, "/xl/")
	}
	out := map[string]string{}
	for _, s := range names.Sheets {
		out[s.Name] = target[s.ID]
	}
	return out
}

// cellsOf reads the cells of every sheet, by sheet and address.
func cellsOf(tb testing.TB, book []byte) map[string]map[string]stored {
	tb.Helper()
	all := parts(tb, book)
	out := map[string]map[string]stored{}
	for name, part := range sheetParts(tb, all) {
		var sheet struct {
			Cells []stored `xml:"sheetData>row>c"`
		}
		if err := xml.Unmarshal(all[part], &sheet); err != nil {
			tb.Fatal(part, err)
		}
		out[name] = map[string]stored{}
		for _, c := range sheet.Cells {
			out[name][c.Ref] = c
		}
	}
	return out
}

// withCell returns the workbook with one cell's stored value replaced, its
// formula kept. A text cell takes the value as text.
func withCell(tb testing.TB, book []byte, sheet, at, value string) []byte {
	tb.Helper()
	all := parts(tb, book)
	part := sheetParts(tb, all)[sheet]
	cell := regexp.MustCompile(`<c( r="` + at + `"[^>]*)>(.*?)</c>`)
	found := cell.FindSubmatch(all[part])
	if found == nil {
		tb.Fatalf("no cell %s!%s", sheet, at)
	}
	attributes, inner := string(found[1]), string(found[2])
	if strings.Contains(inner, "<is>") {
		inner = regexp.MustCompile(`<t[^>]*>.*</t>`).ReplaceAllString(inner, "<t>"+value+"</t>")
	} else {
		inner = regexp.MustCompile(`<v>.*</v>`).ReplaceAllString(inner, "<v>"+value+"</v>")
	}
	if inner == string(found[2]) {
		tb.Fatalf("%s!%s did not change: %s", sheet, at, inner)
	}
	all[part] = bytes.Replace(all[part], found[0], []byte("<c"+attributes+">"+inner+"</c>"), 1)
	var out bytes.Buffer
	z := newZip(&out)
	for name, content := range all {
		w, err := z.Create(name)
		if err != nil {
			tb.Fatal(err)
		}
		if _, err := w.Write(content); err != nil {
			tb.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		tb.Fatal(err)
	}
	return out.Bytes()
}
