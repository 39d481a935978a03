package borrow

import (
	"testing"

	"github.com/paulmach/orb"
)

func BenchmarkMeasureRectangle(b *testing.B) {
	p := Pit{Ring: rectangle(100, 70), SideSlope: 2, Level: 100, Floor: 96}
	for b.Loop() {
		measure(b, p)
	}
}

func BenchmarkMeasureCornerIn(b *testing.B) {
	ring := orb.Ring{{0, 0}, {60, 0}, {60, 25}, {25, 25}, {25, 60}, {0, 60}, {0, 0}}
	p := Pit{Ring: ring, SideSlope: 2, Level: 4}
	for b.Loop() {
		measure(b, p)
	}
}

func BenchmarkMeasureRough(b *testing.B) {
	p := Pit{Ring: rectangle(120, 80), SideSlope: 2, Floor: 14, Surface: gridGround(100, 200, saddle)}
	for b.Loop() {
		measure(b, p)
	}
}
