package drawing

import (
	"fmt"
	"math"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// paperRounding is how far a length on the paper may be off, points: the rounding
// of a few sums.
const paperRounding = 1e-6

// lengthOf is the length of the lines of a pen in a layer of a sheet, points.
func lengthOf(s *Sheet, layer string, p pen) float64 {
	sum := 0.0
	for _, i := range s.items {
		if i.path == nil || i.path.layer != layer || i.path.pen.width != p.width || i.path.pen.ink != p.ink || len(i.path.pen.dash) != len(p.dash) {
			continue
		}
		for _, l := range i.path.lines {
			along := lengths(l)
			sum += along[len(along)-1]
		}
	}
	return sum
}

// On every paper the centreline of 60 m is as long as the stated scale says, in
// plan and, in feet, for a copy of the site that is shown in US units.
func TestScaleIsTrue(t *testing.T) {
	metric := fromTables(t, small())
	shown := small()
	shown["site"] = "item,value\noutput units,us\nupstream side,left\n"
	us := fromTables(t, shown)
	for _, p := range Papers {
		s := Draw(metric, Options{Paper: p})
		d := &set{r: metric, system: units.Metric, paper: p}
		d.plan()
		n := numberIn(t, d.scales[0], "1:%g")
		near(t, p.Name+" metric", lengthOf(named(t, s, "plan"), "centreline", chainPen), 60/n/0.0254*72, paperRounding)

		s = Draw(us, Options{Paper: p})
		d = &set{r: us, system: units.US, paper: p}
		d.plan()
		n = numberIn(t, d.scales[0], "1 in = %g ft")
		near(t, p.Name+" us", lengthOf(named(t, s, "plan"), "centreline", chainPen), 60/0.3048/n*72, paperRounding)
	}
}

// In the profile the settled crest of 60 m less what lies in the slopes, from -12
// to 12 m and its stripping, is as long as the scale across says; each section's
// crest of 4 m is as wide as the scale of the sections says.
func TestScaleOfProfileAndSections(t *testing.T) {
	r := fromTables(t, small())
	p, _ := PaperOf("a3")
	d := &set{r: r, system: units.Metric, paper: p}
	d.profile()
	across := numberIn(t, d.scales[0], "1:%g across")
	q := r.Quantities.Sections
	long := q[len(q)-1].Station - q[0].Station
	near(t, "profile", lengthOf(d.sheets[0], "profile", settledPen), long/across/0.0254*72, paperRounding)

	d = &set{r: r, system: units.Metric, paper: p}
	d.sections()
	n := numberIn(t, d.scales[0], "1:%g, across and up")
	found := 0
	for _, i := range d.sheets[0].items {
		if i.path == nil || i.path.layer != "section" || i.path.pen.width != medium.width || i.path.pen.dash != nil {
			continue
		}
		for _, l := range i.path.lines { // outlines: the level piece is the crest
			for k := 1; k < len(l); k++ {
				if l[k][1] == l[k-1][1] {
					near(t, "crest", l[k][0]-l[k-1][0], 4/n/0.0254*72, paperRounding)
					found++
				}
			}
		}
	}
	if found < 2 {
		t.Errorf("only %d crests were found", found)
	}
}

// The standard scales: the largest one that fits.
func TestStandardScales(t *testing.T) {
	for _, c := range []struct {
		system units.System
		metres float64 // to fit into 720 points, 10 in
		want   string
	}{
		{units.US, 200 * 0.3048, "1 in = 20 ft"},
		{units.US, 201 * 0.3048, "1 in = 30 ft"},
		{units.US, 590 * 0.3048, "1 in = 60 ft"},
		{units.US, 610 * 0.3048, "1 in = 100 ft"},
		{units.US, 9 * 0.3048, "1 in = 1 ft"},
		{units.Metric, 0.254 * 100, "1:100"},
		{units.Metric, 0.254 * 101, "1:200"},
		{units.Metric, 0.254 * 240, "1:250"},
		{units.Metric, 0.254 * 260, "1:500"},
		{units.Metric, 0.254 * 9999, "1:10000"},
	} {
		s := scaleFor(c.system, [2]float64{c.metres, 0}, [2]float64{720, 1})
		if s.text != c.want {
			t.Errorf("%.2f m on 10 in: %s, want %s", c.metres, s.text, c.want)
		}
		if s.perMetre*c.metres > 720*(1+1e-6) {
			t.Errorf("%s does not fit", s.text)
		}
	}
}

// The hatch's lines times their distance are the area that they fill, up to one
// line at each edge (closed form: a square with a hole).
func TestHatchFillsAnArea(t *testing.T) {
	outer, hole := rectangle(100, 100, 300, 300), rectangle(150, 150, 200, 250)
	hole.Reverse()
	for _, angle := range []float64{0, 30, 45, 90, -45, 135} {
		const gap = 0.5
		sum := 0.0
		for _, l := range hatchLines([]orb.LineString{outer, hole}, angle, gap) {
			sum += math.Hypot(l[1][0]-l[0][0], l[1][1]-l[0][1])
			for _, p := range l {
				in := p[0] > 100-1e-6 && p[0] < 300+1e-6 && p[1] > 100-1e-6 && p[1] < 300+1e-6
				if !in || p[0] > 150+1e-6 && p[0] < 200-1e-6 && p[1] > 150+1e-6 && p[1] < 250-1e-6 {
					t.Fatalf("angle %g: a line ends at %v", angle, p)
				}
			}
		}
		near(t, "hatch", sum*gap, 200*200-50*100, 250)
	}
}

// What is filled of each zone is the zone's area, for every section of two sites:
// rings round the slabs against the sum of the slabs.
func TestZonesAsDrawn(t *testing.T) {
	for name, r := range map[string]*plan.Result{"layers": fromTables(t, small()), "demo": planned(t, sites+"demo")} {
		for i := range r.Quantities.Sections {
			c := &r.Quantities.Sections[i]
			for z := range r.Quantities.Zones {
				got := [3]float64{ringArea(zoneRings(c.Shapes, z)), ringArea(zoneRings(c.Dug, z)), ringArea(zoneRings(c.Over, z))}
				want := [3]float64{c.Zones[z].Neat.Area, c.Zones[z].Trench.Area, c.Zones[z].Outside.Area}
				for k := range got {
					near(t, name+" "+r.Quantities.Zones[z].Zone, got[k], want[k], 1e-4)
				}
			}
		}
	}
}

// ringArea is the area inside closed rings, holes taken off; an open ring fails.
func ringArea(rings []orb.LineString) float64 {
	sum := 0.0
	for _, r := range rings {
		if r[0] != r[len(r)-1] {
			return math.NaN()
		}
		sum += geometry.SignedArea(orb.Ring(r))
	}
	return sum
}

// numberIn reads the number in a text of a form.
func numberIn(t *testing.T, text, form string) float64 {
	t.Helper()
	var v float64
	if _, err := fmt.Sscanf(text, form, &v); err != nil {
		t.Fatalf("%q is not like %q: %v", text, form, err)
	}
	return v
}
