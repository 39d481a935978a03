package workbook

import (
	"strings"
	"testing"
)

func TestNamesOfMaterials(t *testing.T) {
	s := sampleSite()
	s.Materials[1].Name, s.Zones[1].Materials[0] = "Lean  clay", "Lean  clay" // the same name but for what a name may hold
	for i := range s.Pits[1:] {
		s.Pits[1+i].Material = "Lean  clay"
	}
	s.Prices = nil
	s.Materials[0].Name, s.Zones[0].Materials[0], s.Zones[1].Materials[1] = "lean--clay", "lean--clay", "lean--clay"
	for i := range s.Density {
		s.Density[i].Material = "lean--clay"
	}
	for i := range s.Proctor {
		s.Proctor[i].Material = "lean--clay"
	}
	s.Pits[0].Material = "lean--clay"
	r := planned(t, s)
	b := build(r, "test")
	if got := b.soil[0].loss.name; got != "Loss_lean__clay" {
		t.Errorf("the loss of the first soil is called %q", got)
	}
	if got := b.soil[1].loss.name; got != "Loss_Lean__clay_2" {
		t.Errorf("the loss of the second soil is called %q", got)
	}
	if got := b.soil[0].typedShrink.name; got != "" {
		t.Errorf("a shrink factor that nothing takes up is called %q", got)
	}
	all := parts(t, written(t, r))
	book := string(all["xl/workbook.xml"])
	if !strings.Contains(book, `name="ShrinkFactor_Lean__clay"`) {
		t.Error("the typed shrink factor has no name in the file")
	}
}
