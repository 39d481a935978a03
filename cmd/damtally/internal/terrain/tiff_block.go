package terrain

import (
	"bufio"
	"compress/zlib"
	"fmt"
	"io"

	"github.com/klauspost/compress/zstd"
	"golang.org/x/image/tiff/lzw"
)

const (
	// believedRatio and believedStart bound what compressed bytes are believed to
	// hold: no more than believedStart + believedRatio for each. Deflate cannot
	// pack tighter than 1032 to 1; the start leaves room for level ground, which
	// Zstandard packs tighter. Beyond it a header's sizes are not believed.
	believedRatio = 1100
	believedStart = 4 << 20

	// smallWindow and largeWindow bound the memory that one Zstandard block may
	// ask for, in bytes, in a file shorter and longer than largeFile.
	smallWindow = 8 << 20
	largeWindow = 128 << 20
	largeFile   = 16 << 20
)

// believable is how many bytes a number of bytes in a file may become.
func believable(bytes int64) int64 {
	if bytes > (1<<62)/believedRatio {
		return 1 << 62
	}
	return believedStart + believedRatio*bytes
}

// tiffReader reads the samples of one image.
type tiffReader struct {
	*tiff
	m               *tiffImage
	offsets, counts tagTable
	unzip           unpackers
	unpacked        int64 // bytes that the blocks read so far unpack to
	row, planes     []byte
}

// tagTable reads the numbers of a long tag a stretch at a time.
type tagTable struct {
	t    *tiff
	e    entry
	from int64
	have []uint64
}

// tableStretch is how many numbers of a table are read at once.
const tableStretch = 256

func (b *tagTable) at(i int64) (uint64, error) {
	if i < b.from || i >= b.from+int64(len(b.have)) {
		have, err := b.t.values(b.e, i, min(tableStretch, b.e.count-i))
		if err != nil {
			return 0, err
		}
		b.from, b.have = i, have
	}
	return b.have[i-b.from], nil
}

// block is a strip or a tile, and where its bytes stand.
type block struct {
	number        int64
	col, row      int // of its first cell
	rows          int // stored
	offset, count int64
}

// name is the block in an error.
func (b block) name(m *tiffImage) string {
	if m.tiled {
		return fmt.Sprintf("tile %d", b.number+1)
	}
	return fmt.Sprintf("strip %d", b.number+1)
}

// block finds a block. It is missing when the file keeps no bytes for it.
func (r *tiffReader) block(across, down int) (b block, missing bool, err error) {
	b = block{
		number: int64(down)*int64(r.m.across) + int64(across),
		col:    across * r.m.blockCols,
		row:    down * r.m.blockRows,
		rows:   r.m.blockRows,
	}
	if !r.m.tiled {
		b.rows = min(b.rows, r.m.rows-b.row)
	}
	offset, err := r.offsets.at(b.number)
	if err != nil {
		return b, false, err
	}
	count, err := r.counts.at(b.number)
	if err != nil {
		return b, false, err
	}
	if count == 0 {
		return b, true, nil
	}
	if size := uint64(r.size); offset == 0 || offset > size || count > size-offset {
		return b, false, r.fault(b.name(r.m), fmt.Sprintf("the file ends before it does, or it stands nowhere (byte %d, length %d, file of %d)", offset, count, r.size), "copy or export it again")
	}
	b.offset, b.count = int64(offset), int64(count)
	return b, false, r.believe(b)
}

// believe refuses a block that claims to hold more than its bytes can.
func (r *tiffReader) believe(b block) error {
	row := int64(r.m.blockCols) * int64(r.m.bytes)
	whole := row * int64(b.rows) // below 2^58, see mostSide
	r.unpacked += whole
	limit, all := believable(b.count), believable(r.size)
	if r.m.compression == compressNone {
		limit = b.count
	}
	if whole > limit || r.unpacked > all {
		return r.fault(b.name(r.m), fmt.Sprintf("its %d bytes cannot hold the %d that it should", b.count, whole), "copy or export it again")
	}
	return nil
}

// eachRow gives the samples of a part of a block, little-endian, row by row. Rows
// and columns are counted in the image.
func (r *tiffReader) eachRow(b block, w rectangle, use func(row int, samples []byte) error) error {
	size := int64(r.m.bytes)
	from, to := int64(w.fromCol-b.col)*size, int64(w.toCol-b.col)*size
	width := int64(r.m.blockCols) * size
	if r.m.compression == compressNone {
		samples := r.buffer(to - from)
		for row := w.fromRow; row < w.toRow; row++ {
			if err := r.readAt(samples, b.offset+int64(row-b.row)*width+from); err != nil {
				return err
			}
			r.toLittle(samples)
			if err := use(row, samples); err != nil {
				return err
			}
		}
		return nil
	}
	in, err := r.unzip.open(r.m.compression, bufio.NewReader(io.NewSectionReader(r.r, b.offset, b.count)), r.size)
	if err != nil {
		return r.damaged(b, err)
	}
	samples := r.buffer(width)
	for row := b.row; row < w.toRow; row++ {
		if _, err := io.ReadFull(in, samples); err != nil {
			return r.damaged(b, err)
		}
		if row < w.fromRow {
			continue
		}
		r.unpredict(samples)
		if err := use(row, samples[from:to]); err != nil {
			return err
		}
	}
	return nil
}

func (r *tiffReader) damaged(b block, err error) error {
	return r.fault(b.name(r.m), "its compressed bytes are damaged: "+err.Error(), "copy or export it again")
}

// buffer lends room for a row; its length has been believed.
func (r *tiffReader) buffer(n int64) []byte {
	if int64(cap(r.row)) < n {
		r.row = make([]byte, n)
	}
	return r.row[:n]
}

// unpackers are the decompressors of a file, kept from block to block.
type unpackers struct {
	deflate io.ReadCloser
	zstd    *zstd.Decoder
}

// open starts to unpack.
func (u *unpackers) open(compression uint64, in *bufio.Reader, size int64) (io.Reader, error) {
	switch compression {
	case compressLZW:
		return lzw.NewReader(in, lzw.MSB, 8), nil
	case compressPackBits:
		return &packBits{in: in}, nil
	case compressZSTD:
		return u.openZSTD(in, size)
	}
	if u.deflate != nil {
		return u.deflate, u.deflate.(zlib.Resetter).Reset(in, nil)
	}
	var err error
	u.deflate, err = zlib.NewReader(in)
	return u.deflate, err
}

func (u *unpackers) openZSTD(in io.Reader, size int64) (io.Reader, error) {
	if u.zstd != nil {
		return u.zstd, u.zstd.Reset(in)
	}
	window := uint64(smallWindow)
	if size > largeFile {
		window = largeWindow
	}
	var err error
	u.zstd, err = zstd.NewReader(in, zstd.WithDecoderConcurrency(1), zstd.WithDecoderLowmem(true), zstd.WithDecoderMaxWindow(window))
	return u.zstd, err
}

func (u *unpackers) close() {
	if u.zstd != nil {
		u.zstd.Close()
	}
}

// packBits unpacks runs of bytes: TIFF 6.0, section 9.
type packBits struct {
	in    *bufio.Reader
	copy  int // bytes still to be copied
	again int // times that last is still to be repeated
	last  byte
}

// Read implements io.Reader.
func (p *packBits) Read(out []byte) (int, error) {
	n := 0
	for n < len(out) {
		switch {
		case p.again > 0:
			out[n] = p.last
			p.again--
			n++
		case p.copy > 0:
			got, err := p.in.Read(out[n:min(len(out), n+p.copy)])
			p.copy -= got
			n += got
			if err != nil {
				return n, err
			}
		default:
			if err := p.next(); err != nil {
				return n, err
			}
		}
	}
	return n, nil
}

// next reads the head of a run: n to copy n + 1 bytes, -n to repeat the next byte
// n + 1 times, -128 for nothing.
func (p *packBits) next() error {
	head, err := p.in.ReadByte()
	if err != nil {
		return err
	}
	switch n := int(int8(head)); {
	case n >= 0:
		p.copy = n + 1
	case n != -128:
		if p.last, err = p.in.ReadByte(); err != nil {
			return err
		}
		p.again = 1 - n
	}
	return nil
}
