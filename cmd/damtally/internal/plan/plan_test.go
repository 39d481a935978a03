package plan_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/testdata/published"
)

const (
	sites = "../../../../testdata/sites/"
	yd3   = 27 * 0.3048 * 0.3048 * 0.3048
)

// read prepares a site of the repository.
func prepare(t testing.TB, path string) *plan.Job {
	t.Helper()
	s, err := site.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	j, err := plan.Prepare(s)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func run(t testing.TB, path string) *plan.Result {
	t.Helper()
	j := prepare(t, path)
	r, err := j.Run(j.Design())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// tables writes a site of tables given as text, "NAME" to its CSV.
func tables(t testing.TB, texts map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range texts {
		if err := os.WriteFile(filepath.Join(dir, name+".csv"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6f, want %.6f", what, got, want)
	}
}

// The worked example of US Department of Agriculture Handbook 590 (1997), table
// 18 and the text after it, as a site: each reach, the total, and the chain from
// fill to what must be available. The chain's printed figures start from 7,029
// yd3, which is 7,030.27 without rounding inside.
func TestHandbookChain(t *testing.T) {
	r := run(t, sites+"handbook")
	rows := published.Read(t, "dam/ah590-fill-volume-by-stations.csv")
	q := r.Quantities
	if len(q.Reaches) != len(rows)-1 {
		t.Fatalf("%d reaches, want %d", len(q.Reaches), len(rows)-1)
	}
	for i, reach := range q.Reaches {
		near(t, "reach to "+rows[i+1]["station"], reach.Fill.EndArea/yd3, rows[i+1].Number(t, "exact_volume_yd3"), 0.0051)
	}
	near(t, "fill", q.Fill.EndArea/yd3, 7030.27, 0.01)
	neat := q.Fill.EndArea / yd3
	near(t, "with the allowance", (q.Fill.EndArea+q.Settlement)/yd3, neat*1.1, 1e-6)
	trench := 49.5 * 200 / 27
	near(t, "trench", q.Trench/yd3, trench, 1e-6)
	near(t, "total", q.Total/yd3, neat*1.1+trench, 1e-6)
	b := r.Balance[0]
	near(t, "available", b.Required/yd3, 1.5*(neat*1.1+trench), 1e-6)
	// Beside the printed chain 7,029 -> 7,732 -> 8,099 -> 12,148: the same but
	// for the 1.3 yd3 that rounding each area costs it, times 1.1 and 1.5.
	printed := published.Read(t, "dam/ah590-fill-to-borrow-chain.csv")
	for what, got := range map[string]float64{
		"neat_fill":                                   neat,
		"fill_with_settlement":                        (q.Fill.EndArea + q.Settlement) / yd3,
		"cutoff_trench_backfill":                      q.Trench / yd3,
		"required_compacted_total":                    q.Total / yd3,
		"available_in_borrow_and_required_excavation": b.Required / yd3,
	} {
		for _, p := range printed {
			if p["step"] == what {
				near(t, "printed "+what, got, p.Number(t, "quantity"), 1.3*1.1*1.5+0.5)
			}
		}
	}
	if b.Enough != nil || !math.IsNaN(b.Needed) {
		t.Errorf("without factors and pits nothing can be called enough: %+v", b)
	}
}

// usDam and metricDam are one dam in two units, exact to the digit that the
// tables carry (10 ft = 3.048 m).
var usDam = map[string]string{
	"site":      "item,value\noutput units,us\nsection interval,10 ft\nupstream side,left\ncrest is,settled\nsettlement allowance,5 %\nsettlement basis,height\nextend ground,level\n",
	"shots":     "station (ft),offset (ft),elevation (ft)\n0,-100,50\n0,0,52\n0,100,51\n150,-100,20\n150,0,22\n150,100,18\n300,-100,50\n300,0,53\n300,100,55\n",
	"crest":     "elevation (ft),width (ft)\n40,10\n",
	"faces":     "side,slope (h:v),overbuild (ft)\nupstream,3,1\ndownstream,2.5,\n",
	"trench":    "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n80,8,1.5,4\n220,8,1.5,4\n",
	"stripping": "depth (ft)\n0.5\n",
	"zones":     "zone,kind,material,top below crest (ft),top width (ft),upstream slope (h:v),downstream slope (h:v)\ncore,core,clay,2,8,0.5,0.5\nshell,shell,silt,,,,\n",
	"materials": "material,shrink factor (-),swell (%),loss (%)\nclay,0.9,30,5\nsilt,0.85,25,\n",
}

var metricDam = map[string]string{
	"site":      "item,value\noutput units,metric\nsection interval,3.048 m\nupstream side,left\ncrest is,settled\nsettlement allowance,5 %\nsettlement basis,height\nextend ground,level\n",
	"shots":     "station (m),offset (m),elevation (m)\n0,-30.48,15.24\n0,0,15.8496\n0,30.48,15.5448\n45.72,-30.48,6.096\n45.72,0,6.7056\n45.72,30.48,5.4864\n91.44,-30.48,15.24\n91.44,0,16.1544\n91.44,30.48,16.764\n",
	"crest":     "elevation (m),width (m)\n12.192,3.048\n",
	"faces":     "side,slope (h:v),overbuild (m)\nupstream,3,0.3048\ndownstream,2.5,\n",
	"trench":    "station (m),bottom width (m),side slope (h:v),depth (m)\n24.384,2.4384,1.5,1.2192\n67.056,2.4384,1.5,1.2192\n",
	"stripping": "depth (m)\n0.1524\n",
	"zones":     "zone,kind,material,top below crest (m),top width (m),upstream slope (h:v),downstream slope (h:v)\ncore,core,clay,0.6096,2.4384,0.5,0.5\nshell,shell,silt,,,,\n",
	"materials": "material,shrink factor (-),swell (%),loss (%)\nclay,0.9,30,5\nsilt,0.85,25,\n",
}

func TestFeetAndMetresGiveTheSameDam(t *testing.T) {
	us, metric := run(t, tables(t, usDam)), run(t, tables(t, metricDam))
	same := func(what string, a, b float64) {
		t.Helper()
		if !(math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(b))) {
			t.Errorf("%s: %.12f in feet, %.12f in metres", what, a, b)
		}
	}
	same("fill", us.Quantities.Fill.EndArea, metric.Quantities.Fill.EndArea)
	same("prismoidal", us.Quantities.Fill.Prismoidal, metric.Quantities.Fill.Prismoidal)
	same("trench", us.Quantities.Trench, metric.Quantities.Trench)
	same("settlement", us.Quantities.Settlement, metric.Quantities.Settlement)
	same("overbuild", us.Quantities.Overbuild, metric.Quantities.Overbuild)
	same("stripping", us.Quantities.Stripping, metric.Quantities.Stripping)
	for i := range us.Materials {
		same(us.Materials[i].Row.Name+" bank", us.Materials[i].Bank, metric.Materials[i].Bank)
		same(us.Materials[i].Row.Name+" loose", us.Materials[i].Loose, metric.Materials[i].Loose)
	}
}

// With the water on the other hand the surveyor's offsets change sign, and so do
// the sides: a mirrored site is the same dam.
func TestMirroredSite(t *testing.T) {
	mirrored := map[string]string{}
	for name, text := range usDam {
		mirrored[name] = text
	}
	mirrored["site"] = strings.Replace(usDam["site"], "side,left", "side,right", 1)
	mirrored["shots"] = strings.NewReplacer(",-100,", ",100,", ",100,", ",-100,").Replace(usDam["shots"])
	a, b := run(t, tables(t, usDam)), run(t, tables(t, mirrored))
	for i := range a.Quantities.Zones {
		near(t, a.Quantities.Zones[i].Zone, b.Quantities.Zones[i].Compacted, a.Quantities.Zones[i].Compacted, 1e-9*a.Quantities.Total)
	}
}

// Dry mass is the same in the pit, in the truck and in the dam, and every
// balance follows from it.
func TestDryMassThroughTheStates(t *testing.T) {
	r := run(t, sites+"plain")
	for _, m := range r.Materials {
		f := m.Factors
		dam := m.Compacted * f.Fill.Value
		if dam == 0 {
			t.Fatalf("%s: the demo site takes some of every material", m.Row.Name)
		}
		near(t, m.Row.Name+" pit", m.Bank*f.Bank.Value*(1-m.Loss)/dam, 1, 1e-12)
		near(t, m.Row.Name+" truck", m.Loose*f.Loose.Value*(1-m.Loss)/dam, 1, 1e-12)
	}
	for _, c := range r.Checks {
		if !c.Holds {
			t.Errorf("the demo site fails %q: %v against %v", c.What, c.Ours, c.Other)
		}
	}
}

// A retested fill test does not count; its retest does.
func TestRetestReplaces(t *testing.T) {
	r := run(t, sites+"plain")
	replaced := 0
	sum, n := 0.0, 0.0
	for _, x := range r.Tests {
		if x.Replaced {
			replaced++
		} else if x.Row.State == "fill" && x.Row.Material == r.Materials[0].Row.Name {
			sum, n = sum+x.DryDensity, n+1
		}
	}
	if replaced != 1 {
		t.Fatalf("%d tests replaced, want 1", replaced)
	}
	near(t, "fill density", r.Materials[0].Factors.Fill.Value, sum/n, 1e-9)
}

// Quantities serves a search: a higher crest takes more, and asking does not
// change the job.
func TestQuantitiesOfChangedDesign(t *testing.T) {
	j := prepare(t, sites+"plain")
	d := j.Design()
	before, err := j.Quantities(d)
	if err != nil {
		t.Fatal(err)
	}
	d.Crest[0].Elevation += 0.5
	higher, err := j.Quantities(d)
	if err != nil {
		t.Fatal(err)
	}
	if higher.Total <= before.Total {
		t.Errorf("a higher crest takes %.1f, the lower %.1f", higher.Total, before.Total)
	}
	again, err := j.Quantities(j.Design())
	if err != nil {
		t.Fatal(err)
	}
	if again.Total != before.Total {
		t.Errorf("the same design gives %.12f and then %.12f", before.Total, again.Total)
	}
}

// A cut of the demo's ground that was kept answers as one cut anew.
func TestKeptSlicesAnswerAlike(t *testing.T) {
	j := prepare(t, sites+"plain")
	d := j.Design()
	d.Crest[0].Elevation += 0.3
	fresh, err := j.Quantities(d)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := j.Quantities(j.Design()); err != nil {
		t.Fatal(err)
	}
	kept, err := j.Quantities(d)
	if err != nil {
		t.Fatal(err)
	}
	if fresh.Total != kept.Total || fresh.Footprint != kept.Footprint {
		t.Errorf("fresh %.15g, kept %.15g", fresh.Total, kept.Total)
	}
}

// failing runs a site that must not plan and returns its problems as text.
func failing(t testing.TB, texts map[string]string) string {
	t.Helper()
	return failingPath(t, tables(t, texts))
}

// failingPath is what a site that must not be planned is told.
func failingPath(t testing.TB, path string) string {
	t.Helper()
	s, err := site.Read(path)
	if err == nil {
		var j *plan.Job
		if j, err = plan.Prepare(s); err == nil {
			_, err = j.Run(j.Design())
		}
	}
	if err == nil {
		t.Fatal("a wrong site was planned")
	}
	return err.Error()
}

func changed(base map[string]string, name, text string) map[string]string {
	out := map[string]string{}
	for k, v := range base {
		out[k] = v
	}
	if text == "" {
		delete(out, name)
	} else {
		out[name] = text
	}
	return out
}

func TestProblemsOfGeometry(t *testing.T) {
	for _, c := range []struct {
		name  string
		texts map[string]string
		want  []string
	}{
		{
			"the ground ends before the toe",
			changed(usDam, "site", strings.Replace(usDam["site"], "extend ground,level\n", "", 1)),
			nil, // the shots reach far enough
		},
		{
			"crest below ground",
			changed(usDam, "crest", "elevation (ft),width (ft)\n10,10\n"),
			[]string{"crest row 2, elevation: the crest lies below the ground all along", "station 1+50"},
		},
		{
			"no factors",
			changed(usDam, "materials", "material\nclay\nsilt\n"),
			[]string{"materials row 2, material: clay has no shrink factor", "(1)", "(2)", "(3)", "materials row 3, material: silt"},
		},
		{
			"shots on one side",
			changed(usDam, "shots", "station (ft),offset (ft),elevation (ft)\n0,10,50\n0,100,51\n150,-100,20\n150,100,18\n"),
			[]string{"shots row 2, offset: the shots at station 0+00 do not reach from one side of the centreline to the other"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.want == nil {
				run(t, tables(t, c.texts))
				return
			}
			got := failing(t, c.texts)
			for _, w := range c.want {
				if !strings.Contains(got, w) {
					t.Errorf("%q\nlacks %q", got, w)
				}
			}
		})
	}
}

func TestGroundShortOfTheToe(t *testing.T) {
	narrow := changed(usDam, "shots", "station (ft),offset (ft),elevation (ft)\n0,-30,50\n0,0,52\n0,30,51\n150,-30,20\n150,0,22\n150,30,20\n300,-30,50\n300,0,53\n300,30,55\n")
	narrow["site"] = strings.Replace(narrow["site"], "extend ground,level", "extend ground,no", 1)
	got := failing(t, narrow)
	// The crest is raised by 5 % of 40 - 21.5 = 18.5 ft to 40.925 ft; the stripped
	// ground at the edges is 19.5 ft. The upstream face with 1 ft of overbuild
	// comes down at 5 + 1 + 3 x 21.425 = 70.275 ft, which is 40.3 ft beyond 30;
	// the downstream face at 5 + 2.5 x 21.425 = 58.56 ft.
	for _, w := range []string{
		"shots: at station 1+50 the ground ends 40.3 ft before the upstream face meets it",
		"shots: at station 1+50 the ground ends 28.6 ft before the downstream face meets it",
		"extend ground",
	} {
		if !strings.Contains(got, w) {
			t.Errorf("%q\nlacks %q", got, w)
		}
	}
	narrow["site"] = strings.Replace(narrow["site"], "extend ground,no", "extend ground,level", 1)
	r := run(t, tables(t, narrow))
	found := false
	for _, n := range r.Notes {
		found = found || (n.Level == "look" && strings.Contains(n.Text, "carried on by up to 40.3 ft on the upstream side"))
	}
	if !found {
		t.Errorf("the extension is not told: %+v", r.Notes)
	}
}

// A dam that stops in the air says so in red.
func TestOpenEndIsDanger(t *testing.T) {
	open := changed(usDam, "crest", "station (ft),elevation (ft),width (ft)\n100,40,10\n300,40,10\n")
	r := run(t, tables(t, open))
	if len(r.Notes) == 0 || r.Notes[0].Level != "danger" || !strings.Contains(r.Notes[0].Text, "vertical face") {
		t.Errorf("notes: %+v", r.Notes)
	}
	failed := 0
	for _, c := range r.Checks {
		if strings.HasPrefix(c.Key, "crest_meets_ground") && !c.Holds && c.Costly {
			failed++
		}
	}
	if failed != 1 {
		t.Errorf("%d end checks fail, want 1", failed)
	}
}

// Only the station list of a surface is trimmed to the dam; the settlement basis
// of the site is the one used.
func TestSettlementBasisOfTheSite(t *testing.T) {
	for basis, pick := range map[string]func(earthwork.Quantities) float64{
		"height":    func(q earthwork.Quantities) float64 { return q.ByHeight },
		"volume":    func(q earthwork.Quantities) float64 { return q.ByVolume },
		"toes kept": func(q earthwork.Quantities) float64 { return q.ByToesKept },
	} {
		r := run(t, tables(t, changed(usDam, "site", strings.Replace(usDam["site"], "basis,height", "basis,"+basis, 1))))
		near(t, basis, r.Quantities.Settlement, pick(r.Quantities), 1e-9*r.Quantities.Total)
		if r.Quantities.Settlement <= 0 {
			t.Errorf("%s adds nothing", basis)
		}
	}
	built := run(t, tables(t, changed(usDam, "site", strings.Replace(usDam["site"], "is,settled", "is,built", 1))))
	if built.Quantities.Settlement != 0 {
		t.Errorf("an allowance that the crest holds already adds %v", built.Quantities.Settlement)
	}
}

// The demo's end areas stand beside the volume between surfaces, which uses no
// section; without a surface there is none.
func TestVolumeBetweenSurfaces(t *testing.T) {
	r := run(t, sites+"plain")
	if r.SurfaceVolume == nil {
		t.Fatal("the demo has a survey")
	}
	f := r.Quantities.Fill
	near(t, "between surfaces beside prismoids, %", (*r.SurfaceVolume/(f.Prismoidal+f.Bend)-1)*100, 0, 0.5)
	if run(t, sites+"handbook").SurfaceVolume != nil {
		t.Error("a profile is no surface")
	}
}
