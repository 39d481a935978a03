// Package stablezip writes zip files that are the same to the byte whenever
// their parts are, for libraries that hand their parts over in no fixed order.
package stablezip

import (
	"archive/zip"
	"bytes"
	"io"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"time"
)

// Writer is a zip writer whose parts come in order of their names and bear one
// fixed date. It has the methods that package excelize asks for.
type Writer struct {
	// Adjust, when it is not nil, is given each part's name and content and
	// returns the content to write.
	Adjust func(name string, content []byte) []byte

	to    io.Writer
	parts map[string]*bytes.Buffer
}

// New returns a writer to w. Nothing reaches w before Close.
func New(w io.Writer) *Writer {
	return &Writer{to: w, parts: map[string]*bytes.Buffer{}}
}

// Create begins a part, or begins it again.
func (z *Writer) Create(name string) (io.Writer, error) {
	part := new(bytes.Buffer)
	z.parts[name] = part
	return part, nil
}

// AddFS is part of excelize's interface and serves no one here: it always fails.
func (z *Writer) AddFS(fs.FS) error { return fs.ErrInvalid }

// earliest is the first date that a zip file can hold.
var earliest = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// contentTypes is the part of an office document that lists the types of all others.
const contentTypes = "[Content_Types].xml"

// Close writes the parts. The list of types comes first, as readers expect, and
// its own entries in order.
func (z *Writer) Close() error {
	names := make([]string, 0, len(z.parts))
	for name := range z.parts {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int {
		if (a == contentTypes) != (b == contentTypes) {
			if a == contentTypes {
				return -1
			}
			return 1
		}
		return strings.Compare(a, b)
	})
	out := zip.NewWriter(z.to)
	for _, name := range names {
		content := z.parts[name].Bytes()
		if name == contentTypes {
			content = sortDefaults(content)
		}
		if z.Adjust != nil {
			content = z.Adjust(name, content)
		}
		part, err := out.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: earliest})
		if err != nil {
			return err
		}
		if _, err := part.Write(content); err != nil {
			return err
		}
	}
	return out.Close()
}

var defaultEntry = regexp.MustCompile(`<Default [^>]*?(/>|></Default>)`)

// sortDefaults puts the Default entries of the list of types in order.
func sortDefaults(content []byte) []byte {
	entries := defaultEntry.FindAllString(string(content), -1)
	slices.Sort(entries)
	next := 0
	return defaultEntry.ReplaceAllFunc(content, func([]byte) []byte {
		next++
		return []byte(entries[next-1])
	})
}
