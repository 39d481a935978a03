package plan_test

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/earthwork/soil"
)

// The demo's core: six tests made, one replaced by its retest; the statistics are
// those of the five that stand, by the plain formulas.
func TestLotsOfZones(t *testing.T) {
	r := run(t, sites+"plain")
	if len(r.Lots) < 2 || r.Lots[0].Zone != "core" || r.Lots[0].Lift != "" || r.Lots[1].Lift != "1" {
		t.Fatalf("%+v", r.Lots)
	}
	core := r.Lots[0]
	if core.Done != 6 || core.N != 5 || core.Failed != 0 {
		t.Errorf("%+v", core)
	}
	sum, lowest := 0.0, math.Inf(1)
	for _, x := range r.Tests {
		if x.Row.State == "fill" && x.Row.Zone == "core" && !x.Replaced {
			sum += x.Compaction
			lowest = min(lowest, x.Compaction)
		}
	}
	near(t, "mean", core.Mean, sum/5, 1e-12)
	near(t, "lowest", core.Lowest, lowest, 0)
	done := 0
	for _, l := range r.Lots {
		if l.Zone == "core" && l.Lift != "" {
			done += l.Done
		}
	}
	if done != core.Done {
		t.Errorf("%d tests in the lifts, %d in the zone", done, core.Done)
	}
}

// One test a yd3 of a frequency: the demo's core takes its volume / 500 yd3.
func TestTestsDue(t *testing.T) {
	base := demoTables(t)
	r := run(t, tables(t, base))
	volume := 0.0
	for _, s := range material(t, r, "lean clay").Shares {
		if r.Quantities.Zones[s.Zone].Zone == "core" {
			volume += s.Compacted
		}
	}
	if got, want := r.Lots[0].Due, int(math.Ceil(volume/(500*yd3))); got != want {
		t.Errorf("%d due, want %d", got, want)
	}
	if run(t, tables(t, edited(t, base, "site", "test every,500 yd3\n", ""))).Lots[0].Due != 0 {
		t.Error("no frequency is set")
	}
}

// All single tests pass, yet by their spread much of the zone does not: FHWA
// T 5080.12 by the beta formula.
func TestShareWithinLimits(t *testing.T) {
	base := edited(t, demoTables(t), "density", "fill,lean clay,F-4,2026-05-07,,core,3+75,0,836.2,3,125.4", "fill,lean clay,F-4,2026-05-07,,core,3+75,0,836.2,3,133.4")
	r := run(t, tables(t, base))
	core := r.Lots[0]
	low := 0.95
	want := soil.WithinLimit((core.Mean-low)/core.SD, core.N)
	if core.Failed != 0 || math.Abs(core.Within-want) > 1e-12 || want > 0.9 || want < 0.6 {
		t.Errorf("%+v, want %g", core, want)
	}
	if !hasNote(r.Notes, "look", "lean clay in zone core: by its 5 tests about") {
		t.Errorf("notes: %+v", r.Notes)
	}
	if hasNote(run(t, sites+"plain").Notes, "look", "of the fill is at or above") {
		t.Error("the demo's zones are well within")
	}
}

func TestOutlierIsFlaggedAndKept(t *testing.T) {
	r := run(t, tables(t, edited(t, demoTables(t), "density", "115.6,21.9", "105.6,21.9")))
	if !hasNote(r.Notes, "look", "bank test B-2 of lean clay") {
		t.Errorf("notes: %+v", r.Notes)
	}
	if n := material(t, r, "lean clay").Factors.Bank.N; n != 5 {
		t.Errorf("%d tests in the mean", n)
	}
	if hasNote(run(t, sites+"plain").Notes, "look", "standard deviations from the mean") {
		t.Error("the demo has no outlier")
	}
}

func TestTestsOutsideTheDam(t *testing.T) {
	for name, c := range map[string]struct{ old, new, note string }{
		"above the crest":  {"3+40,0,834.1", "3+40,0,869.0", "fill test F-1 at station 3+40 lies above the crest"},
		"beyond a toe":     {"3+40,0,834.1", "3+40,900,834.1", "lies beyond the downstream toe"},
		"beyond the other": {"3+40,0,834.1", "3+40,-900,834.1", "lies beyond the upstream toe"},
		"beyond the end":   {"3+40,0,834.1", "99+40,0,834.1", "lies beyond the end of the dam"},
	} {
		r := run(t, tables(t, edited(t, demoTables(t), "density", c.old, c.new)))
		if !hasNote(r.Notes, "look", c.note) {
			t.Errorf("%s: %+v", name, r.Notes)
		}
	}
	if hasNote(run(t, sites+"plain").Notes, "look", "check its place") {
		t.Error("the demo's tests lie in the dam")
	}
}

// A lift's tests are due as planned for the lift in which they lie: by elevation, or
// without one by its number from the lowest.
func TestTestsDueByLift(t *testing.T) {
	base := demoTables(t)
	due := func(r *plan.Result) (lots map[string]int, lifts []earthwork.Lift) {
		lots = map[string]int{}
		for _, l := range r.Lots {
			if l.Zone == "core" && l.Lift != "" {
				lots[l.Lift] = l.Due
			}
		}
		for _, set := range r.Lifts.Sets {
			for _, lift := range set.Lifts {
				for _, p := range lift.Parts {
					if r.Quantities.Zones[p.Zone].Zone == "core" && p.Tests > 0 {
						lifts = append(lifts, lift)
						break
					}
				}
			}
		}
		return lots, lifts
	}
	r := run(t, tables(t, base))
	lots, lifts := due(r)
	core := func(l earthwork.Lift) int {
		n := 0
		for _, p := range l.Parts {
			if r.Quantities.Zones[p.Zone].Zone == "core" {
				n += p.Tests
			}
		}
		return n
	}
	level := (834.1 + 832.6) / 2 * 0.3048 // F-1 and F-2 of the core's lift 1
	for _, l := range lifts {
		if level >= l.Bottom && level < l.Top && lots["1"] != core(l) {
			t.Errorf("%d due in lift 1, planned %d", lots["1"], core(l))
		}
	}
	if lots["1"] == 0 {
		t.Error("lift 1 was not found")
	}
	plain := strings.NewReplacer(",834.1,1,", ",,2,", ",832.6,1,", ",,2,").Replace(base["density"])
	lots, lifts = due(run(t, tables(t, changed(base, "density", plain))))
	if _, one := lots["1"]; one || len(lifts) < 2 {
		t.Fatalf("%v", lots)
	}
	few := run(t, tables(t, changed(base, "site", strings.Replace(base["site"], "test every,500 yd3", "test every,20 yd3", 1))))
	if !hasNote(few.Notes, "look", "lifts with fewer density tests than are due for them as planned: lean clay in zone core, lift 1 has 2 of ") {
		t.Errorf("%+v", few.Notes)
	}
}
