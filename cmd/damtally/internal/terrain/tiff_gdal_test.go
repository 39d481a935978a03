package terrain

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// The tests of this file compare with GDAL, another reader and writer of these
// files (Debian package gdal-bin).

const (
	testCols, testRows = 61, 47
	testNoData         = 32000
)

// testGround is rough ground with a hole and lone cells without any.
func testGround(wholeNumbers bool) []float64 {
	r := rand.New(rand.NewPCG(3, 4))
	z := make([]float64, testCols*testRows)
	for i := range z {
		c, row := float64(i%testCols), float64(i/testCols)
		z[i] = 120 + 8*math.Sin(c/9)*math.Cos(row/7) + r.Float64()
		if wholeNumbers {
			z[i] = math.Round(z[i])
		}
		if math.Hypot(c-40, row-20) < 9 || i%97 == 0 {
			z[i] = testNoData
		}
	}
	return z
}

func samplesOf[T float32 | float64 | int16 | uint16 | int32 | uint32 | uint8](z []float64) []T {
	out := make([]T, len(z))
	for i, v := range z {
		out[i] = T(v)
	}
	return out
}

// rawGround writes the test ground as samples of a type.
func rawGround(t testing.TB, kind string) string {
	t.Helper()
	whole := !strings.HasPrefix(kind, "Float")
	z := testGround(whole)
	switch kind {
	case "Float64":
		return writeRaw(t, kind, testCols, z)
	case "Float32":
		return writeRaw(t, kind, testCols, samplesOf[float32](z))
	case "Int16":
		return writeRaw(t, kind, testCols, samplesOf[int16](z))
	case "UInt16":
		return writeRaw(t, kind, testCols, samplesOf[uint16](z))
	case "Int32":
		return writeRaw(t, kind, testCols, samplesOf[int32](z))
	case "UInt32":
		return writeRaw(t, kind, testCols, samplesOf[uint32](z))
	}
	for i, v := range z {
		if v == testNoData {
			z[i] = 255
		}
	}
	return writeRaw(t, kind, testCols, samplesOf[uint8](z))
}

// placeArgs give a raster of test ground a place: UTM zone 15, cells of 2.5 m x 3 m.
var placeArgs = placedOn("EPSG:32615")

// placedOn is placeArgs on another grid, "" for none.
func placedOn(system string) []string {
	args := []string{"-q", "-a_ullr", "500000", "4000000", "500152.5", "3999859"}
	if system == "" {
		return args
	}
	return append(args, "-a_srs", system)
}

// compareCells checks the elevation of every cell; want is NaN for a gap.
func compareCells(t *testing.T, g *geometry.Grid, want []float64) {
	t.Helper()
	s := g.Summary()
	if s.Cols*s.Rows != len(want) {
		t.Fatalf("%d cells, want %d", s.Cols*s.Rows, len(want))
	}
	gaps := 0
	for i, z := range want {
		at, got := g.Posting(i%s.Cols, i/s.Cols)
		if z != z {
			gaps++
		}
		if got != z && (got == got || z == z) {
			t.Fatalf("cell %d at %v is %v, want %v", i, at, got, z)
		}
	}
	if gaps == 0 || gaps == len(want) {
		t.Fatalf("%d of %d cells are gaps: this compares too little", gaps, len(want))
	}
}

// comparePlaces checks where cells stand with the corner-based affine transform
// that GDAL finds in the file.
func comparePlaces(t *testing.T, g *geometry.Grid, path string, unit float64) {
	t.Helper()
	var info struct{ GeoTransform [6]float64 }
	if err := json.Unmarshal([]byte(run(t, "gdalinfo", "-json", path)), &info); err != nil {
		t.Fatal(err)
	}
	f := info.GeoTransform
	for _, cell := range [][2]int{{0, 0}, {testCols - 1, 0}, {0, testRows - 1}, {17, 31}} {
		at, _ := g.Posting(cell[0], cell[1])
		col, row := float64(cell[0])+0.5, float64(cell[1])+0.5
		want := orb.Point{unit * (f[0] + col*f[1] + row*f[2]), unit * (f[3] + col*f[4] + row*f[5])}
		if math.Hypot(at[0]-want[0], at[1]-want[1]) > 1e-8 {
			t.Errorf("cell %v stands at %v, GDAL has %v", cell, at, want)
		}
	}
}

// withGaps is the test ground with NaN where it marks no data.
func withGaps(z []float64) []float64 {
	out := slices.Clone(z)
	for i, v := range out {
		if v == testNoData {
			out[i] = math.NaN()
		}
	}
	return out
}

// wantOf is what a file of samples of a kind must read as.
func wantOf(kind string) []float64 {
	z := withGaps(testGround(!strings.HasPrefix(kind, "Float")))
	if kind == "Float32" {
		for i, v := range z {
			z[i] = float64(float32(v))
		}
	}
	return z
}

func TestTIFFLayoutsAgainstGDAL(t *testing.T) {
	type layout struct {
		name  string
		kinds string
		args  string
	}
	all := "Float32 Float64 Int16 UInt16 Int32 UInt32 Byte"
	layouts := []layout{
		{"plain", all, ""},
		{"big-endian", all, "-co ENDIANNESS=BIG"},
		{"BigTIFF", "Float32", "-co BIGTIFF=YES"},
		{"BigTIFF big-endian tiles", "Float64", "-co BIGTIFF=YES -co ENDIANNESS=BIG -co TILED=YES -co BLOCKXSIZE=16 -co BLOCKYSIZE=16"},
		{"one strip", "Float32", "-co BLOCKYSIZE=47"},
		{"strips of 5 rows", "Int16", "-co BLOCKYSIZE=5 -co COMPRESS=DEFLATE"},
		{"tiles", all, "-co TILED=YES -co BLOCKXSIZE=32 -co BLOCKYSIZE=16"},
		{"PackBits", "Float32 Byte", "-co COMPRESS=PACKBITS -co TILED=YES -co BLOCKXSIZE=16 -co BLOCKYSIZE=32"},
		{"overviews follow", "Float32", ""},
		{"sparse", "Float32", "-co SPARSE_OK=TRUE -co TILED=YES -co BLOCKXSIZE=16 -co BLOCKYSIZE=16"},
		{"cloud", "Float32", "-of COG -co BLOCKSIZE=128 -co COMPRESS=DEFLATE -co PREDICTOR=YES"},
	}
	for i, compression := range []string{"LZW", "DEFLATE", "ZSTD"} {
		whole := "Int16 Float32"
		if i == 1 {
			whole = "Int16 UInt16 Int32 Byte Float32"
		}
		for _, parts := range []string{"-co BLOCKYSIZE=7", "-co TILED=YES -co BLOCKXSIZE=16 -co BLOCKYSIZE=32", "-co ENDIANNESS=BIG"} {
			name := compression + " " + parts + " predictor "
			args := "-co COMPRESS=" + compression + " " + parts + " -co PREDICTOR="
			layouts = append(layouts, layout{name + "1", "Float32", args + "1"}, layout{name + "2", whole, args + "2"})
			// GDAL 3.6 swaps the planes of big-endian files and then cannot read them.
			if !strings.Contains(parts, "BIG") {
				layouts = append(layouts, layout{name + "3", "Float32 Float64", args + "3"})
			}
		}
	}
	raw := map[string]string{}
	for _, kind := range strings.Fields(all) {
		raw[kind] = rawGround(t, kind)
	}
	for _, l := range layouts {
		for _, kind := range strings.Fields(l.kinds) {
			t.Run(l.name+" "+kind, func(t *testing.T) {
				t.Parallel()
				path := filepath.Join(t.TempDir(), "dem.tif")
				noData := strconv.Itoa(testNoData)
				if kind == "Byte" {
					noData = "255"
				}
				args := append([]string{"-a_nodata", noData}, placeArgs...)
				args = append(args, strings.Fields(l.args)...)
				run(t, "gdal_translate", append(args, raw[kind], path)...)
				if l.name == "overviews follow" {
					run(t, "gdaladdo", "-q", path, "2", "4")
				}
				g := mustGrid(t, path, Options{})
				compareCells(t, g, wantOf(kind))
				if kind == "Float32" && !strings.Contains(l.name, "predictor") {
					comparePlaces(t, g, path, 1)
				}
			})
		}
	}
}

// NoData in the ways that programs write it.
func TestTIFFNoDataAgainstGDAL(t *testing.T) {
	for _, text := range []string{"-9999", "-3.4028234663852886e+38", "-3.40282346638529e+38", "nan", "-99999.9", "1.70141e38"} {
		t.Run(text, func(t *testing.T) {
			hidden, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			z := samplesOf[float32](testGround(false))
			for i := range z {
				if z[i] == testNoData {
					z[i] = float32(hidden)
				}
			}
			path := filepath.Join(t.TempDir(), "dem.tif")
			run(t, "gdal_translate", append(append([]string{"-a_nodata", text}, placeArgs...), writeRaw(t, "Float32", testCols, z), path)...)
			compareCells(t, mustGrid(t, path, Options{}), wantOf("Float32"))
		})
	}
}

// A plane sampled by GDAL between its cells, bilinearly, is the plane that our
// triangles make: the two place the cells alike, to the half cell.
func TestTIFFPlaneAgainstGDALSamples(t *testing.T) {
	z := make([]float64, testCols*testRows)
	for i := range z {
		z[i] = 100 + 0.5*float64(i%testCols) - 0.25*float64(i/testCols)
	}
	for _, kind := range []string{"Area", "Point"} {
		dir := t.TempDir()
		path, finer := filepath.Join(dir, "dem.tif"), filepath.Join(dir, "finer")
		run(t, "gdal_translate", append(append([]string{"-mo", "AREA_OR_POINT=" + kind}, placeArgs...), writeRaw(t, "Float64", testCols, z), path)...)
		run(t, "gdalwarp", "-q", "-of", "ENVI", "-r", "bilinear", "-te", "500010", "3999880", "500130", "3999980", "-tr", "2", "2", path, finer)
		g := mustGrid(t, path, Options{Origin: orb.Point{500000, 3999000}})
		samples := readRaw(t, finer)
		if len(samples) != 60*50 {
			t.Fatalf("%d samples", len(samples))
		}
		for i, want := range samples {
			p := orb.Point{11 + 2*float64(i%60), 979 - 2*float64(i/60)}
			if got, ok := g.Elevation(nil, p); !ok || math.Abs(got-want) > 1e-9 {
				t.Fatalf("%s: at %v %v %v, GDAL has %v", kind, p, got, ok, want)
			}
		}
	}
}

// readRaw reads float64 samples that GDAL wrote.
func readRaw(t *testing.T, path string) []float64 {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	out := make([]float64, len(data)/8)
	for i := range out {
		out[i] = math.Float64frombits(binary.LittleEndian.Uint64(data[8*i:]))
	}
	return out
}

// A file that places points, and a turned grid, lie where GDAL has them.
func TestTIFFPlacesAgainstGDAL(t *testing.T) {
	dir := t.TempDir()
	raw, virtual := rawGround(t, "Float32"), filepath.Join(dir, "turned.vrt")
	run(t, "gdal_translate", append([]string{"-of", "VRT", "-a_nodata", strconv.Itoa(testNoData)}, append(placeArgs, raw, virtual)...)...)
	text, err := os.ReadFile(virtual)
	if err != nil {
		t.Fatal(err)
	}
	from, to := strings.Index(string(text), "<GeoTransform>"), strings.Index(string(text), "</GeoTransform>")
	turned := string(text[:from]) + "<GeoTransform>500000, 2, 0.5, 4000000, 0.6, -2.5" + string(text[to:])
	if err := os.WriteFile(virtual, []byte(turned), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, kind := range []string{"Area", "Point"} {
		for name, args := range map[string][]string{
			"straight": append([]string{"-a_nodata", strconv.Itoa(testNoData)}, append(placeArgs, raw)...),
			"turned":   {"-q", virtual},
		} {
			path := filepath.Join(dir, name+kind+".tif")
			run(t, "gdal_translate", append(append([]string{"-mo", "AREA_OR_POINT=" + kind}, args...), path)...)
			found := mustOpen(t, path, Options{})
			g := found.Surface.(*geometry.Grid)
			compareCells(t, g, wantOf("Float32"))
			comparePlaces(t, g, path, 1)
			if !strings.Contains(strings.Join(found.Notes, "\n"), map[string]string{"Area": "middle", "Point": "places its points"}[kind]) {
				t.Errorf("%s: notes %q", kind, found.Notes)
			}
		}
	}
}

// Scale and offset of a band, as GDAL writes them with and without a vertical
// reference; feet across with metres up.
func TestTIFFUnitsAndStepsAgainstGDAL(t *testing.T) {
	ftUS, ft := unitOf("ftUS"), unitOf("ft")
	raw := rawGround(t, "Int16")
	for name, tc := range map[string]struct {
		system     string
		args       string
		opt        Options
		plan       float64
		step, base float64
	}{
		"step in metadata":        {"EPSG:32615", "-a_scale 0.1 -a_offset 50", Options{}, 1, 0.1, 50},
		"step in tie":             {"EPSG:32615+5703", "-a_scale 0.1 -a_offset 50", Options{}, 1, 0.1, 50},
		"survey feet":             {"EPSG:2264", "", Options{}, ftUS.SI, ftUS.SI, 0},
		"survey feet, said twice": {"EPSG:2264", "", Options{Unit: ftUS}, ftUS.SI, ftUS.SI, 0},
		"feet, metres up":         {"EPSG:2264+5703", "", Options{}, ftUS.SI, 1, 0},
		"metres, survey feet up":  {"EPSG:32615+6360", "", Options{}, 1, ftUS.SI, 0},
		"international feet":      {"EPSG:2223", "", Options{}, ft.SI, ft.SI, 0},
		"metres, feet said up":    {"EPSG:32615", "", Options{ElevationUnit: ft}, 1, ft.SI, 0},
		"shifted":                 {"EPSG:32615", "", Options{Shift: -3.5}, 1, 1, -3.5},
		"no reference":            {"", "", Options{Unit: ft}, ft.SI, ft.SI, 0},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "dem.tif")
			args := append([]string{"-a_nodata", strconv.Itoa(testNoData)}, placedOn(tc.system)...)
			args = append(args, strings.Fields(tc.args)...)
			run(t, "gdal_translate", append(args, raw, path)...)
			g := mustGrid(t, path, tc.opt)
			want := wantOf("Int16")
			for i, v := range want {
				want[i] = float64(v*tc.step) + tc.base
			}
			compareCells(t, g, want)
			comparePlaces(t, g, path, tc.plan)
		})
	}
}

// Files that GDAL writes and that are no ground for a site.
func TestTIFFRefusedAgainstGDAL(t *testing.T) {
	ft := unitOf("ft")
	raw := rawGround(t, "Int16")
	path := filepath.Join(t.TempDir(), "dem.tif")
	for name, tc := range map[string]struct {
		system, args string
		opt          Options
		words        []string
	}{
		"degrees":           {"EPSG:4326", "-a_ullr -84 36 -83.9 35.9", Options{Unit: ft}, []string{"degrees", "projected"}},
		"unit conflict":     {"EPSG:2264", "", Options{Unit: ft}, []string{"ftUS", "`unit`", "is ft"}},
		"vertical conflict": {"EPSG:2264+5703", "", Options{ElevationUnit: ft}, []string{"up in m", "`elevation unit`"}},
		"a code alone":      {"EPSG:31370+5703", "", Options{}, []string{"in which unit", "EPSG 31370"}},
		"no unit":           {"", "", Options{}, []string{"in which unit", "ftUS"}},
		"colours":           {"EPSG:32615", "-b 1 -b 1 -b 1", Options{}, []string{"3 bands"}},
		"complex":           {"EPSG:32615", "-ot CFloat32", Options{}, []string{"64 bits", "not read"}},
		"no place":          {"", "-co PROFILE=BASELINE", Options{}, []string{"where it lies"}},
		"no nodata":         {"EPSG:26915", "", Options{}, []string{"row 1, column 1", "32000", "NoData"}},
	} {
		t.Run(name, func(t *testing.T) {
			args := append(placedOn(tc.system), strings.Fields(tc.args)...)
			if name != "no nodata" {
				args = append(args, "-a_nodata", strconv.Itoa(testNoData))
			}
			run(t, "gdal_translate", append(args, raw, path)...)
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			_, err = readBytes(data, "dem.tif", tc.opt)
			wantFault(t, err, tc.words...)
		})
	}
}

// ASCII grids that GDAL writes, with square cells and with dx and dy.
func TestASCIIGridAgainstGDAL(t *testing.T) {
	raw := rawGround(t, "Float64")
	want := wantOf("Float64")
	for i, v := range want {
		want[i], _ = strconv.ParseFloat(strconv.FormatFloat(v, 'f', 6, 64), 64)
	}
	for _, args := range []string{"-a_ullr 500000 4000000 500122 3999906", "-a_ullr 500000 4000000 500152.5 3999859"} {
		path := filepath.Join(t.TempDir(), "dem.asc")
		all := append([]string{"-of", "AAIGrid", "-co", "DECIMAL_PRECISION=6", "-a_nodata", strconv.Itoa(testNoData)}, placeArgs...)
		run(t, "gdal_translate", append(append(all, strings.Fields(args)...), raw, path)...)
		g := mustGrid(t, path, Options{Unit: unitOf("m")})
		compareCells(t, g, want)
		comparePlaces(t, g, path, 1)
	}
}
