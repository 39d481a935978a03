package workbook

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

// sortedZip is a zip writer whose parts come in order of their names and bear
// one fixed date, so that the same workbook is the same to the byte: the library
// hands its parts over in no fixed order.
type sortedZip struct {
	to    io.Writer
	parts map[string]*bytes.Buffer
}

func newSortedZip(to io.Writer) *sortedZip {
	return &sortedZip{to, map[string]*bytes.Buffer{}}
}

// Create begins a part.
func (z *sortedZip) Create(name string) (io.Writer, error) {
	part := new(bytes.Buffer)
	z.parts[name] = part
	return part, nil
}

// AddFS is asked for by the library's interface and never called by it here.
func (z *sortedZip) AddFS(fs.FS) error { return fs.ErrInvalid }

// earliest is the first date that a zip file can hold.
var earliest = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// contentTypes is the part that lists the types of all others.
const contentTypes = "[Content_Types].xml"

// Close writes the parts. The list of types comes first, as readers expect.
func (z *sortedZip) Close() error {
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
			content = sortTypes(content)
		} else if strings.HasPrefix(name, "xl/worksheets/") {
			content = storeEmpty(content)
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

// sortTypes puts the Default entries of the list of types in order.
func sortTypes(content []byte) []byte {
	entries := defaultEntry.FindAllString(string(content), -1)
	slices.Sort(entries)
	next := 0
	return defaultEntry.ReplaceAllFunc(content, func([]byte) []byte {
		entry := entries[next]
		next++
		return []byte(entry)
	})
}

// storeEmpty gives a stored value to formulas whose value is the empty text: the
// library leaves it out, and some readers then take the cell for one that was
// never worked out.
func storeEmpty(content []byte) []byte {
	return bytes.ReplaceAll(content, []byte("</f></c>"), []byte("</f><v></v></c>"))
}
