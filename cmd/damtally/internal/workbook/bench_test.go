package workbook

import (
	"io"
	"runtime"
	"testing"
)

// BenchmarkWrite writes the workbook of a dam of 44 sections or so.
func BenchmarkWrite(b *testing.B) { benchmark(b, 40) }

// BenchmarkWriteLong writes that of 5,000 sections. It is to stay below 2 s and
// 300 MB of memory in use.
func BenchmarkWriteLong(b *testing.B) { benchmark(b, 5000) }

func benchmark(b *testing.B, sections float64) {
	s := sampleSite()
	s.Settings.SectionInterval = yes(480 * ft / sections)
	r := planned(b, s)
	b.ReportAllocs()
	b.ResetTimer()
	for b.Loop() {
		if err := Write(io.Discard, r, "test"); err != nil {
			b.Fatal(err)
		}
	}
	b.StopTimer()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(float64(len(r.Quantities.Sections)), "sections")
	b.ReportMetric(float64(m.HeapSys)/1e6, "MB-heap")
}
