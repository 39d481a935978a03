package terrain

import "bytes"

// A surface is a million points and two million faces, each an element of its own
// that nearly every program writes in one plain way:
//
//	<P id="17">500200.25 2000100.125 712.345</P>
//	<F>1 2 3</F>
//
// These are read from the text itself, ten times as quick as by the XML decoder.
// Whatever is not quite so plain is left where it stands, for the decoder.

// plainElement is such an element: at most one attribute, and text without
// entities, in plain letters.
type plainElement struct {
	attr, value, text []byte
	line              int
}

// longestPlain is how long a plain element may be, in bytes.
const longestPlain = 512

// plain takes plain elements of a name that follow one another, until something
// else comes or take returns false for one: that is left to the decoder.
func (w *walker) plain(name string, take func(plainElement) (bool, error)) error {
	if w.in == nil || w.recoded {
		return nil
	}
	for {
		ahead, _ := w.in.Peek(longestPlain)
		e, length, lines := plainAt(ahead, name)
		if length == 0 {
			return nil
		}
		e.line = w.line() + lines
		if taken, err := take(e); err != nil || !taken {
			return err
		}
		w.lines += lines
		if _, err := w.in.Discard(length); err != nil {
			return err
		}
	}
}

// insidePlain is inside for an element of which most parts are plain: plain takes
// those that follow one another.
func (w *walker) insidePlain(e element, plain func() error, visit func(element) error) error {
	if err := plain(); err != nil {
		return err
	}
	return w.inside(e, func(in element) error {
		if err := visit(in); err != nil {
			return err
		}
		return plain()
	}, nil)
}

// plainAt reads a plain element at the start of some text, after white space. Its
// length is that of all this, 0 where there is none that is whole; lines are the
// line ends in it.
func plainAt(b []byte, name string) (e plainElement, length, lines int) {
	rest := bytes.TrimLeft(b, " \t\r\n")
	cut := func(prefix string) bool {
		after, ok := bytes.CutPrefix(rest, []byte(prefix))
		if ok {
			rest = after
		}
		return ok
	}
	upTo := func(stop byte) ([]byte, bool) {
		i := bytes.IndexByte(rest, stop)
		if i < 0 || !isPlain(rest[:i]) {
			return nil, false
		}
		part := rest[:i]
		rest = rest[i+1:]
		return part, true
	}
	if !cut("<") || !cut(name) {
		return e, 0, 0
	}
	ok := true
	if cut(" ") {
		if e.attr, ok = upTo('='); !ok || !cut(`"`) {
			return e, 0, 0
		}
		if e.value, ok = upTo('"'); !ok {
			return e, 0, 0
		}
	}
	if !cut(">") {
		return e, 0, 0
	}
	if e.text, ok = upTo('<'); !ok || !cut("/") || !cut(name) || !cut(">") {
		return e, 0, 0
	}
	length = len(b) - len(rest)
	return e, length, bytes.Count(b[:length], []byte{'\n'})
}

// isPlain tells text without markup, in ASCII.
func isPlain(b []byte) bool {
	for _, c := range b {
		if c >= 0x7f || c < ' ' && c != '\n' && c != '\r' && c != '\t' || c == '&' || c == '<' || c == '>' {
			return false
		}
	}
	return true
}

// plainPoint takes a P with its id and three numbers.
func (x *landXML) plainPoint(d *drawnSurface, e plainElement) (bool, error) {
	id := bytes.TrimSpace(e.value)
	if string(e.attr) != "id" || len(id) == 0 || len(id) > longestID {
		return false, nil
	}
	v, bad := appendNumbers(x.three[:0], e.text)
	x.three = v
	if bad != "" || len(v) != 3 {
		return false, nil
	}
	return true, x.definePoint(d, id, [3]float64(v), e.line)
}

// plainFace takes an F that is seen, with three points.
func (x *landXML) plainFace(d *drawnSurface, e plainElement) (bool, error) {
	if e.attr != nil && string(e.attr) != "n" { // the faces beside it, which are not needed
		return false, nil
	}
	var ids [4][]byte
	count := 0
	for rest := e.text; count < len(ids); count++ {
		if ids[count], rest = nextWord(rest); len(ids[count]) == 0 {
			break
		}
	}
	if count != 3 {
		return false, nil
	}
	d.faces = append(d.faces, [3]int32{d.number(ids[0], e.line), d.number(ids[1], e.line), d.number(ids[2], e.line)})
	return true, nil
}
