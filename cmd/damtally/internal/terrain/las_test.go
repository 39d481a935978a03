package terrain

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"github.com/paulmach/orb"
)

// scanPoint is a point with its class and flags, in the file's units.
type scanPoint struct {
	x, y, z      float64
	class, flags byte
}

// scan writes LAS files: ASPRS LAS 1.4 - R15 and the versions before.
type scan struct {
	minor, format, extra int
	offset               [3]float64
	vlrs                 []byte
	vlrCount             uint32
	noLegacy             bool
	points               []scanPoint
}

const scanScale = 0.001

func (s scan) bytes() []byte {
	size := lasHeader10
	switch s.minor {
	case 3:
		size = 235
	case 4:
		size = lasHeader14
	}
	h := make([]byte, size)
	le := binary.LittleEndian
	copy(h, "LASF")
	h[24], h[25] = 1, byte(s.minor)
	le.PutUint16(h[94:], uint16(size))
	le.PutUint32(h[96:], uint32(size+len(s.vlrs)+2)) // two bytes of nothing before the points
	le.PutUint32(h[100:], s.vlrCount)
	length := lasLengths[s.format] + s.extra
	h[104] = byte(s.format)
	le.PutUint16(h[105:], uint16(length))
	if !s.noLegacy {
		le.PutUint32(h[107:], uint32(len(s.points)))
	}
	for k := range 3 {
		le.PutUint64(h[131+8*k:], math.Float64bits(scanScale))
		le.PutUint64(h[155+8*k:], math.Float64bits(s.offset[k]))
	}
	if s.minor == 4 {
		le.PutUint64(h[247:], uint64(len(s.points)))
	}
	out := append(append(h, s.vlrs...), 0, 0)
	for _, p := range s.points {
		r := bytes.Repeat([]byte{0xee}, length)
		for k, v := range [3]float64{p.x, p.y, p.z} {
			le.PutUint32(r[4*k:], uint32(int32(math.Round((v-s.offset[k])/scanScale))))
		}
		if s.format < 6 {
			r[15] = p.class | p.flags
		} else {
			r[15], r[16] = p.flags, p.class
		}
		out = append(out, r...)
	}
	return out
}

// vlr is a record that tells of the projection.
func vlr(id uint16, body []byte) []byte {
	r := make([]byte, vlrHeader, vlrHeader+len(body))
	copy(r[2:], projectionUser)
	binary.LittleEndian.PutUint16(r[18:], id)
	binary.LittleEndian.PutUint16(r[20:], uint16(len(body)))
	return append(r, body...)
}

// geoKeysRecord is a directory of keys with their values in place.
func geoKeysRecord(keys ...uint16) []byte {
	words := []uint16{1, 1, 0, uint16(len(keys) / 2)}
	for i := 0; i < len(keys); i += 2 {
		words = append(words, keys[i], 0, 1, keys[i+1])
	}
	var b []byte
	for _, w := range words {
		b = binary.LittleEndian.AppendUint16(b, w)
	}
	return vlr(vlrGeoKeys, b)
}

func inFeet() Options { return Options{Unit: unitOf("ft")} }

// The scan's own ground points, as another program read them from the same file:
// CGAL's urban.las, see testdata/published/terrain/urban_las_ground_points.csv.
func TestScanFile(t *testing.T) {
	found := must(t, file(t, "scan.las"), "scan.las", Options{Unit: unitOf("m"), Origin: orb.Point{548000, 4177000}})
	n := 0
	for _, row := range published.Read(t, "terrain/urban_las_ground_points.csv") {
		record, err := strconv.Atoi(row["record"])
		if err != nil {
			t.Fatal(err)
		}
		if record >= 1500 {
			break
		}
		if n >= len(found.Points) {
			t.Fatalf("only %d points", n)
		}
		// Half of the last digit printed.
		samePoint(t, found.Points[n], row.Number(t, "easting_m")-548000, row.Number(t, "northing_m")-4177000, row.Number(t, "elev_m"), 0.00051)
		n++
	}
	if n != len(found.Points) || n != 235 {
		t.Errorf("%d ground points, want %d", len(found.Points), n)
	}
	all := must(t, file(t, "scan.las"), "scan.las", Options{Unit: unitOf("m"), Format: "LAS All"})
	if len(all.Points) != 1500 {
		t.Errorf("%d points of all classes, want 1500", len(all.Points))
	}
}

func TestScanFormats(t *testing.T) {
	for format := range lasLengths {
		for _, minor := range []int{0, 1, 2, 3, 4} {
			if format > 1 && minor < 2 || format > 3 && minor < 3 || format > 5 && minor < 4 {
				continue
			}
			withheld := byte(0x80)
			if format >= 6 {
				withheld = 0x04
			}
			s := scan{
				minor: minor, format: format, extra: format % 3, noLegacy: format >= 6, offset: [3]float64{2000000, 500000, -10},
				points: []scanPoint{{2000100.125, 500200.25, 712.345, 2, 0}, {2000101, 500200, 800, 5, 0}, {2000102, 500201, 713, 2, withheld}, {1999990.5, 499990, -3.5, 2, 0}, {0, 0, 1, 18, 0}},
			}
			found := must(t, s.bytes(), "a.las", inFeet())
			if len(found.Points) != 2 || len(found.Notes) != 2 {
				t.Fatalf("format %d, 1.%d: %d points, notes %q", format, minor, len(found.Points), found.Notes)
			}
			samePoint(t, found.Points[0], 2000100.125*0.3048, 500200.25*0.3048, 712.345*0.3048, 1e-6)
			samePoint(t, found.Points[1], 1999990.5*0.3048, 499990*0.3048, -3.5*0.3048, 1e-6)
		}
	}
}

func TestScanUnits(t *testing.T) {
	point := []scanPoint{{1000, 2000, 30, 2, 0}}
	keys := scan{minor: 2, points: point, vlrCount: 2, vlrs: append(vlr(7, []byte{1, 2, 3}), geoKeysRecord(keyModel, 1, keyLinearUnit, 9003, keyVertical, 9001)...)}
	found := must(t, keys.bytes(), "a.las", Options{})
	samePoint(t, found.Points[0], 1000*1200/3937.0, 2000*1200/3937.0, 30, 1e-9)
	if found.Unit.Name != "ftUS" {
		t.Errorf("unit %q", found.Unit.Name)
	}
	fails(t, keys.bytes(), "a.las", Options{Unit: unitOf("ft")}, "unit is ftUS, the table says ft")
	fails(t, keys.bytes(), "a.las", Options{ElevationUnit: unitOf("ft")}, "unit is m, the table says ft", "`elevation unit`")
	degrees := scan{minor: 2, points: point, vlrCount: 1, vlrs: geoKeysRecord(keyModel, modelDegrees)}
	fails(t, degrees.bytes(), "a.las", inFeet(), "longitude and latitude")
	wkt := scan{minor: 4, format: 6, points: point, vlrCount: 1, vlrs: vlr(vlrWKT, []byte(`GEOGCS["WGS 84"]`))}
	fails(t, wkt.bytes(), "a.las", inFeet(), "longitude and latitude")
	fails(t, scan{minor: 2, points: point}.bytes(), "a.las", Options{}, "what unit", "m, ft or ftUS")
}

// The text of the reference system counts, before the points or, in a long
// record, after them.
func TestScanUnitsInText(t *testing.T) {
	text, err := os.ReadFile("testdata/wkt/compound.wkt2")
	if err != nil {
		t.Fatal(err)
	}
	point := []scanPoint{{1000, 2000, 30, 2, 0}}
	const ftUS = 1200 / 3937.0
	before := scan{minor: 4, format: 6, points: point, vlrCount: 1, vlrs: vlr(vlrWKT, text)}.bytes()
	samePoint(t, must(t, before, "a.las", Options{}).Points[0], 1000*ftUS, 2000*ftUS, 30*ftUS, 1e-9)

	after := scan{minor: 4, format: 6, points: point}.bytes()
	le := binary.LittleEndian
	le.PutUint64(after[lasExtendedAt:], uint64(len(after)))
	le.PutUint32(after[lasExtended:], 1)
	r := make([]byte, evlrHeader)
	copy(r[2:], projectionUser)
	le.PutUint16(r[18:], vlrWKT)
	le.PutUint64(r[20:], uint64(len(text)))
	after = append(append(after, r...), text...)
	samePoint(t, must(t, after, "a.las", Options{}).Points[0], 1000*ftUS, 2000*ftUS, 30*ftUS, 1e-9)
	fails(t, after, "a.las", Options{Unit: unitOf("m")}, "unit is ftUS, the table says m")
	// A record that claims to be longer than the file is passed over.
	le.PutUint64(after[len(after)-len(text)-evlrHeader+20:], 1<<62)
	fails(t, after, "a.las", Options{}, "what unit")
}

func TestScanFaults(t *testing.T) {
	good := scan{minor: 4, format: 6, points: []scanPoint{{1, 2, 3, 2, 0}, {2, 2, 3, 2, 0}, {2, 4, 3, 2, 0}}}
	change := func(at int, v ...byte) []byte {
		b := good.bytes()
		copy(b[at:], v)
		return b
	}
	much := []byte{255, 255, 255, 255, 255, 255, 255, 255}
	for name, c := range map[string]struct {
		data []byte
		word string
	}{
		"magic":       {change(0, 'X'), "this is no las file"},
		"version":     {change(24, 2), "LAS version 2.4"},
		"compressed":  {change(104, 6|0x80), "compressed (LAZ)"},
		"format":      {change(104, 11), "point format 11"},
		"short":       {change(105, 20, 0), "too short"},
		"points":      {change(96, 255, 255, 255, 255), "begin at byte 4294967295"},
		"header":      {change(94, 10, 0), "header to end at byte 10"},
		"count":       {change(247, much...), "room for 3"},
		"scale":       {change(131, make([]byte, 8)...), "scale 0"},
		"offset":      {change(155, much...), "offset NaN"},
		"one too few": {good.bytes()[:len(good.bytes())-1], "ends too soon"},
		"no ground":   {scan{minor: 2, points: []scanPoint{{1, 2, 3, 6, 0}, {1, 2, 3, 6, 0}, {1, 2, 3, 1, 0}}}.bytes(), "none of its 3 points is classed as ground (class 2); most are of class 6"},
		"elevation":   {scan{minor: 2, points: []scanPoint{{1, 2, 1e6, 2, 0}}}.bytes(), "point 1: an elevation of 1e+06 ft is not ground"},
	} {
		t.Run(name, func(t *testing.T) { fails(t, c.data, "a.las", inFeet(), c.word) })
	}
	none := good
	none.points = nil
	fails(t, none.bytes(), "a.las", inFeet(), "holds no points")
	cutOffs(t, file(t, "scan.las"), "scan.las", Options{Unit: unitOf("m")}, nil)
	if took := allocated(func() { _, _ = readBytes(change(247, much...), "a.las", inFeet()) }); took > mostForSmall {
		t.Errorf("took %d MB", took>>20)
	}
}
