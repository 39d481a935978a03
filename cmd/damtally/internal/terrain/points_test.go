package terrain

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

func inMetres(order string) Options { return Options{Unit: unitOf("m"), ColumnOrder: order} }

func TestPointLayouts(t *testing.T) {
	const pnezd, penzd = "point northing easting elevation code", "point, easting, northing, elevation, code"
	for name, c := range map[string]struct {
		text, order string
		notes       int
	}{
		"commas":                   {"1,200,100,30,GR\n2,201,101,31,TREE\n", pnezd, 0},
		"in letters":               {"1,200,100,30,GR\n2,201,101,31,TREE\n", "PNEZD", 0},
		"easting first":            {"A1,100,200,30,GR\nB-2,101,201,31\n", penzd, 0},
		"blanks":                   {"  1  100 200.0\t30 old oak tree, big\n2 101 201 31\n", penzd, 0},
		"tabs":                     {"1\t100\t200\t30\told oak\n2\t101\t201\t31\n", penzd, 0},
		"semicolons":               {"1;100;200;30;a, b\n2;101;201;31;\n", penzd, 0},
		"x y z":                    {"100 200 30\n101 201 31", "x y z", 0},
		"quotes":                   {"\"1\",\"100\",\"200\",\"30\",\"oak, \"\"old\"\"\"\n2,101,201,31,\n", penzd, 0},
		"a description first":      {"\"oak, old\",100,200,30\nx,101,201,31\n", "code easting northing elevation", 0},
		"headings and remarks":     {"# by Smith\nSite: pond\nP,E,N,Z,D\n\n1,100,200,30,GR\n# moved\n2,101,201,31,GR\n", penzd, 1},
		"a count first":            {"2\n100 200 30\n101 201 31\n", "x y z", 1},
		"old line ends":            {"100 200 30\r101 201 31\r", "x y z", 0},
		"line ends of Windows":     {"\ufeff1,100,200,30\r\n2,101,201,31\r\n", penzd, 0},
		"no elevation":             {"1,100,200,30\n2,0,0,\n3,5,5,0,\n4,5,5,-9999.0\n5,101,201,31\n6,1,1\n", penzd, 1},
		"more columns and numbers": {"7,1e2,2.00E2,+30.,a,b,c\n8,101.0000000000000000000,201,31,,,\n", penzd, 0},
	} {
		t.Run(name, func(t *testing.T) {
			found := must(t, []byte(c.text), "a.csv", inMetres(c.order))
			if len(found.Points) != 2 || len(found.Notes) != c.notes {
				t.Fatalf("%d points, notes %q", len(found.Points), found.Notes)
			}
			samePoint(t, found.Points[0], 100, 200, 30, 0)
			samePoint(t, found.Points[1], 101, 201, 31, 0)
		})
	}
}

// The order of columns is never guessed: the error shows the bounds both ways.
func TestPointOrderIsAsked(t *testing.T) {
	text := "1,500,2000,30,GR\n2,510,2020,31,GR\n"
	fails(t, []byte(text), "a.csv", Options{}, "cannot be told from the numbers",
		`with "point easting northing elevation code" x is 500.00 to 510.00 and y is 2000.00 to 2020.00`,
		`with "point northing easting elevation code" x is 2000.00 to 2020.00 and y is 500.00 to 510.00`)
	at := Options{Unit: unitOf("m"), Window: orb.Bound{Min: orb.Point{1900, 400}, Max: orb.Point{2100, 600}}}
	fails(t, []byte("500 2000 30\n510 2020 31\n"), "a.xyz", at, `with "northing easting elevation" x is 2000.00 to 2020.00 and y is 500.00 to 510.00 (which lies at the site); write the right one`)
	fails(t, []byte("oak\n"), "a.csv", Options{}, "cannot be told", "write it such as")
}

// Points on both sides of the site have a box that covers it, and yet none is there.
func TestPointsAroundSite(t *testing.T) {
	opt := inMetres("x y z")
	opt.Window = orb.Bound{Min: orb.Point{100, 100}, Max: orb.Point{200, 200}}
	fails(t, []byte("0 150 3\n300 150 4\n"), "a.csv", opt, "its points lie around the site, and none at it")
}

func TestPointFaults(t *testing.T) {
	for name, c := range map[string]struct {
		text, order string
		words       []string
	}{
		"unknown word":  {"1 2 3", "x y depth", []string{`holds "depth"`, "no word for a column"}},
		"twice":         {"1 2 3", "x y east z", []string{"names the easting twice"}},
		"missing":       {"1 2 3", "x y", []string{"not name all of"}},
		"a text":        {"1,2,3\n1,abc,3\n", "x y z", []string{"line 2", `northing "abc" is not a number`}},
		"a blank":       {"1,2,3\n,2,3\n", "x y z", []string{"line 2", "the easting is blank"}},
		"comma decimal": {"1;2;3\n1,5;2;3\n", "x y z", []string{`"1,5"`, "write decimals with a point"}},
		"too few":       {"1 2 3\n1\n", "x y z", []string{"line 2", "it has 1 column, too few for the northing"}},
		"far away":      {"1 2 3\n1e9 2 3\n", "x y z", []string{"line 2", "within 100,000,000 m"}},
		"too high":      {"1 2 3\n1 2 99999\n", "x y z", []string{"line 2", "an elevation of 99999 m is not ground"}},
		"no numbers":    {strings.Repeat("a b c\n", 30), "x y z", []string{"line 21", "no line so far holds numbers"}},
		"no elevations": {"1 2 0\n1 3 -9999\n", "x y z", []string{"none of its 2 points has an elevation"}},
		"nothing":       {"#\n\n", "x y z", []string{"holds no ground points"}},
		"no text":       {"1 2 3\x00\x00", "x y z", []string{"no plain text"}},
		"no line end":   {strings.Repeat("1", 100_000), "x y z", []string{"the line has no end"}},
		"an infinity":   {"1 2 3\n1 inf 3\n", "x y z", []string{`"inf" is not a number`}},
	} {
		t.Run(name, func(t *testing.T) { fails(t, []byte(c.text), "a.csv", inMetres(c.order), c.words...) })
	}
	fails(t, []byte("1 2 3"), "a.csv", Options{ColumnOrder: "x y z"}, "what unit", "m, ft or ftUS")
	text := []byte(strings.Repeat("1000.5,2000.5,30.25\n", 200))
	cutOffs(t, text, "a.csv", inMetres("x y z"), func(f Found) bool { return len(f.Points) < 200 })
}

// Every way to write a number reads as strconv reads it.
func TestParseDecimal(t *testing.T) {
	check := func(text string) {
		t.Helper()
		want, err := strconv.ParseFloat(text, 64)
		got, ok := parseDecimal([]byte(text))
		if ok != (err == nil) || ok && math.Float64bits(got) != math.Float64bits(want) {
			t.Errorf("%q: %v %v, want %v %v", text, got, ok, want, err)
		}
	}
	for _, text := range []string{"", ".", "-", "+", "1", "-0", ".5", "5.", "1.2.3", "1e5", "1e", "--1", "9007199254740993", "0.1", "123456789012345678", "1234567890123456789012", "1e400", "0.000000000000000000000000000001"} {
		check(text)
	}
	rapid.Check(t, func(r *rapid.T) {
		check(rapid.StringMatching(`[-+]?[0-9]{0,19}(\.[0-9]{0,12})?(e[-+]?[0-9]{1,2})?`).Draw(r, "text"))
	})
}

// Only what lies in the window is kept, and the bound is that of all.
func TestPointsBeyondTheWindow(t *testing.T) {
	opt := inMetres("x y z")
	opt.Window = orb.Bound{Min: orb.Point{0, 0}, Max: orb.Point{10, 10}}
	found := must(t, []byte("1 2 3\n500 2 3\n4 4 4\n"), "a.txt", opt)
	if len(found.Points) != 2 || len(found.Notes) != 1 || found.Bound.Max[0] != 500 {
		t.Errorf("%d points, bound %v, notes %q", len(found.Points), found.Bound, found.Notes)
	}
}

// manyPoints is a file of point, northing, easting, elevation, code.
func manyPoints(n int) []byte {
	r := rand.New(rand.NewPCG(1, 2))
	var b bytes.Buffer
	for i := range n {
		fmt.Fprintf(&b, "%d,%.3f,%.3f,%.3f,GR\n", i+1, 500000+6000*r.Float64(), 2000000+6000*r.Float64(), 400+50*r.Float64())
	}
	return b.Bytes()
}

// BenchmarkPoints reads a million lines, and does the same with encoding/csv and
// strconv for comparison.
func BenchmarkPoints(b *testing.B) {
	data := manyPoints(1_000_000)
	path := filepath.Join(b.TempDir(), "a.csv")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		b.Fatal(err)
	}
	b.Run("ours", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		for range b.N {
			if n := len(mustOpen(b, path, inMetres("pnezd")).Points); n != 1_000_000 {
				b.Fatal(n)
			}
		}
	})
	b.Run("csv", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		for range b.N {
			sum := 0.0
			f, err := os.Open(path)
			if err != nil {
				b.Fatal(err)
			}
			r := csv.NewReader(f)
			r.ReuseRecord = true
			for {
				fields, err := r.Read()
				if errors.Is(err, io.EOF) {
					break
				}
				if err != nil {
					b.Fatal(err)
				}
				for _, text := range fields[1:4] {
					v, err := strconv.ParseFloat(text, 64)
					if err != nil {
						b.Fatal(err)
					}
					sum += v
				}
			}
			f.Close()
			if !(sum > 0) {
				b.Fatal(sum)
			}
		}
	})
}
