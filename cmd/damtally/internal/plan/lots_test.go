package plan_test

import (
	"math"
	"testing"

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
