// Package published reads the published cases in testdata/published for tests.
// A file is comma separated; lines that begin with '#' name its source and its
// traps; the first other line names the columns.
package published

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

// Row is one row of a published table, by column name.
type Row map[string]string

// Read returns the rows of a file below testdata/published, as
// "soil/earthwork-balance.csv". It stops the test when the file is not there
// or holds no row.
func Read(t testing.TB, name string) []Row {
	t.Helper()
	_, here, _, _ := runtime.Caller(0)
	path := filepath.Join(filepath.Dir(here), filepath.FromSlash(name))
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(all) < 2 {
		t.Fatalf("%s holds no rows", name)
	}
	rows := make([]Row, 0, len(all)-1)
	for _, cells := range all[1:] {
		row := Row{}
		for i, c := range cells {
			row[all[0][i]] = strings.TrimSpace(c)
		}
		rows = append(rows, row)
	}
	return rows
}

// Has tells whether the column is there and not blank in this row.
func (r Row) Has(column string) bool { return r[column] != "" }

// Number returns a column's number; a blank, a missing column or a word stops
// the test.
func (r Row) Number(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %q of %v: %v", column, r, err)
	}
	return v
}

// Half returns half a unit in the last printed digit of a column's number, the
// most by which an unrounded value may differ from it: 0.05 for "22.2".
func (r Row) Half(t testing.TB, column string) float64 {
	t.Helper()
	r.Number(t, column)
	mantissa, exponent, _ := strings.Cut(strings.ToLower(r[column]), "e")
	_, decimals, _ := strings.Cut(mantissa, ".")
	power, _ := strconv.Atoi(exponent)
	return 0.5 * math.Pow(10, float64(power-len(decimals)))
}

// Find returns the only row whose column holds the value.
func Find(t testing.TB, rows []Row, column, value string) Row {
	t.Helper()
	var found Row
	for _, r := range rows {
		if r[column] == value {
			if found != nil {
				t.Fatalf("two rows with %s = %q", column, value)
			}
			found = r
		}
	}
	if found == nil {
		t.Fatalf("no row with %s = %q", column, value)
	}
	return found
}

// Near fails the test when got is farther than slack from want. Half a unit in
// the last place takes the rounding of a hair's breadth on top.
func Near(t testing.TB, what string, got, want, slack float64) {
	t.Helper()
	if !(math.Abs(got-want) <= slack*(1+1e-6)+1e-12*math.Abs(want)) {
		t.Errorf("%s = %.10g, want %.10g within %.3g", what, got, want, slack)
	}
}
