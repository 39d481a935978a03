package plan_test

import (
	"math"
	"strings"
	"testing"
)

// levelDam is a straight dam 10 m high and 100 m long on level ground, crest 5 m
// wide, faces 2:1, in metres, with settings and a material added.
func levelDam(t testing.TB, settings, material string) map[string]string {
	t.Helper()
	out := map[string]string{
		"site":    "item,value\noutput units,metric\n" + settings,
		"profile": "station (m),elevation (m)\n0,100\n100,100\n",
		"crest":   "elevation (m),width (m)\n110,5\n",
		"faces":   "side,slope (h:v)\nupstream,2\ndownstream,2\n",
	}
	if material != "" {
		out["materials"] = material
	}
	return out
}

// A level dam in lifts of 0.5 m: 20 lifts; the lift whose middle lies h below the
// crest is (5 + 4 h) wide, so its volume is 100 x 0.5 x (5 + 4 h) (closed form).
// One test for each 200 m3 or part of it.
func TestLiftsOfALevelDam(t *testing.T) {
	r := run(t, tables(t, levelDam(t, "test every,200 m3\nleast tests a lift,2\n",
		"material,lift thickness (cm),lift measured,shrink factor (-)\nfill,50,compacted,0.9\n")))
	if len(r.Lifts.Sets) != 1 || len(r.Lifts.Sets[0].Lifts) != 20 {
		t.Fatalf("%d sets", len(r.Lifts.Sets))
	}
	sum := 0
	for i, l := range r.Lifts.Sets[0].Lifts {
		h := 10 - (0.25 + 0.5*float64(i))
		want := 100 * 0.5 * (5 + 4*h)
		near(t, "volume of a lift", l.Compacted, want, 1e-9*want)
		near(t, "top of a lift", l.Top, 100+0.5*float64(i+1), 1e-9)
		if tests := max(2, int(math.Ceil(want/200))); l.Tests != tests {
			t.Errorf("lift %d: %d tests, want %d", i, l.Tests, tests)
		}
		sum += l.Tests
	}
	if r.Lifts.Tests != sum {
		t.Errorf("%d tests in all, want %d", r.Lifts.Tests, sum)
	}
	near(t, "all lifts", r.Lifts.Sets[0].Compacted, r.Quantities.Total, 1e-9*r.Quantities.Total)
}

// Without any thickness lifts are 0.15 m, and a note says so; without a rule no
// tests are counted.
func TestLiftsWithoutAThickness(t *testing.T) {
	r := run(t, tables(t, levelDam(t, "", "")))
	near(t, "thickness", r.Lifts.Sets[0].Thickness, 0.15, 0)
	if !hasNote(r.Notes, "note", "lifts of 15.0 cm compacted are taken for fill") {
		t.Error("no note says which thickness was taken")
	}
	if r.Lifts.Asked || r.Lifts.Tests != 0 {
		t.Error("nobody asked for tests")
	}
}

// A thickness as spread loose becomes compacted as the dry densities are: solids
// x thickness stays the same. 8 in of the demo's lean clay.
func TestLooseThickness(t *testing.T) {
	r := run(t, sites+"plain")
	clay := material(t, r, "lean clay").Factors
	near(t, "clay's lifts", r.Lifts.Sets[0].Thickness, 8*0.0254*clay.Loose.Value/clay.Fill.Value, 1e-12)

	// typed factors: 20 cm loose / 1.25 bank x 0.9 = 14.4 cm
	base := levelDam(t, "", "material,lift thickness (cm),lift measured,shrink factor (-),swell (-)\nfill,20,loose,0.9,0.25\n")
	near(t, "by typed factors", run(t, tables(t, base)).Lifts.Sets[0].Thickness, 0.144, 1e-12)

	base = levelDam(t, "", "material,lift thickness (cm),lift measured,shrink factor (-)\nfill,20,loose,0.9\n")
	r = run(t, tables(t, base))
	near(t, "not known", r.Lifts.Sets[0].Thickness, 0.2, 0)
	if !hasNote(r.Notes, "look", "are taken as compacted") {
		t.Error("the guess is not told")
	}
}

// The demo's core and shell have lifts of their own thickness; each zone is in one
// set, and with what the allowance adds they are the whole dam.
func TestLiftsAddUp(t *testing.T) {
	r := run(t, sites+"plain")
	sum, tests := 0.0, 0
	zones := map[int]float64{}
	for _, set := range r.Lifts.Sets {
		for _, l := range set.Lifts {
			for _, p := range l.Parts {
				zones[p.Zone] += p.Compacted
				sum += p.Compacted
				tests += p.Tests
			}
		}
	}
	for _, p := range r.Lifts.Allowance {
		zones[p.Zone] += p.Compacted
		sum += p.Compacted
		tests += p.Tests
	}
	near(t, "the dam", sum, r.Quantities.Total, 1e-9*r.Quantities.Total)
	for i, z := range r.Quantities.Zones {
		near(t, z.Zone, zones[i], z.Compacted, 1e-9*z.Compacted)
	}
	if len(r.Lifts.Sets) != 2 || tests != r.Lifts.Tests || tests == 0 {
		t.Errorf("%d sets, %d tests, %d in all", len(r.Lifts.Sets), tests, r.Lifts.Tests)
	}
}

// A thickness that is a slip is refused with its row.
func TestThinLift(t *testing.T) {
	got := failing(t, levelDam(t, "", "material,lift thickness (mm),lift measured,shrink factor (-)\nfill,0.5,compacted,0.9\n"))
	if !strings.Contains(got, "materials row 2, lift thickness: lifts of 0.5 mm compacted would be more than 5000") {
		t.Error(got)
	}
}

// The volume by elevation rises, and ends at fill, trench and what lies outside, which
// is what the lifts come to.
func TestVolumeCurve(t *testing.T) {
	r := run(t, tables(t, pond))
	curve := r.Lifts.Curve
	q := r.Quantities
	last := curve[len(curve)-1]
	near(t, "top", last.Compacted, q.Fill.EndArea+q.Fill.Bend+q.Trench+q.Outside, 1e-6)
	for i := 1; i < len(curve); i++ {
		if !(curve[i].Level > curve[i-1].Level && curve[i].Compacted > curve[i-1].Compacted) {
			t.Errorf("it does not rise at %v", curve[i])
		}
	}
	sum := 0.0
	for _, set := range r.Lifts.Sets {
		sum += set.Compacted
	}
	near(t, "the lifts together", last.Compacted, sum, 1e-6)
}
