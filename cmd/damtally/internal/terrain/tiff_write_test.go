package terrain

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
	"math"
	"testing"

	"github.com/klauspost/compress/zstd"
)

// testOrder is a byte order to write in.
type testOrder interface {
	binary.ByteOrder
	binary.AppendByteOrder
}

// testTag is a tag to be written: []uint16, []uint32, []uint64, []float64 or text.
type testTag struct {
	tag    uint16
	values any
}

// testTIFF is a file to be written for a test.
type testTIFF struct {
	order  testOrder
	big    bool
	tags   []testTag // but the two of the blocks
	tiled  bool
	blocks [][]byte // nil = missing
	hole   int64    // all blocks have this many bytes, which are left to be a hole
	number int      // of blocks, with hole
}

// bytes of the file, but for the hole at its end, and its whole length.
func (f testTIFF) bytes() (data []byte, size int64) {
	var b bytes.Buffer
	put := func(v any) { _ = binary.Write(&b, f.order, v) }
	mark := map[bool]string{true: "MM", false: "II"}[f.order == binary.BigEndian]
	b.WriteString(mark)
	if f.big {
		put([]uint16{43, 8, 0})
		put(uint64(0)) // mended below
	} else {
		put(uint16(42))
		put(uint32(0))
	}
	var at, count []uint64
	for _, block := range f.blocks {
		if block == nil {
			at, count = append(at, 0), append(count, 0)
			continue
		}
		at, count = append(at, uint64(b.Len())), append(count, uint64(len(block)))
		b.Write(block)
	}
	// The tables' places are known once everything else stands.
	end := int64(b.Len()) + 1<<16 + 16*int64(f.number)
	for i := range f.number {
		at, count = append(at, uint64(end+int64(i)*f.hole)), append(count, uint64(f.hole))
	}
	tags := append([]testTag(nil), f.tags...)
	names := [2]uint16{tagStripOffsets, tagStripCounts}
	if f.tiled {
		names = [2]uint16{tagTileOffsets, tagTileCounts}
	}
	tags = append(tags, testTag{names[0], f.widths(at)}, testTag{names[1], f.widths(count)})
	f.directory(&b, tags)
	data = b.Bytes()
	if f.number > 0 {
		return data, end + int64(f.number)*f.hole
	}
	return data, int64(len(data))
}

func (f testTIFF) widths(v []uint64) any {
	if f.big {
		return v
	}
	out := make([]uint32, len(v))
	for i := range v {
		out[i] = uint32(v[i])
	}
	return out
}

// directory writes the values of tags and the directory, and mends the header.
func (f testTIFF) directory(b *bytes.Buffer, tags []testTag) {
	put := func(v any) { _ = binary.Write(b, f.order, v) }
	room := map[bool]int{true: 8, false: 4}[f.big]
	type field struct {
		kind  uint16
		count int
		value []byte
	}
	var fields []field
	for _, t := range tags {
		var e field
		var v bytes.Buffer
		_ = binary.Write(&v, f.order, t.values)
		switch x := t.values.(type) {
		case []uint16:
			e = field{kind: kindShort, count: len(x)}
		case []uint32:
			e = field{kind: kindLong, count: len(x)}
		case []uint64:
			e = field{kind: kindLong8, count: len(x)}
		case []float64:
			e = field{kind: kindDouble, count: len(x)}
		case string:
			v.WriteString(x + "\x00")
			e = field{kind: kindASCII, count: len(x) + 1}
		}
		e.value = v.Bytes()
		if len(e.value) > room {
			at := b.Len()
			b.Write(e.value)
			e.value = nil
			if f.big {
				e.value = f.order.AppendUint64(e.value, uint64(at))
			} else {
				e.value = f.order.AppendUint32(e.value, uint32(at))
			}
		}
		e.value = append(e.value, make([]byte, room-len(e.value))...)
		fields = append(fields, e)
	}
	at := b.Len()
	if f.big {
		put(uint64(len(tags)))
		f.order.PutUint64(b.Bytes()[8:], uint64(at))
	} else {
		put(uint16(len(tags)))
		f.order.PutUint32(b.Bytes()[4:], uint32(at))
	}
	for i, e := range fields {
		put(tags[i].tag)
		put(e.kind)
		if f.big {
			put(uint64(e.count))
		} else {
			put(uint32(e.count))
		}
		b.Write(e.value)
	}
	b.Write(make([]byte, room))
}

// demTags are the tags of a float32 raster in metres with cells of 1 m, the
// outer corner of its north-western cell at (0, rows).
func demTags(cols, rows int) []testTag {
	return []testTag{
		{tagWidth, []uint32{uint32(cols)}},
		{tagHeight, []uint32{uint32(rows)}},
		{tagBits, []uint16{32}},
		{tagSampleFormat, []uint16{3}},
		{tagPixelScale, []float64{1, 1, 0}},
		{tagTiepoint, []float64{0, 0, 0, 0, float64(rows), 0}},
		{tagGeoKeys, []uint16{1, 1, 0, 2, geoModelType, 0, 1, 1, geoLinearUnits, 0, 1, 9001}},
		{tagNoData, "-9999"},
	}
}

// with replaces or adds tags.
func with(tags []testTag, more ...testTag) []testTag {
	out := append([]testTag(nil), tags...)
next:
	for _, m := range more {
		for i := range out {
			if out[i].tag == m.tag {
				out[i] = m
				continue next
			}
		}
		out = append(out, m)
	}
	return out
}

// without leaves tags out.
func without(tags []testTag, not ...uint16) []testTag {
	var out []testTag
next:
	for _, t := range tags {
		for _, n := range not {
			if t.tag == n {
				continue next
			}
		}
		out = append(out, t)
	}
	return out
}

// floats are float32 samples in a byte order.
func floats(order testOrder, z ...float32) []byte {
	var out []byte
	for _, v := range z {
		out = order.AppendUint32(out, math.Float32bits(v))
	}
	return out
}

func deflated(data []byte) []byte {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, _ = w.Write(data)
	_ = w.Close()
	return b.Bytes()
}

func zstandard(t testing.TB, data []byte) []byte {
	t.Helper()
	w, err := zstd.NewWriter(io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	return w.EncodeAll(data, nil)
}

// smallDEM is a raster of 12 x 10 cells in one strip, elevation 100 + column +
// 10 row, with one cell of no data.
func smallDEM(order testOrder, big bool, pack func([]byte) []byte, more ...testTag) []byte {
	var z []float32
	for i := range 120 {
		z = append(z, float32(100+i%12+10*(i/12)))
	}
	z[50] = -9999
	data := floats(order, z...)
	if pack != nil {
		data = pack(data)
	}
	out, _ := testTIFF{order: order, big: big, tags: with(demTags(12, 10), more...), blocks: [][]byte{data}}.bytes()
	return out
}

func newBuffered(data []byte) *bufio.Reader { return bufio.NewReader(bytes.NewReader(data)) }
