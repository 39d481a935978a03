package plan_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

const bed = "blanket,thickness (in),material\nbed,18,clay\n"

// A lining of 100 ft x 100 ft on a plane of 1 in 10: its surface is the plan times
// the root of 1.01, its volume that times 1.5 ft. It is in the need of clay, with
// the core's or without, and not in the dam.
func TestBlankets(t *testing.T) {
	texts := changed(changed(changed(changed(vale(), "blankets", bed), "outlines", "of,x (ft),y (ft)\n"+box("bed", 310, 150, 410, 250)),
		"zones", "zone,kind,material\ndam,shell,fill\n"),
		"prices", "item,unit,unit price,quantity of\nlining,yd3,5,blanket bed\nsurface,yd2,1,surface of blanket bed\nclay to dig,yd3,2,bank clay\n")
	texts["site"] += "test every,100 yd3\nleast tests a lift,3\nnormal pool elevation,112 ft\n"
	r := run(t, tables(t, texts))
	surface := 100 * 100 * math.Sqrt(1.01)
	volume := surface * 1.5 / 27
	near(t, "lining", r.Items[0].Quantity, volume, 1e-9)
	near(t, "surface", r.Items[1].Quantity, surface/9, 1e-9)
	near(t, "clay to dig", r.Items[2].Quantity, volume/(0.8*0.95), 1e-9)
	clay, b := r.Materials[0], r.Blankets[0]
	near(t, "compacted clay", clay.Compacted/yd3, volume, 1e-9)
	near(t, "clay from the blanket", clay.Blankets[0].Compacted/yd3, volume, 1e-9)
	near(t, "the dam without it", r.Quantities.Total, r.Materials[1].Compacted, 1e-6)
	near(t, "lowest ground", b.Low/0.3048, 101, 1e-9)
	near(t, "highest ground", b.High/0.3048, 111, 1e-9)
	// Three lifts of 6 in, each 186 yd3: two tests by volume, three as the least.
	if b.Lifts != 3 || b.Tests != 9 {
		t.Errorf("%d lifts with %d tests, want 3 with 9", b.Lifts, b.Tests)
	}
	for part, level := range map[string]string{
		"blanket bed: 10,050 ft2 along the slope of the ground (10,000 ft2 in plan) x 18.0 in thick = 558 compacted yd3 of clay": "note",
		"blanket bed is figured as volume only":                                                                        "look",
		"clay is to hold the water back, yet it has not been tested for dispersion":                                    "danger",
		"the ground under blanket bed lies between 101.00 ft and 111.00 ft, wholly below the normal pool of 112.00 ft": "note",
	} {
		if !hasNote(r.Notes, level, part) {
			t.Errorf("no %s with %q in\n%s", level, part, listed(r.Notes))
		}
	}
}

// What is dug and built beside the dam and paid by no item is told.
func TestUnpaidWorks(t *testing.T) {
	texts := changed(changed(changed(changed(changed(vale(), "blankets", bed), "outlines", "of,x (ft),y (ft)\n"+box("bed", 310, 150, 410, 250)+box("ditch", 100, 200, 200, 240)),
		"cuts", cuts+"ditch,105,0,,\n"), "conduits", "conduit,station (ft),diameter (ft),invert elevation (ft),trench width (ft)\noutlet,3+00,2,96,5\n"),
		"prices", "item,unit,unit price,quantity of\nditch,yd3,5,cut ditch\n")
	keys := func(r *plan.Result) map[string]float64 {
		out := map[string]float64{}
		for _, u := range r.Unpaid {
			out[u.Key+" "+u.Subject] = u.Volume
		}
		return out
	}
	r := run(t, tables(t, texts))
	got := keys(r)
	if _, told := got["cut ditch"]; told {
		t.Error("the ditch is paid")
	}
	near(t, "lining", got["blanket bed"], r.Blankets[0].Compacted, 1e-9)
	near(t, "pipe trench", got["conduit_trench "], r.Conduits[0].Dug, 1e-9)
	near(t, "pipe backfill", got["conduit_backfill "], r.Conduits[0].Backfill, 1e-9)
	r = run(t, tables(t, changed(texts, "prices", "item,unit,unit price,quantity of\nlining,yd2,5,surface of blanket bed\ntrench,yd3,1,conduit trench\nback,yd3,1,conduit backfill\n")))
	if got = keys(r); len(got) == 0 || got["cut ditch"] != r.Cuts[0].Capacity.Bank || got["blanket bed"]+got["conduit_trench "]+got["conduit_backfill "] != 0 {
		t.Errorf("%v", got)
	}
}

// What a lining of the core's clay takes of the pit is taken before a zone of two
// materials is shared out.
func TestBlanketBeforeZones(t *testing.T) {
	texts := changed(changed(changed(vale(), "zones", "zone,kind,material\ndam,shell,clay; fill\n"),
		"pits", "pit,material,side slope (h:v),depth (ft)\nhill,clay,0,10\nflat,fill,0,20\n"), "outlines", "of,x (ft),y (ft)\n"+box("hill", 450, 200, 550, 300)+box("flat", 50, -390, 290, -200))
	without := run(t, tables(t, texts))
	texts = changed(texts, "blankets", bed)
	texts["outlines"] += box("bed", 310, 150, 410, 250)
	with := run(t, tables(t, texts))
	clay := func(i int) float64 { return []float64{without.Materials[0].Compacted, with.Materials[0].Compacted}[i] }
	near(t, "clay in all", clay(1), clay(0), 1e-6)
	near(t, "fill makes up", with.Materials[1].Compacted-without.Materials[1].Compacted, with.Blankets[0].Compacted, 1e-6)
}

// Without a table of materials a blanket may be of one that no zone has; the dam
// stays of its own.
func TestBlanketOfItsOwn(t *testing.T) {
	texts := changed(changed(changed(vale(), "materials", ""), "blankets", bed), "outlines", "of,x (ft),y (ft)\n"+box("bed", 290, 30, 410, 250))
	r := run(t, tables(t, texts))
	near(t, "clay", r.Materials[1].Compacted, r.Blankets[0].Compacted, 1e-9)
	near(t, "fill", r.Materials[0].Compacted, r.Quantities.Total, 1e-9)
	if !hasNote(r.Notes, "look", "blanket bed reaches under the dam between stations 2+75 and 4+25") {
		t.Error(listed(r.Notes))
	}
	off := failing(t, changed(texts, "outlines", "of,x (ft),y (ft)\n"+box("bed", 310, 380, 410, 480)))
	if want := "blankets row 2, blanket: blanket bed reaches off the survey with 8,000 ft2 of its 10,000 ft2; survey the whole blanket, or move its corners in"; off != want {
		t.Errorf("%q, want %q", off, want)
	}
}
