package drawing

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"

	"github.com/paulmach/orb"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// dotsPerInch is how finely a sheet is drawn as PNG: enough for six point words.
const dotsPerInch = 200.0

// WritePNG writes a sheet as PNG. The file tells its dots for each metre, so that
// it prints to scale. It writes with one call.
func WritePNG(to io.Writer, s *Sheet) error {
	c := newCanvas(s.paper)
	for _, i := range s.items {
		if i.path != nil {
			c.path(i.path)
		} else {
			c.words(i.words)
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, c.picture); err != nil {
		return err
	}
	_, err := to.Write(withDensity(b.Bytes()))
	return err
}

// headEnd is where the first chunk of every PNG ends: 8 bytes of signature, and
// IHDR with 13 bytes of data, length, name and check sum (PNG specification,
// clauses 5.2 and 11.2.2).
const headEnd = 8 + 4 + 4 + 13 + 4

// withDensity puts a pHYs chunk behind the first one (PNG specification, clause
// 11.3.4.3): dots for each metre across and up, and a 1 for the metre.
func withDensity(file []byte) []byte {
	perMetre := uint32(math.Round(dotsPerInch / 0.0254))
	chunk := binary.BigEndian.AppendUint32(nil, 9)
	chunk = append(chunk, "pHYs"...)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = append(chunk, 1)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	out := append([]byte(nil), file[:headEnd]...)
	return append(append(out, chunk...), file[headEnd:]...)
}

// canvas is a picture that paths are drawn on.
type canvas struct {
	picture *image.RGBA
	scale   float64 // dots for each point
}

func newCanvas(p Paper) *canvas {
	c := &canvas{scale: dotsPerInch / pointsPerInch}
	c.picture = image.NewRGBA(image.Rect(0, 0, int(math.Round(p.Width*c.scale)), int(math.Round(p.Height*c.scale))))
	draw.Draw(c.picture, c.picture.Bounds(), image.White, image.Point{}, draw.Src)
	return c
}

// dot is a point of paper in dots.
func (c *canvas) dot(p orb.Point) orb.Point { return orb.Point{p[0] * c.scale, p[1] * c.scale} }

func (c *canvas) path(p *path) {
	lines := make([]orb.LineString, len(p.lines))
	for i, l := range p.lines {
		for _, at := range l {
			lines[i] = append(lines[i], c.dot(at))
		}
		if p.closed && len(l) > 0 && l[0] != l[len(l)-1] {
			lines[i] = append(lines[i], lines[i][0])
		}
	}
	if p.filled {
		c.fill(lines, p.fill)
	}
	if p.pen.width <= 0 {
		return
	}
	dash := make([]float64, len(p.pen.dash))
	for i, d := range p.pen.dash {
		dash[i] = d * c.scale
	}
	var quads []orb.LineString
	for _, l := range lines {
		for _, part := range dashed(l, dash) {
			quads = append(quads, stroked(part, max(p.pen.width*c.scale, 1))...)
		}
	}
	c.fill(quads, p.pen.ink)
}

// words draws the outlines of the letters.
func (c *canvas) words(w *words) {
	at := c.dot(w.start())
	size := w.size * c.scale
	sin, cos := math.Sincos(w.angle * math.Pi / 180)
	var rings []orb.LineString
	withFace(w.bold, func(f *face) {
		along := 0.0
		for _, letter := range w.text {
			for _, ring := range f.outline(letter) {
				for i, p := range ring {
					u, v := along+p[0]*size, p[1]*size // v is down
					ring[i] = orb.Point{at[0] + u*cos + v*sin, at[1] - u*sin + v*cos}
				}
				rings = append(rings, ring)
			}
			along += f.width(letter) * size
		}
	})
	c.fill(rings, w.ink)
}

// curveSteps is into how many chords a curve of a letter is broken: at 200 dots
// for each inch the curves of small words are a few dots long.
const curveSteps = 4

// outline is a letter as rings, for a size of one.
func (f *face) outline(letter rune) []orb.LineString {
	i, err := f.font.GlyphIndex(&f.buffer, letter)
	if err != nil {
		return nil
	}
	segments, err := f.font.LoadGlyph(&f.buffer, i, fixed.I(unitsPerEm), nil)
	if err != nil {
		return nil
	}
	point := func(p fixed.Point26_6) orb.Point {
		return orb.Point{float64(p.X) / 64 / unitsPerEm, float64(p.Y) / 64 / unitsPerEm}
	}
	var out []orb.LineString
	for _, s := range segments {
		n := len(out) - 1
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			out = append(out, orb.LineString{point(s.Args[0])})
		case sfnt.SegmentOpLineTo:
			out[n] = append(out[n], point(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			a, b, d := out[n][len(out[n])-1], point(s.Args[0]), point(s.Args[1])
			for k := 1; k <= curveSteps; k++ {
				t := float64(k) / curveSteps
				out[n] = append(out[n], between(between(a, b, t), between(b, d, t), t))
			}
		case sfnt.SegmentOpCubeTo: // the Go fonts have none
			out[n] = append(out[n], point(s.Args[2]))
		}
	}
	return out
}
