package terrain

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// The same small grid, written in the ways that occur.
func TestASCIIGridWritings(t *testing.T) {
	plain := "ncols 3\nnrows 2\nxllcorner 100\nyllcorner 200\ncellsize 10\nNODATA_value -9999\n1 2 3\n4 -9999 6.5\n"
	writings := map[string]string{
		"plain":            plain,
		"capital keys":     strings.ToUpper(plain),
		"CRLF":             strings.ReplaceAll(plain, "\n", "\r\n"),
		"no last line end": strings.TrimSpace(plain),
		"tabs":             strings.ReplaceAll(plain, " ", "\t"),
		"byte order mark":  byteOrderMark + plain,
		"one line":         strings.ReplaceAll(plain, "\n", " "),
		"a value a line":   strings.ReplaceAll(plain, " ", "\n"),
		"by the middle":    strings.NewReplacer("xllcorner 100", "XLLCENTER 105", "yllcorner 200", "yllcentre 205").Replace(plain),
		"dx and dy":        strings.Replace(plain, "cellsize 10", "dx 10\ndy 10.0", 1),
		"exponents":        strings.NewReplacer("-9999 6.5", "-9.999e3 65E-1").Replace(plain),
		"nan":              strings.NewReplacer("4 -9999", "4 NaN").Replace(plain),
		"keys in any order": "nodata_value -9999\nyllcorner 200\nxllcorner 100\ncellsize 10\nnrows 2\nncols 3\n" +
			"1 2 3 4 -9999 6.5",
	}
	for name, text := range writings {
		found, err := readBytes([]byte(text), "a.asc", Options{Unit: unitOf("m"), Origin: orb.Point{100, 0}})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		g := found.Surface.(*geometry.Grid)
		for i, want := range []float64{1, 2, 3, 4, math.NaN(), 6.5} {
			at, z := g.Posting(i%3, i/3)
			if z != want && (z == z || want == want) || at != (orb.Point{5 + 10*float64(i%3), 215 - 10*float64(i/3)}) {
				t.Errorf("%s: cell %d at %v is %v, want %v", name, i, at, z, want)
			}
		}
	}
}

// Feet become metres, in plan and up, each by its own unit; the shift is metres.
func TestASCIIGridUnits(t *testing.T) {
	text := "ncols 2\nnrows 2\nxllcenter 2000000\nyllcenter 500000\ncellsize 10\n100 100 100 100"
	found, err := readBytes([]byte(text), "a.asc", Options{Unit: unitOf("ftUS"), ElevationUnit: unitOf("ft"), Shift: 2})
	if err != nil {
		t.Fatal(err)
	}
	at, z := found.Surface.(*geometry.Grid).Posting(0, 1)
	// 2,000,000 survey feet are 609601.2192 m, 4 ft less than as many feet make.
	if math.Abs(at[0]-609601.21920) > 1e-4 || math.Abs(z-(30.48+2)) > 1e-12 {
		t.Errorf("at %v %v", at, z)
	}
	_, err = readBytes([]byte(text), "a.asc", Options{})
	wantFault(t, err, "in which unit", "`unit`")
}

func TestASCIIGridFaults(t *testing.T) {
	head := "ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 10\n"
	for name, tc := range map[string]struct {
		text  string
		words []string
	}{
		"no word of the header":  {"ncols 3\nrows 2\n", []string{"line 2", `"rows"`}},
		"a key twice":            {"ncols 3\nncols 4\n", []string{"line 2", "ncols stands twice"}},
		"no cell size":           {strings.Replace(head, "cellsize 10\n", "", 1) + "1 2 3 4 5 6", []string{"dx or cellsize"}},
		"no corner":              {strings.Replace(head, "yllcorner 0\n", "", 1) + "1 2 3 4 5 6", []string{"yllcenter or yllcorner"}},
		"a cell of nothing":      {strings.Replace(head, "10", "0", 1) + "1 2 3 4 5 6", []string{"size 0"}},
		"a size with a fraction": {strings.Replace(head, "3", "3.5", 1) + "1 2 3 4 5 6", []string{"ncols is 3.5"}},
		"a size below one":       {strings.Replace(head, "3", "-3", 1) + "1 2 3 4 5 6", []string{"ncols is -3"}},
		"an absurd size":         {strings.Replace(head, "3", "90000000", 1) + "1 2 3 4 5 6", []string{"too short for 90000000 columns"}},
		"a decimal comma":        {head + "1 2 3 4,5 5 6", []string{"line 6", `"4,5" in row 2, column 1`, "decimal point"}},
		"a word":                 {head + "1 2 3\n4 wet 6", []string{"line 7", `"wet" in row 2, column 2`}},
		"too few":                {head + "1 2 3 4 5", []string{"row 2, column 3 of 2 rows and 3 columns"}},
		"too many":               {head + "1 2 3 4 5 6\n7", []string{"line 7", `"7" stands after`}},
		"no values":              {head, []string{"ends too soon"}},
		"a key alone":            {"ncols", []string{"ends too soon"}},
		"a key's word":           {"ncols three", []string{"line 1", `"three"`}},
		"not ground":             {head + "1 2 3 4 -9999 6", []string{"row 2, column 2", "-9999 is no elevation", "NoData"}},
		"infinite":               {head + "1 2 3 4 1e400 6", []string{"row 2, column 2"}},
		"hexadecimal":            {head + "1 2 3 4 0x10 6", []string{`"0x10"`}},
		"one row":                {"ncols 3\nnrows 1\nxllcorner 0\nyllcorner 0\ncellsize 10\n1 2 3", []string{"1 rows spans no ground"}},
		"all gaps":               {head + "nodata_value 0\n0 0 0 0 0 0", []string{"no ground"}},
		"empty":                  {"", []string{"empty"}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := readBytes([]byte(tc.text), "a.asc", Options{Unit: unitOf("m"), Format: "ascii grid"})
			wantFault(t, err, tc.words...)
		})
	}
}

// Cut off at each twentieth of its length, the file is an error, or, where the
// cut falls within the last value, another value.
func TestASCIIGridCutOff(t *testing.T) {
	text := smallASCII()
	for i := range 20 {
		_, err := readBytes([]byte(text[:len(text)*i/20]), "a.asc", Options{Unit: unitOf("m")})
		wantFault(t, err, "a.asc")
	}
}

// smallASCII is a grid of 40 x 30 cells of a plane.
func smallASCII() string {
	var b strings.Builder
	b.WriteString("ncols 40\nnrows 30\nxllcenter 0\nyllcenter 0\ncellsize 2\n")
	for row := range 30 {
		for col := range 40 {
			fmt.Fprintf(&b, "%.3f ", 100+0.5*float64(col)-0.25*float64(row))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// A window's ground is that of the whole, and no more is kept than it needs.
func TestASCIIGridWindow(t *testing.T) {
	opt := Options{Unit: unitOf("m"), Window: orb.Bound{Min: orb.Point{20, 30}, Max: orb.Point{30, 35}}}
	found, err := readBytes([]byte(smallASCII()), "a.asc", opt)
	if err != nil {
		t.Fatal(err)
	}
	g := found.Surface.(*geometry.Grid)
	if s := g.Summary(); s.Cols > 12 || s.Rows > 10 {
		t.Errorf("kept %d columns and %d rows for a window of 5 and 3", s.Cols, s.Rows)
	}
	for _, p := range []orb.Point{{20, 30}, {30, 35}, {24.3, 31.7}} {
		want := 100 + 0.25*p[0] - 0.125*(58-p[1]) // the plane of smallASCII
		if z, ok := g.Elevation(nil, p); !ok || math.Abs(z-want) > 1e-3 {
			t.Errorf("at %v %v %v, want %v", p, z, ok, want)
		}
	}
	opt.Window = orb.Bound{Min: orb.Point{2000, 30}, Max: orb.Point{2010, 35}}
	_, err = readBytes([]byte(smallASCII()), "a.asc", opt)
	wantFault(t, err, "1922 m away")
}

// A long word and bytes that are no text end soon.
func TestASCIIGridNoText(t *testing.T) {
	text := "ncols 3\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 10\n" + strings.Repeat("1", 1<<19)
	var err error
	if used := memory(func() { _, err = readBytes([]byte(text), "a.asc", Options{Unit: unitOf("m")}) }); used > mostMemory {
		t.Errorf("took %d bytes", used)
	}
	wantFault(t, err, "no text of numbers")
}
