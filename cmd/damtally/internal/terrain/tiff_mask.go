package terrain

import (
	"fmt"
	"math/bits"
)

// tiffMask tells which cells of an image hold ground: bit 1 shows the cell (TIFF
// 6.0, tag 254, bit 2: a transparency mask). Its bits are read as bytes of eight
// cells each, most significant first.
type tiffMask struct {
	w    rectangle      // in bytes by rows
	per  int            // rows in a run
	runs map[int][]byte // by number; those that the file keeps bytes for
}

// maskRun is about how many bytes of a mask are kept together: memory is taken
// only where the file keeps bytes, whatever size it claims.
const maskRun = 1 << 16

func newMask(w rectangle) *tiffMask {
	return &tiffMask{w, max(1, maskRun/w.cols()), map[int][]byte{}}
}

// row is the room of a row; nil when there is none and none is to be made.
func (k *tiffMask) row(row int, wanted bool) []byte {
	n := row - k.w.fromRow
	run := k.runs[n/k.per]
	if run == nil {
		if !wanted {
			return nil
		}
		run = make([]byte, k.per*k.w.cols())
		k.runs[n/k.per] = run
	}
	return run[n%k.per*k.w.cols():][:k.w.cols()]
}

// maskOf lays out the mask of an image, nil when it has none. Masks of reduced
// copies are passed over.
func (t *tiff) maskOf(m *tiffImage) (*tiffImage, error) {
	for _, tags := range m.masks {
		k := &tiffImage{tags: tags}
		var err error
		if k.cols, k.rows, err = t.size2(tags, tagWidth, tagHeight); err != nil {
			return nil, err
		}
		if k.cols != m.cols || k.rows != m.rows {
			continue
		}
		if err := t.blocks(k); err != nil {
			return nil, err
		}
		for _, tag := range [2]uint16{tagBits, tagSamples} {
			if v, err := t.one(tags, tag, 1); err != nil || v != 1 {
				return nil, t.fault(tagText(tag), "its mask is not of one bit a cell", "export it without a mask, with a value that marks cells without ground")
			}
		}
		k.cols, k.blockCols, k.bytes, k.format = eighths(k.cols), eighths(k.blockCols), 1, unsignedSample
		return k, t.packing(k)
	}
	return nil, nil
}

// eighths is how many bytes hold so many bits.
func eighths(n int) int { return (n + 7) / 8 }

// readMask reads the part of a mask that the window touches; nil without a mask.
func (t *tiff) readMask(m *tiffImage, w rectangle) (*tiffMask, error) {
	k, err := t.maskOf(m)
	if k == nil || err != nil {
		return nil, err
	}
	reversed := false
	if order, err := t.one(k.tags, tagFillOrder, 1); err != nil || order > 2 {
		return nil, t.fault(tagText(tagFillOrder), fmt.Sprintf("%d is no order of bits", order), "export it again")
	} else if order == 2 {
		reversed = true
	}
	packed := rectangle{w.fromCol / 8, w.fromRow, eighths(w.toCol), w.toRow}
	mask := newMask(packed)
	err = t.eachBlock(k, packed, nil, func(col, row int, samples []byte) error {
		to := mask.row(row, true)[col-packed.fromCol:]
		for i, b := range samples {
			if reversed {
				b = bits.Reverse8(b)
			}
			to[i] = b
		}
		return nil
	})
	return mask, err
}

// hides tells whether a cell of the image holds no ground. A block that the file
// keeps no bytes for hides its cells.
func (k *tiffMask) hides(col, row int) bool {
	if k == nil {
		return false
	}
	bytes := k.row(row, false)
	return bytes == nil || bytes[col/8-k.w.fromCol]>>(7-col%8)&1 == 0
}
