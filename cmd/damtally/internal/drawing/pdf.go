package drawing

import (
	"bytes"
	"io"
	"time"

	"github.com/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// pdfDate stands in every PDF in place of the time of day, so that the same site
// gives the same bytes.
var pdfDate = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// WritePDF writes sheets as one PDF, a page each, at the size of their paper. Its
// words can be searched and copied. It writes with one call.
func WritePDF(to io.Writer, title string, sheets ...*Sheet) error {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt"})
	doc.SetAutoPageBreak(false, 0)
	doc.SetCatalogSort(true)
	doc.SetCreationDate(pdfDate)
	doc.SetModificationDate(pdfDate)
	doc.SetTitle(clean(title), true)
	doc.SetProducer("damtally", true)
	doc.AddUTF8FontFromBytes("go", "", goregular.TTF)
	doc.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	doc.SetLineJoinStyle("round")
	for _, s := range sheets {
		doc.AddPageFormat("P", fpdf.SizeType{Wd: s.paper.Width, Ht: s.paper.Height})
		for _, i := range s.items {
			if i.path != nil {
				i.path.pdf(doc)
			} else {
				i.words.pdf(doc)
			}
		}
	}
	var b bytes.Buffer
	if err := doc.Output(&b); err != nil {
		return err
	}
	_, err := to.Write(b.Bytes())
	return err
}

func (p *path) pdf(doc *fpdf.Fpdf) {
	style := ""
	if p.filled {
		doc.SetFillColor(int(p.fill.r), int(p.fill.g), int(p.fill.b))
		style = "F"
	}
	if p.pen.width > 0 {
		doc.SetDrawColor(int(p.pen.ink.r), int(p.pen.ink.g), int(p.pen.ink.b))
		doc.SetLineWidth(p.pen.width)
		doc.SetDashPattern(p.pen.dash, 0)
		style += "D"
	}
	if style == "" {
		return
	}
	for _, l := range p.lines {
		for i, at := range l {
			if i == 0 {
				doc.MoveTo(at[0], at[1])
			} else {
				doc.LineTo(at[0], at[1])
			}
		}
		if p.closed {
			doc.ClosePath()
		}
	}
	doc.DrawPath(style)
}

func (w *words) pdf(doc *fpdf.Fpdf) {
	style := ""
	if w.bold {
		style = "B"
	}
	doc.SetFont("go", style, w.size)
	doc.SetTextColor(int(w.ink.r), int(w.ink.g), int(w.ink.b))
	at := w.start()
	if w.angle != 0 {
		doc.TransformBegin()
		doc.TransformRotate(w.angle, at[0], at[1])
		defer doc.TransformEnd()
	}
	doc.Text(at[0], at[1], w.text)
}
