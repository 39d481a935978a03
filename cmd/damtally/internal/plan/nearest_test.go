package plan_test

import (
	"strings"
	"testing"
)

// A fill test that names no lab sample is compared with the one that the tests of
// its pit name; else with that of the nearest test in its zone; else with the mean.
// The rule is ours and stands in the notes.
func TestNearestSample(t *testing.T) {
	base := demoTables(t)
	var second strings.Builder // C-2, a twin of C-1
	for _, line := range strings.Split(base["proctor"], "\n") {
		if c := strings.Split(line, ","); len(c) > 4 && c[1] == "C-1" {
			c[1] = "C-2"
			second.WriteString(strings.Join(c, ",") + "\n")
		}
	}
	base = changed(base, "proctor", strings.TrimRight(base["proctor"], "\n")+"\n"+second.String())
	add := "bank,lean clay,N-0,,Low meadow,,,,,,115,21,sand cone,C-2,\n" +
		"fill,lean clay,N-1,,West hill,core,5+05,,,9,125,18,nuclear gauge,,\n" + // tests of West hill name C-1
		"fill,lean clay,N-2,,Low meadow,core,3+40,,,9,125,18,nuclear gauge,,\n" + // that of Low meadow names C-2
		"fill,lean clay,N-3,,,core,6+00,,,9,125,18,nuclear gauge,C-2,\n" +
		"fill,lean clay,N-4,,,core,5+90,,,9,125,18,nuclear gauge,,\n" + // beside N-3
		"fill,lean clay,N-5,,,core,5+00,,,9,125,18,nuclear gauge,,\n" + // beside F-5
		"fill,lean clay,N-6,,,,,,,9,125,18,nuclear gauge,,\n" // nowhere
	r := run(t, tables(t, changed(base, "density", base["density"]+add)))
	want := map[string]string{"N-1": "C-1", "N-2": "C-2", "N-3": "C-2", "N-4": "C-2", "N-5": "C-1", "N-6": ""}
	for _, x := range r.Tests {
		if sample, ok := want[x.Row.ID]; ok && x.Sample != sample {
			t.Errorf("%s is compared with %q, want %q", x.Row.ID, x.Sample, sample)
		}
	}
	if !hasNote(r.Notes, "look", "5 tests of lean clay in compacted soil name no lab sample, and there are 2; compared: 2 with the sample that the tests of the same pit name, 2 with that of the nearest fill test in the zone that names one, 1 with the mean of all") {
		t.Errorf("%+v", r.Notes)
	}
	for _, x := range run(t, sites+"demo").Tests { // a material of one sample needs no rule
		if x.Sample != x.Row.Sample {
			t.Errorf("%s: %q", x.Row.ID, x.Sample)
		}
	}
}
