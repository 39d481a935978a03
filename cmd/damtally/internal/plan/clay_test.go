package plan_test

import (
	"strings"
	"testing"
)

// Untested dispersion of a core is red, tested it is silent; a shell is asked
// only where no core stands before it.
func TestClayPrompts(t *testing.T) {
	const asks = "is to hold the water back"
	r := run(t, sites+"plain")
	if hasNote(r.Notes, "danger", asks) || hasNote(r.Notes, "look", asks) {
		t.Errorf("the demo's clay was tested: %+v", r.Notes)
	}
	untested := edited(t, demoTables(t), "materials", "84,no,6", "84,untested,6")
	if r = run(t, tables(t, untested)); !hasNote(r.Notes, "danger", "lean clay is to hold the water back, yet it has not been tested for dispersion") {
		t.Errorf("%+v", r.Notes)
	}
	plastic := edited(t, demoTables(t), "materials", "38,19,84", "88,55,95")
	if r = run(t, tables(t, plastic)); !hasNote(r.Notes, "look", "its liquid limit is above 80") {
		t.Errorf("%+v", r.Notes)
	}
	shell := edited(t, demoTables(t), "materials", "27,no,4", "27,untested,4")
	if r = run(t, tables(t, shell)); hasNote(r.Notes, "danger", asks) {
		t.Errorf("%+v", r.Notes)
	}
	alone := edited(t, shell, "zones", "core,core,lean clay,3,10,1,1\n", "")
	alone = changed(alone, "density", strings.ReplaceAll(alone["density"], ",,core,", ",,shell,"))
	alone = edited(t, alone, "prices", "zone core", "trench")
	if r = run(t, tables(t, alone)); !hasNote(r.Notes, "danger", "silty sand is to hold the water back, yet it has not been tested for dispersion") {
		t.Errorf("%+v", r.Notes)
	}
}
