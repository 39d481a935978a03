package workbook

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// dugSite is the demo with a survey after stripping: every survey point of the
// demo a foot lower.
func dugSite(t *testing.T) site.Site {
	t.Helper()
	from, dir := filepath.Join("..", "..", "..", "..", "testdata", "sites", "plain"), t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	points := "x,y,z\n"
	for _, p := range readSite(t, "plain").Survey {
		points += fmt.Sprintf("%.3f,%.3f,%.3f\n", p.At[0]/ft, p.At[1]/ft, p.Elevation/ft-1)
	}
	for name, text := range map[string]string{
		"clean.csv":    points,
		"surfaces.csv": "name,file,use,date,unit,column order\nclean,clean.csv,stripped,2026-05-02,ft,x y z\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	s, err := site.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestDug: the sheet sets planned against measured in live formulas, and its sums by
// station come to the totals but for the bends.
func TestDug(t *testing.T) {
	r := planned(t, dugSite(t))
	b := build(r, "test")
	if len(b.faults) > 0 {
		t.Errorf("figures without formulas: %v", b.faults)
	}
	s, v := b.dugSheet, b.m.Volume.FromSI
	var sum, topsoil int
	for row := 1; row <= s.lastRow(); row++ {
		if c := s.at(row, 1); c != nil {
			switch c.content.val.text {
			case "Sum":
				sum = row
			case "Topsoil stripped under the dam":
				topsoil = row
			}
		}
	}
	near(t, "planned", s.at(topsoil, 2).content.numeric(), v(r.Dug.Planned.Stripping))
	near(t, "measured", s.at(topsoil, 3).content.numeric(), v(r.Quantities.Stripping))
	endArea := 0.0
	for _, k := range r.Quantities.Reaches {
		endArea += k.Length * (r.Quantities.Sections[k.From].Stripping.Area + r.Quantities.Sections[k.To].Stripping.Area) / 2
	}
	near(t, "sum by station", s.at(sum, dugStripVolume).content.numeric(), v(endArea))
	if more := s.at(topsoil, 4).content.numeric(); more < v(r.Dug.Planned.Stripping)/10 {
		t.Errorf("a foot in the place of 8 and 12 in strips %g more", more)
	}
	if build(planned(t, readSite(t, "plain")), "test").dugSheet.lastRow() != 0 {
		t.Error("nothing was measured, and there is a sheet of it")
	}
}
