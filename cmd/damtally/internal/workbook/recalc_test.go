package workbook

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/needtool"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// alwaysRecalculate is a profile of LibreOffice that works out every formula on
// opening a file; without it the stored values may be kept.
const alwaysRecalculate = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>`

// recalculate opens the workbooks in LibreOffice, works out every formula, and
// returns them as it saves them. One call serves all, since starting it is slow.
func recalculate(t *testing.T, books map[string][]byte) map[string]map[string]map[string]stored {
	t.Helper()
	office := needtool.Find(t, "soffice", "libreoffice")
	profile, in, out := t.TempDir(), t.TempDir(), t.TempDir()
	if err := os.MkdirAll(filepath.Join(profile, "user"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(profile, "user", "registrymodifications.xcu"), []byte(alwaysRecalculate), 0o644); err != nil {
		t.Fatal(err)
	}
	args := []string{"-env:UserInstallation=file://" + filepath.ToSlash(profile), "--headless", "--norestore", "--convert-to", "xlsx", "--outdir", out}
	for name, book := range books {
		file := filepath.Join(in, name+".xlsx")
		if err := os.WriteFile(file, book, 0o644); err != nil {
			t.Fatal(err)
		}
		args = append(args, file)
	}
	if text, err := exec.Command(office, args...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	result := map[string]map[string]map[string]stored{}
	for name := range books {
		book, err := os.ReadFile(filepath.Join(out, name+".xlsx"))
		if err != nil {
			t.Fatal(err)
		}
		result[name] = cellsOf(t, book)
	}
	return result
}

// recalculated is how far a formula worked out again may lie from the stored
// value, relative. It guards the 15 digits that a file stores and another order
// of adding.
const recalculated = 1e-9

// sameValues compares every formula of want with what LibreOffice made of it.
func sameValues(t *testing.T, name string, want, got map[string]map[string]stored) {
	t.Helper()
	formulas := 0
	for _, sheet := range keys(want) {
		for _, at := range keys(want[sheet]) {
			w, g := want[sheet][at], got[sheet][at]
			if w.Formula == "" {
				continue
			}
			formulas++
			if g.Type == "e" {
				t.Errorf("%s: %s!%s %s is an error", name, sheet, at, w.Formula)
				continue
			}
			if !sameStored(w, g) {
				t.Errorf("%s: %s!%s =%s is %s, stored %s", name, sheet, at, w.Formula, show(g), show(w))
			}
		}
	}
	if formulas < 100 {
		t.Errorf("%s: only %d formulas were compared", name, formulas)
	}
}

func sameStored(a, b stored) bool {
	x, errX := strconv.ParseFloat(show(a), 64)
	y, errY := strconv.ParseFloat(show(b), 64)
	if errX != nil || errY != nil || a.Type == "str" {
		return show(a) == show(b)
	}
	return math.Abs(x-y) <= recalculated*math.Max(1, math.Max(math.Abs(x), math.Abs(y)))
}

// show is what a cell shows.
func show(c stored) string {
	if c.Value == nil {
		return c.Text
	}
	return *c.Value
}

func keys[V any](m map[string]V) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// at is a place in a workbook.
type at struct{ sheet, cell string }

func placeOf(c *cell) at { return at{c.sheet.name, address(c.row, c.col)} }

func numberAt(t *testing.T, cells map[string]map[string]stored, p at) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(show(cells[p.sheet][p.cell]), 64)
	if err != nil {
		t.Fatalf("%s!%s holds %q", p.sheet, p.cell, show(cells[p.sheet][p.cell]))
	}
	return x
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > recalculated*math.Max(1, math.Abs(want)) {
		t.Errorf("%s is %.12g, want %.12g", what, got, want)
	}
}

// TestLibreOffice works out the workbook again with another program: as it is,
// with a wrong stored value, and with inputs changed as a user would.
func TestLibreOffice(t *testing.T) {
	r := planned(t, sampleSite())
	b, plain := build(r, "test"), written(t, r)

	// A bank test is read again: 3 pcf denser.
	denser := sampleSite()
	bank := &denser.Density[1]
	bank.WetDensity = yes(bank.WetDensity.Value + 3*pcf)
	bank.DryDensity = yes(bank.WetDensity.Value / (1 + bank.WaterContent.Value))
	wetAt := at{"Tests", address(rowTestHead+1, testWet)} // bank tests of the first material come first
	if got := numberAt(t, cellsOf(t, plain), wetAt); math.Abs(got-115) > 1e-9 {
		t.Fatalf("%v holds %g, want the wet density of B-1", wetAt, got)
	}
	onVolume := sampleSite()
	onVolume.Settings.AllowanceBasis = string(earthwork.OnVolume)
	built := sampleSite()
	built.Settings.CrestIs = "built"

	needed := placeOf(b.weighed[0].needed)
	area := at{"Zone shell", address(rowFirst+2, zoneNeat)}
	price := at{"Bid items", address(5, itemPrice)}
	edit := func(book []byte, p at, value string) []byte { return withCell(t, book, p.sheet, p.cell, value) }
	books := map[string][]byte{
		"plain":   plain,
		"planted": edit(plain, needed, "12345"),
		"denser":  edit(plain, wetAt, "118"),
		"volume":  edit(plain, placeOf(b.set.basis), "volume"),
		"built":   edit(plain, placeOf(b.set.crestIs), "built"),
		"area":    edit(plain, area, "1000"),
		"price":   edit(edit(plain, price, "5"), placeOf(b.set.reserve), "2"),
	}
	layers := planned(t, layeredSite())
	books["layers"] = written(t, layers)
	for _, name := range exampleSites {
		books["site "+filepath.Base(name)] = written(t, planned(t, readSite(t, name)))
	}
	shortBooks(t, books)
	got := recalculate(t, books)

	want := cellsOf(t, plain)
	sameValues(t, "plain", want, got["plain"])
	sameValues(t, "planted", want, got["planted"]) // proves that formulas were worked out
	sameValues(t, "layers", cellsOf(t, books["layers"]), got["layers"])
	near(t, "the dam with its layers", numberAt(t, got["layers"], placeOf(build(layers, "test").fill.all)), units.US.Volume.FromSI(layers.Quantities.Total))
	for _, name := range exampleSites {
		name = "site " + filepath.Base(name)
		sameValues(t, name, cellsOf(t, books[name]), got[name])
	}

	after := planned(t, denser)
	checkBalance(t, b, got["denser"], after)
	sameTotal := func(name string, c *cell, si float64) {
		near(t, name, numberAt(t, got[name], placeOf(c)), b.m.Volume.FromSI(si))
	}
	sameTotal("volume", b.fill.all, planned(t, onVolume).Quantities.Total)
	sameTotal("built", b.fill.all, planned(t, built).Quantities.Total)

	// One area stands in the two reaches beside its section: dV = dA (L1 + L2) / 2.
	was := numberAt(t, want, area)
	all := placeOf(b.fill.all)
	grown := (1000 - was) * (60 + 30) / 2 / 27
	near(t, "the dam after one area", numberAt(t, got["area"], all), numberAt(t, want, all)+grown)
	onSummary := at{"Summary", "B" + rowOf(t, want["Summary"], "A", "Fill in the dam")}
	near(t, "the summary after one area", numberAt(t, got["area"], onSummary), numberAt(t, want, all)+grown)

	for name, said := range map[string]map[string]bool{"plain": {}, "area": {"Changed:": true}, "volume": {"Changed:": true, "Run the": true}} {
		for sheet, words := range map[string]string{"Summary": "Changed:", "Settings": "Run the"} {
			if starts(got[name][sheet], words) != said[words] {
				t.Errorf("%s: the sheet %s says %q: %v", name, sheet, words, !said[words])
			}
		}
	}

	checkShort(t, got)

	// 17,747 yd3 at $5.00 in place of $4.25, all else as before.
	more := numberAt(t, want, at{"Bid items", "E5"}) * 0.75
	near(t, "the bid after one price", numberAt(t, got["price"], placeOf(b.bid.total)), numberAt(t, want, placeOf(b.bid.total))+more)
	ratio := placeOf(b.weighed[1].short)
	near(t, "short with a reserve of 2", numberAt(t, got["price"], ratio),
		b.m.Volume.FromSI(2*r.Balance[1].Base-r.Balance[1].Available))
}

// checkBalance compares the balance on the sheet with the plan's.
func checkBalance(t *testing.T, b *book, got map[string]map[string]stored, r *plan.Result) {
	t.Helper()
	moved := false
	for i, w := range r.Balance {
		c := b.weighed[i]
		near(t, w.Material+" needed", numberAt(t, got, placeOf(c.needed)), b.m.Volume.FromSI(w.Needed))
		near(t, w.Material+" short", numberAt(t, got, placeOf(c.short)), b.m.Volume.FromSI(w.Short))
		if p := placeOf(c.enough); show(got[p.sheet][p.cell]) != enoughWord(w.Enough).val.text {
			t.Errorf("%s: the sheet says %q", w.Material, show(got[p.sheet][p.cell]))
		}
		moved = moved || math.Abs(w.Needed-b.r.Balance[i].Needed) > 1
	}
	if !moved {
		t.Error("the changed density moved nothing, so the check proves nothing")
	}
}

// starts says whether any cell's text begins with the words.
func starts(cells map[string]stored, words string) bool {
	for _, c := range cells {
		if strings.HasPrefix(show(c), words) {
			return true
		}
	}
	return false
}

// rowOf is the row in which a column holds a text.
func rowOf(t *testing.T, cells map[string]stored, col, words string) string {
	t.Helper()
	for row := 1; row < 1000; row++ {
		if show(cells[col+itoa(row)]) == words {
			return itoa(row)
		}
	}
	t.Fatalf("no %q in column %s", words, col)
	return ""
}
