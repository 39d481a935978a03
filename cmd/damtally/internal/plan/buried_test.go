package plan_test

import (
	"strings"
	"testing"
)

// fillTest is a row of a fill test of the clay, on a day of June 2026.
func fillTest(id, day, elevation, lift, wet, sample, retestOf string) string {
	return strings.Join([]string{"fill,lean clay", id, "2026-06-" + day, "", "core", "400", "0", elevation, lift, wet, "18", "nuclear gauge", sample, retestOf}, ",") + "\n"
}

// A failed test above which fill was tested later may be buried; a passing retest of a
// retest clears the chain; a retest dated before its test is asked about.
func TestBuriedFailedTest(t *testing.T) {
	base := demoTables(t)
	with := func(rows ...string) string {
		return tables(t, changed(base, "density", base["density"]+strings.Join(rows, "")))
	}
	failed := fillTest("X-1", "04", "843", "9", "118", "C-1", "")
	open := run(t, with(failed))
	if !hasNote(open.Notes, "danger", "fill test X-1 failed (density) and no retest stands for it; see that it is not buried") {
		t.Errorf("%+v", open.Notes)
	}
	buried := run(t, with(failed, fillTest("X-2", "08", "846", "12", "127", "C-1", "")))
	if !hasNote(buried.Notes, "danger", "fill test X-2 was made on a lift above it, so it may be buried") {
		t.Errorf("%+v", buried.Notes)
	}
	byLift := run(t, with(fillTest("X-1", "04", "", "9", "118", "C-1", ""), fillTest("X-2", "08", "", "12", "127", "C-1", "")))
	if !hasNote(byLift.Notes, "danger", "fill test X-2 was made on a lift above it") {
		t.Errorf("%+v", byLift.Notes)
	}
	cleared := run(t, with(failed, fillTest("X-1R", "05", "843", "9", "119", "C-1", "X-1"), fillTest("X-1RR", "06", "843", "9", "127", "C-1", "X-1R")))
	if hasNote(cleared.Notes, "danger", "fill test X-1") || hasNote(cleared.Notes, "look", "is dated") {
		t.Errorf("%+v", cleared.Notes)
	}
	early := run(t, with(failed, fillTest("X-1R", "03", "843", "9", "127", "C-1", "X-1")))
	if !hasNote(early.Notes, "look", "retest X-1R is dated 2026-06-03, before the test X-1 that it repeats (2026-06-04)") {
		t.Errorf("%+v", early.Notes)
	}
}

// Samples of another effort than the material names are left out aloud, and a test
// that names one is not judged: 95 % of modified is no 95 % of standard.
func TestSamplesOfAnotherEffort(t *testing.T) {
	base := demoTables(t)
	base["proctor"] += "lean clay,C-2,modified,10,125\nlean clay,C-2,modified,12,132\nlean clay,C-2,modified,14,133\nlean clay,C-2,modified,16,130\n"
	base["density"] += fillTest("X-1", "04", "843", "9", "127", "C-2", "")
	r := run(t, tables(t, base))
	if !hasNote(r.Notes, "look", "lean clay: sample C-2 is of modified effort and standard is required") || !hasNote(r.Notes, "look", "fill test X-1 names sample C-2, which is of another effort") {
		t.Errorf("%+v", r.Notes)
	}
	for _, x := range r.Tests {
		if x.Row.ID == "X-1" && (x.Pass != nil || x.Compaction > 0) {
			t.Errorf("%+v", x)
		}
	}
	// With no sample of the effort at all, nothing is judged, and it says why.
	base = demoTables(t)
	base["proctor"] = strings.ReplaceAll(base["proctor"], "lean clay,C-1,standard", "lean clay,C-1,modified")
	if r = run(t, tables(t, base)); !hasNote(r.Notes, "look", "no lab points of the standard effort that it names in `proctor`") {
		t.Errorf("%+v", r.Notes)
	}
}

// Without a specific gravity nothing can be said of saturation, and a note says so.
func TestNoSpecificGravity(t *testing.T) {
	base := demoTables(t)
	const words = "lean clay has no `specific gravity`, so saturation and air voids of its tests are not known"
	if r := run(t, tables(t, base)); hasNote(r.Notes, "note", words) {
		t.Error("it is given")
	}
	base["materials"] = strings.Replace(base["materials"], "2.70", "", 1)
	if r := run(t, tables(t, base)); !hasNote(r.Notes, "note", words) {
		t.Errorf("%+v", r.Notes)
	}
}
