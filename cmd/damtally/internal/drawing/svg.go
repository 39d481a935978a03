package drawing

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// WriteSVG writes a sheet as SVG, its size in inches or millimetres, so that it
// prints to scale. Each word carries its width, so that a viewer without the Go
// fonts sets it no wider. It writes with one call.
func WriteSVG(to io.Writer, s *Sheet) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%s" height="%s" viewBox="0 0 %s %s" font-family="Go, Arial, Helvetica, sans-serif">`+"\n",
		s.paper.wide, s.paper.high, short(s.paper.Width), short(s.paper.Height))
	fmt.Fprintf(&b, "<title>%s</title>\n", escaped(s.Title))
	fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="#ffffff"/>`+"\n", short(s.paper.Width), short(s.paper.Height))
	layer := ""
	for _, i := range s.items {
		at := ""
		if i.path != nil {
			at = i.path.layer
		} else {
			at = i.words.layer
		}
		if at != layer {
			if layer != "" {
				b.WriteString("</g>\n")
			}
			fmt.Fprintf(&b, "<g class=\"%s\">\n", escaped(at))
			layer = at
		}
		if i.path != nil {
			i.path.svg(&b)
		} else {
			i.words.svg(&b)
		}
	}
	if layer != "" {
		b.WriteString("</g>\n")
	}
	b.WriteString("</svg>\n")
	_, err := to.Write(b.Bytes())
	return err
}

// short writes a number of points to a thousandth, without trailing zeros.
func short(v float64) string {
	t := strings.TrimRight(strconv.FormatFloat(v, 'f', 3, 64), "0")
	t = strings.TrimSuffix(t, ".")
	if t == "-0" {
		return "0"
	}
	return t
}

func (i ink) hex() string { return fmt.Sprintf("#%02x%02x%02x", i.r, i.g, i.b) }

func (p *path) svg(b *bytes.Buffer) {
	b.WriteString(`<path d="`)
	for _, l := range p.lines {
		svgLine(b, l, p.closed)
	}
	b.WriteString(`"`)
	if p.filled {
		fmt.Fprintf(b, ` fill="%s"`, p.fill.hex())
	} else {
		b.WriteString(` fill="none"`)
	}
	if p.pen.width > 0 {
		fmt.Fprintf(b, ` stroke="%s" stroke-width="%s" stroke-linejoin="round"`, p.pen.ink.hex(), short(p.pen.width))
		if len(p.pen.dash) > 0 {
			parts := make([]string, len(p.pen.dash))
			for i, d := range p.pen.dash {
				parts[i] = short(d)
			}
			fmt.Fprintf(b, ` stroke-dasharray="%s"`, strings.Join(parts, " "))
		}
	}
	b.WriteString("/>\n")
}

func svgLine(b *bytes.Buffer, l orb.LineString, closed bool) {
	n := len(l)
	if closed && n > 1 && l[0] == l[n-1] {
		n--
	}
	for i := range n {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		b.WriteString(letter + short(l[i][0]) + " " + short(l[i][1]))
	}
	if closed {
		b.WriteString("Z")
	}
}

func (w *words) svg(b *bytes.Buffer) {
	at := w.start()
	fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" textLength="%s" lengthAdjust="spacingAndGlyphs"`,
		short(at[0]), short(at[1]), short(w.size), short(textWidth(w.text, w.size, w.bold)))
	if w.bold {
		b.WriteString(` font-weight="bold"`)
	}
	if w.ink != black {
		fmt.Fprintf(b, ` fill="%s"`, w.ink.hex())
	}
	if w.angle != 0 {
		fmt.Fprintf(b, ` transform="rotate(%s %s %s)"`, short(-w.angle), short(at[0]), short(at[1]))
	}
	fmt.Fprintf(b, ">%s</text>\n", escaped(w.text))
}

// escaped writes a text so that it is no markup.
func escaped(text string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(text)
}
