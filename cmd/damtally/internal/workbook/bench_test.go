package workbook

import (
	"io"
	"testing"
)

// BenchmarkWrite writes the workbook of a dam of 44 sections or so.
func BenchmarkWrite(b *testing.B) {
	s := sampleSite()
	s.Settings.SectionInterval = yes(480 * ft / 40)
	r := planned(b, s)
	for b.Loop() {
		if err := Write(io.Discard, r, "test"); err != nil {
			b.Fatal(err)
		}
	}
}
