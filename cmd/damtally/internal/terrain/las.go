package terrain

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
)

// Places in the header of an LAS file: ASPRS, LAS Specification 1.4 - R15, table
// 3, and for files of versions 1.0 to 1.3 the same places in their own
// specifications.
const (
	lasVersion      = 24
	lasHeaderSize   = 94
	lasPointsAt     = 96
	lasVLRs         = 100
	lasFormat       = 104
	lasRecordLength = 105
	lasLegacyCount  = 107
	lasScales       = 131
	lasOffsets      = 155
	lasExtendedAt   = 235
	lasExtended     = 243
	lasCount        = 247

	lasHeader10 = 227 // least header of versions 1.0 to 1.2
	lasHeader14 = 375
)

// lasCompressed is the bit of the point format that compressed files set.
const lasCompressed = 0x80

// lasLengths are the least lengths of a record by point format, 0 to 10.
var lasLengths = [...]int{20, 28, 26, 34, 57, 63, 30, 36, 38, 59, 67}

// Classes and flags of a point: LAS 1.4 - R15, tables 8, 9, 16 and 17.
const (
	lasGround    = 2
	lasLowNoise  = 7
	lasHighNoise = 18
)

func beginsLAS(head []byte) bool { return bytes.HasPrefix(head, []byte("LASF")) }

// readLASGround reads the points of class 2, ground.
func readLASGround(s *source, opt Options) (Found, error) { return s.readLAS(opt, false) }

// readLASAll reads points of every class but noise.
func readLASAll(s *source, opt Options) (Found, error) { return s.readLAS(opt, true) }

// lasFile is what the header says.
type lasFile struct {
	minor         int
	headerSize    int64
	pointsAt      int64
	vlrs          uint32
	extendedAt    int64 // records after the points
	extended      uint32
	format        int
	length        int
	count         uint64
	scale, offset [3]float64
}

func (s *source) readLAS(opt Options, all bool) (Found, error) {
	h, err := s.lasHeader()
	if err != nil {
		return Found{}, err
	}
	if opt, err = s.lasUnits(h, opt); err != nil {
		return Found{}, err
	}
	g, err := s.gather(opt)
	if err != nil {
		return Found{}, err
	}
	t := lasTaker{gatherer: g, h: h, all: all}
	if err := t.readAll(); err != nil {
		return Found{}, err
	}
	return t.found()
}

// lasHeader reads the header and believes nothing of it that the file's length
// does not bear out.
func (s *source) lasHeader() (lasFile, error) {
	var h lasFile
	b := make([]byte, lasHeader10)
	if err := s.readAt(b, 0); err != nil {
		return h, err
	}
	le := binary.LittleEndian
	h.minor = int(b[lasVersion+1])
	if b[lasVersion] != 1 || h.minor > 4 {
		return h, s.fault("byte 24", fmt.Sprintf("LAS version %d.%d is not known", b[lasVersion], h.minor), "export it as LAS 1.4 or older")
	}
	h.headerSize, h.pointsAt = int64(le.Uint16(b[lasHeaderSize:])), int64(le.Uint32(b[lasPointsAt:]))
	h.vlrs = le.Uint32(b[lasVLRs:])
	h.format, h.length = int(b[lasFormat]), int(le.Uint16(b[lasRecordLength:]))
	h.count = uint64(le.Uint32(b[lasLegacyCount:]))
	for k := range 3 {
		h.scale[k] = math.Float64frombits(le.Uint64(b[lasScales+8*k:]))
		h.offset[k] = math.Float64frombits(le.Uint64(b[lasOffsets+8*k:]))
	}
	if h.minor == 4 {
		long := make([]byte, lasHeader14)
		if err := s.readAt(long, 0); err != nil {
			return h, err
		}
		h.extendedAt, h.extended = int64(le.Uint64(long[lasExtendedAt:])), le.Uint32(long[lasExtended:])
		// The old count is zero for the newer formats and where it is too small.
		if n := le.Uint64(long[lasCount:]); n > 0 {
			h.count = n
		}
	}
	return h, s.checkLAS(h)
}

func (s *source) checkLAS(h lasFile) error {
	const again = "export it again"
	switch {
	case h.format&lasCompressed != 0 || h.format&0x40 != 0:
		return s.fault("byte 104", "it is compressed (LAZ), which cannot be read here", "convert it to LAS, which is the same without compression")
	case h.format >= len(lasLengths):
		return s.fault("byte 104", fmt.Sprintf("point format %d is not known", h.format), "export it with a point format of 0 to 10")
	case h.length < lasLengths[h.format]:
		return s.fault("byte 105", fmt.Sprintf("records of %d bytes are too short for point format %d, which takes %d", h.length, h.format, lasLengths[h.format]), again)
	case h.headerSize < lasHeader10 || h.pointsAt < h.headerSize || h.pointsAt > s.size:
		return s.fault("byte 96", fmt.Sprintf("the points are said to begin at byte %d, the header to end at byte %d; the file has %d bytes", h.pointsAt, h.headerSize, s.size), again)
	case h.count == 0:
		return s.fault("byte 107", "it holds no points", again)
	}
	for k, name := range [3]string{"x", "y", "z"} {
		if v := h.scale[k]; !(math.Abs(v) > 0 && math.Abs(v) <= farthest) || !(math.Abs(h.offset[k]) <= 1e12) {
			return s.fault(fmt.Sprintf("byte %d", lasScales+8*k), fmt.Sprintf("scale %g and offset %g of %s are no numbers to figure with", v, h.offset[k], name), again)
		}
	}
	if held := uint64(s.size-h.pointsAt) / uint64(h.length); h.count > held {
		return s.fault(fmt.Sprintf("byte %d", h.pointsAt+int64(held)*int64(h.length)),
			fmt.Sprintf("the file ends too soon: it says that it holds %d points, and has room for %d", h.count, held), "copy or export it again")
	}
	return nil
}

// lasTaker takes the points that are wanted.
type lasTaker struct {
	*gatherer
	h        lasFile
	all      bool
	classes  [256]int // points left out by class
	withheld int
}

// lasChunk is about how many bytes of records are read at once.
const lasChunk = 1 << 20

func (t *lasTaker) readAll() error {
	per := max(1, lasChunk/t.h.length)
	buffer := make([]byte, min(uint64(per), t.h.count)*uint64(t.h.length))
	for done := uint64(0); done < t.h.count; {
		n := min(uint64(per), t.h.count-done)
		at := t.h.pointsAt + int64(done)*int64(t.h.length)
		chunk := buffer[:n*uint64(t.h.length)]
		if err := t.s.readAt(chunk, at); err != nil {
			return err
		}
		for i := range int(n) {
			if err := t.take(chunk[i*t.h.length:(i+1)*t.h.length], done+uint64(i)); err != nil {
				return err
			}
		}
		done += n
		if t.opt.Progress != nil {
			t.opt.Progress(at+int64(len(chunk)), t.s.size)
		}
	}
	return nil
}

// take takes one record. Formats 6 to 10 have flags and class in bytes 15 and
// 16, the older ones both in byte 15.
func (t *lasTaker) take(r []byte, number uint64) error {
	class, withheld := r[15]&0x1f, r[15]&0x80 != 0
	if t.h.format >= 6 {
		class, withheld = r[16], r[15]&0x04 != 0
	}
	switch {
	case withheld:
		t.withheld++
		return nil
	case t.all && (class == lasLowNoise || class == lasHighNoise), !t.all && class != lasGround:
		t.classes[class]++
		return nil
	}
	var v [3]float64
	for k := range 3 {
		v[k] = float64(float64(int32(binary.LittleEndian.Uint32(r[4*k:])))*t.h.scale[k]) + t.h.offset[k]
	}
	if t.sound("", v[0], v[1], v[2]) != nil { // the name of the place only where it is needed
		return t.sound(fmt.Sprintf("point %d", number+1), v[0], v[1], v[2])
	}
	if !t.add(v[0], v[1], v[2]) {
		return t.tooMany()
	}
	return nil
}

// found adds to the notes what was left out.
func (t *lasTaker) found() (Found, error) {
	left, most := 0, 0
	for class, n := range t.classes {
		left += n
		if n > t.classes[most] {
			most = class
		}
	}
	if t.seen == 0 {
		what := fmt.Sprintf("none of its %d points is classed as ground (class 2)", t.h.count)
		if left > 0 {
			what += fmt.Sprintf("; most are of class %d", most)
		}
		e := t.s.fault("", what, "have the ground classed, or set `format` to las all if every point is ground")
		e.Column = "format"
		return Found{}, e
	}
	f, err := t.gatherer.found()
	if left > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("%d of its %d points are taken as ground; %s of other classes, such as plants and buildings, left out", t.seen, t.h.count, plural(left, "point")))
	}
	if t.withheld > 0 {
		f.Notes = append(f.Notes, plural(t.withheld, "point")+" marked as withheld left out")
	}
	return f, err
}
