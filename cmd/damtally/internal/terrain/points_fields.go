package terrain

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// order tells which column of a point file is which, counted from 0.
type order struct {
	easting, northing, elevation int
	width                        int // columns that must be looked at
	words                        []string
}

func (o order) String() string { return strings.Join(o.words, " ") }

const orderMend = "write it such as: point northing easting elevation code; other words are point, code, skip, x (easting), y (northing), z (elevation)"

// orderWords are the words of a column order.
var orderWords = map[string]string{
	"easting": "easting", "x": "easting", "e": "easting", "east": "easting",
	"northing": "northing", "y": "northing", "n": "northing", "north": "northing",
	"elevation": "elevation", "z": "elevation", "elev": "elevation", "height": "elevation",
	"point": "", "p": "", "number": "", "id": "", "name": "",
	"code": "", "description": "", "d": "", "c": "", "skip": "", "line": "", "-": "",
}

// parseOrder reads a column order, such as "point, northing, easting, elevation,
// code", also in letters alone: pnezd.
func parseOrder(text string) (order, error) {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(" ,;\t\u00a0", r) })
	if len(words) == 1 {
		if _, known := orderWords[words[0]]; !known {
			words = strings.Split(words[0], "")
		}
	}
	o := order{easting: -1, northing: -1, elevation: -1, words: words}
	for i, w := range words {
		meaning, known := orderWords[w]
		if !known {
			return o, fmt.Errorf("the column order holds %s, which is no word for a column", units.Quote(shorten(w)))
		}
		to := map[string]*int{"easting": &o.easting, "northing": &o.northing, "elevation": &o.elevation}[meaning]
		if to == nil {
			continue
		}
		if *to >= 0 {
			return o, fmt.Errorf("the column order names the %s twice", meaning)
		}
		*to, o.width = i, i+1
	}
	if min(o.easting, o.northing, o.elevation) < 0 {
		return o, errors.New("the column order does not name all of easting, northing and elevation")
	}
	return o, nil
}

// splitter parts a line into fields and appends them, at most as many as asked.
type splitter func(fields [][]byte, line []byte, most int) [][]byte

// splitters are tried in this order.
var splitters = []struct {
	name  string
	split splitter
}{
	{"commas", splitAt(',')}, {"semicolons", splitAt(';')}, {"tabs", splitAt('\t')}, {"blanks", splitBlanks},
}

// splitAt parts at every separator; fields may be quoted.
func splitAt(separator byte) splitter {
	return func(fields [][]byte, line []byte, most int) [][]byte {
		if bytes.IndexByte(line, '"') >= 0 {
			return splitQuoted(fields, line, separator, most)
		}
		start := 0
		for i, c := range line { // fields are short, so this beats bytes.IndexByte
			if c != separator {
				continue
			}
			fields = append(fields, trimBlanks(line[start:i]))
			if start = i + 1; len(fields) == most {
				return fields
			}
		}
		return append(fields, trimBlanks(line[start:]))
	}
}

func splitQuoted(fields [][]byte, line []byte, separator byte, most int) [][]byte {
	quoted, start := false, 0
	for i := 0; i <= len(line) && len(fields) < most; i++ {
		switch {
		case i == len(line) || line[i] == separator && !quoted:
			fields = append(fields, bytes.Trim(line[start:i], "\" \t\r"))
			start = i + 1
		case line[i] == '"':
			quoted = !quoted
		}
	}
	return fields
}

// splitBlanks parts at runs of blanks and tabs.
func splitBlanks(fields [][]byte, line []byte, most int) [][]byte {
	for len(fields) < most {
		i := 0
		for i < len(line) && isSpace(line[i]) {
			i++
		}
		start := i
		for i < len(line) && !isSpace(line[i]) {
			i++
		}
		if i == start {
			return fields
		}
		fields = append(fields, line[start:i])
		line = line[i:]
	}
	return fields
}

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\r' }

func trimBlanks(b []byte) []byte {
	for len(b) > 0 && isSpace(b[0]) {
		b = b[1:]
	}
	for len(b) > 0 && isSpace(b[len(b)-1]) {
		b = b[:len(b)-1]
	}
	return b
}

// passedOver reports an empty line or a remark.
func passedOver(line []byte) bool {
	line = trimBlanks(line)
	return len(line) == 0 || line[0] == '#' || bytes.HasPrefix(line, []byte("//"))
}

// powersOfTen are those that a float64 holds exactly.
var powersOfTen = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// mostExact is 2^53: every whole number up to it is a float64.
const mostExact = 1 << 53

// parseDecimal reads a decimal number. A number whose digits make a whole number
// up to 2^53 over a power of ten up to 10^22 is figured with one division of
// exact numbers, which rounds correctly (W. D. Clinger, "How to Read Floating
// Point Numbers Accurately", 1990); the rest is left to strconv.
func parseDecimal(b []byte) (float64, bool) {
	var digits uint64
	seen, decimals := 0, 0
	i, negative := 0, false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		negative = b[i] == '-'
		i++
	}
	point := false
	for ; i < len(b); i++ {
		c := b[i]
		if d := c - '0'; d <= 9 {
			digits = digits*10 + uint64(d)
			seen++
			if point {
				decimals++
			}
			continue
		}
		if c == '.' && !point {
			point = true
			continue
		}
		break
	}
	if seen == 0 {
		return 0, false
	}
	if i < len(b) || seen > 18 || digits > mostExact || decimals >= len(powersOfTen) {
		return parseRare(b)
	}
	v := float64(digits) / powersOfTen[decimals]
	if negative {
		v = -v
	}
	return v, true
}

// parseRare reads a number with an exponent or with many digits.
func parseRare(b []byte) (float64, bool) {
	for _, c := range b {
		if !(c >= '0' && c <= '9' || c == '.' || c == '-' || c == '+' || c == 'e' || c == 'E') {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(string(b), 64)
	return v, err == nil && !math.IsInf(v, 0)
}
