package terrain

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// A mask hides cells whatever their value, in any layout that GDAL writes it in.
func TestTIFFMask(t *testing.T) {
	dir := t.TempDir()
	z := testGround(true)
	shown := make([]uint8, len(z))
	want := withGaps(testGround(true))
	both := samplesOf[int16](z)
	for i := range shown {
		if i%7 != 0 && i%11 != 3 {
			shown[i] = 255
		} else {
			both[i], want[i] = -32000, math.NaN() // no ground has such an elevation
		}
	}
	both = append(both, make([]int16, len(shown))...)
	for i, v := range shown {
		both[len(shown)+i] = int16(v)
	}
	raw := twoBands(t, both)
	for name, layout := range map[string]string{
		"strips":     "",
		"tiles":      "-co TILED=YES -co BLOCKXSIZE=16 -co BLOCKYSIZE=32 -co COMPRESS=DEFLATE -co PREDICTOR=2",
		"big endian": "-co ENDIANNESS=BIG -co COMPRESS=LZW -co BLOCKYSIZE=5",
		"BigTIFF":    "-co BIGTIFF=YES",
	} {
		path := filepath.Join(dir, name+".tif")
		args := append([]string{"--config", "GDAL_TIFF_INTERNAL_MASK", "YES", "-b", "1", "-mask", "2", "-a_nodata", strconv.Itoa(testNoData)}, placeArgs...)
		run(t, "gdal_translate", append(append(args, strings.Fields(layout)...), raw, path)...)
		if s := mustOpen(t, path, Options{}); !strings.Contains(strings.Join(s.Notes, "\n"), "mask") {
			t.Errorf("%s: notes %q", name, s.Notes)
		}
		compareCells(t, mustGrid(t, path, Options{}), want)
	}
}

// twoBands writes the raw file of two bands of whole numbers.
func twoBands(t *testing.T, samples []int16) string {
	t.Helper()
	path := writeRaw(t, "Int16", testCols, samples[:len(samples)/2])
	var all bytes.Buffer
	if err := binary.Write(&all, binary.LittleEndian, samples); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, all.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	header := strings.TrimSuffix(path, filepath.Ext(path)) + ".hdr"
	text, err := os.ReadFile(header)
	if err != nil {
		t.Fatal(err)
	}
	text = bytes.Replace(text, []byte("bands = 1"), []byte("bands = 2"), 1)
	if err := os.WriteFile(header, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// A raster without a place of its own takes that of the world file beside it,
// which names the middle of the first cell.
func TestWorldFile(t *testing.T) {
	data, _ := testTIFF{order: binary.LittleEndian, tags: without(demTags(12, 10), tagPixelScale, tagTiepoint), blocks: [][]byte{floatsOfSmallDEM()}}.bytes()
	dir := t.TempDir()
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("a.tif", string(data))
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	_, err = Open(root, "a.tif", Options{})
	wantFault(t, err, "does not say where it lies", "world file")
	for _, bad := range []string{"2 0 0 -3 500", "2 0 0 -3 500 700 1", "2 0 0 x 500 700", "0 0 0 0 500 700", strings.Repeat(" ", 2*longestWorld) + "1"} {
		write("a.tfw", bad)
		if _, err := Open(root, "a.tif", Options{}); err == nil {
			t.Errorf("%.40q is taken", bad)
		}
	}
	write("a.tfw", "2.0\r\n0.5\r\n-0.25\r\n-3.0\r\n500.5\r\n700.25\r\n")
	found, err := Open(root, "a.tif", Options{})
	if err != nil {
		t.Fatal(err)
	}
	at, _ := found.Surface.(*geometry.Grid).Posting(2, 1)
	if want := (orb.Point{500.5 + 2*2 - 0.25, 700.25 + 2*0.5 - 3}); at != want {
		t.Errorf("cell (2, 1) at %v, want %v", at, want)
	}
	if !strings.Contains(strings.Join(found.Notes, "\n"), "a.tfw") {
		t.Errorf("notes %q", found.Notes)
	}
}
