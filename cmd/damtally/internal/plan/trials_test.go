package plan_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/damtally/damtally/earthwork/soil"
)

// strips adds trial tests of the lean clay, wet densities at 18 % water.
func strips(t testing.TB, machine string, wet map[int]float64) map[string]string {
	t.Helper()
	base := edited(t, demoTables(t), "density", "sample,retest of", "sample,retest of,machine,passes")
	var b strings.Builder
	b.WriteString(strings.TrimRight(base["density"], "\n") + "\n")
	for _, p := range []int{0, 2, 4, 6} {
		if w, ok := wet[p]; ok {
			fmt.Fprintf(&b, "trial,lean clay,T-%d,,,,,,,,%g,18,nuclear gauge,C-1,,%s,%d\n", p, w, machine, p)
		}
	}
	return changed(base, "density", b.String())
}

// A hauler reaches the requirement between two and four passes; it leaves the
// surface smooth. The lean clay's maximum is 108.5 pcf, so 95 % takes 121.6 pcf
// wet at 18 %.
func TestTrialStrips(t *testing.T) {
	plain := run(t, sites+"plain")
	r := run(t, tables(t, strips(t, "rubber-tyred hauler", map[int]float64{0: 101, 2: 118, 4: 124, 6: 126})))
	if len(plain.Trials) != 0 || len(r.Trials) != 1 {
		t.Fatalf("%+v", r.Trials)
	}
	got := r.Trials[0]
	if got.Material != "lean clay" || got.Machine != "rubber-tyred hauler" || got.Reach != soil.Tried || got.Passes != 4 || len(got.Growth.Steps) != 4 {
		t.Errorf("%+v", got)
	}
	near(t, "mean of two passes", got.Growth.Steps[1].Compaction, 118*16.01846337/1.18/material(t, r, "lean clay").Lab.MaxDry, 1e-6)
	if !hasNote(r.Notes, "look", "leaves it smooth: scarify") || !hasNote(r.Notes, "note", "reached 95 % on the mean with 4 passes") {
		t.Errorf("%+v", r.Notes)
	}
	// Trial tests count in no mean.
	near(t, "fill density", material(t, r, "lean clay").Factors.Fill.Value, material(t, plain, "lean clay").Factors.Fill.Value, 0)
}

func TestTrialsThatFallShort(t *testing.T) {
	for name, c := range map[string]struct {
		wet  map[int]float64
		note string
	}{
		"levels off":    {map[int]float64{0: 101, 2: 112, 4: 114, 6: 114.4}, "more passes do not get there"},
		"two passes":    {map[int]float64{2: 113}, "the strips do not show how many passes it takes"},
		"by the curve":  {map[int]float64{0: 101, 2: 112, 4: 118, 6: 121}, "which was not tried"},
		"single strip":  {map[int]float64{6: 125}, "reached 95 % on the mean with 6 passes"},
		"never pressed": {map[int]float64{0: 101}, "with 0 passes, short of 95 %"},
	} {
		r := run(t, tables(t, strips(t, "dozer", c.wet)))
		if !hasNote(r.Notes, "note", c.note) {
			t.Errorf("%s: %+v", name, r.Trials)
		}
		if hasNote(r.Notes, "look", "scarify") {
			t.Errorf("%s: a dozer's tracks leave no smooth surface", name)
		}
	}
}

func TestTrialWithoutMachine(t *testing.T) {
	r := run(t, tables(t, strips(t, "", map[int]float64{2: 118})))
	if len(r.Trials) != 0 || !hasNote(r.Notes, "note", "1 trial test is without a machine or passes") {
		t.Errorf("%+v", r.Notes)
	}
}
