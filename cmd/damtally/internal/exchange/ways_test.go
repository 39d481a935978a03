package exchange

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/terrain"
	"github.com/damtally/damtally/geometry"
)

// TestAlignmentReadsBack: the centreline comes back from LandXML as the same line:
// the same stations stand in the same places to 1e-6 m, on straights and curves.
func TestAlignmentReadsBack(t *testing.T) {
	for name, c := range cases {
		r := planned(t, c.site, c.change)
		found := read(t, r, surfaceFile, files(t, r)[surfaceFile], terrain.Options{})
		if len(found.Alignments) != 1 || found.Alignments[0].Fault != nil {
			t.Fatalf("%s: alignments %+v", name, found.Alignments)
		}
		a := found.Alignments[0]
		line := r.Plan.Line
		back, err := geometry.NewCentrelineOf(a.Parts, a.Start, r.Plan.UpstreamLeft)
		if err != nil {
			t.Fatal(name, err)
		}
		curves := slices.ContainsFunc(a.Parts, func(p geometry.Part) bool { return p.Turn != geometry.TurnsNot })
		if want := strings.HasSuffix(name, "curve"); curves != want {
			t.Errorf("%s: curves %v", name, curves)
		}
		if d := math.Abs(back.End() - line.End()); d > readBack {
			t.Errorf("%s: ends %g m off", name, d)
		}
		for k := range 101 {
			s := line.Start() + (line.End()-line.Start())*float64(k)/100
			p, q := line.Frame(s, false).At, back.Frame(s, false).At
			if d := math.Hypot(p[0]-q[0], p[1]-q[1]); d > readBack {
				t.Fatalf("%s: station %g comes back %g m away", name, s, d)
			}
		}
	}
}

// TestHolesAndHaulsOnTheMap: each test hole stands once where its row has it, and
// each haul is said to be straight and no road.
func TestHolesAndHaulsOnTheMap(t *testing.T) {
	r := planned(t, "demo", func(s *site.Site) { s.Borings[0].WaterDepth = site.Number{Value: 3, Given: true} })
	var got struct {
		Features []struct {
			Properties map[string]any
			Geometry   struct{ Coordinates json.RawMessage }
		}
	}
	if err := json.Unmarshal(files(t, r)[planFile], &got); err != nil {
		t.Fatal(err)
	}
	grid := newScribe(r, "").grid
	holes := map[string]bool{}
	for _, b := range r.Site.Borings {
		holes[b.Hole] = true
	}
	hauls, moved := 0, 0.0
	for _, f := range got.Features {
		switch f.Properties["kind"] {
		case "test hole":
			name := f.Properties["name"].(string)
			if !holes[name] {
				t.Errorf("hole %q stands twice or is none", name)
			}
			delete(holes, name)
			var at [2]float64
			if err := json.Unmarshal(f.Geometry.Coordinates, &at); err != nil {
				t.Fatal(err)
			}
			row := r.Site.Borings[slices.IndexFunc(r.Site.Borings, func(b site.Boring) bool { return b.Hole == name })]
			if d := math.Hypot(grid.ToSI(at[0])-row.At[0], grid.ToSI(at[1])-row.At[1]); d > 1e-5 {
				t.Errorf("hole %s stands %g m off", name, d)
			}
			if !strings.Contains(f.Properties["layers"].(string), row.Material) {
				t.Errorf("hole %s: %v", name, f.Properties["layers"])
			}
		case "haul":
			hauls++
			moved += f.Properties["bank_yd3"].(float64)
			if f.Properties["course"] != "a straight line, not a road" {
				t.Errorf("%v", f.Properties)
			}
		}
	}
	if len(holes) > 0 {
		t.Errorf("not drawn: %v", holes)
	}
	want := 0.0
	for _, f := range r.Allocation.Flows {
		if f.Road.Placed && f.Road.Start != f.Road.End {
			want += f.Bank
		}
	}
	if hauls == 0 || math.Abs(moved-newScribe(r, "").system.Volume.FromSI(want)) > 1e-3 {
		t.Errorf("%d hauls carry %g bank yd3", hauls, moved)
	}
}
