package terrain

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// shared is the folder of small files of ground.
const shared = "../../../../testdata/terrain/"

// file reads one of them into memory.
func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.FromSlash(shared + name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// must returns what was found in data.
func must(t testing.TB, data []byte, name string, opt Options) Found {
	t.Helper()
	found, err := readBytes(data, name, opt)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// fails checks that data are refused with words.
func fails(t testing.TB, data []byte, name string, opt Options, words ...string) {
	t.Helper()
	_, err := readBytes(data, name, opt)
	if err == nil {
		t.Fatalf("taken without an error, want %q", words)
	}
	wantFault(t, err, words...)
}

// samePoint checks a point against coordinates in metres.
func samePoint(t testing.TB, got geometry.GroundPoint, x, y, z, tolerance float64) {
	t.Helper()
	if !(math.Abs(got.At[0]-x) <= tolerance && math.Abs(got.At[1]-y) <= tolerance && math.Abs(got.Elevation-z) <= tolerance) {
		t.Errorf("point %v, want (%v, %v) %v", got, x, y, z)
	}
}

// mostForSmall is what reading a small file may take, whatever it says of its
// size.
const mostForSmall = 50 << 20

// allocated is how many bytes work takes.
func allocated(work func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	work()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// cutOffs reads a file cut at every twentieth of its length. Each is refused
// with an *Error, or with allowed taken with less in it, and takes little memory.
func cutOffs(t *testing.T, data []byte, name string, opt Options, allowed func(Found) bool) {
	t.Helper()
	for i := 1; i < 20; i++ {
		cut := data[:len(data)*i/20]
		var found Found
		var err error
		took := allocated(func() { found, err = readBytes(cut, name, opt) })
		if took > mostForSmall {
			t.Errorf("cut at %d of 20: took %d MB", i, took>>20)
		}
		var e *Error
		switch {
		case err == nil && (allowed == nil || !allowed(found)):
			t.Errorf("cut at %d of 20 of its length it is taken", i)
		case err != nil && (!errors.As(err, &e) || e.What == "" || e.Mend == ""):
			t.Errorf("cut at %d of 20: %v", i, err)
		}
	}
}

// Coordinates of a state plane, about 2,000,000 ft, come out right to a tenth of a
// millimetre in every unit: the same place written in feet, in survey feet and in
// metres. The two feet differ by 4 ft there (NIST SP 811: 0.3048 m; 1200/3937 m).
func TestUnitsAtStatePlane(t *testing.T) {
	const x, y, z = 609601.2192, 152400.3048, 213.3604 // m
	for unit, size := range map[string]float64{"m": 1, "ft": 0.3048, "ftUS": 1200.0 / 3937} {
		origin := orb.Point{609600, 152400}
		opt := Options{Unit: unitOf(unit), Origin: origin}
		lines := fmt.Sprintf("%.6f,%.6f,%.6f\n", x/size, y/size, z/size)
		opt.ColumnOrder = "easting northing elevation"
		samePoint(t, must(t, []byte(lines), "a.csv", opt).Points[0], x-origin[0], y-origin[1], z, 1e-6)
		js := fmt.Sprintf(`{"type":"Point","coordinates":[%.6f,%.6f,%.6f]}`, x/size, y/size, z/size)
		samePoint(t, must(t, []byte(js), "a.geojson", opt).Points[0], x-origin[0], y-origin[1], z, 1e-6)
		las := scan{minor: 2, format: 1, offset: [3]float64{math.Floor(x / size), math.Floor(y / size), 0}, points: []scanPoint{{x / size, y / size, z / size, 2, 0}}}
		samePoint(t, must(t, las.bytes(), "a.las", opt).Points[0], x-origin[0], y-origin[1], z, 0.0005)
	}
	// Plan in survey feet, elevations in metres, 100 ft added.
	opt := Options{Unit: unitOf("ftUS"), ElevationUnit: unitOf("m"), Shift: 30.48, ColumnOrder: "x y z"}
	samePoint(t, must(t, []byte("3937 7874 200"), "a.txt", opt).Points[0], 1200, 2400, 230.48, 1e-9)
}

// A file that lies elsewhere is refused with the distance and what would bring it
// to the site.
func TestElsewhere(t *testing.T) {
	site := Options{Unit: unitOf("ft"), Origin: orb.Point{609600, 152400}, Window: orb.Bound{Min: orb.Point{-500, -500}, Max: orb.Point{500, 500}}, ColumnOrder: "x y z"}
	for _, c := range []struct {
		x, y  float64
		words []string
	}{
		{500000, 2000000, []string{"ft away from the site", "x and y look swapped"}},
		{609600, 152400, []string{"`unit` looks like m, not ft"}},
		{2010000, 500000, []string{"8360 ft away"}},
	} {
		lines := fmt.Sprintf("%f %f 100\n%f %f 101\n", c.x, c.y, c.x+1, c.y+1)
		fails(t, []byte(lines), "a.txt", site, c.words...)
	}
}
