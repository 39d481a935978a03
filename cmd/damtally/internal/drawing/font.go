package drawing

import (
	"math"
	"sync"

	"github.com/paulmach/orb"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// The measures of the Go fonts, as shares of their size, rounded up: how far
// capitals and letters with ascenders rise and tails hang down.
const (
	ascent  = 0.75
	descent = 0.22
)

// unitsPerEm is how many units the measures of glyphs are asked for in one size.
const unitsPerEm = 2048

// face is one of the two fonts, parsed.
type face struct {
	font   *sfnt.Font
	buffer sfnt.Buffer
	widths map[rune]float64 // as a share of the size
}

// faces holds the fonts; sfnt's buffer and the map of widths serve one at a time.
var faces struct {
	sync.Mutex
	regular, bold *face
}

// withFace runs do with a font that nobody else uses meanwhile.
func withFace(bold bool, do func(*face)) {
	faces.Lock()
	defer faces.Unlock()
	if faces.regular == nil {
		faces.regular, faces.bold = newFace(goregular.TTF), newFace(gobold.TTF)
	}
	if bold {
		do(faces.bold)
	} else {
		do(faces.regular)
	}
}

// newFace parses a font that is part of the program.
func newFace(data []byte) *face {
	f, err := sfnt.Parse(data)
	if err != nil {
		panic("drawing: a built-in font does not parse: " + err.Error())
	}
	return &face{font: f, widths: map[rune]float64{}}
}

// width is how wide a letter is, as a share of the size.
func (f *face) width(r rune) float64 {
	if w, ok := f.widths[r]; ok {
		return w
	}
	w := 0.0
	if i, err := f.font.GlyphIndex(&f.buffer, r); err == nil {
		if a, err := f.font.GlyphAdvance(&f.buffer, i, fixed.I(unitsPerEm), font.HintingNone); err == nil {
			w = float64(a) / 64 / unitsPerEm
		}
	}
	f.widths[r] = w
	return w
}

// textWidth is how wide a text is, points.
func textWidth(text string, size float64, bold bool) float64 {
	sum := 0.0
	withFace(bold, func(f *face) {
		for _, r := range text {
			sum += f.width(r)
		}
	})
	return sum * size
}

// holds tells whether the font has a sign for a letter.
func (f *face) holds(r rune) bool {
	i, err := f.font.GlyphIndex(&f.buffer, r)
	return err == nil && i != 0
}

// box is where the words stand.
func (w *words) box() box {
	long := textWidth(w.text, w.size, w.bold)
	sin, cos := math.Sincos(w.angle * math.Pi / 180)
	b := box{along: orb.Point{cos, -sin}, half: [2]float64{long / 2, (ascent + descent) * w.size / 2}}
	shift := map[anchor]float64{atStart: long / 2, atMiddle: 0, atEnd: -long / 2}[w.anchor]
	up := (ascent - descent) * w.size / 2 // of the middle over the base line
	b.at = orb.Point{
		w.at[0] + shift*b.along[0] + up*b.along[1],
		w.at[1] + shift*b.along[1] - up*b.along[0],
	}
	return b
}

// start is where the base line of the words begins.
func (w *words) start() orb.Point {
	long := textWidth(w.text, w.size, w.bold)
	sin, cos := math.Sincos(w.angle * math.Pi / 180)
	back := map[anchor]float64{atStart: 0, atMiddle: long / 2, atEnd: long}[w.anchor]
	return orb.Point{w.at[0] - back*cos, w.at[1] + back*sin}
}

// shortened cuts a text so that it is no wider than a width, with dots for what is
// gone.
func shortened(text string, size float64, bold bool, width float64) string {
	if textWidth(text, size, bold) <= width {
		return text
	}
	r := []rune(text)
	for len(r) > 0 && textWidth(string(r)+"...", size, bold) > width {
		r = r[:len(r)-1]
	}
	return string(r) + "..."
}

// wrapped breaks a text into lines no wider than a width, between words; a word
// that is wider alone is cut short.
func wrapped(text string, size float64, bold bool, width float64) []string {
	var out []string
	line := ""
	for _, w := range fields(text) {
		switch {
		case line == "":
			line = w
		case textWidth(line+" "+w, size, bold) <= width:
			line += " " + w
		default:
			out, line = append(out, shortened(line, size, bold, width)), w
		}
	}
	if line != "" {
		out = append(out, shortened(line, size, bold, width))
	}
	return out
}
