package drawing

import "github.com/paulmach/orb"

// ink is a colour.
type ink struct{ r, g, b uint8 }

// The colours. All of them tell apart when printed in grays, by line and hatch.
var (
	black  = ink{0, 0, 0}
	dark   = ink{70, 70, 70}
	middle = ink{130, 130, 130}
	pale   = ink{205, 205, 205}
	faint  = ink{240, 240, 240}
	white  = ink{255, 255, 255}
	water  = ink{20, 90, 160}
	shoal  = ink{228, 240, 250}
	earth  = ink{140, 95, 45}
	alarm  = ink{170, 20, 20}
)

// pen draws lines: width in points, dash as lengths of line and gap by turns.
type pen struct {
	width float64
	ink   ink
	dash  []float64
}

// The pens. Nothing is thinner than a printer shows.
var (
	hair     = pen{width: 0.35, ink: middle}
	thin     = pen{width: 0.5, ink: black}
	medium   = pen{width: 0.9, ink: black}
	gridPen  = pen{width: 0.3, ink: pale}
	chainPen = pen{width: 0.7, ink: black, dash: []float64{14, 3, 2, 3}}
	dotPen   = pen{width: 0.6, ink: black, dash: []float64{1, 2}}
)

// path is lines, or areas where filled is set: outer rings and holes turn
// opposite ways.
type path struct {
	layer  string
	lines  []orb.LineString
	closed bool
	filled bool
	fill   ink
	pen    pen // no line where its width is 0
}

// anchor is the point of a text that stands where it is put, on the base line.
type anchor int

const (
	atStart anchor = iota
	atMiddle
	atEnd
)

// words is one line of text. Its angle is in degrees, counter-clockwise on the
// paper.
type words struct {
	layer  string
	at     orb.Point
	text   string
	size   float64
	bold   bool
	ink    ink
	anchor anchor
	angle  float64
	halo   bool // white behind it
}

// item is a path or words.
type item struct {
	path  *path
	words *words
}

// Sheet is one sheet of paper.
type Sheet struct {
	Name  string // the stem of its file's name: small letters, digits, hyphens
	Title string
	paper Paper
	layer string
	items []item
	taken []box     // of all words
	keep  []segment // lines that labels stay off
}

// newSheet begins a sheet.
func newSheet(name, title string, p Paper) *Sheet {
	return &Sheet{Name: name, Title: title, paper: p}
}

// on names the layer of what is drawn next.
func (s *Sheet) on(layer string) { s.layer = layer }

// line draws a line, or several as one path.
func (s *Sheet) line(p pen, lines ...orb.LineString) {
	if len(lines) > 0 {
		s.items = append(s.items, item{path: &path{layer: s.layer, lines: lines, pen: p}})
	}
}

// guarded draws lines that labels stay off.
func (s *Sheet) guarded(p pen, lines ...orb.LineString) {
	s.line(p, lines...)
	s.guard(lines...)
}

// guard keeps labels off lines without drawing them.
func (s *Sheet) guard(lines ...orb.LineString) {
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			s.keep = append(s.keep, segment{l[i-1], l[i]})
		}
	}
}

// area fills rings, with a line round them where the pen has a width.
func (s *Sheet) area(fill ink, p pen, rings ...orb.LineString) {
	if len(rings) > 0 {
		s.items = append(s.items, item{path: &path{layer: s.layer, lines: rings, closed: true, filled: true, fill: fill, pen: p}})
	}
}

// outline draws closed rings without filling them.
func (s *Sheet) outline(p pen, rings ...orb.LineString) {
	if len(rings) > 0 {
		s.items = append(s.items, item{path: &path{layer: s.layer, lines: rings, closed: true, pen: p}})
	}
}

// write sets words where they are told to stand and claims their box.
func (s *Sheet) write(w words) {
	if w.text == "" {
		return
	}
	w.layer, w.text = s.layer, clean(w.text)
	b := w.box()
	if w.halo {
		s.area(white, pen{}, b.grown(haloWidth).ring())
	}
	s.items = append(s.items, item{words: &w})
	s.taken = append(s.taken, b)
}

// haloWidth is how far the white behind words reaches beyond them, points.
const haloWidth = 0.7

// rectangle is the ring of a box of paper.
func rectangle(x0, y0, x1, y1 float64) orb.LineString {
	return orb.LineString{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

// circle is a ring of many corners.
func circle(at orb.Point, radius float64) orb.LineString {
	return arc(at, radius, 0, 360)
}
