package plan_test

import (
	"math"
	"strings"
	"testing"
)

const pipes = "conduit,station (ft),diameter (ft),offset from (ft),offset to (ft),invert elevation (ft),trench width (ft),hand compacted width (ft)\n"

// A pipe of 2 ft through the pond's dam at ground 90 ft, stripped to 89.5 ft.
func TestConduits(t *testing.T) {
	texts := changed(changed(pond, "conduits", pipes+"outlet,1+50,2,-40,30,86.5,5,2\n"), "prices",
		"item,unit,unit price,quantity of\npipe,ft,30,conduit length\npipe trench,yd3,5,conduit trench\nback,yd3,5,conduit backfill\nby hand,yd3,9,conduit hand compacted\n")
	r := run(t, tables(t, texts))
	near(t, "length", r.Items[0].Quantity, 70, 1e-9)
	near(t, "trench", r.Items[1].Quantity, 5*3*70/27.0, 1e-9)
	near(t, "backfill", r.Items[2].Quantity, (5*3-math.Pi)*70/27.0, 1e-9)
	near(t, "by hand", r.Items[3].Quantity, 70*(6*2-math.Pi)/27, 1e-9)
	for level, part := range map[string]string{
		"note":   "pipes: outlet, 70.0 ft long, its trench 39 bank yd3 up to 3.0 ft deep and 31 compacted yd3 to fill it again with clay, for which 38 bank yd3 must be dug, 23 compacted yd3 beside it compacted by hand",
		"look":   "water follows a pipe",
		"danger": "a trench can cave in and kill",
	} {
		if !hasNote(r.Notes, level, part) {
			t.Errorf("no %s with %q in\n%s", level, part, listed(r.Notes))
		}
	}
	want := "conduits row 2: outlet at station 5+00: there is no dam"
	if got := failing(t, changed(pond, "conduits", pipes+"outlet,5+00,2,-40,30,86.5,5,2\n")); !strings.Contains(got, want) {
		t.Errorf("%q lacks %q", got, want)
	}
}

// What fills a pipe's trench again is dug like the core: 31 compacted yd3 of a clay
// that shrinks to 0.8 and of which 5 % are lost.
func TestConduitBackfillIsDug(t *testing.T) {
	texts := changed(vale(), "zones", "zone,kind,material,top below crest (ft),top width (ft),upstream slope (h:v),downstream slope (h:v)\ncore,core,clay,2,8,0.5,0.5\nshell,shell,fill,,,,\n")
	texts = changed(texts, "conduits", pipes+"outlet,300,2,-40,30,96.5,5,2\n")
	r := run(t, tables(t, texts))
	c := r.Conduits[0]
	if c.FilledWith != "clay" {
		t.Errorf("filled with %q", c.FilledWith)
	}
	near(t, "backfill", c.Backfill/0.764554857984, (5*3-math.Pi)*70/27, 1e-9) // m3 in a yd3: 0.9144 cubed
	near(t, "bank", c.BackfillBank, c.Backfill/(0.8*0.95), 1e-12)
}
