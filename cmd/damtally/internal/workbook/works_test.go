package workbook

import (
	"math"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/paulmach/orb"
)

// worksSite is the demo with a spillway, a lining of the lake bed and two pipes,
// all invented, and bid items for them.
func worksSite(t testing.TB) site.Site {
	t.Helper()
	s := readSite(t, "plain")
	ring := func(x0, y0, x1, y1 float64) orb.Ring {
		return orb.Ring{{x0 * ft, y0 * ft}, {x1 * ft, y0 * ft}, {x1 * ft, y1 * ft}, {x0 * ft, y1 * ft}, {x0 * ft, y0 * ft}}
	}
	s.Cuts = []site.Cut{
		{Name: "Spillway", FloorElevation: 855 * ft, SideSlope: 3, SideSlopeGiven: true, Material: "silty sand", Usable: "yes", Ring: ring(5880, 10260, 5940, 10330)},
		{Name: "Ditch", FloorElevation: 835 * ft, SideSlope: 2, SideSlopeGiven: true, Ring: ring(5600, 10330, 5640, 10340)},
	}
	s.Blankets = []site.Blanket{{Name: "Lake bed", Thickness: 1.5 * ft, Material: "lean clay", Ring: ring(5330, 10250, 5480, 10350)}}
	s.Conduits = []site.Conduit{
		{Name: "Outlet", Station: 410 * ft, Diameter: 2 * ft, Invert: yes(835 * ft), OutletInvert: yes(834 * ft), TrenchWidth: 6 * ft, HandWidth: 3 * ft},
		{Name: "Siphon", Station: 260 * ft, Diameter: 1 * ft, OffsetFrom: yes(-20 * ft), OffsetTo: yes(20 * ft), Invert: yes(850 * ft)},
	}
	for _, of := range []struct{ name, unit string }{
		{"cut Spillway", "yd3"},
		{"blanket lake bed", "m3"},
		{"surface of  blanket Lake bed", "yd2"},
		{"conduit length", "ft"},
		{"conduit trench", "yd3"},
		{"conduit backfill", "yd3"},
		{"conduit hand compacted", "yd3"},
	} {
		s.Prices = append(s.Prices, site.PayItem{Item: of.name, Unit: of.unit, UnitPrice: 2, QuantityOf: of.name})
	}
	return s
}

// TestWorks: pipes, cuts and linings stand on sheets of their own in live formulas,
// the lining is in the need of its material, and bid items take them up.
func TestWorks(t *testing.T) {
	r := planned(t, worksSite(t))
	b := build(r, "test")
	if len(b.faults) > 0 {
		t.Errorf("figures without formulas: %v", b.faults)
	}
	v := b.m.Volume.FromSI
	near(t, "the spillway", b.work.cuts[0].content.numeric(), v(r.Cuts[0].Capacity.Bank))
	near(t, "the lining", b.work.blankets[0].compacted.content.numeric(), v(r.Blankets[0].Compacted))
	near(t, "what fills the trench again", b.work.pipeBackfill.content.numeric(), v(r.Conduits[0].Backfill))
	near(t, "clay", b.soil[0].compacted.content.numeric(), v(r.Materials[0].Compacted))
	if zone := v(r.Quantities.Zones[0].Compacted); math.Abs(b.soil[0].compacted.content.numeric()-zone-v(r.Blankets[0].Compacted)) > 1e-6 {
		t.Errorf("the need of clay is not the core, %g, and the lining", zone)
	}
	for i := len(r.Items) - 7; i < len(r.Items); i++ {
		formula, ok := b.quantityOf(&r.Items[i])
		if !ok {
			t.Errorf("%s is not linked to a sheet", r.Items[i].Name)
			continue
		}
		near(t, r.Items[i].Name, formula.numeric(), r.Items[i].Quantity)
	}
	for _, s := range build(planned(t, sampleSite()), "test").sheets() {
		if s.name == "Pipes" || s.name == "Cuts" || s.name == "Blankets" {
			t.Errorf("a dam without them has a sheet %s", s.name)
		}
	}
}

// TestWorksRecalculated works out the workbook again with another program: as it
// is, with another rule of testing, and with a thicker lining, and sets it beside
// plans of those.
func TestWorksRecalculated(t *testing.T) {
	s := worksSite(t)
	r := planned(t, s)
	b, plain := build(r, "test"), written(t, r)
	want := cellsOf(t, plain)
	rule := at{"Lifts", "B" + rowOf(t, want["Lifts"], "A", "One test for each")}
	thick := at{"Blankets", address(b.work.blankets[0].compacted.row, b.work.blankets[0].compacted.col-1)}
	got := recalculate(t, map[string][]byte{
		"works": plain,
		"rule":  withCell(t, plain, rule.sheet, rule.cell, "200"),
		"thick": withCell(t, plain, thick.sheet, thick.cell, "2"),
	})
	sameValues(t, "works", want, got["works"])

	s.Settings.TestEvery = yes(200 * 27 * ft * ft * ft)
	closer := planned(t, s)
	near(t, "tests due with another rule", numberAt(t, got["rule"], placeOf(b.liftTests)), float64(closer.Lifts.Tests))
	if closer.Lifts.Tests <= r.Lifts.Tests || closer.Blankets[0].Tests <= r.Blankets[0].Tests {
		t.Error("the closer rule asks for no more tests, so the check proves nothing")
	}
	total := at{"Blankets", address(b.work.blankets[0].compacted.row, 9)}
	near(t, "tests of the lining", numberAt(t, got["rule"], total), float64(closer.Blankets[0].Tests))

	s.Settings.TestEvery = r.Site.Settings.TestEvery
	s.Blankets[0].Thickness = 2 * ft
	thicker := planned(t, s)
	near(t, "clay with a thicker lining", numberAt(t, got["thick"], placeOf(b.soil[0].bankVolume)), b.m.Volume.FromSI(thicker.Materials[0].Bank))
}
