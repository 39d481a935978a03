package terrain

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Records and keys that tell a scan's unit: LAS 1.4 - R15, 2.5 and 3.1; OGC
// 19-008r4 (GeoTIFF), 7.
const (
	vlrHeader      = 54
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
// refuses a conflict between the two.
func (s *source) lasUnits(h lasFile, opt Options) (Options, error) {
	said := map[uint16]string{}
	at := h.headerSize
	for range min(h.vlrs, mostVLRs) {
		head := make([]byte, vlrHeader)
		if at+vlrHeader > h.pointsAt || s.readAt(head, at) != nil {
			break // what stands there is not needed to read the points
		}
		length := int64(binary.LittleEndian.Uint16(head[20:]))
		body := make([]byte, min(length, longestVLR))
		if at+vlrHeader+length > h.pointsAt || s.readAt(body, at+vlrHeader) != nil {
			break
		}
		at += vlrHeader + length
		if string(bytes.TrimRight(head[2:18], "\x00")) != projectionUser {
			continue
		}
		switch binary.LittleEndian.Uint16(head[18:]) {
		case vlrGeoKeys:
			if geoKeys(body, said) {
				return opt, s.inDegrees()
			}
		case vlrWKT:
			if text := strings.TrimSpace(string(body)); strings.HasPrefix(text, "GEOGCS[") || strings.HasPrefix(text, "GEOGCRS[") {
				return opt, s.inDegrees()
			}
		}
	}
	var err error
	if opt.Unit, err = s.agreeUnit("unit", opt.Unit, said[keyLinearUnit]); err == nil {
		opt.ElevationUnit, err = s.agreeUnit("elevation unit", opt.ElevationUnit, said[keyVertical])
	}
	return opt, err
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
