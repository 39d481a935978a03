package terrain

import (
	"fmt"
	"math"
)

// tiffImage is the layout of one image: a table of blocks (strips or tiles) of
// samples.
type tiffImage struct {
	cols, rows           int
	blockCols, blockRows int
	across, down         int // blocks in a row, rows of blocks
	tiled                bool
	bytes                int // of a sample
	format               sampleFormat
	compression          uint64
	predictor            uint64
	offsets, counts      entry
	tags                 map[uint16]entry
	others               int                // further images in the file
	masks                []map[uint16]entry // the tags of those that are masks
}

// sampleFormat is how a sample's bits are read, as in tag 339.
type sampleFormat uint64

const (
	unsignedSample sampleFormat = 1
	signedSample   sampleFormat = 2
	floatSample    sampleFormat = 3
)

// The compressions that are read, as in tag 259.
const (
	compressNone       = 1
	compressLZW        = 5
	compressDeflate    = 8
	compressDeflateOld = 32946
	compressPackBits   = 32773
	compressZSTD       = 50000
)

// The predictors that are read, as in tag 317.
const (
	predictNone  = 1
	predictWhole = 2
	predictFloat = 3
)

// image finds the file's first full image: reduced copies and masks, as tag 254
// marks them, are passed over.
func (t *tiff) image(first int64) (*tiffImage, error) {
	var found *tiffImage
	seen := map[int64]bool{}
	others := 0
	var masks []map[uint16]entry
	for at := first; at != 0 && len(seen) < mostDirectories; {
		if seen[at] {
			return nil, t.fault(fmt.Sprintf("byte %d", at), "its directories run in a circle", "export it again")
		}
		seen[at] = true
		tags, next, err := t.directory(at)
		if err != nil {
			return nil, err
		}
		kind, err := t.one(tags, tagSubfileType, 0)
		if err != nil {
			return nil, err
		}
		switch {
		case kind&4 != 0:
			masks = append(masks, tags)
		case kind&1 != 0:
		case found == nil:
			found = &tiffImage{tags: tags}
		default:
			others++
		}
		at = next
	}
	if found == nil {
		return nil, t.fault("", "it holds no image", "export it again")
	}
	found.others, found.masks = others, masks
	return found, t.layOut(found)
}

// layOut reads the image's layout from its tags and refuses what is not read.
func (t *tiff) layOut(m *tiffImage) error {
	width, height, err := t.size2(m.tags, tagWidth, tagHeight)
	if err != nil {
		return err
	}
	m.cols, m.rows = width, height
	if err := t.blocks(m); err != nil {
		return err
	}
	if err := t.samples(m); err != nil {
		return err
	}
	return t.packing(m)
}

// mostSide is the longest side of a raster or block that is believed, in cells.
const mostSide = 1 << 27

// size2 reads two tags that are lengths in cells.
func (t *tiff) size2(tags map[uint16]entry, wide, high uint16) (int, int, error) {
	var out [2]int
	for i, tag := range [2]uint16{wide, high} {
		v, err := t.one(tags, tag, 0)
		if err != nil {
			return 0, 0, err
		}
		if v == 0 || v > mostSide {
			return 0, 0, t.fault(tagText(tag), fmt.Sprintf("%d is no size of a raster", v), "export it again")
		}
		out[i] = int(v)
	}
	return out[0], out[1], nil
}

// blocks reads how the image is parted.
func (t *tiff) blocks(m *tiffImage) error {
	offsets, counts := uint16(tagStripOffsets), uint16(tagStripCounts)
	_, m.tiled = m.tags[tagTileWidth]
	if m.tiled {
		offsets, counts = tagTileOffsets, tagTileCounts
		var err error
		if m.blockCols, m.blockRows, err = t.size2(m.tags, tagTileWidth, tagTileHeight); err != nil {
			return err
		}
	} else {
		v, err := t.one(m.tags, tagRowsPerStrip, math.MaxUint32)
		if err != nil {
			return err
		}
		if v == 0 {
			return t.fault(tagText(tagRowsPerStrip), "0 is no number of rows", "export it again")
		}
		m.blockCols, m.blockRows = m.cols, int(min(v, uint64(m.rows)))
	}
	m.across = (m.cols + m.blockCols - 1) / m.blockCols
	m.down = (m.rows + m.blockRows - 1) / m.blockRows
	var ok [2]bool
	m.offsets, ok[0] = m.tags[offsets]
	m.counts, ok[1] = m.tags[counts]
	for i, e := range [2]entry{m.offsets, m.counts} {
		if n := int64(m.across) * int64(m.down); !ok[i] || e.count < n {
			tag := [2]uint16{offsets, counts}[i]
			return t.fault(tagText(tag), fmt.Sprintf("it names %d blocks, the image has %d", max(e.count, 0), n), "export it again")
		}
	}
	return nil
}

// samples reads what a sample is.
func (t *tiff) samples(m *tiffImage) error {
	n, err := t.one(m.tags, tagSamples, 1)
	if err != nil {
		return err
	}
	if n != 1 {
		return t.fault(tagText(tagSamples), fmt.Sprintf("the file holds %d bands, such as colours, not one of elevations", n), "export the band of elevations alone")
	}
	bits, err := t.one(m.tags, tagBits, 1)
	if err != nil {
		return err
	}
	kind, err := t.one(m.tags, tagSampleFormat, uint64(unsignedSample))
	if err != nil {
		return err
	}
	m.bytes, m.format = int(min(bits, 1024)/8), sampleFormat(kind)
	whole := m.format == unsignedSample || m.format == signedSample
	if whole && (bits == 8 || bits == 16 || bits == 32) || m.format == floatSample && (bits == 32 || bits == 64) {
		return nil
	}
	return t.fault(tagText(tagBits), fmt.Sprintf("samples of %d bits in format %d are not read", bits, kind), "export it as 32-bit floating point")
}

// packing reads how the blocks are compressed.
func (t *tiff) packing(m *tiffImage) error {
	var err error
	if m.compression, err = t.one(m.tags, tagCompression, compressNone); err != nil {
		return err
	}
	if m.predictor, err = t.one(m.tags, tagPredictor, predictNone); err != nil {
		return err
	}
	predicted := false // whether a predictor may stand
	switch m.compression {
	case compressNone, compressPackBits:
	case compressLZW, compressDeflate, compressDeflateOld, compressZSTD:
		predicted = true
	default:
		return t.fault(tagText(tagCompression), fmt.Sprintf("compression %d is not read", m.compression), "export it with Deflate or LZW compression, or none")
	}
	switch {
	case m.predictor == predictNone:
		return nil
	case predicted && (m.predictor == predictWhole || m.predictor == predictFloat && m.format == floatSample):
		return nil
	}
	return t.fault(tagText(tagPredictor), fmt.Sprintf("predictor %d does not go with its samples and compression", m.predictor), "export it again without a predictor")
}
