package terrain

import (
	"fmt"
	"io"
)

// words reads the words of a text, parted by blanks and line ends, without
// keeping more of it than a buffer.
type words struct {
	s      *source
	offset int64 // of the bytes after the buffer
	buf    []byte
	at     int // of what is not yet looked at
	line   int // of the last word, from 1
}

// longestWord is the most letters of a word. It guards the memory for a file
// that is no text.
const longestWord = 4096

// wordBuffer is how much of the file is read at once.
const wordBuffer = 1 << 18

func (s *source) words() *words {
	return &words{s: s, buf: make([]byte, 0, min(s.size, wordBuffer)), line: 1}
}

// next is the next word, good until next is called again; io.EOF after the last.
func (w *words) next() ([]byte, error) {
	for {
		for w.at < len(w.buf) && isBlank(w.buf[w.at]) {
			if w.buf[w.at] == '\n' {
				w.line++
			}
			w.at++
		}
		end := w.at
		for end < len(w.buf) && !isBlank(w.buf[end]) {
			end++
		}
		if end < len(w.buf) || end > w.at && w.offset == w.s.size {
			word := w.buf[w.at:end]
			w.at = end
			return word, nil
		}
		if end-w.at > longestWord {
			return nil, w.s.fault(w.where(), "this is no text of numbers", "check the kind of file")
		}
		if w.offset == w.s.size {
			return nil, io.EOF
		}
		if err := w.fill(); err != nil {
			return nil, err
		}
	}
}

// fill keeps what is not yet looked at and reads on.
func (w *words) fill() error {
	kept := copy(w.buf[:cap(w.buf)], w.buf[w.at:])
	n := int(min(int64(cap(w.buf)-kept), w.s.size-w.offset))
	w.buf, w.at = w.buf[:kept+n], 0
	if err := w.s.readAt(w.buf[kept:], w.offset); err != nil {
		return err
	}
	w.offset += int64(n)
	return nil
}

// where names the line of the last word.
func (w *words) where() string { return fmt.Sprintf("line %d", w.line) }

func isBlank(c byte) bool { return c == ' ' || c >= '\t' && c <= '\r' }
