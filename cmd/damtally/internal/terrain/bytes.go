package terrain

import (
	"errors"
	"fmt"
	"io"
)

// source is a file that is being read.
type source struct {
	r    io.ReaderAt
	size int64
	name string
	// world reads the world file beside a raster; nil where there is no folder.
	world func() (file, text string)
}

// fault is an error about the file.
func (s *source) fault(where, what, mend string) *Error {
	return &Error{File: s.name, Where: where, What: what, Mend: mend}
}

// located makes an *Error of whatever a reader returned.
func (s *source) located(err error) error {
	var known *Error
	if errors.As(err, &known) {
		if known.File == "" {
			known.File = s.name
		}
		return known
	}
	return s.fault("", err.Error(), "")
}

// headLength is how many bytes tell what a file is.
const headLength = 512

// head returns the first bytes.
func (s *source) head() ([]byte, error) {
	head := make([]byte, min(s.size, headLength))
	return head, s.readAt(head, 0)
}

// readAt fills p from an offset, or says where the file ends too soon.
func (s *source) readAt(p []byte, offset int64) error {
	if offset < 0 || offset > s.size || int64(len(p)) > s.size-offset {
		return s.cutOff(offset)
	}
	if n, err := s.r.ReadAt(p, offset); n < len(p) {
		if errors.Is(err, io.EOF) {
			return s.cutOff(offset)
		}
		return s.fault(fmt.Sprintf("byte %d", offset), "cannot be read: "+err.Error(), "copy the file again")
	}
	return nil
}

// cutOff is the error of a file that lacks what should stand at an offset.
func (s *source) cutOff(offset int64) *Error {
	return s.fault(fmt.Sprintf("byte %d", offset), fmt.Sprintf("the file ends too soon: it has %d bytes", s.size), "copy or export it again")
}
