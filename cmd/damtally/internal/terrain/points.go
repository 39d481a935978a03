package terrain

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// mostHeader is how many lines before the first point are passed over as
// headings when they hold no coordinates.
const mostHeader = 20

// measuredLines is after how many lines room is made for as many points as the
// rest of the file holds, if its lines are of like length.
const measuredLines = 1000

// noGround tells the elevations that programs write for "none"; blank is another.
func noGround(z float64) bool {
	return z == 0 || z == -9999 || z == -99999 || z == -32768
}

// pointReader reads a file of one point a line.
type pointReader struct {
	*gatherer
	order     order
	split     splitter
	line      int
	bytes     int // of the lines so far
	headings  int
	begun     bool
	blank     int // points without an elevation
	flagged   int // points whose elevation stands for none
	fields    [][]byte
	separator string
}

// readPoints reads a file of points, one a line. Which column is which is never
// guessed: without a column order the error shows the bounds both ways.
func readPoints(s *source, opt Options) (Found, error) {
	if opt.ColumnOrder == "" {
		return Found{}, s.askOrder(opt)
	}
	order, err := parseOrder(opt.ColumnOrder)
	if err != nil {
		e := s.fault("", err.Error(), orderMend)
		e.Column = "column order"
		return Found{}, e
	}
	g, err := s.gather(opt)
	if err != nil {
		return Found{}, err
	}
	r := &pointReader{gatherer: g, order: order, fields: make([][]byte, 0, order.width)}
	if err := s.eachLine(s.stream(opt), r.take); err != nil {
		return Found{}, err
	}
	return r.found()
}

// take reads a line.
func (r *pointReader) take(line []byte) error {
	r.line++
	if r.bytes += len(line) + 1; r.line == measuredLines {
		r.reserve(int(float64(r.s.size) / float64(r.bytes) * measuredLines))
	}
	if passedOver(line) {
		return nil
	}
	if !r.begun {
		return r.begin(line)
	}
	r.fields = r.split(r.fields[:0], line, r.order.width)
	return r.point()
}

// begin looks for the first point: it finds what parts the columns and passes
// over headings, which hold no coordinates.
func (r *pointReader) begin(line []byte) error {
	for _, way := range splitters {
		r.fields = way.split(r.fields[:0], line, r.order.width)
		if len(r.fields) < r.order.width && !(r.order.elevation == r.order.width-1 && len(r.fields) == r.order.width-1) {
			continue
		}
		numbers := 0
		for _, column := range [3]int{r.order.easting, r.order.northing, r.order.elevation} {
			if column < len(r.fields) {
				if _, ok := parseDecimal(r.fields[column]); ok {
					numbers++
				}
			}
		}
		if numbers == 0 {
			continue
		}
		r.split, r.separator, r.begun = way.split, way.name, true
		return r.point()
	}
	if r.headings++; r.headings > mostHeader {
		return r.s.fault(fmt.Sprintf("line %d", r.line), fmt.Sprintf("no line so far holds numbers in the columns %s", r.order), "look at the `column order`; columns are parted by commas, semicolons, tabs or blanks")
	}
	return nil
}

// point takes the fields of a line.
func (r *pointReader) point() error {
	x, err := r.number(r.order.easting, "easting")
	if err != nil {
		return err
	}
	y, err := r.number(r.order.northing, "northing")
	if err != nil {
		return err
	}
	if r.order.elevation >= len(r.fields) || len(r.fields[r.order.elevation]) == 0 {
		r.blank++
		return nil
	}
	z, err := r.number(r.order.elevation, "elevation")
	if err != nil {
		return err
	}
	if noGround(z) {
		r.flagged++
		return nil
	}
	// Where every line is sound, the text of the place is not needed.
	if err := r.sound("", x, y, z); err != nil {
		return r.sound(fmt.Sprintf("line %d", r.line), x, y, z)
	}
	if !r.add(x, y, z) {
		return r.tooMany()
	}
	return nil
}

// number reads a field.
func (r *pointReader) number(column int, what string) (float64, error) {
	if column >= len(r.fields) {
		return 0, r.s.fault(fmt.Sprintf("line %d", r.line), fmt.Sprintf("it has %s, too few for the %s", plural(len(r.fields), "column"), what), "mend the line, or look at the `column order`")
	}
	v, ok := parseDecimal(r.fields[column])
	if ok {
		return v, nil
	}
	text := string(r.fields[column])
	mend := "mend the line, or look at the `column order`"
	if strings.Contains(text, ",") {
		mend = "write decimals with a point"
	}
	if text == "" {
		return 0, r.s.fault(fmt.Sprintf("line %d", r.line), "the "+what+" is blank", mend)
	}
	return 0, r.s.fault(fmt.Sprintf("line %d", r.line), "the "+what+" "+units.Quote(shorten(text))+" is not a number", mend)
}

// shorten cuts a text for a message.
func shorten(text string) string {
	const most = 40
	if len(text) > most {
		return strings.ToValidUTF8(text[:most], "") + "..."
	}
	return text
}

// found adds what was left out to the notes.
func (r *pointReader) found() (Found, error) {
	f, err := r.gatherer.found()
	if err != nil {
		e := r.s.fault("", fmt.Sprintf("it holds no ground points in %s", plural(r.line, "line")), "look at the `column order`")
		if n := r.blank + r.flagged; n > 0 {
			e.What = fmt.Sprintf("none of its %s has an elevation", plural(n, "point"))
		}
		e.Column = "column order"
		return Found{}, e
	}
	if r.headings > 0 {
		f.Notes = append(f.Notes, plural(r.headings, "heading line")+" passed over")
	}
	if n := r.blank + r.flagged; n > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("%s without an elevation left out: %d blank, %d of 0 or -9999", plural(n, "point"), r.blank, r.flagged))
	}
	return f, nil
}

// lineEnd is what ends the lines of a file that begins so; a carriage return
// before a line feed counts as a blank.
func lineEnd(head []byte) byte {
	if bytes.IndexByte(head, '\n') < 0 && bytes.IndexByte(head, '\r') >= 0 {
		return '\r'
	}
	return '\n'
}

// longestLine is the longest line that is read. It guards against files that
// are no text.
const longestLine = 1 << 16

// lineBuffer is how much of a file of lines is read at once.
const lineBuffer = 1 << 19

// eachLine calls take with every line, without its end, which may be that of
// any system.
func (s *source) eachLine(r io.Reader, take func(line []byte) error) error {
	buffer := make([]byte, min(lineBuffer, s.size+1))
	have, ended, end := 0, false, byte(0)
	for number := 0; !ended; {
		n, err := r.Read(buffer[have:])
		if err != nil && err != io.EOF {
			return err
		}
		have, ended = have+n, err == io.EOF
		rest := buffer[:have]
		if end == 0 {
			if bytes.IndexByte(rest, 0) >= 0 {
				return s.fault("", "it is no plain text", "save it as text in UTF-8, one point a line")
			}
			end = lineEnd(rest)
			rest = bytes.TrimPrefix(rest, []byte("\ufeff"))
		}
		for {
			i := bytes.IndexByte(rest, end)
			if i < 0 {
				break
			}
			number++
			if err := take(rest[:i]); err != nil {
				return err
			}
			rest = rest[i+1:]
		}
		if len(rest) > longestLine {
			return s.fault(fmt.Sprintf("line %d", number+1), "the line has no end, so this is no file of points", "export it as text, one point a line")
		}
		if ended && len(rest) > 0 {
			return take(rest)
		}
		have = copy(buffer, rest)
	}
	return nil
}
