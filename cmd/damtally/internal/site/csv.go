package site

import (
	"bytes"
	"encoding/binary"
	"errors"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
	"golang.org/x/text/encoding/charmap"
)

// maxCSV is the largest CSV file that is read, in bytes: some four million
// survey points.
const maxCSV = 256 << 20

// errNotText is returned for a file that holds no text.
var errNotText = errors.New("is not a text file")

// decodeText turns the bytes of a CSV file into text. Files are UTF-8, or UTF-16
// with a byte-order mark; what is neither is read as Windows-1252, the western
// character set of spreadsheets, and old says so.
func decodeText(data []byte) (text string, old bool, err error) {
	switch {
	case bytes.HasPrefix(data, []byte{0xEF, 0xBB, 0xBF}):
		data = data[3:]
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		data = fromUTF16(data[2:], binary.LittleEndian)
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		data = fromUTF16(data[2:], binary.BigEndian)
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return "", false, errNotText
	}
	if utf8.Valid(data) {
		return string(data), false, nil
	}
	data, err = charmap.Windows1252.NewDecoder().Bytes(data)
	return string(data), true, err
}

func fromUTF16(data []byte, order binary.ByteOrder) []byte {
	codes := make([]uint16, len(data)/2)
	for i := range codes {
		codes[i] = order.Uint16(data[2*i:])
	}
	return []byte(string(utf16.Decode(codes)))
}

// csvScanner reads records of separated cells. A cell may be quoted, then it
// may hold separators, line ends, and a quotation mark written twice. Rows are
// counted as a spreadsheet counts them: a record is a row, however many lines.
type csvScanner struct {
	text      string
	separator byte
	pos       int
	row       int
	cells     []cell
	unclosed  bool // a quotation mark was never closed
}

// next reads a record; false at the end.
func (s *csvScanner) next() bool {
	if s.pos >= len(s.text) {
		return false
	}
	s.row++
	s.cells = s.cells[:0]
	for {
		if len(s.cells) == 0 && s.remark() {
			break
		}
		s.cells = append(s.cells, cell{text: trim(s.cell()), kind: xlsx.String})
		if s.pos >= len(s.text) || s.text[s.pos] != s.separator {
			break
		}
		s.pos++
		if s.pos == len(s.text) {
			s.cells = append(s.cells, cell{kind: xlsx.String})
		}
	}
	if s.pos < len(s.text) && s.text[s.pos] == '\r' {
		s.pos++
		if s.pos < len(s.text) && s.text[s.pos] == '\n' {
			s.pos++
		}
	} else if s.pos < len(s.text) {
		s.pos++ // the line feed
	}
	return true
}

// remark takes a whole line that begins with # as one cell, whatever quotation
// marks it holds; an error such as #REF! is no remark.
func (s *csvScanner) remark() bool {
	if s.text[s.pos] != '#' {
		return false
	}
	start := s.pos
	if isFailure(cell{text: trim(s.bare()), kind: xlsx.String}) {
		s.pos = start
		return false
	}
	for s.pos < len(s.text) && s.text[s.pos] != '\n' && s.text[s.pos] != '\r' {
		s.pos++
	}
	s.cells = append(s.cells, cell{text: trim(s.text[start:s.pos]), kind: xlsx.String})
	return true
}

// cell reads one cell and stops at the separator or line end behind it.
func (s *csvScanner) cell() string {
	start := s.pos
	for s.pos < len(s.text) && s.text[s.pos] == ' ' {
		s.pos++
	}
	if s.pos < len(s.text) && s.text[s.pos] == '"' {
		return s.quoted()
	}
	s.pos = start
	return s.bare()
}

// bare reads up to the next separator or line end.
func (s *csvScanner) bare() string {
	start := s.pos
	for s.pos < len(s.text) {
		if c := s.text[s.pos]; c == s.separator || c == '\n' || c == '\r' {
			break
		}
		s.pos++
	}
	return s.text[start:s.pos]
}

// quoted reads a quoted cell; what stands behind its closing mark belongs to it.
func (s *csvScanner) quoted() string {
	s.pos++
	var parts []string
	for {
		n := strings.IndexByte(s.text[s.pos:], '"')
		if n < 0 {
			s.unclosed = true
			parts = append(parts, s.text[s.pos:])
			s.pos = len(s.text)
			break
		}
		parts = append(parts, s.text[s.pos:s.pos+n])
		s.pos += n + 1
		if s.pos >= len(s.text) || s.text[s.pos] != '"' {
			break
		}
		parts = append(parts, `"`)
		s.pos++
	}
	if tail := s.bare(); tail != "" {
		parts = append(parts, tail)
	}
	if len(parts) == 1 {
		return parts[0]
	}
	return strings.Join(parts, "")
}

// separators are those that spreadsheets write, the most usual first.
var separators = []byte{',', ';', '\t'}

// findSeparator picks the separator under which the first rows hold the most
// columns of the table, or else the most cells.
func findSeparator(text string, t *tableSpec) byte {
	best, most := separators[0], -1
	for _, separator := range separators {
		s := csvScanner{text: text, separator: separator}
		score := 0
		for seen := 0; seen < headerRows && s.next(); {
			if passedOver(s.cells) {
				continue
			}
			seen++
			// A known column outweighs any number of cells.
			score = max(score, t.recognised(s.cells)*headerRows*headerRows+min(len(s.cells), headerRows))
		}
		if score > most {
			best, most = separator, score
		}
	}
	return best
}
