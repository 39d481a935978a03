package workbook

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// soilSite is the plain example with trial strips of two machines, a second wet pit
// whose water is known by its test holes, and rates of drying and evaporation.
// Invented readings.
func soilSite(t *testing.T, clayTest string) *plan.Result {
	t.Helper()
	from, dir := filepath.Join("..", "..", "..", "..", "testdata", "sites", "plain"), t.TempDir()
	files, err := filepath.Glob(filepath.Join(from, "*.csv"))
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		name, body := filepath.Base(f), string(text)
		switch name {
		case "site.csv":
			body = strings.TrimRight(body, "\n") + "\ndrying rate,0.5 %\nevaporation,0.2 in\n"
		case "pits.csv":
			body = strings.Replace(body, "861.5", "866", 1) // so that the meadow is dug too
		case "borings.csv":
			body = withColumns(body, "water content (%)", func(row string) string {
				if strings.HasPrefix(row, "M-") && strings.Contains(row, ",yes,") {
					return "17"
				}
				return ""
			})
		case "density.csv":
			body = withColumns(strings.Replace(body, "125.4,18.4", clayTest+",18.4", 1), "machine,passes", func(string) string { return "," })
			for _, m := range []struct {
				name string
				wet  []float64
			}{{"padfoot roller", []float64{101, 117, 125, 128}}, {"dozer", []float64{101, 111, 114, 115}}} {
				for i, wet := range m.wet {
					body += fmt.Sprintf("trial,lean clay,%s-%d,2026-05-02,,core,300,0,835,1,%g,18.2,nuclear gauge,C-1,,%s,%d\n", m.name, i, wet, m.name, 2*i)
				}
			}
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(body), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	tables, err := site.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	return planned(t, tables)
}

// withColumns adds columns to a table: their names, and the cells of each row.
func withColumns(table, names string, cells func(row string) string) string {
	var out strings.Builder
	head := true
	for _, row := range strings.Split(strings.TrimRight(table, "\n"), "\n") {
		switch {
		case strings.HasPrefix(row, "#"):
		case head:
			row, head = row+","+names, false
		default:
			row += "," + cells(row)
		}
		out.WriteString(row + "\n")
	}
	return out.String()
}

// The sheets of soil worked out by another program give what the plan gives, and
// follow a fill test that is read again: the lot's mean, spread, lowest and share within
// the limit are those of a plan with the new reading.
func TestSoilSheetsFollow(t *testing.T) {
	was, after := soilSite(t, "125.4"), soilSite(t, "121.0")
	b, plain := build(was, "test"), written(t, was)
	for _, f := range b.faults {
		t.Error("the formula does not give the plan's figure:", f)
	}
	row := rowWith(t, b.tests, 1, "lean clay")
	for ; b.tests.at(row, testID).content.val.text != "F-1"; row++ {
	}
	edited := withCell(t, plain, "Tests", address(row, testWet), "121")
	books := map[string][]byte{"plain": plain, "edited": edited}
	got := recalculate(t, books)
	sameValues(t, "plain", cellsOf(t, plain), got["plain"])

	want := build(after, "test")
	lot := rowWith(t, want.tests, rowWith(t, want.tests, 1, "Percent compaction of the fill, by zone and lift"), "lean clay")
	for col, what := range map[int]string{6: "tests", 7: "failed", 8: "mean", 9: "spread", 10: "lowest", 11: "within the limit"} {
		near(t, what, numberAt(t, got["edited"], at{"Tests", address(lot, col)}), want.tests.at(lot, col).content.numeric())
	}
	if was.Lots[0].Within == after.Lots[0].Within || after.Lots[0].Failed == 0 {
		t.Errorf("the new reading changes nothing: %+v", after.Lots[0])
	}
}
