package terrain

import (
	"encoding/binary"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Units that a file defines by their size, or by a code that is not known.
func TestTIFFUnitsByKeys(t *testing.T) {
	keys := func(more ...uint16) testTag {
		v := []uint16{1, 1, 0, uint16(1 + len(more)/4), geoModelType, 0, 1, 1}
		return testTag{tagGeoKeys, append(v, more...)}
	}
	size := func(v float64) testTag { return testTag{tagGeoDoubles, []float64{9, v}} }
	own := keys(geoLinearUnits, 0, 1, userDefined, geoLinearSize, tagGeoDoubles, 1, 1)
	for name, tc := range map[string]struct {
		tags []testTag
		opt  Options
		want float64 // m in a unit, 0 for an error
		bad  string
	}{
		"survey feet by size":      {[]testTag{own, size(0.3048006096)}, Options{}, 1200.0 / 3937, ""},
		"feet by size":             {[]testTag{own, size(0.3048)}, Options{}, 0.3048, ""},
		"yards by size":            {[]testTag{own, size(0.9144)}, Options{}, 0, "code 32767, is not known"},
		"yards by size, said":      {[]testTag{own, size(0.9144)}, Options{Unit: unitOf("yd")}, 0.9144, ""},
		"a size that is not there": {[]testTag{own}, Options{}, 0, "code 32767"},
		"links":                    {[]testTag{keys(geoLinearUnits, 0, 1, 9034)}, Options{}, 0, "code 9034"},
		"fathoms up":               {[]testTag{keys(geoLinearUnits, 0, 1, 9001, geoVerticalUnit, 0, 1, 9014)}, Options{}, 0, "up, code 9014"},
		"by the grid's code":       {[]testTag{keys(geoProjected, 0, 1, 6543)}, Options{}, 1200.0 / 3937, ""},
		"geocentric":               {[]testTag{{tagGeoKeys, []uint16{1, 1, 0, 1, geoModelType, 0, 1, modelGeocentric}}}, Options{}, 0, "centre of the earth"},
	} {
		t.Run(name, func(t *testing.T) {
			found, err := readBytes(smallDEM(binary.LittleEndian, false, nil, tc.tags...), "a.tif", tc.opt)
			if tc.want == 0 {
				wantFault(t, err, tc.bad)
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(found.Unit.SI-tc.want) > 1e-15 {
				t.Errorf("unit %+v, want %v m", found.Unit, tc.want)
			}
		})
	}
}

// Units of grids by code agree with those that PROJ holds (EPSG dataset), asked
// through GDAL.
func TestProjectedUnitsAgainstGDAL(t *testing.T) {
	sizes := map[string]string{"m": `LENGTHUNIT["metre",1`, "ft": `LENGTHUNIT["foot",0.3048`, "ftUS": `LENGTHUNIT["US survey foot",`}
	for _, code := range []uint16{2222, 2225, 2250, 2251, 2264, 2269, 2289, 2868, 2871, 6405, 6420, 6543, 6557, 26915, 32733, 6344} {
		text := run(t, "gdalsrsinfo", "-o", "wkt2", "EPSG:"+strconv.Itoa(int(code)))
		_, axes, _ := strings.Cut(text, "CS[Cartesian")
		if want := sizes[projectedUnit(code).Name]; want == "" || !strings.Contains(axes, want) {
			t.Errorf("EPSG %d is in %q, GDAL has %s", code, projectedUnit(code).Name, axes)
		}
	}
}

// Overviews are passed over, a mask and a second image are noted.
func TestTIFFFurtherImages(t *testing.T) {
	dir := t.TempDir()
	raw := rawGround(t, "Int16")
	path := filepath.Join(dir, "dem.tif")
	args := append([]string{"-a_nodata", strconv.Itoa(testNoData), "--config", "GDAL_TIFF_INTERNAL_MASK", "YES", "-b", "1", "-mask", "1"}, placeArgs...)
	run(t, "gdal_translate", append(args, raw, path)...)
	run(t, "gdal_translate", append(append([]string{"-a_nodata", strconv.Itoa(testNoData), "-co", "APPEND_SUBDATASET=YES"}, placeArgs...), raw, path)...)
	found := mustOpen(t, path, Options{})
	compareCells(t, found.Surface.(*geometry.Grid), wantOf("Int16"))
	if notes := strings.Join(found.Notes, "\n"); !strings.Contains(notes, "mask") || !strings.Contains(notes, "1 more images") {
		t.Errorf("notes %q", notes)
	}
}

// broken is a disk that fails.
type broken struct{ after int64 }

func (b broken) ReadAt(p []byte, at int64) (int, error) {
	if at+int64(len(p)) > b.after {
		return 0, errors.New("input/output error")
	}
	copy(p, smallDEM(binary.LittleEndian, false, nil)[at:])
	return len(p), nil
}

func TestReadErrorsAreTold(t *testing.T) {
	size := int64(len(smallDEM(binary.LittleEndian, false, nil)))
	for after := range size {
		_, err := Read(broken{after}, size, "a.tif", Options{})
		wantFault(t, err, "cannot be read: input/output error", "copy")
	}
}

// A site beside a turned grid, within the box around it.
func TestTIFFBesideTurnedGrid(t *testing.T) {
	c, s := math.Cos(0.7), math.Sin(0.7)
	tags := with(without(demTags(12, 10), tagPixelScale, tagTiepoint),
		testTag{tagTransform, []float64{c, -s, 0, 0, s, c, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1}})
	data, _ := testTIFF{order: binary.LittleEndian, tags: tags, blocks: [][]byte{floatsOfSmallDEM()}}.bytes()
	found, err := readBytes(data, "a.tif", Options{})
	if err != nil {
		t.Fatal(err)
	}
	corner := found.Bound.Min
	_, err = readBytes(data, "a.tif", Options{Window: orb.Bound{Min: corner, Max: orb.Point{corner[0] + 0.1, corner[1] + 0.1}}})
	wantFault(t, err, "none of its cells")
}

// A file that is not there, a folder, and a link out of the site.
func TestOpenErrors(t *testing.T) {
	dir := t.TempDir()
	outside := filepath.Join(t.TempDir(), "a.tif")
	if err := os.WriteFile(outside, smallDEM(binary.LittleEndian, false, nil), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(dir, "link.tif")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "folder.tif"), 0o700); err != nil {
		t.Fatal(err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	for _, name := range []string{"none.tif", "folder.tif", "link.tif", "../a.tif"} {
		_, err := Open(root, name, Options{})
		wantFault(t, err, name)
	}
}
