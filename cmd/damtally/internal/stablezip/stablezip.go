// Package stablezip writes zip files that are the same to the byte whenever
// their parts are, for libraries that hand their parts over in no fixed order.
package stablezip

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"hash/crc32"
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
	parts map[string]entry
	name  string        // of the part that is being written, "" for none
	now   *bytes.Buffer // its content so far

	packers map[int]*flate.Writer // by level
}

// entry is a part as it stands in the file. Parts are packed as soon as they are
// whole, so that no more than one stands in memory at its full size.
type entry struct {
	data []byte
	size int
	crc  uint32
}

// New returns a writer to w. Nothing reaches w before Close.
func New(w io.Writer) *Writer {
	return &Writer{to: w, parts: map[string]entry{}, packers: map[int]*flate.Writer{}}
}

// Create begins a part, or begins it again. The part before it is whole then, as
// with package archive/zip.
func (z *Writer) Create(name string) (io.Writer, error) {
	if err := z.pack(); err != nil {
		return nil, err
	}
	z.name, z.now = name, new(bytes.Buffer)
	return z.now, nil
}

// large is the size in bytes from which a part is packed for speed, not for size.
const large = 1 << 20

// pack packs the part that was being written.
func (z *Writer) pack() error {
	if z.now == nil {
		return nil
	}
	content := z.now.Bytes()
	if z.name == contentTypes {
		content = sortDefaults(content)
	}
	if z.Adjust != nil {
		content = z.Adjust(z.name, content)
	}
	level := flate.DefaultCompression
	if len(content) >= large {
		level = flate.BestSpeed
	}
	var out bytes.Buffer
	w, err := z.packer(level, &out)
	if err != nil {
		return err
	}
	if _, err := w.Write(content); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	z.parts[z.name] = entry{out.Bytes(), len(content), crc32.ChecksumIEEE(content)}
	z.name, z.now = "", nil
	return nil
}

// packer is a compressor of the level, the last one again where there is one.
func (z *Writer) packer(level int, to io.Writer) (*flate.Writer, error) {
	if w, ok := z.packers[level]; ok {
		w.Reset(to)
		return w, nil
	}
	w, err := flate.NewWriter(to, level)
	if err == nil {
		z.packers[level] = w
	}
	return w, err
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
	if err := z.pack(); err != nil {
		return err
	}
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
		p := z.parts[name]
		header := &zip.FileHeader{Name: name, Method: zip.Deflate, CRC32: p.crc, CompressedSize64: uint64(len(p.data)), UncompressedSize64: uint64(p.size)}
		header.Modified = earliest
		part, err := out.CreateRaw(header)
		if err != nil {
			return err
		}
		if _, err := part.Write(p.data); err != nil {
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
