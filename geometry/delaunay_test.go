package geometry

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

func randomPoints(n int) []GroundPoint {
	r := rand.New(rand.NewPCG(7, uint64(n)))
	points := make([]GroundPoint, n)
	for i := range points {
		points[i] = GroundPoint{orb.Point{1000 * r.Float64(), 1000 * r.Float64()}, 10 * r.Float64()}
	}
	return points
}

func latticePoints(n int, step float64) []GroundPoint {
	var points []GroundPoint
	for i := range n {
		for j := range n {
			points = append(points, GroundPoint{orb.Point{step * float64(i), step * float64(j)}, 0})
		}
	}
	return points
}

func BenchmarkDelaunay(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		points := randomPoints(n)
		b.Run(fmt.Sprintf("%dk", n/1000), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				delaunay(inStrips(points, eastward(points)))
			}
		})
	}
	for name, step := range map[string]float64{"lattice feet": 0.3048, "lattice metres": 1} {
		points := latticePoints(1000, step)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				delaunay(inStrips(points, eastward(points)))
			}
		})
	}
}
