package drawing

import (
	"math"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// eachSet looks at all sheets of some sites, on each paper.
func eachSet(t *testing.T, check func(t *testing.T, sheets []*Sheet)) {
	results := map[string]*plan.Result{"small": fromTables(t, small()), "full": fromTables(t, full())}
	for _, name := range []string{"demo", "metric/metric.xlsx", "handbook"} {
		results[name] = planned(t, sites+name)
	}
	for name, result := range results {
		for _, p := range Papers {
			t.Run(name+" "+p.Name, func(t *testing.T) {
				check(t, Draw(result, Options{Paper: p, Version: "test"}))
			})
		}
	}
}

// No words stand on other words, on a line that matters, or off the paper.
func TestWordsStandClear(t *testing.T) {
	eachSet(t, func(t *testing.T, sheets []*Sheet) {
		for _, s := range sheets {
			paper := orb.Bound{Max: orb.Point{s.paper.Width, s.paper.Height}}
			var set []*words
			for i := range s.items {
				if w := s.items[i].words; w != nil {
					set = append(set, w)
				}
			}
			for i, w := range set {
				b := w.box()
				if !b.within(paper) {
					t.Errorf("%s: %q hangs off the paper", s.Name, w.text)
				}
				for _, o := range set[:i] {
					if b.meets(o.box()) {
						t.Errorf("%s: %q stands on %q", s.Name, w.text, o.text)
					}
				}
				for _, k := range s.keep {
					if b.crossed(k) {
						t.Errorf("%s: a line runs through %q, from %v to %v", s.Name, w.text, k.a, k.b)
						break
					}
				}
			}
		}
	})
}

// Boxes and lines against points taken all over them: what meets by one way meets
// by the other.
func TestBoxesByPoints(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(name string) box {
			a := rapid.Float64Range(0, 2*math.Pi).Draw(rt, name)
			return box{
				at:    orb.Point{rapid.Float64Range(-4, 4).Draw(rt, name), rapid.Float64Range(-4, 4).Draw(rt, name)},
				along: orb.Point{math.Cos(a), math.Sin(a)},
				half:  [2]float64{rapid.Float64Range(0.5, 4).Draw(rt, name), rapid.Float64Range(0.2, 2).Draw(rt, name)},
			}
		}
		a, b := draw("a"), draw("b")
		inside := func(b box, p orb.Point) bool {
			u, v := b.local(p)
			return math.Abs(u) < b.half[0] && math.Abs(v) < b.half[1]
		}
		const n = 60
		touch := false
		for i := range n + 1 {
			for k := range n + 1 {
				u, v := (2*float64(i)/n-1)*a.half[0], (2*float64(k)/n-1)*a.half[1]
				p := orb.Point{a.at[0] + u*a.along[0] - v*a.along[1], a.at[1] + u*a.along[1] + v*a.along[0]}
				touch = touch || inside(b, p)
			}
		}
		if touch && !a.meets(b) {
			rt.Errorf("%+v and %+v share a point", a, b)
		}
		if a.meets(b) != b.meets(a) {
			rt.Errorf("%+v and %+v: one meets, the other does not", a, b)
		}
		// Boxes that have no point of a fine grid in common and meet all the same
		// share less than a cell of it: with one of them a little smaller they part.
		if !touch && a.grown(-4*max(a.half[0], a.half[1])/n).meets(b) && a.half[1] > 4*a.half[0]/n {
			rt.Errorf("%+v and %+v share no point", a, b)
		}
		s := segment{b.at, orb.Point{b.at[0] + 5*b.along[0], b.at[1] + 5*b.along[1]}}
		cut := false
		for i := range 400 {
			cut = cut || inside(a, between(s.a, s.b, float64(i)/399))
		}
		if cut && !a.crossed(s) {
			rt.Errorf("%v passes through %+v", s, a)
		}
		if !cut && a.grown(-0.05).crossed(s) && a.half[1] > 0.1 && a.half[0] > 0.1 {
			rt.Errorf("%v does not pass through %+v", s, a)
		}
	})
}

// A leader goes with words that had to stand far off, and runs over no words.
func TestLeader(t *testing.T) {
	p, _ := PaperOf("a4")
	s := newSheet("x", "x", p)
	at := orb.Point{200, 200}
	for i := range 9 { // lines all round the point
		d := float64(i * 6)
		s.guard(rectangle(200-d, 200-d, 200+d, 200+d))
	}
	if !s.pointed(at, words{text: "far", size: 8}, 4, s.room()) {
		t.Fatal("there is room farther out")
	}
	if len(s.items) != 2 {
		t.Errorf("%d items, want the words and their leader", len(s.items))
	}
}

// All that a plan can show is on it and explained.
func TestPlanShowsAll(t *testing.T) {
	p, _ := PaperOf("a3")
	s := named(t, Draw(fromTables(t, full()), Options{Paper: p}), "plan")
	text := map[string]bool{}
	layers := map[string]bool{}
	for _, i := range s.items {
		if i.words != nil {
			text[i.words.text] = true
		} else {
			layers[i.path.layer] = true
		}
	}
	for _, want := range []string{
		"North pit", "Spillway", "Lining", "drain pipe", "Heap", "N-1", "N-2", "N-3", "haul 90 m", "upstream", "downstream", "N", "0+000", "0+060",
		"Normal pool 10.00 m", "Toe of the neat dam", "Edge of the crest", "Borrow pit", "Required excavation", "Lining of the lake bed",
		"Haul: straight line, not a road", "Cross-section drawn, its ends", "Test hole", "Stockpile", "Pipe through the dam", "Centreline with stations", "Grid of the site, m",
		"Cutoff trench, top and bottom", "normal pool 10.00 m",
	} {
		if !text[want] {
			t.Errorf("the plan does not say %q", want)
		}
	}
	for _, want := range []string{"water", "contours", "dam", "pits", "cuts", "hauls", "borings", "conduits", "centreline", "grid", "legend", "frame"} {
		if !layers[want] {
			t.Errorf("nothing is drawn of %s", want)
		}
	}
}
