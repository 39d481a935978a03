package terrain

import (
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Bounds of what an XML file may ask for. No LandXML file needs as much.
const (
	deepestElement = 64
	longestText    = 1 << 28 // bytes of text in one element: a list of points
	longestID      = 256
)

// walker goes through an XML file element by element. It knows no entities but
// the five of XML itself, so none can grow.
type walker struct {
	s     *source
	d     *xml.Decoder
	depth int

	in      *bufio.Reader // what the decoder reads from, nil where that is other text
	recoded bool          // the decoder reads through a change of encoding
	lines   int           // line ends that the decoder has not seen
}

// element is the start of an element, without its prefix.
type element struct {
	name  string
	attrs []xml.Attr
	line  int
}

// attr returns an attribute's value, "" when it is not there.
func (e element) attr(name string) string {
	for _, a := range e.attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// readAhead is how much of a file is read at once, in bytes.
const readAhead = 1 << 16

func newWalker(s *source, opt Options) *walker {
	w := &walker{s: s, in: bufio.NewReaderSize(s.stream(opt), readAhead)}
	head, err := s.head()
	if err == nil && (bytes.HasPrefix(head, []byte{0xff, 0xfe}) || bytes.HasPrefix(head, []byte{0xfe, 0xff})) {
		w.in = nil
		w.d = xml.NewDecoder(unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Reader(s.stream(opt)))
	} else {
		w.d = xml.NewDecoder(w.in) // which it reads byte by byte, so that it is never ahead
	}
	w.d.CharsetReader = func(label string, r io.Reader) (io.Reader, error) {
		w.recoded = true
		return charset(label, r)
	}
	return w
}

// charset reads the encodings that survey programs write beside UTF-8.
func charset(label string, r io.Reader) (io.Reader, error) {
	switch strings.ToLower(label) {
	case "utf-8", "utf8", "us-ascii", "ascii", "utf-16":
		return r, nil // UTF-16 is decoded before, by its first bytes
	case "iso-8859-1", "latin1", "windows-1252", "cp1252", "ansi":
		return charmap.Windows1252.NewDecoder().Reader(r), nil
	}
	return nil, fmt.Errorf("its text is in %q, which is not known here", label)
}

func (w *walker) line() int {
	line, _ := w.d.InputPos()
	return line + w.lines
}

// fault is an error at the place that was read last.
func (w *walker) fault(what, mend string) error { return w.faultAt(w.line(), what, mend) }

func (w *walker) faultAt(line int, what, mend string) error {
	return w.s.fault(fmt.Sprintf("line %d", line), what, mend)
}

// next is the next start, end or text.
func (w *walker) next() (xml.Token, error) {
	for {
		t, err := w.d.RawToken()
		if err != nil {
			return nil, w.broken(err)
		}
		switch t := t.(type) {
		case xml.Directive:
			if bytes.Contains(t, []byte("ENTITY")) {
				return nil, w.fault("it defines entities of its own, which no LandXML file needs and which can do harm", "export it again")
			}
		case xml.StartElement, xml.EndElement, xml.CharData:
			return t, nil
		}
	}
}

// broken says where XML is no XML.
func (w *walker) broken(err error) error {
	var known *Error
	var syntax *xml.SyntaxError
	switch {
	case errors.As(err, &known):
		return known
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return w.fault("the file ends too soon", "copy or export it again")
	case errors.As(err, &syntax) && strings.Contains(syntax.Msg, "unexpected EOF"):
		return w.faultAt(syntax.Line+w.lines, "the file ends too soon", "copy or export it again")
	case errors.As(err, &syntax):
		return w.faultAt(syntax.Line+w.lines, "it is no XML: "+syntax.Msg, "export it again")
	}
	return w.fault("it is no XML: "+err.Error(), "export it again")
}

// root goes to the first element.
func (w *walker) root() (element, error) {
	for {
		t, err := w.next()
		if err != nil {
			return element{}, err
		}
		if start, ok := t.(xml.StartElement); ok {
			return element{start.Name.Local, start.Attr, w.line()}, nil
		}
	}
}

// inside goes through the content of an element up to its end. visit is called
// with every element in it and must go through that one to its end; nil passes
// all over. text receives what stands between; nil passes it over.
func (w *walker) inside(e element, visit func(element) error, text func([]byte) error) error {
	if w.depth++; w.depth > deepestElement {
		return w.fault("its elements lie too deep in one another", "export it again")
	}
	defer func() { w.depth-- }()
	for {
		t, err := w.next()
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			in := element{t.Name.Local, t.Attr, w.line()}
			if visit == nil {
				err = w.skip(in)
			} else {
				err = visit(in)
			}
		case xml.CharData:
			if text != nil {
				err = text(t)
			}
		case xml.EndElement:
			if t.Name.Local != e.name {
				return w.fault(fmt.Sprintf("it is no XML: <%s> is closed by </%s>", shorten(e.name), shorten(t.Name.Local)), "export it again")
			}
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// skip goes through an element without looking at it.
func (w *walker) skip(e element) error { return w.inside(e, nil, nil) }

// text is all text of an element, in a buffer that is used again.
func (w *walker) text(e element, buffer []byte) ([]byte, error) {
	buffer = buffer[:0]
	err := w.inside(e, nil, func(b []byte) error {
		if len(buffer)+len(b) > longestText {
			return w.fault("a list is too long", "export it in parts")
		}
		buffer = append(buffer, b...)
		return nil
	})
	return buffer, err
}

// numbers reads the numbers in an element's text.
func (w *walker) numbers(e element, buffer []byte, to []float64) ([]byte, []float64, error) {
	buffer, err := w.text(e, buffer)
	if err != nil {
		return buffer, to, err
	}
	to, bad := appendNumbers(to, buffer)
	if bad != "" {
		return buffer, to, w.faultAt(e.line, fmt.Sprintf("<%s> holds %q, which is not a number", e.name, shorten(bad)), "export it again")
	}
	return buffer, to, nil
}

// appendNumbers reads numbers parted by white space, and returns the first text
// that is none.
func appendNumbers(to []float64, b []byte) ([]float64, string) {
	for {
		word, rest := nextWord(b)
		if len(word) == 0 {
			return to, ""
		}
		v, ok := parseDecimal(word)
		if !ok {
			return to, string(word)
		}
		to, b = append(to, v), rest
	}
}

// nextWord is the next run without white space, and what follows it.
func nextWord(b []byte) (word, rest []byte) {
	i := 0
	for i < len(b) && b[i] <= ' ' {
		i++
	}
	j := i
	for j < len(b) && b[j] > ' ' {
		j++
	}
	return b[i:j], b[j:]
}
