package terrain

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Options says how a file is to be read. The zero value of a field leaves the
// matter to the file; what neither states is asked for with an error.
type Options struct {
	Unit          units.Unit // of plan coordinates
	ElevationUnit units.Unit // of elevations
	Shift         float64    // m, added to every elevation
	Origin        orb.Point  // m, taken from every plan coordinate after conversion

	// Window is the part that is wanted, m from Origin. A raster is read only
	// there; other formats may return more. The zero value wants all.
	Window orb.Bound

	Format      string // a word of Formats; "" goes by the name's ending
	ColumnOrder string // of a point file
	Name        string // picks one of several surfaces or alignments of a file

	// Progress, if not nil, is told now and then how many bytes of how many are
	// done, from the goroutine that called Open.
	Progress func(done, total int64)
}

// whole tells that no window was given.
func (o Options) whole() bool { return o.Window == orb.Bound{} }

// Found is what a file holds. At least one of Surface, Points, Alignments and
// Boundary is there.
type Found struct {
	Format string     // a word of Formats
	Unit   units.Unit // of the file's plan coordinates, as given or as found
	Bound  orb.Bound  // of everything in the file, m from Origin

	Surface    geometry.Surface       // nil where there are no triangles and no grid
	Points     []geometry.GroundPoint // points to be triangulated
	Breaklines [][]int                // lines through Points, numbered from 0
	Boundary   []orb.Ring             // outer limits of the ground
	Holes      []orb.Ring             // places without ground; a ring within one is ground again
	Alignments []Alignment

	// Notes are the assumptions made and the things left out, one sentence each,
	// for the user to see.
	Notes []string
}

// Alignment is a line in plan that may serve as centreline.
type Alignment struct {
	Name  string
	Parts []geometry.Part // in metres from the origin
	Start float64         // station of the first part's start, m
	Fault *Error          // why it cannot serve as centreline, nil when it can
	Notes []string        // as those of Found
}

// Error is what is wrong with a file: where, what, and how to mend it.
type Error struct {
	File  string // as the caller gave it
	Where string // "line 12", "tag 322 (tile width)", "" for the whole file
	What  string // what is wrong, no final stop
	Mend  string // what to do about it, no final stop

	// Column is the option at fault, in the words of the table of files: "unit",
	// "elevation unit", "format", "column order", "name"; "" for the file itself.
	Column string
}

// Error gives `FILE, where: what; mend`.
func (e *Error) Error() string {
	text := e.File
	if e.Where != "" {
		text += ", " + e.Where
	}
	text += ": " + e.What
	if e.Mend != "" {
		text += "; " + e.Mend
	}
	return text
}

// format is a kind of file.
type format struct {
	word    string                 // in Options.Format
	endings []string               // of file names, in small letters
	begins  func(head []byte) bool // nil where the first bytes tell nothing
	read    func(s *source, opt Options) (Found, error)
}

// formats lists every kind of file, in the order in which texts name them.
func formats() []format {
	return []format{
		{"geotiff", []string{".tif", ".tiff", ".gtiff"}, beginsTIFF, readTIFF},
		{"ascii grid", []string{".asc", ".grd"}, beginsASCIIGrid, readASCIIGrid},
		{"landxml", []string{".xml", ".landxml"}, beginsLandXML, readLandXML},
		{"las", []string{".las", ".laz"}, beginsLAS, readLASGround},
		{"las all", nil, beginsLAS, readLASAll},
		{"geojson", []string{".geojson", ".json"}, beginsGeoJSON, readGeoJSON},
		{"points", []string{".csv", ".txt", ".xyz", ".pts", ".pnt"}, nil, readPoints},
	}
}

// Formats lists the words of Options.Format.
func Formats() []string {
	var words []string
	for _, f := range formats() {
		words = append(words, f.word)
	}
	return words
}

// Open reads a file below root. Every error is an *Error. The file is closed
// when Open returns.
func Open(root *os.Root, name string, opt Options) (Found, error) {
	file, err := root.Open(filepath.FromSlash(name))
	if err != nil {
		return Found{}, cannotOpen(name, err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return Found{}, cannotOpen(name, err)
	}
	if !info.Mode().IsRegular() {
		return Found{}, &Error{File: name, What: "this is a folder or a device, not a file", Mend: "name a file of ground"}
	}
	return (&source{r: file, size: info.Size(), name: name, world: worldBeside(root, name)}).read(opt)
}

// Read is Open for a file of a known size that is open already.
func Read(r io.ReaderAt, size int64, name string, opt Options) (Found, error) {
	return (&source{r: r, size: size, name: name}).read(opt)
}

func (s *source) read(opt Options) (Found, error) {
	if s.size == 0 {
		return Found{}, s.fault("", "the file is empty", "export it again")
	}
	f, err := s.formatOf(opt.Format)
	if err != nil {
		return Found{}, err
	}
	found, err := f.read(s, opt)
	if err != nil {
		return Found{}, s.located(err)
	}
	found.Format = f.word
	if err := s.checkPlace(found, opt); err != nil {
		return Found{}, err
	}
	return found, nil
}

func cannotOpen(name string, err error) error {
	var at *os.PathError
	if errors.As(err, &at) {
		err = at.Err
	}
	mend := "check the name, and that the file lies in the site's folder or below it"
	if errors.Is(err, os.ErrPermission) {
		mend = "allow reading it"
	}
	return &Error{File: name, What: "cannot be opened: " + err.Error(), Mend: mend}
}

// formatOf decides how a file is read: by the word given, else by its name's
// ending, else by its first bytes.
func (s *source) formatOf(word string) (format, error) {
	head, err := s.head()
	if err != nil {
		return format{}, err
	}
	word = strings.ToLower(strings.Join(strings.Fields(word), " "))
	ending := strings.ToLower(filepath.Ext(s.name))
	for _, f := range formats() {
		if word == f.word || word == "" && slices.Contains(f.endings, ending) {
			return f, s.checkHead(f, head)
		}
	}
	if word != "" {
		return format{}, s.fault("", fmt.Sprintf("there is no format %s", units.Quote(word)), "use one of: "+strings.Join(Formats(), ", "))
	}
	for _, f := range formats() {
		if f.begins != nil && f.begins(head) {
			return f, nil
		}
	}
	return format{}, s.fault("", "the kind of file cannot be told from its name", "say its `format`, one of: "+strings.Join(Formats(), ", "))
}

// checkHead refuses a file whose first bytes are another format's.
func (s *source) checkHead(f format, head []byte) error {
	if f.begins == nil || f.begins(head) {
		return nil
	}
	mend := "export it again, or say its `format`"
	for _, g := range formats() {
		if g.begins != nil && g.begins(head) {
			mend = fmt.Sprintf("it looks like %q; say so as its `format`", g.word)
			break
		}
	}
	return s.fault("byte 0", fmt.Sprintf("this is no %s file: it begins with %s", f.word, units.Quote(string(head[:min(len(head), 8)]))), mend)
}
