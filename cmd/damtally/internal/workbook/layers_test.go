package workbook

import (
	"math"
	"testing"
)

// TestLayers: the sheets of layers follow the plan's own figures by formulas,
// and no sheet of a dam without layers has their columns.
func TestLayers(t *testing.T) {
	r := planned(t, layeredSite())
	b := build(r, "test")
	if len(b.faults) > 0 {
		t.Errorf("figures without formulas: %v", b.faults)
	}
	m := b.m
	for k, z := range r.Quantities.Zones {
		c := b.zone[k]
		if (c.outside != nil) != (z.Outside > 0) || (c.surface != nil) != (z.Surface > 0) {
			t.Errorf("zone %s: outside %v, surface %v", z.Zone, c.outside, c.surface)
		}
		if c.outside != nil {
			near(t, z.Zone+" outside", c.outside.content.numeric(), m.Volume.FromSI(z.Outside))
		}
		if c.surface != nil {
			near(t, z.Zone+" surface", c.surface.content.numeric(), m.Area.FromSI(z.Surface))
		}
		near(t, z.Zone, c.compacted.content.numeric(), m.Volume.FromSI(z.Compacted))
	}
	near(t, "outside", b.fill.outside.content.numeric(), m.Volume.FromSI(r.Quantities.Outside))
	near(t, "all", b.fill.all.content.numeric(), m.Volume.FromSI(r.Quantities.Total))
	if r.Quantities.Outside <= 0 || math.IsNaN(r.Quantities.Outside) {
		t.Errorf("nothing lies outside: %v", r.Quantities.Outside)
	}
	plain := build(planned(t, sampleSite()), "test")
	if plain.layered() || plain.fill.outside != nil || plain.zoneSheets[0].at(rowVolumeHead, zoneOutside) != nil {
		t.Error("a dam without layers has their columns")
	}
}
