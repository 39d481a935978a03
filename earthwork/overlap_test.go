package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/damtally/damtally/testdata/published"
)

func laidOut(t testing.TB, vertices ...geometry.Vertex) *geometry.Centreline {
	t.Helper()
	line, err := geometry.NewCentreline(vertices, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	return line
}

// at is a corner of a centreline.
func at(x, y, radius float64) geometry.Vertex {
	return geometry.Vertex{At: [2]float64{x, y}, Radius: radius}
}

func cutAlong(t testing.TB, d earthwork.Design, line *geometry.Centreline, g earthwork.Ground) earthwork.Quantities {
	t.Helper()
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g, Centreline: line})
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func warned(q earthwork.Quantities, kind earthwork.WarningKind) (earthwork.Warning, bool) {
	for _, w := range q.Warnings {
		if w.Kind == kind {
			return w, true
		}
	}
	return earthwork.Warning{}, false
}

// A published two-level section on a curve: eccentricity and volume both ways
// round. The source of the table is in its head.
func TestCurvePublished(t *testing.T) {
	v := map[string]float64{}
	for _, r := range published.Read(t, "volume/curvature_correction.csv") {
		v[r["quantity"]] = r.Number(t, "value")
	}
	radius, arc := v["radius_R"], v["arc"]*math.Pi/180
	tangent := radius * math.Tan(arc/2)
	for _, c := range []struct {
		name  string
		grade float64 // of the ground, rising downstream, which is outside
		want  float64
	}{
		{"high side outside", 1 / v["ground_slope_1_in"], v["volume_high_side_outside"]},
		{"high side inside", -1 / v["ground_slope_1_in"], v["volume_high_side_inside"]},
	} {
		// A cut's section is a fill's turned over: the crest h above the ground.
		line := geometry.Line{{Offset: -60, Elevation: 60 * c.grade}, {Offset: 60, Elevation: -60 * c.grade}}
		// Turning left with the water on the left puts downstream outside.
		curve := laidOut(t, at(0, 0, 0), at(tangent, 0, radius), at(tangent*(1+math.Cos(arc)), tangent*math.Sin(arc), 0))
		near(t, "length", curve.End(), v["length_on_centreline"], 1e-9)
		g := earthwork.Shots{Sections: []earthwork.SurveyedSection{{Station: 0, Line: line}, {Station: curve.End(), Line: line}}}
		q := cutAlong(t, plain(v["centre_height_h"], v["formation_width_b"], v["side_slope_s"], v["side_slope_s"]), curve, g)
		m := q.Sections[0].Neat
		// The table prints ten digits.
		near(t, c.name+" area", m.Area, v["area_polygon"], 1e-9)
		near(t, c.name+" eccentricity", math.Abs(m.Moment/m.Area), v["eccentricity_polygon_centroid"], 1e-9)
		near(t, c.name+" plain", q.Fill.EndArea, v["volume_uncorrected"], 1e-9)
		near(t, c.name+" volume", q.Fill.EndArea+q.Fill.Bend, c.want, 1e-9)
	}
}

// On a curve of 20 m a toe 32 m out on the inside lies 12 m beyond the centre.
func TestCurveOverlaps(t *testing.T) {
	turn := 20 * math.Tan(math.Pi/8)
	curve := laidOut(t, at(0, 0, 0), at(100, 0, 20), at(100+100*math.Cos(math.Pi/4), 100*math.Sin(math.Pi/4), 0))
	d := plain(10, 4, 3, 3)
	w, ok := warned(cutAlong(t, d, curve, profile(0, 0, curve.End(), 0)), earthwork.CurveOverlap)
	if !ok || w.Side != "upstream" || w.Station < 100-turn-1e-6 {
		t.Fatalf("got %+v", w)
	}
	near(t, "by", w.Value, 12, exact)
	// On the outside nothing meets.
	if w, ok := warned(cutAlong(t, plain(10, 4, 1.5, 3), curve, profile(0, 0, curve.End(), 0)), earthwork.CurveOverlap); ok {
		t.Errorf("got %+v", w)
	}
}

// Two bends of 90 degrees to the same side, 50 m apart: the mitres of an inside
// toe 32 m out are 32 m long each, so that they overlap by 14 m.
func TestBendsOverlap(t *testing.T) {
	bend := laidOut(t, at(0, 0, 0), at(100, 0, 0), at(100, 50, 0), at(0, 50, 0))
	d := plain(10, 4, 3, 3)
	w, ok := warned(cutAlong(t, d, bend, profile(0, 0, 250, 0)), earthwork.BendOverlap)
	if !ok || w.Side != "upstream" {
		t.Fatalf("got %+v", w)
	}
	near(t, "by", w.Value, 14, exact)
	// With 70 m between them there is room.
	bend = laidOut(t, at(0, 0, 0), at(100, 0, 0), at(100, 70, 0), at(0, 70, 0))
	if w, ok := warned(cutAlong(t, d, bend, profile(0, 0, 270, 0)), earthwork.BendOverlap); ok {
		t.Errorf("got %+v", w)
	}
	// One part of 20 m beyond a bend is shorter than the mitre by 12 m.
	bend = laidOut(t, at(0, 0, 0), at(100, 0, 0), at(100, 20, 0))
	w, _ = warned(cutAlong(t, d, bend, profile(0, 0, 120, 0)), earthwork.BendOverlap)
	near(t, "short part", w.Value, 12, exact)
}
