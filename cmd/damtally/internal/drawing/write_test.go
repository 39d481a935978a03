package drawing

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"flag"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/needtool"
	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
)

var update = flag.Bool("update", false, "write the goldens anew")

// The sheets of a small site as text. `go test -update` writes them anew; look at
// them as pictures then.
func TestGoldenSheets(t *testing.T) {
	p, _ := PaperOf("a4")
	for _, s := range Draw(fromTables(t, small()), Options{Paper: p, Version: "test"}) {
		var b bytes.Buffer
		if err := WriteSVG(&b, s); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join("testdata", s.Name+".svg")
		if *update {
			if err := os.WriteFile(file, b.Bytes(), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(b.String(), "\n")); diff != "" {
			t.Errorf("%s: %s", s.Name, diff)
		}
	}
}

// Each SVG parses as XML, has the size of its paper, and holds its words; markup in
// a user's text stays text.
func TestSVG(t *testing.T) {
	r := fromTables(t, small())
	r.Site.Settings.Name = `Smith & "Sons" <pond>`
	p, _ := PaperOf("a4")
	for _, s := range Draw(r, Options{Paper: p}) {
		var b bytes.Buffer
		if err := WriteSVG(&b, s); err != nil {
			t.Fatal(err)
		}
		text := ""
		d := xml.NewDecoder(&b)
		for {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", s.Name, err)
			}
			switch v := token.(type) {
			case xml.StartElement:
				if v.Name.Local == "svg" {
					for _, a := range v.Attr {
						if a.Name.Local == "width" && a.Value != "297mm" || a.Name.Local == "height" && a.Value != "210mm" {
							t.Errorf("%s is %s", a.Name.Local, a.Value)
						}
					}
				}
			case xml.CharData:
				text += string(v)
			}
		}
		for _, want := range []string{r.Site.Settings.Name, s.Title, "Not for construction."} {
			if !strings.Contains(text, want) {
				t.Errorf("%s lacks %q", s.Name, want)
			}
		}
	}
}

// The PDF's pages have the size of the paper, and its words can be searched, those
// that stand upright too.
func TestPDFWords(t *testing.T) {
	tool := needtool.Find(t, "pdftotext")
	p, _ := PaperOf("tabloid")
	sheets := Draw(planned(t, sites+"demo"), Options{Paper: p, Version: "test"})
	file := filepath.Join(t.TempDir(), "set.pdf")
	var b bytes.Buffer
	if err := WritePDF(&b, "Drawings", sheets...); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
	if len(pages) != len(sheets) {
		t.Fatalf("%d pages for %d sheets", len(pages), len(sheets))
	}
	for i, s := range sheets {
		for _, want := range []string{"Sample Creek community lake", s.Title, "Not for construction.", "Scale:"} {
			if !strings.Contains(pages[i], want) {
				t.Errorf("page %d lacks %q", i+1, want)
			}
		}
	}
	for page, want := range map[string]string{"plan": "bank yd3", "profile": "dam begins at", "sections": "Station 4+00", "curves": "Storage of the lake"} {
		found := false
		for i, s := range sheets {
			found = found || strings.HasPrefix(s.Name, page) && strings.Contains(pages[i], want)
		}
		if !found {
			t.Errorf("no page of %s holds %q", page, want)
		}
	}
	if n := bytes.Count(b.Bytes(), []byte("/MediaBox [0 0 1224.00 792.00]")); n < 1 {
		t.Error("no page of 17 by 11 in")
	}
}

// A PNG opens, has the paper's size at its own resolution, and says so.
func TestPNG(t *testing.T) {
	p, _ := PaperOf("letter")
	s := named(t, Draw(fromTables(t, small()), Options{Paper: p}), "plan")
	var b bytes.Buffer
	if err := WritePNG(&b, s); err != nil {
		t.Fatal(err)
	}
	file := b.Bytes()
	i := bytes.Index(file, []byte("pHYs"))
	if i < 0 {
		t.Fatal("the PNG does not tell its resolution")
	}
	perMetre := float64(binary.BigEndian.Uint32(file[i+4:]))
	picture, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "width", float64(picture.Bounds().Dx())/perMetre, 0.2794, 1e-4) // 11 in
	near(t, "height", float64(picture.Bounds().Dy())/perMetre, 0.2159, 1e-4)
	// The frame's upper left corner is black, and the paper outside it white.
	at := int(math.Round(margin * dotsPerInch / pointsPerInch))
	if v := color.GrayModel.Convert(picture.At(at+40, at)).(color.Gray).Y; v > 60 {
		t.Errorf("the frame is gray %d", v)
	}
	if v := color.GrayModel.Convert(picture.At(at-10, at-10)).(color.Gray).Y; v != 255 {
		t.Errorf("the margin is gray %d", v)
	}
}

// The same site gives the same bytes in each format.
func TestSameBytes(t *testing.T) {
	p, _ := PaperOf("letter")
	draw := func() (out [3]bytes.Buffer) {
		sheets := Draw(fromTables(t, small()), Options{Paper: p})
		for _, s := range sheets[:3] {
			if err := errors.Join(WriteSVG(&out[0], s), WritePNG(&out[1], s)); err != nil {
				t.Fatal(err)
			}
		}
		if err := WritePDF(&out[2], "set", sheets...); err != nil {
			t.Fatal(err)
		}
		return out
	}
	a, b := draw(), draw()
	for k := range a {
		if !bytes.Equal(a[k].Bytes(), b[k].Bytes()) {
			t.Errorf("format %d differs from one run to the next", k)
		}
	}
}

// What a fill covers, in dots, is the area of its rings: a tilted square with a
// hole, and two that overlap, which count once (closed form).
func TestFillCovers(t *testing.T) {
	square := func(x, y, half float64) orb.LineString {
		return orb.LineString{{x, y - half}, {x + half, y}, {x, y + half}, {x - half, y}, {x, y - half}}
	}
	hole := square(60, 60, 20)
	hole.Reverse()
	for _, c := range []struct {
		rings []orb.LineString
		want  float64
	}{
		{[]orb.LineString{square(60, 60, 40), hole}, 2*40*40 - 2*20*20},
		{[]orb.LineString{rectangle(10, 10, 50.5, 40.25), rectangle(30, 20, 80, 60)}, 40.5*30.25 + 50*40 - 20.5*20.25},
	} {
		canvas := newCanvas(Paper{Width: 60, Height: 60})
		canvas.fill(c.rings, black)
		sum := 0.0
		for i := 0; i < len(canvas.picture.Pix); i += 4 {
			sum += 1 - float64(canvas.picture.Pix[i])/255
		}
		near(t, "covered", sum, c.want, fillRounding*c.want)
	}
}

// fillRounding bounds what rows at a fifth of a dot and levels of 1/255 cost, as a
// share of the area.
const fillRounding = 0.005

// Dashes keep their lengths round corners.
func TestDashes(t *testing.T) {
	l := orb.LineString{{0, 0}, {7, 0}, {7, 10}}
	got := dashed(l, []float64{4, 2})
	want := []orb.LineString{{{0, 0}, {4, 0}}, {{6, 0}, {7, 0}, {7, 3}}, {{7, 5}, {7, 9}}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// A clipped line keeps its parts inside; a clipped ring its area.
func TestClips(t *testing.T) {
	box := orb.Bound{Max: orb.Point{10, 10}}
	got := clipped(orb.LineString{{-5, 5}, {5, 5}, {5, 15}, {8, 15}, {8, 2}}, box)
	want := []orb.LineString{{{0, 5}, {5, 5}, {5, 10}}, {{8, 10}, {8, 2}}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	r := clipRing(orb.LineString{{5, -5}, {15, 5}, {5, 15}, {-5, 5}, {5, -5}}, box)
	near(t, "area", math.Abs(ringArea([]orb.LineString{r})), 100, 1e-9)
}

// Names with letters that the fonts lack, with markup, line breaks or no end break
// no format and stay on the sheet.
func TestOddNames(t *testing.T) {
	tables := full()
	for _, odd := range []string{"池 🌊 \u202eم <&>\t\\()", strings.Repeat("long name ", 30)} {
		r := fromTables(t, tables)
		r.Site.Settings.Name, r.Site.Settings.Datum = odd, odd
		r.Pits[0].Row.Name, r.Site.Borings[0].Hole, r.Site.Stockpiles[0].Name = odd, odd, odd
		r.Conduits[0].Row.Name, r.Quantities.Zones[0].Zone = odd, odd
		p, _ := PaperOf("letter")
		sheets := Draw(r, Options{Paper: p})
		for _, s := range sheets {
			for _, i := range s.items {
				if i.words != nil && !i.words.box().within(orb.Bound{Max: orb.Point{p.Width, p.Height}}) {
					t.Errorf("%s: %q hangs off the paper", s.Name, i.words.text)
				}
			}
			var svg bytes.Buffer
			if err := WriteSVG(&svg, s); err != nil {
				t.Fatal(err)
			}
			if err := xml.Unmarshal(svg.Bytes(), new(struct{})); err != nil {
				t.Errorf("%s: %v", s.Name, err)
			}
		}
		if err := errors.Join(WritePDF(io.Discard, odd, sheets...), WritePNG(io.Discard, sheets[0])); err != nil {
			t.Error(err)
		}
	}
}
