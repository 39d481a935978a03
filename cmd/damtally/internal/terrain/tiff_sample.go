package terrain

import (
	"encoding/binary"
	"math"
	"strconv"
	"strings"
)

// toLittle turns the bytes of samples into little-endian order.
func (r *tiffReader) toLittle(row []byte) {
	if r.order == binary.LittleEndian {
		return
	}
	n := r.m.bytes
	for i := 0; i+n <= len(row); i += n {
		for a, b := i, i+n-1; a < b; a, b = a+1, b-1 {
			row[a], row[b] = row[b], row[a]
		}
	}
}

// unpredict undoes the predictor of one row of a block and leaves its samples
// little-endian. Predictor 2 stores differences of neighbours (TIFF 6.0, section
// 14), predictor 3 splits floating numbers into planes of bytes, the most
// significant first in every file, and stores differences of neighbouring bytes
// (Adobe Photoshop TIFF Technical Note 3, 2005).
func (r *tiffReader) unpredict(row []byte) {
	switch r.m.predictor {
	case predictFloat:
		r.unplane(row)
	case predictWhole:
		r.toLittle(row)
		accumulate(row, r.m.bytes)
	default:
		r.toLittle(row)
	}
}

// accumulate adds up the differences of little-endian whole numbers; a sum beyond
// a number's width wraps around, as it did when the difference was taken.
func accumulate(row []byte, size int) {
	switch size {
	case 1:
		for i := 1; i < len(row); i++ {
			row[i] += row[i-1]
		}
	case 2:
		for i := 2; i+2 <= len(row); i += 2 {
			binary.LittleEndian.PutUint16(row[i:], binary.LittleEndian.Uint16(row[i:])+binary.LittleEndian.Uint16(row[i-2:]))
		}
	case 4:
		for i := 4; i+4 <= len(row); i += 4 {
			binary.LittleEndian.PutUint32(row[i:], binary.LittleEndian.Uint32(row[i:])+binary.LittleEndian.Uint32(row[i-4:]))
		}
	case 8:
		for i := 8; i+8 <= len(row); i += 8 {
			binary.LittleEndian.PutUint64(row[i:], binary.LittleEndian.Uint64(row[i:])+binary.LittleEndian.Uint64(row[i-8:]))
		}
	}
}

// unplane undoes predictor 3.
func (r *tiffReader) unplane(row []byte) {
	accumulate(row, 1)
	size, n := r.m.bytes, len(row)/r.m.bytes
	if cap(r.planes) < len(row) {
		r.planes = make([]byte, len(row))
	}
	planes := r.planes[:len(row)]
	copy(planes, row)
	for k := range size {
		plane := planes[(size-1-k)*n:][:n] // the plane of byte k, little-endian
		for i, v := range plane {
			row[i*size+k] = v
		}
	}
}

// numbers turns little-endian samples into numbers. Every sample that is read
// is one exactly.
func (m *tiffImage) numbers(row []byte, out []float64) {
	little := binary.LittleEndian
	switch {
	case m.format == floatSample && m.bytes == 8:
		for i := range out {
			out[i] = math.Float64frombits(little.Uint64(row[8*i:]))
		}
	case m.format == floatSample:
		for i := range out {
			out[i] = float64(math.Float32frombits(little.Uint32(row[4*i:])))
		}
	case m.format == signedSample && m.bytes == 4:
		for i := range out {
			out[i] = float64(int32(little.Uint32(row[4*i:])))
		}
	case m.format == signedSample && m.bytes == 2:
		for i := range out {
			out[i] = float64(int16(little.Uint16(row[2*i:])))
		}
	case m.format == signedSample:
		for i := range out {
			out[i] = float64(int8(row[i]))
		}
	case m.bytes == 4:
		for i := range out {
			out[i] = float64(little.Uint32(row[4*i:]))
		}
	case m.bytes == 2:
		for i := range out {
			out[i] = float64(little.Uint16(row[2*i:]))
		}
	default:
		for i := range out {
			out[i] = float64(row[i])
		}
	}
}

// wide tells that samples need 64 bits to be kept.
func (m *tiffImage) wide() bool {
	return m.bytes == 8 || m.bytes == 4 && m.format != floatSample
}

// noData reads the value that marks cells without ground, in the sample's own
// precision: a float32 sample is compared with the float32 nearest to the text.
// It is NaN when the file names none, or one that no sample can be.
func (t *tiff) noData(m *tiffImage) (value float64, text string, err error) {
	text, err = t.text(m.tags, tagNoData)
	if err != nil || text == "" {
		return math.NaN(), "", err
	}
	value, fault := strconv.ParseFloat(text, 64)
	if fault != nil && !math.IsInf(value, 0) || strings.ContainsAny(text, "_xXpP") {
		return 0, text, t.fault(tagText(tagNoData), strconv.Quote(text)+" is no number", "export it again")
	}
	if m.format == floatSample && m.bytes == 4 {
		value = float64(float32(value))
	}
	return value, text, nil
}
