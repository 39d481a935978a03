package terrain

import (
	"bytes"
	"encoding/binary"
	"fmt"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Records and keys that tell a scan's unit: LAS 1.4 - R15, 2.5 and 3.1; OGC
// 19-008r4 (GeoTIFF), 7.
const (
	vlrHeader      = 54
	evlrHeader     = 60
	vlrGeoKeys     = 34735
	vlrWKT         = 2112
	keyModel       = 1024
	keyLinearUnit  = 3076
	keyVertical    = 4099
	modelDegrees   = 2
	mostVLRs       = 10_000
	longestVLR     = 1 << 16
	projectionUser = "LASF_Projection"
)

// unitCodes are the codes of the units of length: EPSG 9001, 9002, 9003.
var unitCodes = map[uint16]string{9001: "m", 9002: "ft", 9003: "ftUS"}

// lasUnits completes the options by what the file says of its units, and
// refuses a conflict between the two. Where a file has both, the text counts
// before the keys, as LAS 1.4, 2.5 has it for the newer point formats.
func (s *source) lasUnits(h lasFile, opt Options) (Options, error) {
	said, text := map[uint16]string{}, ""
	degrees := false
	s.eachRecord(h, func(record uint16, body []byte) {
		switch record {
		case vlrGeoKeys:
			degrees = geoKeys(body, said) || degrees
		case vlrWKT:
			text = string(body)
		}
	})
	if text != "" {
		var plane, elevation string
		if plane, elevation, degrees = wktSays(text); plane != "" {
			said[keyLinearUnit] = plane
		}
		if elevation != "" {
			said[keyVertical] = elevation
		}
	}
	if degrees {
		return opt, s.inDegrees()
	}
	var err error
	if opt.Unit, err = s.agreeUnit("unit", opt.Unit, said[keyLinearUnit]); err == nil {
		opt.ElevationUnit, err = s.agreeUnit("elevation unit", opt.ElevationUnit, said[keyVertical])
	}
	return opt, err
}

// eachRecord visits the projection's records before the points and, in LAS 1.4,
// those after them. What is broken there is passed over: the points can be read
// without it.
func (s *source) eachRecord(h lasFile, visit func(record uint16, body []byte)) {
	at := h.headerSize
	for range min(h.vlrs, mostVLRs) {
		next, ok := s.record(at, vlrHeader, h.pointsAt, visit)
		if !ok {
			break
		}
		at = next
	}
	at = h.extendedAt
	for range min(h.extended, mostVLRs) {
		next, ok := s.record(at, evlrHeader, s.size, visit)
		if !ok {
			break
		}
		at = next
	}
}

// record reads one record, whose end must not lie beyond a place in the file, and
// gives the place of the next.
func (s *source) record(at, header, end int64, visit func(record uint16, body []byte)) (next int64, ok bool) {
	head := make([]byte, header)
	if at < 0 || at > end-header || s.readAt(head, at) != nil {
		return 0, false
	}
	length := int64(binary.LittleEndian.Uint16(head[20:]))
	if header == evlrHeader {
		length = int64(binary.LittleEndian.Uint64(head[20:]))
	}
	if length < 0 || length > end-header-at {
		return 0, false
	}
	if string(bytes.TrimRight(head[2:18], "\x00")) == projectionUser {
		body := make([]byte, min(length, longestVLR))
		if s.readAt(body, at+header) != nil {
			return 0, false
		}
		visit(binary.LittleEndian.Uint16(head[18:]), body)
	}
	return at + header + length, true
}

// geoKeys reads a directory of keys and reports whether the coordinates are
// degrees.
func geoKeys(b []byte, said map[uint16]string) (degrees bool) {
	le := binary.LittleEndian
	for i := 8; i+8 <= len(b); i += 8 {
		key, place, value := le.Uint16(b[i:]), le.Uint16(b[i+2:]), le.Uint16(b[i+6:])
		if place != 0 {
			continue
		}
		switch key {
		case keyModel:
			degrees = value == modelDegrees
		case keyLinearUnit, keyVertical:
			said[key] = unitCodes[value]
		}
	}
	return degrees
}

// inDegrees is the error of a file in longitude and latitude.
func (s *source) inDegrees() error {
	return s.fault("", "its coordinates are longitude and latitude in degrees, in which no volume can be measured", "export it in grid coordinates: metres or feet, east and north")
}

// agreeUnit is the unit that is given or the one that the file says; the two
// must not differ. What is said may be "" for nothing.
func (s *source) agreeUnit(column string, given units.Unit, said string) (units.Unit, error) {
	unit, ok := units.Lookup(said)
	switch {
	case said == "" || !ok:
		return given, nil
	case given.SI == 0:
		return unit, nil
	case given.SI != unit.SI:
		e := s.fault("", fmt.Sprintf("the file says that its unit is %s, the table says %s", unit.Name, given.Name), "leave the `"+column+"` blank, or export the file anew if it is wrong itself")
		e.Column = column
		return given, e
	}
	return given, nil
}
