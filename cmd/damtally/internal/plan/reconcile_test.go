package plan_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

func reconciled(t testing.TB, path string) *plan.Result {
	t.Helper()
	job := prepare(t, path)
	r, err := job.Reconcile(job.Design())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestSeasonTruth: the invented season was made up with these truths. The stated
// intervals hold them, the trucks that carried less than counted are found, and
// nothing else is blamed.
func TestSeasonTruth(t *testing.T) {
	r := reconciled(t, "../../../../testdata/sites/season")
	truth := map[string]struct{ shrink, trucks float64 }{
		"clay": {98 / 104.5, 0.995}, "silty sand": {102 / 109.5, 0.905},
	}
	for _, s := range r.Reconciliation.Soils {
		name := r.Materials[s.Material].Row.Name
		want := truth[name]
		if f := s.Account.Shrink; !(f.Interval.Low < want.shrink && want.shrink < f.Interval.High) || f.Differs {
			t.Errorf("%s: shrink factor %.3f to %.3f, truth %.3f, differs %v", name, f.Interval.Low, f.Interval.High, want.shrink, f.Differs)
		}
		f := s.Account.TruckFill
		if !(f.Interval.Low < want.trucks && want.trucks < f.Interval.High) || f.Differs != (name == "silty sand") {
			t.Errorf("%s: truck fill %.3f to %.3f, truth %.3f, differs %v", name, f.Interval.Low, f.Interval.High, want.trucks, f.Differs)
		}
		for _, d := range s.Account.Differences {
			if with := name == "silty sand" && d.First == borrow.ByTally; d.Beyond != with {
				t.Errorf("%s: %s: beyond the errors of measurement %v", name, plan.DifferenceWords(&d), d.Beyond)
			}
		}
		if !s.Left.Enough || s.Left.Compacted <= 0 {
			t.Errorf("%s: left %+v", name, s.Left)
		}
	}
	f := r.Reconciliation.Fills[len(r.Reconciliation.Fills)-1]
	// Sections and triangles measure the same fill; sections stand 20 ft apart and
	// the survey's points 19 ft.
	within := f.Progress.Total() - f.Progress.Beside
	near(t, "fill between the surfaces", f.Between, within, 0.01*within)
	// The soft spot is 76 ft long along the dam, 19.5 to 23 ft wide and 3.4 ft deep,
	// with ends 19 ft long that run out: between 80 and 98 ft of it in the mean.
	deep := 3.4 * (19.5 + 24) / 2 * foot3
	if u := f.Progress.Undercut; u < 76*deep || u > 98*deep {
		t.Errorf("%.1f m3 undercut, want %.1f to %.1f", u, 76*deep, 98*deep)
	}
	june := r.Reconciliation.Fills[0].Progress
	for i, z := range f.Progress.Zones {
		if !(0 < june.Zones[i].Placed && june.Zones[i].Placed < z.Placed && z.Placed < z.Design) {
			t.Errorf("zone %d: %.0f m3 in June, %.0f in July, design %.0f", i, june.Zones[i].Placed, z.Placed, z.Design)
		}
	}
}

const foot3 = 0.3048 * 0.3048 * 0.3048

// dugSite is the valley with one square pit, 100 ft on a side, surveyed level at
// 760 ft and later level at a depth below, and loads of 10 loose yd3 by day.
func dugSite(loads string) map[string]string {
	level := func(z float64) string {
		var b strings.Builder
		for n, y := range []float64{0, 60, 120} {
			for i, x := range []float64{0, 60, 120} {
				fmt.Fprintf(&b, "%d,%f,%f,%f\n", 3*n+i, gridY+420+y, gridX+40+x, z)
			}
		}
		return b.String()
	}
	corner := func(x, y float64) string { return fmt.Sprintf("Hill,%f,%f\n", gridX+50+x, gridY+430+y) }
	return map[string]string{
		"survey":    asSurvey(),
		"materials": "material,shrink factor (-),swell (-),loss (%)\nfill,0.9,0.25,5\n",
		"pits":      "pit,material,side slope (h:v),depth (ft)\nHill,fill,1,12\n",
		"outlines":  "of,x (ft),y (ft)\n" + corner(0, 0) + corner(100, 0) + corner(100, 100) + corner(0, 100),
		"before":    level(760), "after": level(757),
		"surfaces": "name,file,use,pit,date,unit,column order\n" +
			"before,before.csv,pit stripped,Hill,2026-05-01,ft,point northing easting elevation\n" +
			"after,after.csv,pit survey,Hill,2026-06-30,ft,point northing easting elevation\n",
		"loads": "date,pit,loads,capacity (yd3),capacity measured,rejected\n" + loads,
	}
}

// TestPitAndTallyByHand: 3 ft off 100 ft square are 30,000 ft3, 1,111.1 bank yd3.
// 130 loads of 10 yd3 with a swell of 0.25 are 1,040 bank yd3 between the surveys;
// 7 loads before and 3 after them are filled in from the tally.
func TestPitAndTallyByHand(t *testing.T) {
	texts := dugSite("2026-04-30,Hill,7,10,as loaded,\n2026-05-02,Hill,60,10,as loaded,2\n2026-06-30,Hill,70,10,as loaded,\n2026-07-02,Hill,3,10,as loaded,\n")
	r := reconciled(t, fileSite(t, texts))
	rec := r.Reconciliation
	if rec.Until != "2026-06-30" {
		t.Fatalf("counted up to %q", rec.Until)
	}
	p := rec.Pits[0]
	// Points stand in grids of millions of feet: 1e-9 of a foot is what is left.
	const grid = 1e-6
	near(t, "lost by survey", p.Lost(), 30000*foot3, grid)
	near(t, "nothing filled back", p.Change.Fill, 0, grid)
	acc := rec.PitSeen[0]
	near(t, "tally between the surveys", acc.Tally, 1300*yd3, grid)
	near(t, "on other days", acc.Outside, 70*yd3, grid) // the three loads of July are later than the last day
	near(t, "lost in all", acc.Lost.Value, 30000*foot3+70*yd3/1.25, grid)
	near(t, "truck fill", acc.Account.TruckFill.Seen.Value, 30000.0/27*1.25/1300, 1e-9)
	soil := rec.Soils[0]
	near(t, "loads", soil.Loads, 137, 0)
	near(t, "rejected", soil.RejectedLoose, 20*yd3, grid)
	near(t, "tally in the bank", soil.Account.Accounts[0].Bank.Value, 1370*yd3/1.25, grid)
	// Two surveys: sqrt(2) x 0.015 m of shift, and points of 0.05 m, four corners of
	// the pit's square lie outside it, so one point of each survey is within.
	area := 10000 * 0.3048 * 0.3048
	near(t, "error", p.Error, area*math.Sqrt(2*0.015*0.015+2*0.05*0.05), grid)
	if !soil.Relative() || soil.Season.Weighed.Known() {
		t.Error("typed factors alone weigh something")
	}
}

// TestLoadsAfterTheFill: loads after the last survey of the fill do not count,
// though the pit's survey saw them; what it lost is taken back to that day.
func TestLoadsAfterTheFill(t *testing.T) {
	texts := dugSite("2026-05-02,Hill,100,10,as loaded,\n2026-06-20,Hill,30,10,as loaded,\n")
	texts["dam"] = asSurveyFile(2)
	texts["surfaces"] += "dam,dam.csv,fill survey,,2026-06-10,ft,point northing easting elevation\n"
	rec := reconciled(t, fileSite(t, texts)).Reconciliation
	if rec.Until != "2026-06-10" || rec.Loads[1].Counted {
		t.Fatalf("counted up to %s, the second row too: %v", rec.Until, rec.Loads[1].Counted)
	}
	near(t, "lost up to the day", rec.PitSeen[0].Lost.Value, 30000*foot3-300*yd3/1.25, 1e-6)
	near(t, "tally up to the day", rec.Soils[0].Season.Tally.Value, 1000*yd3, 1e-6)
	if !rec.Soils[0].Season.Fill.Known() {
		t.Error("2 ft of fill over the whole valley are not seen")
	}
}

// TestPitOfTwoSoils: a pit that gave two soils is no check of either, and what was
// loaded there still counts as gone.
func TestPitOfTwoSoils(t *testing.T) {
	texts := dugSite("")
	texts["materials"] += "gravel,0.9,0.25,5\n"
	texts["zones"] = "zone,kind,material\ndam,shell,fill; gravel\n"
	texts["loads"] = "date,pit,loads,capacity (yd3),material\n2026-05-02,Hill,100,10,fill\n2026-05-03,Hill,30,10,gravel\n"
	r := reconciled(t, fileSite(t, texts))
	yd3 := 27 * foot3
	for i, want := range []float64{1000 * yd3 / 1.25, 300 * yd3 / 1.25} {
		s := r.Reconciliation.Soils[i]
		if s.Season.Pit.Known() || len(s.Account.Differences) > 0 {
			t.Errorf("%s is set against a pit of two soils", r.Materials[s.Material].Row.Name)
		}
		near(t, "gone", s.Lost, want, 1e-6)
	}
}

// asSurveyFile is the valley raised by so many feet as a file of points.
func asSurveyFile(raised float64) string {
	var b strings.Builder
	n := 0
	valleyPoints(func(x, y, z float64) {
		n++
		fmt.Fprintf(&b, "%d,%f,%f,%f\n", n, gridY+y, gridX+x, z+raised)
	})
	return b.String()
}

// TestCannotReconcile: what is missing is said in the tables' words.
func TestCannotReconcile(t *testing.T) {
	fail := func(name string, texts map[string]string, want string) {
		job := prepare(t, fileSite(t, texts))
		_, err := job.Reconcile(job.Design())
		var ps site.Problems
		if !errors.As(err, &ps) || !strings.Contains(ps.Error(), want) {
			t.Errorf("%s: %v, want %q", name, err, want)
		}
	}
	fail("nothing", map[string]string{"survey": asSurvey()}, "loads: nothing was counted or surveyed yet")
	broken := dugSite("2026-05-02,Hill,100,10,as loaded,\n")
	broken["after"] = "1,no,numbers,here\n"
	fail("a broken file", broken, "surfaces row 3")
	gone := dugSite("2026-05-02,Hill,100,10,as loaded,\n")
	gone["surfaces"] = strings.Replace(gone["surfaces"], "after.csv", "nowhere.csv", 1)
	delete(gone, "after")
	fail("no file", gone, "surfaces row 3, file: nowhere.csv")
	twice := dugSite("2026-05-02,Hill,100,10,as loaded,\n")
	twice["after"] += fmt.Sprintf("9,%f,%f,700\n", gridY+420.0, gridX+40.0)
	fail("two elevations", twice, "surfaces row 3, file: after.csv: two points at the same place have different elevations at x 2,000,040.00 ft, y 500,420.00 ft; keep the right one")
	fail("no centreline", map[string]string{
		"centreline": "", "profile": "station (ft),elevation (ft)\n0,720\n250,700\n500,720\n", "dam": asSurveyFile(2),
		"surfaces": "name,file,use,date,unit,column order\ndam,dam.csv,fill survey,2026-06-10,ft,point northing easting elevation\n",
	}, "surfaces row 2, use: a survey of the work needs a centreline, and there is none; give a table centreline")
}

// TestStrippedSurveyAlone: a survey of the stripped ground without the trench
// shows no undercut, and the trench still counts as the design has it.
func TestStrippedSurveyAlone(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../../../testdata/sites/season")); err != nil {
		t.Fatal(err)
	}
	table, err := os.ReadFile(filepath.Join(dir, "surfaces.csv"))
	if err != nil {
		t.Fatal(err)
	}
	// The ground as surveyed, 8 in lower: what the design strips.
	var b strings.Builder
	for _, p := range run(t, dir).Site.Survey {
		fmt.Fprintf(&b, "%d,%f,%f,%f\n", p.Ref.Row, p.At[1]/0.3048, p.At[0]/0.3048, p.Elevation/0.3048-8.0/12)
	}
	put(t, dir, "stripped.csv", b.String())
	put(t, dir, "surfaces.csv", strings.Replace(string(table), "dam-stripped.csv,trench dug", "stripped.csv,stripped", 1))
	if err := os.Remove(filepath.Join(dir, "dam-stripped.csv")); err != nil {
		t.Fatal(err)
	}
	f := reconciled(t, dir).Reconciliation.Fills[1]
	near(t, "undercut", f.Progress.Undercut, 0, 1e-6)
	within := f.Progress.Total() - f.Progress.Beside
	near(t, "fill between the surfaces", f.Between, within, 0.01*within)
}

// TestReconcileLeavesTheJobAlone: a plan after a reconciliation says what it said
// before.
func TestReconcileLeavesTheJobAlone(t *testing.T) {
	job := prepare(t, "../../../../testdata/sites/season")
	notes := func() int {
		r, err := job.Run(job.Design())
		if err != nil {
			t.Fatal(err)
		}
		return len(r.Notes)
	}
	before := notes()
	if _, err := job.Reconcile(job.Design()); err != nil {
		t.Fatal(err)
	}
	if after := notes(); after != before {
		t.Errorf("%d notes, then %d", before, after)
	}
}
