package earthwork_test

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/testdata/published"
)

// levelDam is a dam of one height, in feet, on level ground that is length feet long.
func levelDam(top, height, up, down, length float64) (earthwork.Design, earthwork.Profile) {
	return plain(height*ft, top*ft, up, down), profile(0, 0, length*ft, 0)
}

// The end area of a dam by its height is a part for the slopes and one for the
// top: the form of Handbook 590's table of end areas; see the file's head.
func TestPublishedEndAreaParts(t *testing.T) {
	for _, r := range published.Read(t, "dam/end-area-components.computed.csv") {
		height := r.Number(t, "fill_height_ft")
		for column := range r {
			sum, isSlopes := strings.CutPrefix(column, "slopes_")
			if !isSlopes {
				continue
			}
			slopes := published.Row{"sum": strings.ReplaceAll(strings.TrimSuffix(sum, "_ft2"), "p", ".")}.Number(t, "sum")
			for _, top := range []string{"6", "8", "10", "12", "14", "16"} {
				width := published.Row{"top": top}.Number(t, "top")
				// An upstream face that is half flatter again than the downstream one.
				d, g := levelDam(width, height, 0.6*slopes, 0.4*slopes, 100)
				want := r.Number(t, column) + r.Number(t, "top_"+top+"ft_ft2")
				for _, s := range cut(t, d, g).Sections {
					near(t, column+" top "+top, s.Neat.Area/(ft*ft), want, exact)
				}
			}
		}
	}
}

// Sections of one shape with their published areas and volumes; see the file's head.
func TestPublishedSections(t *testing.T) {
	rows := published.Read(t, "dam/end-area-published-points.csv")
	for _, r := range rows {
		unit := map[string]float64{"ft": ft, "m": 1}[r["length_unit"]]
		length := 1.0
		if r.Has("length") {
			length = r.Number(t, "length")
		}
		d := plain(r.Number(t, "height")*unit, r.Number(t, "top_width")*unit,
			r.Number(t, "slope_up_h_per_v"), r.Number(t, "slope_down_h_per_v"))
		q := cut(t, d, profile(0, 0, length*unit, 0))
		s := q.Sections[0]
		// The published slope of the second dam is cut to six decimals, which
		// moves its foot by less than 1e-5 ft.
		const cutSlope = 1e-6
		near(t, r["id"]+" width at the foot", (s.DownstreamToe-s.UpstreamToe)/unit, r.Number(t, "bottom_width"), cutSlope)
		near(t, r["id"]+" area", s.Neat.Area/(unit*unit), r.Number(t, "area_published"), cutSlope)
		if r.Has("volume_published") {
			volume := map[string]float64{"yd3": yd3, "m3": 1}[r["volume_unit"]]
			near(t, r["id"]+" volume", q.Fill.EndArea/volume, r.Number(t, "volume_published"), cutSlope)
		}
	}
	if len(rows) < 3 {
		t.Fatalf("only %d rows", len(rows))
	}
}

// Riprap and its bedding on a band of a long face: length x height x slope
// length factor x thickness; see the file's head.
func TestPublishedFaceLayers(t *testing.T) {
	const length, band = 300.0, 8.0
	for _, r := range published.Read(t, "dam/slope-length-factors.computed.csv") {
		slope := r.Number(t, "slope_h_per_v")
		d, g := levelDam(12, 20, slope, 2, length)
		riprap := layer("riprap", earthwork.Facing, earthwork.UpstreamSide, 1.5*ft)
		riprap.FromElevation, riprap.ToElevation, riprap.Outside = 9*ft, (9+band)*ft, true
		bedding := layer("bedding", earthwork.Bedding, earthwork.UpstreamSide, 0.75*ft)
		bedding.Outside = true
		d.Zones = []earthwork.Zone{riprap, bedding, shell}
		q := cut(t, d, g)
		for name, column := range map[string]string{"riprap": "riprap_18in_yd3", "bedding": "bedding_9in_yd3"} {
			got := zone(t, q, name).Outside / yd3
			if math.Abs(got-r.Number(t, column)) > r.Half(t, column) {
				t.Errorf("slope %g: %s %.4f yd3, the table has %s", slope, name, got, r[column])
			}
		}
	}
}
