package terrain

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

const ftUS = 1200.0 / 3937

// named is how a surface or alignment is asked for by name.
func named(name string) Options { return Options{Name: name, Origin: orb.Point{609600, 152400}} }

func TestLandXMLSurface(t *testing.T) {
	found := must(t, file(t, "pond.xml"), "pond.xml", named("Ground"))
	surface := found.Surface.(*geometry.Faces)
	if found.Unit.Name != "ftUS" || surface.Summary().Triangles != 4 || len(found.Points) != 0 {
		t.Fatalf("%s, %+v", found.Unit.Name, surface.Summary())
	}
	if want := []string{"the surface ground is taken as its 4 triangles, as they are", "1 triangle marked as invisible left out"}; strings.Join(found.Notes, "|") != strings.Join(want, "|") {
		t.Errorf("notes %q", found.Notes)
	}
	// The file's ground is 700 + (y - 500200) / 10 - |x - 2000300| / 100 ftUS.
	at := func(x, y float64) orb.Point {
		return orb.Point{x*ftUS - 609600, y*ftUS - 152400}
	}
	a, b := at(2000050, 500010), at(2000550, 500390)
	pieces := surface.Slice(nil, a, b)
	if len(pieces) != 1 {
		t.Fatalf("%d pieces", len(pieces))
	}
	length := math.Hypot(b[0]-a[0], b[1]-a[1])
	for _, k := range pieces[0] {
		x, y := 2000050+500*k.Offset/length, 500010+380*k.Offset/length
		want := (700 + (y-500200)/10 - math.Abs(x-2000300)/100) * ftUS
		if math.Abs(k.Elevation-want) > 1e-6 {
			t.Errorf("at %.2f, %.2f: %.6f m, want %.6f", x, y, k.Elevation, want)
		}
	}
	if from, to := pieces[0].Span(); from != 0 || math.Abs(to-length) > 1e-9 {
		t.Errorf("from %v to %v, want all of %v", from, to, length)
	}
}

func TestLandXMLAlignment(t *testing.T) {
	found := must(t, file(t, "pond.xml"), "pond.xml", named("ground"))
	a := found.Alignments[0]
	if a.Name != "dam" || a.Fault != nil || math.Abs(a.Start-1000*ftUS) > 1e-9 {
		t.Fatalf("%+v", a)
	}
	c, err := geometry.NewCentrelineOf(a.Parts, a.Start, true)
	if err != nil {
		t.Fatal(err)
	}
	// 200 ft of line, a quarter of a circle of 100 ft, 50 ft of line.
	if want := (1000 + 250 + 50*math.Pi) * ftUS; math.Abs(c.End()-want) > 1e-6 {
		t.Errorf("ends at %v, want %v", c.End(), want)
	}
	end := c.Frame(c.End(), false)
	if math.Abs(end.At[0]-(2000400*ftUS-609600)) > 1e-6 || math.Abs(end.At[1]-(500350*ftUS-152400)) > 1e-6 || math.Abs(end.Ahead[1]-1) > 1e-9 {
		t.Errorf("ends as %+v", end)
	}
	if len(c.Bends()) != 0 {
		t.Errorf("bends %v", c.Bends())
	}
}

// document wraps a surface's content.
func document(units, content string) []byte {
	return []byte(`<?xml version="1.0"?><LandXML version="1.2">` + units + content + `</LandXML>`)
}

const metric = `<Units><Metric linearUnit="meter"/></Units>`

func surfaceOf(content string) string {
	return `<Surfaces><Surface name="s">` + content + `</Surface></Surfaces>`
}

const threePoints = `<Pnts><P id="1">0 1000 5</P><P id="2">0 1010 5</P><P id="3">10 1000 6</P><P id="4">10 1010 7</P></Pnts>`

// Without faces the points, breaklines and boundaries of the source data are
// taken; with faces they are not.
func TestLandXMLSourceData(t *testing.T) {
	source := `<SourceData>
	 <DataPoints><PntList3D>1 2 3 4 5 6</PntList3D></DataPoints>
	 <Breaklines><Breakline brkType="standard"><PntList3D>0 0 1 10 10 2 20 20 3</PntList3D></Breakline></Breaklines>
	 <Contours><Contour elev="12.5"><PntList2D>7 8 9 10</PntList2D></Contour></Contours>
	 <Boundaries><Boundary bndType="outer"><PntList2D>0 0 0 90 90 90</PntList2D></Boundary><Boundary bndType="void"><PntList3D>1 1 0 1 2 0 2 2 0</PntList3D></Boundary></Boundaries>
	 <PointFiles><PointFile fileName="x"/></PointFiles>
	</SourceData>`
	found := must(t, document(metric, surfaceOf(source+`<Definition surfType="TIN">`+threePoints+`</Definition>`)), "a.xml", Options{})
	if len(found.Points) != 11 || len(found.Breaklines) != 2 || len(found.Boundary) != 1 || len(found.Holes) != 1 || found.Surface != nil {
		t.Fatalf("%+v", found)
	}
	samePoint(t, found.Points[0], 1000, 0, 5, 0)
	samePoint(t, found.Points[5], 5, 4, 6, 0)
	samePoint(t, found.Points[found.Breaklines[0][1]], 10, 10, 2, 0)
	samePoint(t, found.Points[found.Breaklines[1][1]], 10, 9, 12.5, 0)
	if found.Boundary[0][1] != (orb.Point{90, 0}) {
		t.Errorf("boundary %v", found.Boundary)
	}
	drawn := must(t, document(metric, surfaceOf(source+`<Definition surfType="TIN">`+threePoints+`<Faces><F>1 2 3</F></Faces></Definition>`)), "a.xml", Options{})
	if drawn.Surface == nil || len(drawn.Boundary) != 0 || len(drawn.Points) != 0 {
		t.Errorf("%+v", drawn)
	}
}

func TestLandXMLUnits(t *testing.T) {
	content := surfaceOf(`<Definition>` + threePoints + `<Faces><F>1 2 3</F></Faces></Definition>`)
	for word, size := range map[string]float64{`Metric linearUnit="meter"`: 1, `Imperial linearUnit="foot"`: 0.3048, `Imperial linearUnit="USSurveyFoot"`: ftUS, `Metric linearUnit="millimeter"`: 0.001} {
		found := must(t, document(`<Units><`+word+`/></Units>`, content), "a.xml", Options{})
		if got := found.Bound.Max[0]; math.Abs(got-1010*size) > 1e-9 {
			t.Errorf("%s: %v, want %v", word, got, 1010*size)
		}
	}
	foot := document(`<Units><Imperial linearUnit="foot"/></Units>`, content)
	fails(t, foot, "a.xml", Options{Unit: unitOf("ftUS")}, "its unit is ft, the table says ftUS", "`unit` blank")
	fails(t, document("", content), "a.xml", Options{}, "what unit")
	fails(t, document(`<Units><Imperial linearUnit="cubit"/></Units>`, content), "a.xml", Options{}, `linearUnit "cubit"`)
}

func TestLandXMLGridFaces(t *testing.T) {
	found := must(t, document(metric, surfaceOf(`<Definition surfType="grid">`+threePoints+`<Faces><F>1 2 4 3</F></Faces></Definition>`)), "a.xml", Options{})
	if n := found.Surface.(*geometry.Faces).Summary().Triangles; n != 2 || len(found.Notes) != 2 {
		t.Errorf("%d triangles, notes %q", n, found.Notes)
	}
}

func TestLandXMLFaults(t *testing.T) {
	tin := func(content string) []byte {
		return document(metric, surfaceOf(`<Definition>`+content+`</Definition>`))
	}
	line := func(content string) []byte {
		return document(metric, `<Alignments><Alignment name="a"><CoordGeom>`+content+`</CoordGeom></Alignment></Alignments>`)
	}
	for name, c := range map[string]struct {
		data  []byte
		words []string
	}{
		"several":         {file(t, "pond.xml"), []string{`holds 2 surfaces: "ground", "design"`, "`name`"}},
		"no such point":   {tin(threePoints + "\n<Faces><F>1 2 3</F>\n<F>1 2 77</F></Faces>"), []string{"line 3", "a face names the point 77, which is not there"}},
		"twice an id":     {tin(`<Pnts><P id="1">1 2 3</P><P id="1">1 2 3</P></Pnts>`), []string{"two points have the id 1"}},
		"no id":           {tin(`<Pnts><P>1 2 3</P></Pnts>`), []string{"a point has no id"}},
		"no elevation":    {tin(`<Pnts><P id="q">1 2</P></Pnts>`), []string{"point q of the surface has no elevation"}},
		"one number":      {tin(`<Pnts><P id="q">1</P></Pnts>`), []string{"<P> has 1 number"}},
		"no number":       {tin(`<Pnts><P id="q">1 NaN 3</P></Pnts>`), []string{`<P> holds "NaN"`}},
		"no reference":    {tin(`<Pnts><P id="q" pntRef="zz"/></Pnts>`), []string{`refers to a point "zz"`}},
		"two corners":     {tin(threePoints + `<Faces><F>1 2</F></Faces>`), []string{"does not name three points"}},
		"overlap":         {tin(threePoints + `<Faces><F>1 2 3</F><F>1 2 4</F></Faces>`), []string{"two faces lie over one another near x 1005.00, y 5.00", "1 2 3 and of the points 1 2 4"}},
		"flat":            {tin(threePoints + `<Faces><F>1 1 3</F></Faces>`), []string{"no triangle has an area"}},
		"empty":           {tin(`<Pnts/>`), []string{`its surface "s" holds neither faces nor points`}},
		"no surface":      {document(metric, ""), []string{"neither a surface nor an alignment"}},
		"other XML":       {[]byte(`<html><body/></html>`), []string{"no LandXML: it begins with <html>"}},
		"entities":        {[]byte(`<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><LandXML>&b;</LandXML>`), []string{"entities of its own"}},
		"unknown entity":  {document(metric, "&b;"), []string{"it is no XML"}},
		"deep":            {document(metric, strings.Repeat("<a>", 100)), []string{"too deep"}},
		"wrong end":       {document(metric, "<a></b>"), []string{"<a> is closed by </b>"}},
		"encoding":        {[]byte(`<?xml version="1.0" encoding="EBCDIC"?><LandXML/>`), []string{"EBCDIC"}},
		"far":             {tin(`<Pnts><P id="1">1 1e12 3</P></Pnts>`), []string{"within 100,000,000 m"}},
		"odd list":        {document(metric, surfaceOf(`<SourceData><DataPoints><PntList3D>1 2 3 4</PntList3D></DataPoints></SourceData>`)), []string{"holds 4 numbers"}},
		"no magic":        {[]byte("PK\x03\x04 not XML at all"), []string{"no landxml file"}},
		"only the header": {[]byte(`<?xml version="1.0"?>`), []string{"ends too soon"}},
	} {
		t.Run(name, func(t *testing.T) { fails(t, c.data, "a.xml", Options{}, c.words...) })
	}
	// What is wrong with an alignment matters only when it is used.
	for name, c := range map[string]struct{ content, word string }{
		"spiral":    {`<Line><Start>0 0</Start><End>0 9</End></Line><Spiral length="5"/>`, "holds a <Spiral>"},
		"no way":    {`<Curve><Start>0 0</Start><Center>5 5</Center><End>0 9</End></Curve>`, "which way it turns"},
		"no centre": {`<Curve rot="cw"><Start>0 0</Start><End>0 9</End></Curve>`, "lacks its start, end or centre"},
		"no end":    {`<Line><Start>0 0</Start></Line>`, "lacks its start"},
		"nothing":   {``, "holds no lines or curves"},
		"no point":  {`<Line><Start pntRef="x"/><End>0 9</End></Line>`, `refers to a point "x"`},
	} {
		found := must(t, line(c.content), "a.xml", Options{})
		if len(found.Alignments) != 1 || found.Alignments[0].Fault == nil || !strings.Contains(found.Alignments[0].Fault.Error(), c.word) {
			t.Errorf("%s: %+v", name, found.Alignments)
		}
	}
	cutOffs(t, file(t, "pond.xml"), "pond.xml", named("ground"), nil)
}

// Ids are names: numbers far apart, with zeros before them and words do not meet.
func TestLandXMLIds(t *testing.T) {
	var x idIndex
	ids := []string{"5", "05", "123456789012", "a", "4097", "0", "999999999999999999999", "-1", "4098"}
	for i := range 6000 { // so many that larger numbers move into the plain list
		ids = append(ids, fmt.Sprint(10000+i))
	}
	want := map[string]int32{}
	for round := range 2 {
		for _, id := range ids {
			n := x.number([]byte(id))
			if round == 0 {
				want[id] = n
			}
			if n != want[id] || x.name(n) != id && len(ids) < 20 {
				t.Fatalf("%s: %d, want %d", id, n, want[id])
			}
		}
	}
	seen := map[int32]bool{}
	for id, n := range want {
		if seen[n] || n < 0 || int(n) >= len(ids) {
			t.Fatalf("%s: %d", id, n)
		}
		seen[n] = true
		if len(id) < 4 && x.name(n) != id {
			t.Errorf("%d is called %q, want %q", n, x.name(n), id)
		}
	}
}

// Other encodings: old Western text and UTF-16.
func TestLandXMLEncodings(t *testing.T) {
	text := `<Surfaces><Surface name="Tal-Grün"><Definition>` + threePoints + `<Faces><F>1 2 3</F></Faces></Definition></Surface></Surfaces></LandXML>`
	old := []byte(`<?xml version="1.0" encoding="ISO-8859-1"?><LandXML>` + metric)
	wide := []byte{0xff, 0xfe}
	for _, r := range `<?xml version="1.0" encoding="UTF-16"?><LandXML>` + metric + text {
		wide = append(wide, byte(r), byte(r>>8))
	}
	for _, r := range text {
		old = append(old, byte(r))
	}
	for name, data := range map[string][]byte{"old": old, "wide": wide} {
		found := must(t, data, "a.xml", Options{})
		if found.Surface == nil || !strings.Contains(found.Notes[0], "Tal-Grün") {
			t.Errorf("%s: %q", name, found.Notes)
		}
	}
}
