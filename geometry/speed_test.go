package geometry

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"sync"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// peakHeap runs work and tells by how much the heap in use grew at the most, bytes,
// by looking every millisecond. What is swept late counts, as it does for the
// computer.
func peakHeap(work func()) uint64 {
	runtime.GC()
	debug.FreeOSMemory()
	sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}, {Name: "/memory/classes/heap/unused:bytes"}}
	inUse := func() uint64 {
		metrics.Read(sample)
		return sample[0].Value.Uint64() + sample[1].Value.Uint64()
	}
	before, peak := inUse(), uint64(0)
	stop := make(chan struct{})
	var watch sync.WaitGroup
	watch.Go(func() {
		for {
			peak = max(peak, inUse())
			select {
			case <-stop:
				return
			case <-time.After(time.Millisecond):
			}
		}
	})
	work()
	close(stop)
	watch.Wait()
	return peak - min(before, peak)
}

// triangulated is NewTIN without the self-check that tests make of it.
func triangulated(b *testing.B, points []GroundPoint, opt TINOptions) *TIN {
	t, err := NewTIN(points, opt)
	if err != nil {
		b.Fatal(err)
	}
	return t
}

// timed is the shortest of some runs.
func timed(runs int, work func()) time.Duration {
	best := time.Duration(math.MaxInt64)
	for range runs {
		start := time.Now()
		work()
		best = min(best, time.Since(start))
	}
	return best
}

// BenchmarkNewTIN triangulates random points with all that a survey takes, and
// tells the most memory in use, bytes a point, beyond the caller's own list.
func BenchmarkNewTIN(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		points := randomPoints(n)
		b.Run(fmt.Sprintf("%dk", n/1000), func(b *testing.B) {
			peak := uint64(0)
			for b.Loop() {
				peak = max(peak, peakHeap(func() { triangulated(b, points, TINOptions{}) }))
			}
			b.ReportMetric(float64(peak)/float64(n), "peak-B/point")
		})
	}
}

// BenchmarkGrowth tells by how much the time for many points is more than n log n
// says, from that for ten thousand.
func BenchmarkGrowth(b *testing.B) {
	perStep := func(b *testing.B, n int) float64 {
		points := randomPoints(n)
		t := timed(max(1, 200_000/n), func() { triangulated(b, points, TINOptions{}) })
		return t.Seconds() / (float64(n) * math.Log(float64(n)))
	}
	small := perStep(b, 10_000)
	for _, n := range []int{100_000, 1_000_000, 4_000_000} {
		b.Run(fmt.Sprintf("%dk", n/1000), func(b *testing.B) {
			for b.Loop() {
				b.ReportMetric(perStep(b, n)/small, "of-n-log-n")
			}
		})
	}
}

// BenchmarkBreaklines draws ten thousand segments, each ten spacings of the points
// long, over a million points, and tells the time for them as a share of that for
// the points alone.
func BenchmarkBreaklines(b *testing.B) {
	const n, segments, side = 1_000_000, 10_000, 1000.0
	long := 10 * side / math.Sqrt(n)
	s, c := math.Sincos(0.3) // side by side, so that none cross
	r := rand.New(rand.NewPCG(5, 6))
	points := randomPoints(n)
	var lines [][]int
	for range segments {
		x, y := long+(side-2*long)*r.Float64(), long+(side-2*long)*r.Float64()
		lines = append(lines, []int{len(points), len(points) + 1})
		points = append(points, GroundPoint{At: orb.Point{x, y}}, GroundPoint{At: orb.Point{x + long*c, y + long*s}})
	}
	for b.Loop() {
		alone := timed(2, func() { triangulated(b, points, TINOptions{}) })
		with := timed(2, func() { triangulated(b, points, TINOptions{Breaklines: lines}) })
		b.ReportMetric(with.Seconds()/alone.Seconds()-1, "of-delaunay")
	}
}

// BenchmarkSliceEdges cuts sections of a hundred metres through a million points
// and through a grid, and tells the time for each edge that is crossed.
func BenchmarkSliceEdges(b *testing.B) {
	tin := triangulated(b, randomPoints(1_000_000), TINOptions{})
	r := rand.New(rand.NewPCG(8, 9))
	p := postings{cols: 1001}
	for range 1001 * 1001 {
		p.z = append(p.z, r.Float64())
	}
	grid := mustGrid(b, p, GridFrame{Column: orb.Point{1, 0}, Row: orb.Point{0, 1}})
	for _, c := range []struct {
		name string
		s    Surface
	}{{"points", tin}, {"grid", grid}} {
		b.Run(c.name, func(b *testing.B) {
			var cursor Cursor
			edges := 0
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				x := float64(i%900) + 50.3
				for _, l := range c.s.Slice(&cursor, orb.Point{x, 400}, orb.Point{x + 3, 500}) {
					edges += len(l)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(edges), "ns/edge")
		})
	}
}
