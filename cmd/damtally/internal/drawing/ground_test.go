package drawing

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// drawnAs are the rings and lines of a layer of a sheet.
func drawnAs(s *Sheet, layer string, keep func(*path) bool) []orb.LineString {
	var out []orb.LineString
	for _, i := range s.items {
		if i.path != nil && i.path.layer == layer && keep(i.path) {
			out = append(out, i.path.lines...)
		}
	}
	return out
}

// scaleOf reads a scale such as "1 in = 20 ft" or "1:250" as points on the paper for
// one metre.
func scaleOf(t *testing.T, d *set, sheet string) float64 {
	t.Helper()
	for i, s := range d.sheets {
		if s.Name == sheet {
			text, _, _ := strings.Cut(d.scales[i], ",")
			for _, n := range []float64{1, 2, 2.5, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000} {
				if sc := scaleUnder(d.system, pointsPerInch/0.0254/n); sc.text == text {
					return sc.perMetre
				}
			}
			t.Fatalf("scale %q", text)
		}
	}
	t.Fatalf("no sheet %s", sheet)
	return 0
}

func drawSet(r *plan.Result, paper string) *set {
	p, _ := PaperOf(paper)
	return drawn(r, Options{Paper: p})
}

// Each layer of each hole is as tall on the paper as its thickness by the scale, and
// every hole is named once.
func TestHolesToScale(t *testing.T) {
	r := fromTables(t, full())
	d := drawSet(r, "a3")
	s := named(t, d.sheets, "holes")
	scale := scaleOf(t, d, s.Name)
	var want []float64
	names := map[string]int{}
	for _, h := range r.Plan.Holes {
		names[h.Name] = 0
		for _, l := range h.Layers {
			want = append(want, (l.To-l.From)*scale)
		}
	}
	rings := drawnAs(s, "holes", func(p *path) bool { return p.closed && !p.filled })
	if len(rings) != len(want) {
		t.Fatalf("%d layers drawn of %d", len(rings), len(want))
	}
	for i, ring := range rings {
		b := ring.Bound()
		near(t, "thickness", b.Max[1]-b.Min[1], want[i], 1e-9)
	}
	for _, i := range s.items {
		if i.words != nil {
			if _, ok := names[i.words.text]; ok {
				names[i.words.text]++
			}
		}
	}
	for name, n := range names {
		if n != 1 {
			t.Errorf("hole %s is named %d times", name, n)
		}
	}
}

// The shaded area of a map is that of the cells which are dug, by the scale.
func TestDigMapToScale(t *testing.T) {
	r := fromTables(t, full())
	d := drawSet(r, "a3")
	s := named(t, d.sheets, "digs")
	scale := scaleOf(t, d, s.Name)
	cells := 0.0
	for _, p := range r.Pits {
		if p.Dig == nil {
			continue
		}
		for _, depth := range p.Dig.Map.Depth {
			if depth > 0 {
				cells += p.Dig.Map.Step * p.Dig.Map.Step
			}
		}
	}
	if cells == 0 {
		t.Fatal("nothing is dug")
	}
	shaded := 0.0
	for _, ring := range drawnAs(s, "depths", func(p *path) bool { return p.filled }) {
		shaded += math.Abs(geometry.SignedArea(orb.Ring(ring)))
	}
	near(t, "shaded area", shaded, cells*scale*scale, 1e-6*cells*scale*scale)
}

// Sheets of sections hold as many each, so that the last is not nearly empty.
func TestSectionsSpreadEvenly(t *testing.T) {
	d := drawSet(planned(t, sites+"demo"), "tabloid")
	counts := map[int]int{}
	sheets := 0
	for _, s := range d.sheets {
		if !strings.HasPrefix(s.Name, "sections") {
			continue
		}
		sheets++
		n := 0
		for _, i := range s.items {
			if i.words != nil && strings.HasPrefix(i.words.text, "Station ") {
				n++
			}
		}
		counts[n]++
	}
	if sheets < 2 || len(counts) != 1 {
		t.Errorf("%d sheets, sections on them: %v", sheets, counts)
	}
}
