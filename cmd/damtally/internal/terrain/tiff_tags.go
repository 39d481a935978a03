package terrain

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
)

// The tags of a TIFF directory that a raster of elevations may carry: TIFF 6.0
// (1992), its supplement 2 for Deflate, and OGC 19-008r4 for the last group.
const (
	tagSubfileType  = 254
	tagWidth        = 256
	tagHeight       = 257
	tagBits         = 258
	tagCompression  = 259
	tagFillOrder    = 266
	tagStripOffsets = 273
	tagSamples      = 277
	tagRowsPerStrip = 278
	tagStripCounts  = 279
	tagPredictor    = 317
	tagTileWidth    = 322
	tagTileHeight   = 323
	tagTileOffsets  = 324
	tagTileCounts   = 325
	tagSampleFormat = 339
	tagPixelScale   = 33550
	tagTiepoint     = 33922
	tagTransform    = 34264
	tagGeoKeys      = 34735
	tagGeoDoubles   = 34736
	tagBandMetadata = 42112
	tagNoData       = 42113
)

var tagNames = map[uint16]string{
	tagWidth: "image width", tagHeight: "image length", tagBits: "bits per sample",
	tagCompression: "compression", tagStripOffsets: "strip offsets", tagSamples: "samples per pixel",
	tagRowsPerStrip: "rows per strip", tagStripCounts: "strip byte counts", tagPredictor: "predictor",
	tagTileWidth: "tile width", tagTileHeight: "tile length", tagTileOffsets: "tile offsets",
	tagTileCounts: "tile byte counts", tagSampleFormat: "sample format", tagPixelScale: "model pixel scale",
	tagTiepoint: "model tiepoint", tagTransform: "model transformation", tagGeoKeys: "geo key directory",
	tagGeoDoubles: "geo double parameters", tagBandMetadata: "band metadata", tagNoData: "no data",
}

// tagText names a tag in an error.
func tagText(tag uint16) string {
	if name := tagNames[tag]; name != "" {
		return fmt.Sprintf("tag %d (%s)", tag, name)
	}
	return fmt.Sprintf("tag %d", tag)
}

// The types of a tag's values, TIFF 6.0 and, for the last three, BigTIFF.
const (
	kindByte   = 1
	kindASCII  = 2
	kindShort  = 3
	kindLong   = 4
	kindFloat  = 11
	kindDouble = 12
	kindIFD    = 13
	kindLong8  = 16
	kindIFD8   = 18
)

var kindSize = map[uint16]int64{
	kindByte: 1, kindASCII: 1, kindShort: 2, kindLong: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8,
	kindFloat: 4, kindDouble: 8, kindIFD: 4, kindLong8: 8, 17: 8, kindIFD8: 8,
}

// entry is a tag of a directory. Its values stay in the file until asked for.
type entry struct {
	tag, kind uint16
	count     int64
	at        int64 // offset of the first value
}

// tiff is an open TIFF file.
type tiff struct {
	*source
	order binary.ByteOrder
	big   bool // BigTIFF: 64-bit offsets
}

const (
	// mostTags is the most tags that a directory may hold. It guards the memory
	// for them; files have some thirty.
	mostTags = 4096

	// mostDirectories is how many images of one file are looked at.
	mostDirectories = 256

	// mostText is the longest text of a tag that is read, in bytes.
	mostText = 1 << 16
)

// openTIFF reads the header and returns the offset of the first directory.
func (s *source) openTIFF() (*tiff, int64, error) {
	var head [16]byte
	if err := s.readAt(head[:8], 0); err != nil {
		return nil, 0, err
	}
	t := &tiff{source: s, order: binary.ByteOrder(binary.LittleEndian)}
	if head[0] == 'M' {
		t.order = binary.BigEndian
	}
	if t.order.Uint16(head[2:]) == 42 {
		return t, int64(t.order.Uint32(head[4:])), nil
	}
	t.big = true
	if err := s.readAt(head[:], 0); err != nil {
		return nil, 0, err
	}
	if t.order.Uint16(head[4:]) != 8 {
		return nil, 0, s.fault("byte 4", "this BigTIFF file counts in offsets of a length other than 8", "export it again")
	}
	return t, int64(t.order.Uint64(head[8:])), nil
}

// directory reads the tags of one image and the offset of the next directory,
// 0 after the last.
func (t *tiff) directory(at int64) (map[uint16]entry, int64, error) {
	countSize, entrySize, valueAt := int64(2), int64(12), int64(8)
	if t.big {
		countSize, entrySize, valueAt = 8, 20, 12
	}
	n, err := t.whole(at, countSize)
	if err != nil {
		return nil, 0, err
	}
	if n == 0 || n > mostTags {
		return nil, 0, t.fault(fmt.Sprintf("byte %d", at), fmt.Sprintf("a directory of %d tags is no TIFF image", n), "export it again")
	}
	data := make([]byte, int64(n)*entrySize)
	if err := t.readAt(data, at+countSize); err != nil {
		return nil, 0, err
	}
	tags := make(map[uint16]entry, n)
	for i := range int64(n) {
		d := data[i*entrySize:]
		e := entry{tag: t.order.Uint16(d), kind: t.order.Uint16(d[2:]), at: at + countSize + i*entrySize + valueAt}
		size := kindSize[e.kind]
		count, room := uint64(t.order.Uint32(d[4:])), int64(4)
		if t.big {
			count, room = t.order.Uint64(d[4:]), 8
		}
		if size == 0 || count > math.MaxInt64/8 {
			e.count = -1 // refused when it is asked for
		} else if e.count = int64(count); e.count*size > room {
			if e.at, err = t.offset(d[valueAt:]); err != nil {
				return nil, 0, err
			}
		}
		if _, twice := tags[e.tag]; !twice {
			tags[e.tag] = e
		}
	}
	next, err := t.whole(at+countSize+int64(n)*entrySize, t.offsetSize())
	return tags, int64(min(next, math.MaxInt64)), err
}

func (t *tiff) offsetSize() int64 {
	if t.big {
		return 8
	}
	return 4
}

// offset reads an offset of the file's width.
func (t *tiff) offset(d []byte) (int64, error) {
	if !t.big {
		return int64(t.order.Uint32(d)), nil
	}
	v := t.order.Uint64(d)
	if v > math.MaxInt64 {
		return 0, t.fault("", fmt.Sprintf("it names an offset of %d", v), "export it again")
	}
	return int64(v), nil
}

// whole reads an unsigned number of 2, 4 or 8 bytes.
func (t *tiff) whole(at, size int64) (uint64, error) {
	var d [8]byte
	if err := t.readAt(d[:size], at); err != nil {
		return 0, err
	}
	return t.number(d[:size]), nil
}

func (t *tiff) number(d []byte) uint64 {
	switch len(d) {
	case 1:
		return uint64(d[0])
	case 2:
		return uint64(t.order.Uint16(d))
	case 4:
		return uint64(t.order.Uint32(d))
	}
	return t.order.Uint64(d)
}

// values reads n whole numbers of a tag, from one on.
func (t *tiff) values(e entry, from, n int64) ([]uint64, error) {
	switch e.kind {
	case kindByte, kindShort, kindLong, kindIFD, kindLong8, kindIFD8:
	default:
		return nil, t.fault(tagText(e.tag), "it holds no whole numbers", "export it again")
	}
	data, err := t.raw(e, from, n)
	if err != nil {
		return nil, err
	}
	size := kindSize[e.kind]
	out := make([]uint64, n)
	for i := range out {
		out[i] = t.number(data[int64(i)*size:][:size])
	}
	return out, nil
}

// raw reads the bytes of n values of a tag, once the file is known to hold them.
func (t *tiff) raw(e entry, from, n int64) ([]byte, error) {
	size := kindSize[e.kind]
	switch {
	case e.count < 0 || from < 0 || n < 0 || from+n > e.count:
		return nil, t.fault(tagText(e.tag), fmt.Sprintf("it holds %d values, %d are needed", max(e.count, 0), from+n), "export it again")
	case e.at > t.size || (from+n) > (t.size-e.at)/size:
		return nil, t.fault(tagText(e.tag), fmt.Sprintf("the file ends before its values: it has %d bytes", t.size), "copy or export it again")
	}
	data := make([]byte, n*size)
	return data, t.readAt(data, e.at+from*size)
}

// one reads the single number of a tag, or other when the tag is missing.
func (t *tiff) one(tags map[uint16]entry, tag uint16, other uint64) (uint64, error) {
	e, ok := tags[tag]
	if !ok {
		return other, nil
	}
	v, err := t.values(e, 0, 1)
	if err != nil {
		return 0, err
	}
	return v[0], nil
}

// doubles reads the floating numbers of a tag, nil when it is missing.
func (t *tiff) doubles(tags map[uint16]entry, tag uint16) ([]float64, error) {
	e, ok := tags[tag]
	if !ok {
		return nil, nil
	}
	if e.kind != kindDouble || e.count > mostText/8 {
		return nil, t.fault(tagText(tag), "it does not hold the numbers that it should", "export it again")
	}
	data, err := t.raw(e, 0, e.count)
	if err != nil {
		return nil, err
	}
	out := make([]float64, e.count)
	for i := range out {
		out[i] = math.Float64frombits(t.order.Uint64(data[8*i:]))
	}
	return out, nil
}

// text reads the text of a tag, "" when it is missing.
func (t *tiff) text(tags map[uint16]entry, tag uint16) (string, error) {
	e, ok := tags[tag]
	if !ok {
		return "", nil
	}
	if e.kind != kindASCII || e.count > mostText {
		return "", t.fault(tagText(tag), "it does not hold the text that it should", "export it again")
	}
	data, err := t.raw(e, 0, e.count)
	text, _, _ := strings.Cut(string(data), "\x00")
	return strings.TrimSpace(text), err
}
