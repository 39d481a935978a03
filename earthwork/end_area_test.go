package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/damtally/damtally/testdata/published"
)

// The runs of volume/end_area_runs.csv: textbook and handbook end areas with
// their volumes; each file's head names the sources.
type areaRun struct{ stations, cut, fill []float64 }

func areaRuns(t *testing.T) map[string]*areaRun {
	t.Helper()
	out := map[string]*areaRun{}
	for _, r := range published.Read(t, "volume/end_area_runs.csv") {
		run := out[r["case_id"]]
		if run == nil {
			run = &areaRun{}
			out[r["case_id"]] = run
		}
		run.stations = append(run.stations, r.Number(t, "station"))
		for column, list := range map[string]*[]float64{"cut_area": &run.cut, "fill_area": &run.fill} {
			if r.Has(column) {
				*list = append(*list, r.Number(t, column))
			}
		}
	}
	return out
}

func (r *areaRun) areas(quantity string) []float64 {
	if quantity == "fill" {
		return r.fill
	}
	return r.cut
}

// endArea sums the run by average end area.
func endArea(stations, areas []float64) float64 {
	sum := 0.0
	for i := 1; i < len(areas); i++ {
		sum += earthwork.EndArea(stations[i]-stations[i-1], areas[i-1], areas[i])
	}
	return sum
}

// tapered sums the run by average end area, but takes a part with nothing at
// one end as a pyramid, whose middle section is a quarter of its base.
func tapered(stations, areas []float64) float64 {
	sum := 0.0
	for i := 1; i < len(areas); i++ {
		l, a, b := stations[i]-stations[i-1], areas[i-1], areas[i]
		if (a == 0) != (b == 0) {
			sum += earthwork.PrismoidalVolume(l, a, (a+b)/4, b)
			continue
		}
		sum += earthwork.EndArea(l, a, b)
	}
	return sum
}

// everySecond sums the run by the prismoidal formula with every second section
// as a middle one.
func everySecond(stations, areas []float64) float64 {
	sum := 0.0
	for i := 2; i < len(areas); i += 2 {
		sum += earthwork.PrismoidalVolume(stations[i]-stations[i-2], areas[i-2], areas[i-1], areas[i])
	}
	return sum
}

// embankment cuts a bank of the given width and slopes, its heights at equal
// steps along level or evenly sloping ground.
func embankment(t *testing.T, width, slope, grade, step float64, heights ...float64) earthwork.Quantities {
	t.Helper()
	const top = 100.0
	var g earthwork.Shots
	for i, h := range heights {
		line := geometry.Line{{Offset: -300, Elevation: top - h - 300*grade}, {Offset: 300, Elevation: top - h + 300*grade}}
		g.Sections = append(g.Sections, earthwork.SurveyedSection{Station: step * float64(i), Line: line})
	}
	return cut(t, plain(top, width, slope, slope), g)
}

func TestPublishedEndAreas(t *testing.T) {
	runs := areaRuns(t)
	// Heights and sections behind the runs, from the head of that file.
	vose := embankment(t, 20, 1.5, 0, 50, 0, 5, 10, 15, 0)
	bank := embankment(t, 11, 2, 0, 75, 0.5, 1.5, 2.5)
	ends := embankment(t, 11, 2, 0, 150, 0.5, 2.5)
	sloping := embankment(t, 9, 2, 1/6.0, 30, 2.5, 3.55, 4.9)
	constant := embankment(t, 5, 2, 1/20.0, 120, 2.2, 2.2)
	// The correction to subtract: L s dh^2 / 6, on sloping ground K for s.
	correction := func(q earthwork.Quantities) float64 { return q.Fill.EndArea - q.Fill.Prismoidal }

	checked := 0
	for _, r := range published.Read(t, "volume/end_area_results.csv") {
		id, quantity, method := r["case_id"], r["quantity"], r["method"]
		run := runs[id]
		var got float64
		switch id + " " + method {
		case "wikibooks_transition aea_with_pyramid_zero_end":
			got = tapered(run.stations, run.fill)
			if quantity == "cut" {
				got = tapered(run.stations, run.cut)
			} else if quantity == "fill_minus_cut" {
				got -= tapered(run.stations, run.cut)
			}
		case "vose_1857_p108 prismoidal_true_mid_area":
			got = vose.Fill.Prismoidal
		case "vose_1857_p108 aea_minus_prismoidal":
			got = correction(vose)
		case "embankment_150m prismoidal_true_mid_area":
			got = bank.Fill.Prismoidal
		case "embankment_150m average_end_area_ends_only":
			got = ends.Fill.EndArea
		case "embankment_150m prismoidal_correction_L_s_dh2_over_6":
			got = correction(ends)
		case "course_prismoidal_100m prismoidal_true_mid_area":
			got = everySecond(run.stations, run.cut)
		case "tbc_10_9 constant_section_x_120m":
			got = constant.Fill.EndArea
		case "tbc_10_13 prismoidal_correction_L_K_dh2_over_6_K=r2s/(r2-s2)":
			got = correction(sloping)
		case "tbc_10_13 prismoidal_true_mid_area(mean height)":
			got = sloping.Fill.Prismoidal
		default:
			switch method {
			case "average_end_area":
				got = endArea(run.stations, run.areas(quantity))
			case "simpson_on_stations":
				got = everySecond(run.stations, run.areas(quantity))
			default:
				t.Fatalf("no check for %s %s", id, method)
			}
		}
		checked++
		// The file carries ten digits.
		near(t, id+" "+quantity+" "+method, got, r.Number(t, "computed"), 1e-9)
		if r.Has("published") {
			printedBeside(t, id+" "+quantity+" "+method, got, r.Number(t, "published"))
		}
	}
	if checked < 15 {
		t.Fatalf("only %d rows", checked)
	}
	near(t, "vose by end area from the cut sections", vose.Fill.EndArea, endArea(runs["vose_1857_p108"].stations, runs["vose_1857_p108"].cut), 1e-12)
}

// printedBeside sets a figure beside a printed one. Vose truncates his mean
// areas to whole square feet, up to 1 in each of 4 parts of 50 ft; the others
// print to a tenth.
func printedBeside(t *testing.T, what string, got, printed float64) {
	t.Helper()
	allow := 0.06
	if printed == 56200 {
		allow = 4 * 50
	}
	if math.Abs(got-printed) > allow {
		t.Errorf("%s: %.3f, printed %.1f", what, got, printed)
	}
}
