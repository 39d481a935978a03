package geometry_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/damtally/damtally/testdata/published"
	"github.com/paulmach/orb"
)

// printedArea guards areas whose corners, to ten digits, and sum, to eight
// decimals, are printed.
const printedArea = 1e-8

// Areas of polygons by their corners; see the head of polygon_area_vertices.csv.
// They are taken over level ground of two triangles.
func TestPublishedPolygonAreas(t *testing.T) {
	rings := map[string]orb.Ring{}
	for _, r := range published.Read(t, "volume/polygon_area_vertices.csv") {
		rings[r["case_id"]] = append(rings[r["case_id"]], orb.Point{r.Number(t, "x"), r.Number(t, "y")})
	}
	var corners []geometry.GroundPoint
	for _, p := range []orb.Point{{-50, -50}, {50, -50}, {50, 50}, {-50, 50}} {
		corners = append(corners, geometry.GroundPoint{At: p, Elevation: 3})
	}
	level, err := geometry.NewTIN(corners, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	rows := published.Read(t, "volume/polygon_area_results.csv")
	for _, r := range rows {
		ring := rings[r["case_id"]]
		lie, err := geometry.LieOver(level, orb.Polygon{append(ring, ring[0])})
		if err != nil {
			t.Fatal(err)
		}
		if want := r.Number(t, "computed"); math.Abs(lie.Plan-want) > printedArea {
			t.Errorf("%s is %.10f, the table has %.10f", r["case_id"], lie.Plan, want)
		}
		nearArea(t, r["case_id"]+" along the ground", lie.True, lie.Plan)
		up, err := geometry.VolumeOver(level, orb.Polygon{append(ring, ring[0])}, 5)
		if err != nil {
			t.Fatal(err)
		}
		nearArea(t, r["case_id"]+" two metres deep", up.Fill, 2*lie.Plan)
	}
	if len(rows) < 2 {
		t.Fatalf("only %d rows", len(rows))
	}
}
