package xlsx

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/needtool"
	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// cells reads all cells of a sheet, by address.
func cells(t testing.TB, b *Book, sheet int) (map[string]Cell, []Range) {
	t.Helper()
	all := map[string]Cell{}
	merged, err := b.Sheets[sheet].Rows(func(r Row) bool {
		for _, c := range r.Cells {
			address := fmt.Sprintf("%s%d", ColumnName(c.Column), r.Number)
			c.Column = 0
			all[address] = c
		}
		return true
	})
	must(t, err)
	return all, merged
}

// sample is a workbook of every kind of cell, written by another library.
func sample(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	must(t, f.SetSheetName("Sheet1", "One"))
	_, err := f.NewSheet("Hidden")
	must(t, err)
	must(t, f.SetSheetVisible("Hidden", false))
	for address, v := range map[string]any{"A1": "text", "B1": 612.347, "C1": true, "E2": -0.125, "B4": "  kept  "} {
		must(t, f.SetCellValue("One", address, v))
	}
	must(t, f.SetCellRichText("One", "A5", []excelize.RichTextRun{{Text: "rich "}, {Text: "text"}}))
	must(t, f.SetCellFormula("One", "B5", "1+1"))
	for i, format := range []string{"0%", "yyyy-mm-dd", "h:mm", `0.0" d"`, `[Red]0.0`, "mmm"} {
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		must(t, err)
		address, _ := excelize.CoordinatesToCellName(i+1, 7)
		must(t, f.SetCellValue("One", address, 0.5))
		must(t, f.SetCellStyle("One", address, address, style))
	}
	must(t, f.MergeCell("One", "A9", "C10"))
	must(t, f.SetRowVisible("One", 2, false))
	buffer, err := f.WriteToBuffer()
	must(t, err)
	return buffer.Bytes()
}

func TestCells(t *testing.T) {
	b, err := Open(sample(t))
	must(t, err)
	if len(b.Sheets) != 2 || b.Sheets[0].Name != "One" || b.Sheets[0].Hidden || !b.Sheets[1].Hidden {
		t.Fatalf("sheets: %+v", b.Sheets)
	}
	got, merged := cells(t, b, 0)
	want := map[string]Cell{
		"A1": {Type: String, Value: "text"}, "B1": {Value: "612.347"}, "C1": {Type: Boolean, Value: "TRUE"},
		"E2": {Value: "-0.125"}, "B4": {Type: String, Value: "  kept  "},
		"A5": {Type: String, Value: "rich text"}, "B5": {Type: NoValue},
		"A7": {Format: Percent, Value: "0.5"}, "B7": {Format: Day, Value: "0.5"}, "C7": {Format: Clock, Value: "0.5"},
		"D7": {Value: "0.5"}, "E7": {Value: "0.5"}, "F7": {Format: Day, Value: "0.5"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("cells (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]Range{{9, 10, 0, 2}}, merged); diff != "" {
		t.Errorf("merged (-want +got):\n%s", diff)
	}
	_, err = b.Sheets[0].Rows(func(r Row) bool {
		if r.Hidden != (r.Number == 2) {
			t.Errorf("row %d hidden: %v", r.Number, r.Hidden)
		}
		return true
	})
	must(t, err)
}

// TestAfterAnotherProgram reads the same workbook saved anew by an office
// program, which writes its parts in its own way and fills in formula values.
func TestAfterAnotherProgram(t *testing.T) {
	if testing.Short() {
		return // an office program takes long to start
	}
	soffice := needtool.Find(t, "soffice")
	dir := t.TempDir()
	must(t, os.WriteFile(filepath.Join(dir, "a.xlsx"), sample(t), 0o600))
	out := filepath.Join(dir, "out")
	cmd := exec.Command(soffice, "-env:UserInstallation=file://"+dir+"/profile", "--headless", "--convert-to", "xlsx", "--outdir", out, filepath.Join(dir, "a.xlsx"))
	if text, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	data, err := os.ReadFile(filepath.Join(out, "a.xlsx"))
	must(t, err)
	theirs, err := Open(data)
	must(t, err)
	ours, err := Open(sample(t))
	must(t, err)
	got, _ := cells(t, theirs, 0)
	want, _ := cells(t, ours, 0)
	want["B5"] = Cell{Value: "2"} // it figured the formula
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("cells (-want +got):\n%s", diff)
	}
	if !theirs.Sheets[1].Hidden {
		t.Error("the hidden sheet is not hidden")
	}
}

// handmade makes a workbook of the least parts around one sheet's XML.
func handmade(t testing.TB, sheet string) []byte {
	t.Helper()
	const relationships = `http://schemas.openxmlformats.org/officeDocument/2006/relationships`
	var buffer bytes.Buffer
	w := zip.NewWriter(&buffer)
	for _, part := range [][2]string{
		{"_rels/.rels", `<Relationships><Relationship Id="a" Type="` + relationships + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns:r="` + relationships + `"><sheets><sheet name="S" r:id="b"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="b" Type="` + relationships + `/worksheet" Target="/xl/s.xml"/></Relationships>`},
		{"xl/s.xml", sheet},
	} {
		f, err := w.Create(part[0])
		must(t, err)
		_, err = f.Write([]byte(part[1]))
		must(t, err)
	}
	must(t, w.Close())
	return buffer.Bytes()
}

func TestHandmadeSheets(t *testing.T) {
	for sheet, want := range map[string]map[string]Cell{
		`<w><sheetData><row><c><v>1</v></c><c t="inlineStr"><is><t>a</t></is></c></row><row r="5"><c r="C5" t="str"><f>x</f><v>b</v></c></row></sheetData></w>`: {
			"A1": {Value: "1"}, "B1": {Type: String, Value: "a"}, "C5": {Type: String, Value: "b"},
		},
		`<x:w xmlns:x="y"><x:sheetData><x:row><x:c t="e"><x:v>#REF!</x:v></x:c><x:c t="d"><x:v>2026-05-31T10:00:00</x:v></x:c></x:row></x:sheetData></x:w>`: {
			"A1": {Type: Failure, Value: "#REF!"}, "B1": {Type: String, Format: Day, Value: "2026-05-31"},
		},
		`<w><sheetData><row><c t="b"><v>0</v></c><c t="str"><f>x</f><v></v></c><c><f>x</f></c><c/><c t="inlineStr"><is><t>_x005F_x0041__x0042__xZZ</t></is></c></row></sheetData></w>`: {
			"E1": {Type: String, Value: "_x0041_B_xZZ"}, "A1": {Type: Boolean, Value: "FALSE"}, "C1": {Type: NoValue},
		},
	} {
		b, err := Open(handmade(t, sheet))
		must(t, err)
		got, _ := cells(t, b, 0)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", sheet, diff)
		}
	}
}

func TestDamagedSheets(t *testing.T) {
	for _, sheet := range []string{
		`<w><sheetData><row>`,
		`<w><sheetData><row r="2"><c><v>1</v></c></row><row r="1"/></sheetData></w>`,
		`<w><sheetData><row r="9999999"/></sheetData></w>`,
		`<w><sheetData><row><c r="B1"/><c r="A1"/></row></sheetData></w>`,
		`<w><sheetData><row><c r="XFE1"><v>1</v></c></row></sheetData></w>`,
		`<w><sheetData><row><c r="1"><v>1</v></c></row></sheetData></w>`,
		`<w><sheetData><row><c t="s"><v>0</v></c></row></sheetData></w>`,
		`<w><sheetData><row r="x"/></sheetData></w>`,
	} {
		b, err := Open(handmade(t, sheet))
		must(t, err)
		if _, err = b.Sheets[0].Rows(func(Row) bool { return true }); !errors.Is(err, ErrDamaged) {
			t.Errorf("%s: %v", sheet, err)
		}
	}
}

func TestPartsBeyondTheLimit(t *testing.T) {
	sheet := `<w><sheetData>` + strings.Repeat(" ", 1000)
	b, err := Open(handmade(t, sheet))
	must(t, err)
	for limit, want := range map[int64]error{int64(len(sheet)): nil, int64(len(sheet)) - 1: ErrTooBig} {
		r, err := b.open("xl/s.xml", limit)
		if err == nil {
			_, err = io.ReadAll(r)
		}
		if !errors.Is(err, want) {
			t.Errorf("%d bytes with a limit of %d: %v, want %v", len(sheet), limit, err, want)
		}
	}
}

// TestFormats: the classes of the built-in formats are those of ECMA-376 Part
// 1, 18.8.30; the codes are examples from there and of common use.
func TestFormats(t *testing.T) {
	for code, want := range map[string]Format{
		"General": Plain, "0.00": Plain, "#,##0.00_);[Red](#,##0.00)": Plain, "0.00E+00": Plain, "# ?/?": Plain, "@": Plain,
		"0%": Percent, "0.00 %": Percent, "mm-dd-yy": Day, "d-mmm-yy": Day, "m/d/yy h:mm": Day, "[$-409]d-mmm": Day,
		"h:mm AM/PM": Clock, "[h]:mm:ss": Clock, "mm:ss.0": Clock, "[mm]": Clock, "0+00": Plain, `0"+"00`: Plain,
		`0.00" yd3"`: Plain, `0\m`: Plain, "0;h:mm": Plain, `"`: Plain, "[": Plain, "0_d": Plain, "[$-F800]dddd, mmmm dd, yyyy": Day,
	} {
		if got := classify(code); got != want {
			t.Errorf("classify(%q) = %v, want %v", code, got, want)
		}
	}
	for id, want := range map[int]Format{0: Plain, 2: Plain, 9: Percent, 10: Percent, 14: Day, 17: Day, 18: Clock, 20: Clock, 22: Day, 37: Plain, 45: Clock, 49: Plain} {
		if got := builtIn(id); got != want {
			t.Errorf("builtIn(%d) = %v, want %v", id, got, want)
		}
	}
}

// TestDays compares with another library over the whole calendar of both
// systems, but for the two months before the day that never was.
func TestDays(t *testing.T) {
	for _, from1904 := range []bool{false, true} {
		b := Book{Date1904: from1904}
		for serial := 61.0; serial < 80000; serial += 97.25 {
			theirs, err := excelize.ExcelDateToTime(serial, from1904)
			must(t, err)
			if got, ok := b.DayText(serial); !ok || got != theirs.Format("2006-01-02") {
				t.Errorf("day %v = %q, want %v", serial, got, theirs)
			}
		}
	}
	b := Book{}
	for serial, want := range map[float64]string{1: "1900-01-01", 59: "1900-02-28", 61: "1900-03-01", 60: "", -1: "", 3e6: "", 2958465.5: "9999-12-31"} {
		if got, ok := b.DayText(serial); got != want || ok != (want != "") {
			t.Errorf("day %v = %q, %v; want %q", serial, got, ok, want)
		}
	}
}

func TestAddresses(t *testing.T) {
	for column, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 701: "ZZ", 702: "AAA", 16383: "XFD"} {
		if got := ColumnName(column); got != want {
			t.Errorf("ColumnName(%d) = %q, want %q", column, got, want)
		}
		if c, r, ok := parseAddress(want + "12"); c != column || r != 12 || !ok {
			t.Errorf("parseAddress(%s12) = %d, %d, %v", want, c, r, ok)
		}
	}
	for _, text := range []string{"", "A", "1", "a1", "A0", "A1B", "A99999999999999999999"} {
		if _, _, ok := parseAddress(text); ok {
			t.Errorf("%q is taken for an address", text)
		}
	}
}
