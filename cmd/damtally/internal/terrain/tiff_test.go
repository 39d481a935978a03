package terrain

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Predictor 3 in a big-endian file: the planes of bytes begin with the most
// significant in every file (Adobe Photoshop TIFF Technical Note 3), so that the
// packed bytes are those of a little-endian file.
func TestTIFFFloatPredictorInEitherOrder(t *testing.T) {
	planes := func(data []byte) []byte { // of little-endian samples, rows of 12
		var out []byte
		for row := 0; row < len(data); row += 48 {
			var line []byte
			for k := 3; k >= 0; k-- {
				for i := range 12 {
					line = append(line, data[row+4*i+k])
				}
			}
			for i := len(line) - 1; i > 0; i-- {
				line[i] -= line[i-1]
			}
			out = append(out, line...)
		}
		return out
	}
	for _, order := range []testOrder{binary.LittleEndian, binary.BigEndian} {
		pack := func(data []byte) []byte {
			if order == binary.BigEndian {
				for i := 0; i < len(data); i += 4 {
					data[i], data[i+1], data[i+2], data[i+3] = data[i+3], data[i+2], data[i+1], data[i]
				}
			}
			return deflated(planes(data))
		}
		data := smallDEM(order, false, pack, testTag{tagCompression, []uint16{compressDeflate}}, testTag{tagPredictor, []uint16{predictFloat}})
		found, err := readBytes(data, "a.tif", Options{})
		if err != nil {
			t.Fatal(err)
		}
		checkSmallDEM(t, found)
	}
}

// checkSmallDEM checks what smallDEM must read as.
func checkSmallDEM(t testing.TB, found Found) {
	t.Helper()
	g := found.Surface.(*geometry.Grid)
	for i := range 120 {
		at, z := g.Posting(i%12, i/12)
		want := float64(100 + i%12 + 10*(i/12))
		if i == 50 {
			want = math.NaN()
		}
		if z != want && i != 50 || i == 50 && z == z || at != (orb.Point{float64(i%12) + 0.5, 9.5 - float64(i/12)}) {
			t.Fatalf("cell %d at %v is %v, want %v", i, at, z, want)
		}
	}
}

// The vertical step and base of a tie, by the definition of tags 33550 and 33922
// in OGC 19-008r4: model = tie + (raster - tied raster) x scale.
func TestTIFFTieElevation(t *testing.T) {
	for name, tc := range map[string]struct {
		tags []testTag
		want float64 // of sample 100
		note string
	}{
		"no step":           {nil, 100, "middle"},
		"step and base":     {[]testTag{{tagPixelScale, []float64{1, 1, 0.5}}, {tagTiepoint, []float64{0, 0, 20, 0, 10, 700}}}, 700 + (100-20)*0.5, "times 0.5 plus 690"},
		"base without step": {[]testTag{{tagTiepoint, []float64{0, 0, 0, 0, 10, 700}}}, 100, "700 but names no vertical step"},
	} {
		found, err := readBytes(smallDEM(binary.LittleEndian, false, nil, tc.tags...), "a.tif", Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if _, z := found.Surface.(*geometry.Grid).Posting(0, 0); z != tc.want {
			t.Errorf("%s: %v, want %v", name, z, tc.want)
		}
		if notes := strings.Join(found.Notes, "\n"); !strings.Contains(notes, tc.note) {
			t.Errorf("%s: notes %q do not say %q", name, notes, tc.note)
		}
	}
}

// What the text of tag 42112 says of elevations.
func TestTIFFBandMetadata(t *testing.T) {
	text := func(items string) testTag {
		return testTag{tagBandMetadata, "<GDALMetadata>" + items + "</GDALMetadata>"}
	}
	feet := `<Item name="UNITTYPE" sample="0" role="unittype">US survey foot</Item>`
	steps := `<Item name="SCALE" sample="0" role="scale">0.01</Item><Item name="OFFSET" sample="0" role="offset">7</Item>`
	scaled := []testTag{text(steps), {tagPixelScale, []float64{1, 1, 0.01}}, {tagTiepoint, []float64{0, 0, 0, 0, 10, 7}}}
	for name, tc := range map[string]struct {
		tags []testTag
		opt  Options
		want float64 // of sample 100
		bad  string
	}{
		"other things":      {[]testTag{text(`<Item name="SOURCE">scale 2</Item>`)}, Options{}, 100, ""},
		"no list":           {[]testTag{{tagBandMetadata, "<a><b>"}}, Options{}, 100, ""},
		"feet":              {[]testTag{text(feet)}, Options{}, 100 * 1200.0 / 3937, ""},
		"feet, said":        {[]testTag{text(feet)}, Options{ElevationUnit: unitOf("ftUS")}, 100 * 1200.0 / 3937, ""},
		"feet, metres":      {[]testTag{text(feet)}, Options{ElevationUnit: unitOf("m")}, 0, "up in ftUS"},
		"fathoms":           {[]testTag{text(strings.Replace(feet, "US survey foot", "fathom", 1))}, Options{}, 0, `"fathom", which is not known`},
		"fathoms, said":     {[]testTag{text(strings.Replace(feet, "US survey foot", "fathom", 1))}, Options{ElevationUnit: unitOf("m")}, 100, ""},
		"step and base":     {[]testTag{text(steps)}, Options{}, 8, ""},
		"of another band":   {[]testTag{text(strings.ReplaceAll(steps, `"0"`, `"1"`))}, Options{}, 100, ""},
		"as the tie":        {scaled, Options{}, 8, ""},
		"unlike the tie":    {append(scaled[:1:1], testTag{tagPixelScale, []float64{1, 1, 2}}), Options{}, 0, "the tie says times 2"},
		"step of nothing":   {[]testTag{text(strings.Replace(steps, "0.01", "0", 1))}, Options{}, 0, "no number"},
		"a word for a step": {[]testTag{text(strings.Replace(steps, "0.01", "nan", 1))}, Options{}, 0, "no number"},
	} {
		t.Run(name, func(t *testing.T) {
			found, err := readBytes(smallDEM(binary.LittleEndian, false, nil, tc.tags...), "a.tif", tc.opt)
			if tc.bad != "" {
				wantFault(t, err, tc.bad)
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if _, z := found.Surface.(*geometry.Grid).Posting(0, 0); math.Abs(z-tc.want) > 1e-12 {
				t.Errorf("%v, want %v", z, tc.want)
			}
		})
	}
}

// A tie need not be at the first cell, and a transformation may stand in its
// place: all three say the same.
func TestTIFFSamePlaceInThreeWays(t *testing.T) {
	tie := []testTag{{tagTiepoint, []float64{4, 7, 0, 4, 3, 0}}}
	matrix := []testTag{{tagTransform, []float64{1, 0, 0, 0, 0, -1, 0, 10, 0, 0, 0, 0, 0, 0, 0, 1}}}
	for name, data := range map[string][]byte{
		"tie": smallDEM(binary.LittleEndian, false, nil, tie...),
		"transformation": func() []byte {
			data, _ := testTIFF{
				order: binary.LittleEndian, blocks: [][]byte{floatsOfSmallDEM()},
				tags: with(without(demTags(12, 10), tagPixelScale, tagTiepoint), matrix...),
			}.bytes()
			return data
		}(),
		"big-endian BigTIFF": smallDEM(binary.BigEndian, true, nil),
	} {
		found, err := readBytes(data, "a.tif", Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		checkSmallDEM(t, found)
	}
}

func floatsOfSmallDEM() []byte {
	var kept []byte
	smallDEM(binary.LittleEndian, false, func(data []byte) []byte {
		kept = data
		return data
	})
	return kept
}

// Every layout cut off at each twentieth of its length is an error that names
// the file, never a panic.
func TestTIFFCutOff(t *testing.T) {
	for name, data := range seedTIFFs(t) {
		if _, err := readBytes(data, "a.tif", Options{}); err != nil {
			t.Errorf("%s: whole: %v", name, err)
		}
		for i := range 20 {
			_, err := readBytes(data[:len(data)*i/20], "a.tif", Options{})
			wantFault(t, err, "a.tif")
		}
	}
}

// seedTIFFs are small files of several layouts.
func seedTIFFs(t testing.TB) map[string][]byte {
	little := testOrder(binary.LittleEndian)
	tile := floats(little, make([]float32, 16*16)...)
	tiled, _ := testTIFF{
		order: little, tiled: true, blocks: [][]byte{tile, nil, deflated(tile)[:0], tile},
		tags: with(demTags(20, 20), testTag{tagTileWidth, []uint16{16}}, testTag{tagTileHeight, []uint16{16}}),
	}.bytes()
	return map[string][]byte{
		"plain":    smallDEM(little, false, nil),
		"big":      smallDEM(binary.BigEndian, true, nil),
		"deflate":  smallDEM(little, false, deflated, testTag{tagCompression, []uint16{compressDeflate}}),
		"float":    smallDEM(binary.BigEndian, false, func(b []byte) []byte { return deflated(make([]byte, len(b))) }, testTag{tagCompression, []uint16{compressDeflate}}, testTag{tagPredictor, []uint16{predictFloat}}),
		"zstd":     smallDEM(little, false, func(b []byte) []byte { return zstandard(t, b) }, testTag{tagCompression, []uint16{compressZSTD}}),
		"lzw":      smallDEM(little, false, lzwPacked, testTag{tagCompression, []uint16{compressLZW}}),
		"packbits": smallDEM(little, false, func(b []byte) []byte { return packed(b) }, testTag{tagCompression, []uint16{compressPackBits}}),
		"tiled":    tiled,
	}
}

// lzwPacked is data as LZW codes of nine bits, one a byte: the table is cleared
// before a code would need ten (TIFF 6.0, section 13).
func lzwPacked(data []byte) []byte {
	const clearTable, endOfData = 256, 257
	var out []byte
	held, bits := uint32(0), 0
	put := func(code uint32) {
		held, bits = held<<9|code, bits+9
		for bits >= 8 {
			out = append(out, byte(held>>(bits-8)))
			bits -= 8
		}
	}
	for i, c := range data {
		if i%200 == 0 {
			put(clearTable)
		}
		put(uint32(c))
	}
	put(endOfData)
	return append(out, byte(held<<(8-bits)))
}

// packed is data as PackBits runs of literal bytes.
func packed(data []byte) []byte {
	var out []byte
	for len(data) > 0 {
		n := min(len(data), 100)
		out = append(append(out, byte(n-1)), data[:n]...)
		data = data[n:]
	}
	return out
}

// The packed example of TIFF 6.0, section 9, is that of Apple's technical note
// 1023: 24 bytes that unpack to these 24... with runs, literals and nothing.
func TestPackBitsPublishedExample(t *testing.T) {
	in := []byte{0xFE, 0xAA, 0x02, 0x80, 0x00, 0x2A, 0xFD, 0xAA, 0x03, 0x80, 0x00, 0x2A, 0x22, 0xF7, 0xAA}
	want := []byte{
		0xAA, 0xAA, 0xAA, 0x80, 0x00, 0x2A, 0xAA, 0xAA, 0xAA, 0xAA, 0x80, 0x00,
		0x2A, 0x22, 0xAA, 0xAA, 0xAA, 0xAA, 0xAA, 0xAA, 0xAA, 0xAA, 0xAA, 0xAA,
	}
	var u unpackers
	r, err := u.open(compressPackBits, newBuffered(in), int64(len(in)))
	if err != nil {
		t.Fatal(err)
	}
	got, err := io.ReadAll(r)
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("got %x %v, want %x", got, err, want)
	}
}

// Headers that lie are refused with a plain error, and in little memory.
func TestTIFFAbsurdHeaders(t *testing.T) {
	little := testOrder(binary.LittleEndian)
	u16 := func(tag uint16, v ...uint16) testTag { return testTag{tag, v} }
	u32 := func(tag uint16, v ...uint32) testTag { return testTag{tag, v} }
	huge := []testTag{u32(tagWidth, 100000), u32(tagHeight, 100000), u32(tagTileWidth, 100000), u32(tagTileHeight, 100000)}
	for name, tc := range map[string]struct {
		tags  []testTag
		block []byte
		big   bool
		tiled bool
		words []string
	}{
		"no width":            {[]testTag{u32(tagWidth, 0)}, nil, false, false, []string{"tag 256", "0 is no size"}},
		"width of billions":   {[]testTag{u32(tagWidth, math.MaxUint32)}, nil, false, false, []string{"tag 256"}},
		"more than its bytes": {[]testTag{u32(tagWidth, 10000), u32(tagHeight, 10000)}, nil, false, false, []string{"strip 1", "cannot hold"}},
		"too many cells":      {[]testTag{u32(tagWidth, 1<<26), u32(tagHeight, 1<<26)}, nil, false, false, []string{"too many"}},
		"one huge tile":       {huge, nil, false, true, []string{"too many"}},
		"a bomb": {
			[]testTag{u32(tagWidth, 16000), u32(tagHeight, 16000), u16(tagCompression, compressDeflate)},
			deflated(make([]byte, 1<<20)), false, false,
			[]string{"strip 1", "cannot hold"},
		},
		"a Zstandard bomb": {
			[]testTag{u32(tagWidth, 16000), u32(tagHeight, 16000), u16(tagCompression, compressZSTD)},
			zstandard(t, make([]byte, 1<<24)), false, false,
			[]string{"strip 1", "cannot hold"},
		},
		"ends before it should":  {[]testTag{u16(tagCompression, compressDeflate)}, deflated(make([]byte, 100)), false, false, []string{"strip 1", "damaged"}},
		"no Deflate":             {[]testTag{u16(tagCompression, compressDeflate)}, make([]byte, 480), false, false, []string{"strip 1", "damaged"}},
		"no LZW":                 {[]testTag{u16(tagCompression, compressLZW)}, bytes.Repeat([]byte{255}, 480), false, false, []string{"strip 1", "damaged"}},
		"no Zstandard":           {[]testTag{u16(tagCompression, compressZSTD)}, make([]byte, 480), false, false, []string{"strip 1", "damaged"}},
		"JPEG":                   {[]testTag{u16(tagCompression, 7)}, nil, false, false, []string{"compression 7 is not read", "Deflate"}},
		"predictor for none":     {[]testTag{u16(tagPredictor, 2)}, nil, false, false, []string{"predictor 2"}},
		"half floats":            {[]testTag{u16(tagBits, 16)}, nil, false, false, []string{"16 bits", "32-bit"}},
		"strips of no rows":      {[]testTag{u32(tagRowsPerStrip, 0)}, nil, false, false, []string{"tag 278"}},
		"too few strips":         {[]testTag{u32(tagRowsPerStrip, 1)}, nil, false, false, []string{"tag 273", "names 1 blocks, the image has 10"}},
		"NoData is a word":       {[]testTag{{tagNoData, "none"}}, nil, false, false, []string{"tag 42113", "none"}},
		"a text for a number":    {[]testTag{{tagWidth, "12"}}, nil, false, false, []string{"tag 256", "whole numbers"}},
		"geo keys of one value":  {[]testTag{u16(tagGeoKeys, 1)}, nil, false, false, []string{"tag 34735"}},
		"raster type 7":          {[]testTag{u16(tagGeoKeys, 1, 1, 0, 1, geoRasterType, 0, 1, 7)}, nil, false, false, []string{"raster type 7"}},
		"a cell of no size":      {[]testTag{{tagPixelScale, []float64{0, 1, 0}}}, nil, false, false, []string{"no area"}},
		"a place of NaN":         {[]testTag{{tagTiepoint, []float64{0, 0, 0, math.NaN(), 0, 0}}}, nil, false, false, []string{"not a number"}},
		"several ties":           {[]testTag{{tagTiepoint, make([]float64, 24)}}, nil, false, false, []string{"several places"}},
		"NaN as vertical step":   {[]testTag{{tagPixelScale, []float64{1, 1, math.NaN()}}}, nil, false, false, []string{"vertical step"}},
		"beyond the earth":       {[]testTag{{tagPixelScale, []float64{1e9, 1e9, 0}}}, nil, false, false, []string{"100,000,000"}},
		"one row":                {[]testTag{u32(tagHeight, 1)}, nil, false, false, []string{"1 rows"}},
		"infinite ground":        {nil, floats(little, infinite()...), false, false, []string{"row 2, column 3", "+Inf", "-9999"}},
		"nothing but gaps":       {nil, floats(little, repeated(-9999, 120)...), false, false, []string{"no ground"}},
		"NaN and no NoData":      {[]testTag{{tagNoData, ""}}, floats(little, repeated(float32(math.NaN()), 120)...), false, false, []string{"no ground"}},
		"BigTIFF of other width": {nil, nil, true, false, []string{"offsets of a length"}},
	} {
		t.Run(name, func(t *testing.T) {
			block := tc.block
			if block == nil {
				block = floatsOfSmallDEM()
			}
			data, _ := testTIFF{order: little, big: tc.big, tiled: tc.tiled, tags: with(demTags(12, 10), tc.tags...), blocks: [][]byte{block}}.bytes()
			if tc.big {
				data[4] = 4
			}
			var err error
			if used := memory(func() { _, err = readBytes(data, "a.tif", Options{}) }); used > mostMemory {
				t.Errorf("took %d bytes", used)
			}
			wantFault(t, err, tc.words...)
		})
	}
}

func repeated(v float32, n int) []float32 {
	out := make([]float32, n)
	for i := range out {
		out[i] = v
	}
	return out
}

func infinite() []float32 {
	z := repeated(5, 120)
	z[14] = float32(math.Inf(1))
	return z
}

// mostMemory is what a small file may make the reader ask for, in bytes.
const mostMemory = 50 << 20

// memory is how many bytes a function asks for in all.
func memory(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// A small file that says that it is vast and has no blocks reads in little
// memory and time: nothing is kept for cells that it does not hold.
func TestTIFFVastAndEmpty(t *testing.T) {
	tags := with(demTags(16000, 16000), testTag{tagTileWidth, []uint32{8000}}, testTag{tagTileHeight, []uint32{8000}})
	data, _ := testTIFF{order: binary.LittleEndian, tiled: true, tags: tags, blocks: make([][]byte, 4)}.bytes()
	var err error
	if used := memory(func() { _, err = readBytes(data, "a.tif", Options{}) }); used > mostMemory {
		t.Errorf("took %d bytes", used)
	}
	wantFault(t, err, "no ground")
}

// Directories that run in a circle, and words that are no TIFF.
func TestTIFFHeaders(t *testing.T) {
	data := smallDEM(binary.LittleEndian, false, nil)
	circle := bytes.Clone(data)
	copy(circle[len(circle)-4:], circle[4:8]) // the next directory is the first
	_, err := readBytes(circle, "a.tif", Options{})
	wantFault(t, err, "circle")
	for _, head := range []string{"II*\x00", "MM\x00*", "MM\x00+\x00\x08", "PK\x03\x04 a workbook", "ncols 5", "\x00\x00\x00\x00"} {
		_, err := readBytes([]byte(head), "a.tif", Options{})
		wantFault(t, err, "a.tif")
	}
	_, err = readBytes([]byte("ncols 5"), "a.tif", Options{})
	wantFault(t, err, "begins with \"ncols 5\"", "ascii grid")
	_, err = readBytes(data, "a.dem", Options{})
	if err != nil {
		t.Errorf("a TIFF by its first bytes: %v", err)
	}
	_, err = readBytes(data, "a.tif", Options{Format: "ASCII  grid"})
	wantFault(t, err, "no ascii grid file", "geotiff")
}

// counter counts what is read.
type counter struct {
	io.ReaderAt
	bytes int64
}

func (c *counter) ReadAt(p []byte, at int64) (int, error) {
	n, err := c.ReaderAt.ReadAt(p, at)
	c.bytes += int64(n)
	return n, err
}

// holed is a file whose data ends in zeros that are nowhere kept.
type holed struct {
	data []byte
	size int64
}

func (h holed) ReadAt(p []byte, at int64) (int, error) {
	if at >= h.size {
		return 0, io.EOF
	}
	n := int(min(int64(len(p)), h.size-at))
	clear(p[:n])
	if at < int64(len(h.data)) {
		copy(p[:n], h.data[at:])
	}
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

// vastDEM is a raster of side x side level cells without compression.
func vastDEM(side, block int, tiled bool) holed {
	f := testTIFF{order: binary.LittleEndian, big: true, tiled: tiled, tags: demTags(side, side)}
	if tiled {
		f.tags = with(f.tags, testTag{tagTileWidth, []uint32{uint32(block)}}, testTag{tagTileHeight, []uint32{uint32(block)}})
		across := (side + block - 1) / block
		f.number, f.hole = across*across, int64(4*block*block)
	} else {
		f.tags = with(f.tags, testTag{tagRowsPerStrip, []uint32{uint32(block)}})
		f.number, f.hole = (side+block-1)/block, int64(4*side*block)
	}
	data, size := f.bytes()
	return holed{data, size}
}

// Only the window is read, and of the tables no more than its blocks' part.
func TestTIFFReadsOnlyItsWindow(t *testing.T) {
	for _, tiled := range []bool{true, false} {
		for _, block := range []int{1, 64} {
			if tiled && block == 1 {
				continue
			}
			t.Run(fmt.Sprint("tiled ", tiled, " block ", block), func(t *testing.T) {
				file := vastDEM(3000, block, tiled)
				c := &counter{ReaderAt: file}
				window := orb.Bound{Min: orb.Point{1000, 500}, Max: orb.Point{1200, 600}}
				found, err := Read(c, file.size, "a.tif", Options{Window: window})
				if err != nil {
					t.Fatal(err)
				}
				cells := int64(200+2*windowMargin+2) * (100 + 2*windowMargin + 2)
				tables := int64(2*8*tableStretch) * 3
				if most := 4*cells + tables + 4096; c.bytes > most {
					t.Errorf("read %d bytes for a window of %d, want at most %d", c.bytes, 4*cells, most)
				}
				if b := found.Surface.Bound(); !b.Contains(window.Min) || !b.Contains(window.Max) {
					t.Errorf("ground %v does not cover the window %v", b, window)
				}
			})
		}
	}
}

// A window's ground is that of the whole file.
func TestTIFFWindowIsPartOfWhole(t *testing.T) {
	data := seedTIFFs(t)["deflate"]
	opt := Options{Window: orb.Bound{Min: orb.Point{7, 5}, Max: orb.Point{9, 7.5}}, Origin: orb.Point{1, -2}}
	all, err := readBytes(data, "a.tif", Options{Origin: opt.Origin})
	if err != nil {
		t.Fatal(err)
	}
	part, err := readBytes(data, "a.tif", opt)
	if err != nil {
		t.Fatal(err)
	}
	if part.Bound != all.Bound {
		t.Errorf("bound %v, want %v", part.Bound, all.Bound)
	}
	if a, b := part.Surface.Bound(), all.Surface.Bound(); a == b {
		t.Errorf("the window was not read alone: %v", a)
	}
	for _, p := range []orb.Point{{7, 5}, {9, 7.5}, {8.3, 6.1}} {
		a, ok := part.Surface.(*geometry.Grid).Elevation(nil, p)
		b, _ := all.Surface.(*geometry.Grid).Elevation(nil, p)
		if !ok || math.Abs(a-b) > 1e-12 {
			t.Errorf("at %v %v %v, in the whole file %v", p, a, ok, b)
		}
	}
}

// A file elsewhere is an error that says how far off it is and why it may be.
func TestRasterElsewhere(t *testing.T) {
	at := func(x, y float64) []byte {
		return smallDEM(binary.LittleEndian, false, nil, testTag{tagTiepoint, []float64{0, 0, 0, x, y, 0}})
	}
	site := orb.Bound{Min: orb.Point{-50, -50}, Max: orb.Point{50, 50}}
	for name, tc := range map[string]struct {
		data   []byte
		origin orb.Point
		words  []string
	}{
		"far":     {at(500000, 4000000), orb.Point{500000, 3990000}, []string{"9940 m away", "unit"}},
		"swapped": {at(500000, 4000000), orb.Point{4000000, 500000}, []string{"swapped"}},
		"feet":    {at(500000, 4000000), orb.Point{152400, 1219200}, []string{"looks like ft,"}},
		"degrees": {at(-84, 36), orb.Point{500000, 4000000}, []string{"degrees"}},
	} {
		_, err := readBytes(tc.data, "a.tif", Options{Window: site, Origin: tc.origin})
		t.Run(name, func(t *testing.T) { wantFault(t, err, tc.words...) })
	}
}

// Ten thousand a side, opened and a hundred sections cut.
func BenchmarkTIFFSections(b *testing.B) {
	file := vastDEM(10000, 256, true)
	window := orb.Bound{Min: orb.Point{4000, 5000}, Max: orb.Point{4600, 5300}}
	read := int64(0)
	for b.Loop() {
		c := &counter{ReaderAt: file}
		found, err := Read(c, file.size, "a.tif", Options{Window: window})
		if err != nil {
			b.Fatal(err)
		}
		for i := range 100 {
			x := 4000.5 + 6*float64(i)
			if len(found.Surface.Slice(nil, orb.Point{x, 5000}, orb.Point{x + 2, 5300})) != 1 {
				b.Fatal("no ground")
			}
		}
		read = c.bytes
	}
	b.ReportMetric(float64(read), "bytes-read/op")
}

// The whole of a raster of 4000 a side.
func BenchmarkTIFFWhole(b *testing.B) {
	file := vastDEM(4000, 256, true)
	b.SetBytes(4 * 4000 * 4000)
	for b.Loop() {
		if _, err := Read(file, file.size, "a.tif", Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
