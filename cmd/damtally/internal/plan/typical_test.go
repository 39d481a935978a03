package plan_test

import (
	"strings"
	"testing"

	"github.com/damtally/damtally/earthwork/soil"
)

// untested is the demo site without density tests, and typical factors allowed.
func untested(t testing.TB, class string) map[string]string {
	t.Helper()
	base := changed(demoTables(t), "density", "")
	base = edited(t, base, "materials", "dispersive,loss (%)", "dispersive,loss (%),typical factors")
	base = edited(t, base, "materials", "no,6", "no,6,yes")
	base = edited(t, base, "materials", "no,4", "no,4,yes")
	return edited(t, base, "materials", "lean clay,borrow,CL", "lean clay,borrow,"+class)
}

// US Army FM 5-434, table 1-1 (from memory): clay 0.90 and 43 %.
func TestTypicalFactors(t *testing.T) {
	r := run(t, tables(t, untested(t, "CL")))
	clay := material(t, r, "lean clay")
	if f := clay.Factors; f.Shrink != 0.90 || f.Swell != 0.43 || f.ShrinkFrom != soil.Published || f.SwellFrom != soil.Published {
		t.Errorf("%+v", f)
	}
	near(t, "bank", clay.Bank, clay.Compacted/(0.90*0.94), 1e-9*clay.Bank)
	if !hasNote(r.Notes, "danger", "lean clay: the shrink factor 0.90 and swell 43 % are typical of clay, not tested") || clay.Spread.Bank != nil {
		t.Errorf("%+v", r.Notes)
	}
}

// Tests and typed factors come before typical ones.
func TestTypicalFactorsComeLast(t *testing.T) {
	base := edited(t, demoTables(t), "materials", "dispersive,loss (%)", "dispersive,loss (%),typical factors")
	base = edited(t, base, "materials", "no,6", "no,6,yes")
	base = edited(t, base, "materials", "no,4", "no,4,")
	r := run(t, tables(t, base))
	if f := material(t, r, "lean clay").Factors; f.ShrinkFrom != soil.FromTests || f.SwellFrom != soil.FromTests || hasNote(r.Notes, "danger", "not tested") {
		t.Errorf("%+v", f)
	}
	typed := untested(t, "CL")
	typed = edited(t, typed, "materials", "loss (%),typical factors", "loss (%),typical factors,shrink factor (-)")
	typed = edited(t, typed, "materials", "no,6,yes", "no,6,yes,0.87")
	typed = edited(t, typed, "materials", "no,4,yes", "no,4,yes,")
	r = run(t, tables(t, typed))
	if f := material(t, r, "lean clay").Factors; f.Shrink != 0.87 || f.ShrinkFrom != soil.Typed || f.SwellFrom != soil.Published {
		t.Errorf("%+v", f)
	}
	if !hasNote(r.Notes, "danger", "lean clay: the swell 43 % is typical of clay, not tested") {
		t.Errorf("%+v", r.Notes)
	}
}

func TestNoTypicalFactors(t *testing.T) {
	base := untested(t, "OH")
	base["materials"] = strings.ReplaceAll(base["materials"], "lean clay", "muck")
	base["proctor"] = strings.ReplaceAll(base["proctor"], "lean clay", "muck")
	base["zones"] = strings.ReplaceAll(base["zones"], "lean clay", "muck")
	base["pits"] = strings.ReplaceAll(base["pits"], "lean clay", "muck")
	base["borings"] = strings.ReplaceAll(base["borings"], "lean clay", "muck")
	base["prices"] = strings.ReplaceAll(base["prices"], "lean clay", "muck")
	if got := failing(t, base); !strings.Contains(got, "no typical factors are known of muck; give its `soil class`") {
		t.Errorf("%q", got)
	}
}
