package terrain

import (
	"encoding/binary"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// openTerrain reads the numbers of an open terrain file below the project's
// testdata/published/terrain, without its notes.
func openTerrain(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "..", "..", "testdata", "published", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// Plan area and volume below levels of a hill, the grid read from a file of text
// and from GeoTIFF; the figures are by the closed form for one triangle, see the
// notes in the file of results.
func TestGridsGivePublishedVolumes(t *testing.T) {
	lines := openTerrain(t, "terrain/maunga_whau_10m.csv")[1:] // by easting, each from south to north
	cols, rows := len(lines), len(lines[0])
	var text strings.Builder
	fmt.Fprintf(&text, "ncols %d\nnrows %d\nxllcenter 0\nyllcenter 0\ncellsize 10\n", cols, rows)
	var z []float32
	for r := rows - 1; r >= 0; r-- {
		for c := range cols {
			v, err := strconv.ParseFloat(lines[c][r], 32)
			if err != nil {
				t.Fatal(err)
			}
			z = append(z, float32(v))
			fmt.Fprintf(&text, "%s ", lines[c][r])
		}
	}
	point := []uint16{1, 1, 0, 3, geoModelType, 0, 1, 1, geoRasterType, 0, 1, rasterIsPoint, geoLinearUnits, 0, 1, 9001}
	order := testOrder(binary.BigEndian)
	tags := with(demTags(cols, rows), testTag{tagPixelScale, []float64{10, 10, 0}}, testTag{tagTiepoint, []float64{0, 0, 0, 0, float64(10 * (rows - 1)), 0}}, testTag{tagGeoKeys, point})
	tiff, _ := testTIFF{order: order, tags: tags, blocks: [][]byte{floats(order, z...)}}.bytes()
	for name, data := range map[string][]byte{"a.asc": []byte(text.String()), "a.tif": tiff} {
		found, err := readBytes(data, name, Options{Unit: unitOf("m")})
		if err != nil {
			t.Fatal(err)
		}
		checkPublishedVolumes(t, name, found.Surface)
	}
}

func checkPublishedVolumes(t *testing.T, name string, s geometry.Surface) {
	t.Helper()
	results := openTerrain(t, "volume/terrain_below_level.csv")[1:]
	if len(results) < 8 {
		t.Fatalf("%d results", len(results))
	}
	for _, row := range results {
		var v [3]float64
		for i := range v {
			var err error
			if v[i], err = strconv.ParseFloat(row[1+i], 64); err != nil {
				t.Fatal(err)
			}
		}
		got, err := geometry.VolumeOver(s, orb.Polygon{s.Bound().ToRing()}, v[0])
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.FillArea-v[1]) > 1e-9*v[1] || math.Abs(got.Fill-v[2]) > 1e-9*v[2] {
			t.Errorf("%s, level %v: area %v, volume %v, published %v, %v", name, v[0], got.FillArea, got.Fill, v[1], v[2])
		}
	}
}

// A terrain window whose places are degrees is refused at a site in metres, with
// the cause; its elevations are kept as they are.
func TestDegreesAreNamed(t *testing.T) {
	lines := openTerrain(t, "terrain/jacksboro_srtm3_window.csv")
	var text strings.Builder
	fmt.Fprintf(&text, "ncols %d\nnrows %d\nxllcenter -84.28875\nyllcenter 36.55041667\ncellsize 0.000833333333\n", len(lines[0]), len(lines))
	for _, l := range lines {
		fmt.Fprintln(&text, strings.Join(l, " "))
	}
	opt := Options{Unit: unitOf("m"), Origin: orb.Point{750000, 4050000}, Window: orb.Bound{Min: orb.Point{-500, -500}, Max: orb.Point{500, 500}}}
	_, err := readBytes([]byte(text.String()), "a.asc", opt)
	wantFault(t, err, "away", "degrees of longitude and latitude")
	found, err := readBytes([]byte(text.String()), "a.asc", Options{Unit: unitOf("m")})
	if err != nil {
		t.Fatal(err)
	}
	g := found.Surface.(*geometry.Grid)
	if len(lines) != 120 {
		t.Fatalf("%d lines", len(lines))
	}
	for r, l := range lines {
		for c, word := range l {
			want, err := strconv.ParseFloat(word, 64)
			if _, z := g.Posting(c, r); err != nil || z != want {
				t.Fatalf("row %d, column %d: %v, want %v", r, c, z, want)
			}
		}
	}
}

// Progress rises to the whole file.
func TestRasterProgress(t *testing.T) {
	for name, data := range map[string][]byte{"a.asc": []byte(smallASCII()), "a.tif": seedTIFFs(t)["tiled"]} {
		var told []int64
		opt := Options{Unit: unitOf("m"), Progress: func(done, total int64) {
			if total != int64(len(data)) || done < 0 || done > total || len(told) > 0 && done < told[len(told)-1] {
				t.Errorf("%s: %d of %d after %v", name, done, total, told)
			}
			told = append(told, done)
		}}
		if _, err := readBytes(data, name, opt); err != nil {
			t.Fatal(err)
		}
		if len(told) == 0 {
			t.Errorf("%s: nothing told", name)
		}
	}
}
