package terrain

import (
	"strconv"
	"strings"
	"testing"
)

// However the points and faces are written, the ground is the same, and so are the
// lines that errors name.
func TestPlainElementsOrNot(t *testing.T) {
	points := [][2]string{
		{`<P id="1">0 0 5</P>`, `<P desc="x" id="1">0 0 5</P>`},
		{`<P id="2">0 10 6</P>`, `<P id='2'><!-- a -->0 10 6</P>`},
		{`<P id="3">10 10 7</P>`, `<P id="3"  >10 10 &#55;</P  >`},
		{`<P id="4">10 0 8</P>`, `<P code="b" id="4">10 0 8.0</P>`},
		{`<P id="9">5 20 8</P>`, "<P\nid=\"9\">\n5 20 8</P>"},
	}
	faces := [][2]string{
		{`<F>1 2 3</F>`, `<F i="0">1 2 3</F>`},
		{`<F n="0 0 0">1 3 4</F>`, `<F><![CDATA[1 3 4]]></F>`},
		{`<F>2 9 3</F>`, "<F>2\t9\n3</F>"},
	}
	write := func(odd int) string {
		var p, f strings.Builder
		for i, c := range points {
			p.WriteString("\n" + c[odd>>i&1])
		}
		for i, c := range faces {
			f.WriteString(c[odd>>(len(points)+i)&1])
		}
		return `<Surfaces><Surface name="a"><Definition surfType="TIN"><Pnts>` + p.String() + `</Pnts><Faces>` + f.String() + "\n<F>1 2 77</F>\n</Faces></Definition></Surface></Surfaces>"
	}
	for odd := range 1 << (len(points) + len(faces)) {
		content := write(odd)
		good := strings.Replace(content, "\n<F>1 2 77</F>", "", 1)
		found := must(t, document(metric, good), "a.xml", Options{})
		low, high := found.Surface.Range()
		n := 0
		for range found.Surface.Triangles(found.Surface.Bound()) {
			n++
		}
		if n != 3 || low != 5 || high != 8 {
			t.Fatalf("%b: %d triangles from %v to %v\n%s", odd, n, low, high, good)
		}
		bad := document(metric, content)
		line := 1 + strings.Count(string(bad[:strings.Index(string(bad), "<F>1 2 77")]), "\n")
		fails(t, bad, "a.xml", Options{}, "names the point 77", "line "+strconv.Itoa(line))
	}
}
