package xlsx

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// Limits on what is read.
const (
	// MaxFile is the largest workbook file, in bytes.
	MaxFile = 64 << 20
	// maxPart guards against a small file that unpacks to a huge one, in bytes.
	maxPart = 512 << 20
	// maxSmallPart is the same for the parts held in memory, in bytes.
	maxSmallPart = 64 << 20
	// maxRow and maxColumn are the last row and column of a sheet, from 1.
	maxRow, maxColumn = 1048576, 16384
)

// The ways in which a file is no workbook.
var (
	// ErrNotWorkbook is returned for a file that is no xlsx workbook.
	ErrNotWorkbook = errors.New("is not an xlsx workbook")
	// ErrLocked is returned for a workbook with a password, or of the kind
	// that came before xlsx; both are stored alike.
	ErrLocked = errors.New("has a password or is an old kind of workbook")
	// ErrDamaged is returned for a workbook that breaks off or contradicts itself.
	ErrDamaged = errors.New("is damaged")
	// ErrTooBig is returned for a workbook beyond the limits.
	ErrTooBig = errors.New("is too big")
)

// Book is an open workbook.
type Book struct {
	Sheets   []*Sheet // worksheets in the order of their tabs
	Date1904 bool     // days are counted from 1904, not from 1900

	parts   map[string]*zip.File // by name in small letters
	strings []string
	formats []Format // by cell style
}

// Sheet is one worksheet.
type Sheet struct {
	Name   string
	Hidden bool
	book   *Book
	part   string
}

// oldContainer begins files of the compound file kind: xls, and xlsx with a password.
var oldContainer = []byte{0xD0, 0xCF, 0x11, 0xE0}

// Open reads the workbook's list of sheets, its texts and its number formats.
// The error is one of those above, or one of reading.
func Open(data []byte) (*Book, error) {
	if bytes.HasPrefix(data, oldContainer) {
		return nil, ErrLocked
	}
	if len(data) > MaxFile {
		return nil, ErrTooBig
	}
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		if bytes.HasPrefix(data, []byte("PK")) {
			return nil, ErrDamaged
		}
		return nil, ErrNotWorkbook
	}
	b := &Book{parts: map[string]*zip.File{}}
	for _, f := range archive.File {
		b.parts[strings.ToLower(path.Clean(strings.ReplaceAll(f.Name, `\`, "/")))] = f
	}
	return b, b.load()
}

// relation is an entry of a part's list of relations.
type relation struct {
	ID         string `xml:"Id,attr"`
	Type       string `xml:"Type,attr"`
	Target     string `xml:"Target,attr"`
	TargetMode string `xml:"TargetMode,attr"`
}

// kind is the last word of the relation's type, which transitional and strict
// workbooks share.
func (r relation) kind() string { return r.Type[strings.LastIndex(r.Type, "/")+1:] }

// workbookPart is what is read of xl/workbook.xml.
type workbookPart struct {
	Properties struct {
		Date1904 string `xml:"date1904,attr"`
	} `xml:"workbookPr"`
	Sheets []struct {
		Name  string     `xml:"name,attr"`
		State string     `xml:"state,attr"`
		Attrs []xml.Attr `xml:",any,attr"` // r:id, whose name space has two spellings
	} `xml:"sheets>sheet"`
}

func (b *Book) load() error {
	main, err := b.mainPart()
	if err != nil {
		return err
	}
	relations, err := b.relations(main)
	if err != nil {
		return err
	}
	for _, r := range relations {
		switch r.kind() {
		case "sharedStrings":
			b.strings, err = b.readStrings(r.Target)
		case "styles":
			b.formats, err = b.readFormats(r.Target)
		}
		if err != nil {
			return err
		}
	}
	var book workbookPart
	if err := b.decode(main, &book); err != nil {
		return err
	}
	b.Date1904 = isTrue(book.Properties.Date1904)
	for _, s := range book.Sheets {
		sheet := &Sheet{Name: s.Name, Hidden: s.State == "hidden" || s.State == "veryHidden", book: b}
		for _, a := range s.Attrs {
			if r, ok := relations[a.Value]; ok && a.Name.Local == "id" && r.kind() == "worksheet" {
				sheet.part = r.Target
			}
		}
		if sheet.part != "" {
			b.Sheets = append(b.Sheets, sheet)
		}
	}
	return nil
}

// mainPart finds the workbook part through the relations of the package.
func (b *Book) mainPart() (string, error) {
	relations, err := b.relations("")
	if err != nil {
		return "", ErrNotWorkbook
	}
	for _, r := range relations {
		if r.kind() == "officeDocument" {
			return r.Target, nil
		}
	}
	return "", ErrNotWorkbook
}

// relations reads the relations of a part, by id, with targets as part names.
func (b *Book) relations(part string) (map[string]relation, error) {
	var list struct {
		Relations []relation `xml:"Relationship"`
	}
	dir, base := path.Split(part)
	if err := b.decode(dir+"_rels/"+base+".rels", &list); err != nil {
		return nil, err
	}
	byID := map[string]relation{}
	for _, r := range list.Relations {
		if strings.HasPrefix(r.Target, "/") {
			r.Target = path.Clean(r.Target)[1:]
		} else {
			r.Target = path.Join(dir, r.Target)
		}
		if r.TargetMode != "External" {
			byID[r.ID] = r
		}
	}
	return byID, nil
}

// open opens a part, cut at a limit.
func (b *Book) open(part string, limit int64) (io.ReadCloser, error) {
	f, ok := b.parts[strings.ToLower(part)]
	if !ok {
		return nil, fmt.Errorf("%w: it lacks its part %s", ErrDamaged, part)
	}
	if f.UncompressedSize64 > uint64(limit) {
		return nil, ErrTooBig
	}
	r, err := f.Open()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	// A header may lie about the size, so the stream is cut too; what is cut
	// off shows as damage.
	return struct {
		io.Reader
		io.Closer
	}{io.LimitReader(r, limit), r}, nil
}

// decode reads a small part as a whole.
func (b *Book) decode(part string, into any) error {
	r, err := b.open(part, maxSmallPart)
	if err != nil {
		return err
	}
	defer r.Close()
	if err := xml.NewDecoder(r).Decode(into); err != nil {
		return fmt.Errorf("%w: %s: %w", ErrDamaged, part, err)
	}
	return nil
}

func isTrue(attribute string) bool { return attribute == "1" || attribute == "true" }
