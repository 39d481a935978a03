package plan_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// fleetSite is the demo site with a fleet, invented: a roller and an excavator with their strips. At
// 18 % water 121.6 pcf wet is 95 % of the lean clay's maximum of 108.5 pcf.
func fleetSite(t testing.TB, fleet string) map[string]string {
	t.Helper()
	base := strips(t, "padfoot", map[int]float64{0: 101, 2: 114, 4: 123, 6: 126})
	base = changed(base, "density", base["density"]+
		"trial,lean clay,X-2,,,,,,,,118,18,nuclear gauge,C-1,,Excavator,2\n"+
		"trial,lean clay,X-4,,,,,,,,124,18,nuclear gauge,C-1,,Excavator,4\n")
	return changed(base, "fleet", fleet)
}

const compactors = "machine,kind,weight (lb),contact area (ft2),width (ft),speed (mph),efficiency (%),cost per hour\n" +
	"padfoot,roller,25000,12,7,3,75,140\n" +
	"excavator,excavator,50000,73.6,5,1,75,160\n"

func TestTrialsWithFleet(t *testing.T) {
	r := run(t, tables(t, fleetSite(t, compactors)))
	if len(r.Trials) != 2 {
		t.Fatalf("%+v", r.Trials)
	}
	clay := material(t, r, "lean clay")
	// 16.3 W S L E / P in feet, mph and inches; 16.3 stands for 5280 / (12 x 27) (US
	// Army FM 5-434, 2000).
	lift := 0.0
	for _, tr := range r.Trials {
		if tr.Work == nil {
			t.Fatalf("%+v", tr)
		}
		lift = tr.Work.Lift / 0.0254
		w := map[string][2]float64{"padfoot": {7, 3}, "excavator": {5, 1}}[tr.Machine]
		rate := 5280.0 / 324 * w[0] * w[1] * lift * 0.75 / float64(tr.Passes)
		hours := clay.Compacted / math.Pow(0.9144, 3) / rate
		near(t, tr.Machine+" hours", tr.Work.Hours, hours, 1e-9*hours)
	}
	padfoot, tracks := r.Trials[0], r.Trials[1]
	near(t, "longer", tracks.Work.Longer, tracks.Work.Hours/padfoot.Work.Hours, 1e-12)
	near(t, "dearer", tracks.Work.Dearer, tracks.Work.Hours*160/(padfoot.Work.Hours*140), 1e-12)
	// 50,000 lb on 73.6 ft2 are 4.72 psi (common practice: a wide-track 25 ton machine
	// about 4.7 psi).
	near(t, "ground pressure", tracks.Pressure/6894.757293168361, 50000/(73.6*144), 1e-9)
	words := fmt.Sprintf("excavator takes %.1f times as long and costs %.1f times as much", tracks.Work.Hours/padfoot.Work.Hours, tracks.Work.Cost/padfoot.Work.Cost)
	if !hasNote(r.Notes, "note", "padfoot costs least") || !hasNote(r.Notes, "note", words) {
		t.Errorf("%+v", r.Notes)
	}
	// 8 in spread loose: thickness x dry density stays.
	near(t, "rolled lift", padfoot.Compacted*0.95*clay.Lab.MaxDry, padfoot.Loose*101*16.01846337396014/1.18, 1e-9*padfoot.Loose*1000)
	near(t, "spread", padfoot.Loose, 8*0.0254, 1e-12)
}

// Without a cost the quickest is named; a machine whose strips fall short is not
// compared; one that is not in the fleet has no hours.
func TestTrialsWithPartOfTheFleet(t *testing.T) {
	r := run(t, tables(t, fleetSite(t, strings.ReplaceAll(compactors, ",160\n", ",\n"))))
	if !hasNote(r.Notes, "note", "padfoot is quickest") || r.Trials[0].Work.Cost != 0 {
		t.Errorf("%+v", r.Trials)
	}
	r = run(t, tables(t, fleetSite(t, "machine,kind,width (ft),speed (mph),efficiency (%),cost per hour\npadfoot,roller,7,3,75,140\n")))
	if r.Trials[0].Work == nil || r.Trials[1].Work != nil || r.Trials[1].Fleet != -1 || hasNote(r.Notes, "note", "costs least") {
		t.Errorf("%+v", r.Trials)
	}
}
