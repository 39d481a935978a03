package terrain

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// asciiKeys are the words that head an Arc/Info ASCII grid, in small letters.
var asciiKeys = map[string]bool{
	"ncols": true, "nrows": true, "cellsize": true, "dx": true, "dy": true, "nodata_value": true,
	"xllcorner": true, "yllcorner": true, "xllcenter": true, "yllcenter": true, "xllcentre": true, "yllcentre": true,
}

// byteOrderMark may stand before a text.
const byteOrderMark = "\xef\xbb\xbf"

// asciiKey is a word as a key, "" when it is none.
func asciiKey(word []byte) string {
	if len(word) > 20 {
		return ""
	}
	key := strings.ToLower(strings.TrimPrefix(string(word), byteOrderMark))
	if !asciiKeys[key] {
		return ""
	}
	return strings.Replace(key, "centre", "center", 1)
}

// beginsASCIIGrid tells an Arc/Info ASCII grid by its first word.
func beginsASCIIGrid(head []byte) bool {
	first := strings.Fields(strings.TrimPrefix(string(head), byteOrderMark))
	return len(first) > 0 && asciiKey([]byte(first[0])) != ""
}

// asciiGrid is a file of this kind that is being read.
type asciiGrid struct {
	*source
	in     *words
	head   map[string]float64
	noData string  // as written, "" where the file marks no cells
	hidden float64 // what it means
	first  []byte  // the first value, read to find the header's end
}

// readASCIIGrid reads an Arc/Info ASCII grid: a header of keys and values, then
// the elevations from the northern row down. Values are counted, not lines.
func readASCIIGrid(s *source, opt Options) (Found, error) {
	a := &asciiGrid{source: s, in: s.words(), head: map[string]float64{}}
	if err := a.header(); err != nil {
		return Found{}, err
	}
	r, err := a.layOut()
	if err != nil {
		return Found{}, err
	}
	if opt.Unit.SI == 0 {
		return Found{}, s.atColumn("unit", "", "this format does not say in which unit its places are", "give its `unit`: m, ft or ftUS")
	}
	r = r.metres(opt.Unit, opt.Origin)
	found := Found{Unit: opt.Unit, Bound: r.bound()}
	elevation := opt.ElevationUnit
	if elevation.SI == 0 {
		elevation = opt.Unit
		found.Notes = append(found.Notes, fmt.Sprintf("the file does not say in which unit its elevations are; they are taken in %s, as its places are", elevation.Name))
	}
	w := r.window(opt)
	if w.empty() {
		return found, s.besides(found.Bound, opt)
	}
	if err := s.tooLarge(w); err != nil {
		return Found{}, err
	}
	g := ground{scale: elevation.SI}
	values := newStore[float64](w.cols(), w.rows(), g.scale, opt.Shift)
	if err := a.values(r, w, values, g, opt.Progress); err != nil {
		return Found{}, err
	}
	found.Surface, err = s.surface(values, r, w)
	return found, err
}

// header reads keys and their values up to the first elevation.
func (a *asciiGrid) header() error {
	for {
		word, err := a.in.next()
		if err != nil {
			return a.ended(err)
		}
		key := asciiKey(word)
		if key == "" {
			if c := word[0]; c != '-' && c != '+' && c != '.' && (c < '0' || c > '9') && !isNaN(word) {
				return a.fault(a.in.where(), units.Quote(string(word))+" is no word of this format's header", "the words are ncols, nrows, xllcorner, yllcorner (or xllcenter, yllcenter), cellsize (or dx, dy) and nodata_value")
			}
			a.first = append([]byte(nil), word...)
			return nil
		}
		if _, twice := a.head[key]; twice {
			return a.fault(a.in.where(), key+" stands twice in the header", "keep one")
		}
		if word, err = a.in.next(); err != nil {
			return a.ended(err)
		}
		v, err := number(word)
		if err != nil || math.IsInf(v, 0) || math.IsNaN(v) && key != "nodata_value" {
			return a.fault(a.in.where(), fmt.Sprintf("%s of %s is not a number", key, units.Quote(string(word))), "write it as a plain number with a decimal point")
		}
		if a.head[key] = v; key == "nodata_value" {
			a.noData = string(word)
		}
	}
}

// ended is the error of a text that stops too soon.
func (a *asciiGrid) ended(err error) error {
	if errors.Is(err, io.EOF) {
		return a.fault(a.in.where(), "the file ends too soon", "copy or export it again")
	}
	return err
}

// layOut makes the raster of the header.
func (a *asciiGrid) layOut() (raster, error) {
	var r raster
	for i, key := range [2]string{"ncols", "nrows"} {
		v, err := a.needed(key)
		if err != nil {
			return r, err
		}
		if v != math.Trunc(v) || v < 1 || v > mostSide {
			return r, a.fault("", fmt.Sprintf("%s is %v, which is no size of a grid", key, v), "export it again")
		}
		*[2]*int{&r.cols, &r.rows}[i] = int(v)
	}
	// Each value takes a digit and a blank, the last one a digit alone.
	if int64(r.cols) > (a.size/2+1)/int64(r.rows) {
		return r, a.fault("", fmt.Sprintf("the file is too short for %d columns and %d rows: it has %d bytes", r.cols, r.rows, a.size), "copy or export it again")
	}
	err := a.place(&r)
	return r, err
}

// place finds where the postings stand. The two axes are given one by one, by the
// outer corner of the south-western cell or by its middle.
func (a *asciiGrid) place(r *raster) error {
	var at, step [2]float64
	for k, name := range [2]string{"x", "y"} {
		var err error
		if step[k], err = a.needed("d"+name, "cellsize"); err != nil {
			return err
		}
		if !(step[k] > 0) {
			return a.fault("", fmt.Sprintf("a cell of size %v has no area", step[k]), "export it again")
		}
		if at[k], err = a.needed(name+"llcenter", name+"llcorner"); err != nil {
			return err
		}
		if _, center := a.head[name+"llcenter"]; !center {
			at[k] += step[k] / 2
		}
	}
	r.frame = geometry.GridFrame{
		At:     orb.Point{at[0], at[1] + float64(r.rows-1)*step[1]},
		Column: orb.Point{step[0], 0},
		Row:    orb.Point{0, -step[1]},
	}
	a.hidden = math.NaN()
	if v, ok := a.head["nodata_value"]; ok {
		a.hidden = v
	}
	return a.sound(*r)
}

// needed is the first of some keys that the header holds.
func (a *asciiGrid) needed(keys ...string) (float64, error) {
	for _, key := range keys {
		if v, ok := a.head[key]; ok {
			return v, nil
		}
	}
	return 0, a.fault("", "the header has no "+strings.Join(keys, " or "), "export it again")
}

// values reads the elevations down to the window's last row. What follows a
// whole grid is an error.
func (a *asciiGrid) values(r raster, w rectangle, to *store[float64], g ground, progress func(done, total int64)) error {
	row := make([]float64, w.cols())
	word, err := a.first, error(nil)
	for i := range w.toRow {
		for j := range r.cols {
			if word == nil {
				word, err = a.in.next()
			}
			if err != nil {
				return a.short(err, i, j, r)
			}
			if i >= w.fromRow && j >= w.fromCol && j < w.toCol {
				if row[j-w.fromCol], err = a.value(word, i, j, g); err != nil {
					return err
				}
			}
			word = nil
		}
		if i >= w.fromRow {
			to.putRow(0, i-w.fromRow, row)
		}
		if progress != nil && i%progressRows == 0 {
			progress(a.in.offset, a.size)
		}
	}
	if w.toRow < r.rows {
		return nil
	}
	if word, err = a.in.next(); err == nil {
		return a.fault(a.in.where(), fmt.Sprintf("%s stands after the last of %d columns and %d rows", units.Quote(string(word)), r.cols, r.rows), "check ncols and nrows")
	} else if !errors.Is(err, io.EOF) {
		return err
	}
	return nil
}

// progressRows is how many rows are read between two reports of progress.
const progressRows = 64

// short is the error of a grid that ends before its last value.
func (a *asciiGrid) short(err error, row, col int, r raster) error {
	if errors.Is(err, io.EOF) {
		return a.fault(a.in.where(), fmt.Sprintf("the file ends at row %d, column %d of %d rows and %d columns", row+1, col+1, r.rows, r.cols), "copy or export it again")
	}
	return err
}

// value reads one elevation, NaN where the cell holds none.
func (a *asciiGrid) value(word []byte, row, col int, g ground) (float64, error) {
	v, err := number(word)
	switch {
	case err != nil:
		return 0, a.fault(a.in.where(), fmt.Sprintf("%s in row %d, column %d is not a number", units.Quote(string(word)), row+1, col+1), "write it as a plain number with a decimal point")
	case v == a.hidden || math.IsNaN(v):
		return math.NaN(), nil
	case !g.believed(v):
		return 0, a.noElevation(col, row, v, a.noData)
	}
	return v, nil
}

// number reads a decimal number, or nan.
func number(word []byte) (float64, error) {
	if isNaN(word) {
		return math.NaN(), nil
	}
	for _, c := range word {
		if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			return 0, strconv.ErrSyntax
		}
	}
	return strconv.ParseFloat(string(word), 64)
}

// isNaN tells the word nan, of any case and sign.
func isNaN(word []byte) bool {
	return len(word) <= 4 && len(word) >= 3 && strings.EqualFold(strings.TrimLeft(string(word), "+-"), "nan")
}
