package geometry

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

func TestSliceAgainstCuttingEveryTriangle(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for _, n := range []int{3, 10, 200} {
		var places []xy
		for range n {
			places = append(places, xy{100 * r.Float64(), 100 * r.Float64()})
		}
		tin := mustTIN(t, fromXY(places...), TINOptions{})
		for range 300 {
			a := orb.Point{160*r.Float64() - 30, 160*r.Float64() - 30}
			b := orb.Point{160*r.Float64() - 30, 160*r.Float64() - 30}
			checkSlice(t, tin, a, b, 1e-8)
		}
	}
}

// On a lattice a segment between lattice places runs through places and along
// edges all the time.
func TestSliceOnLattice(t *testing.T) {
	var places []xy
	for i := range 8 {
		for j := range 8 {
			places = append(places, xy{float64(i), float64(j)})
		}
	}
	tin := mustTIN(t, fromXY(places...), TINOptions{})
	r := rand.New(rand.NewPCG(13, 14))
	for range 3000 {
		a := orb.Point{float64(r.IntN(23)-4) / 2, float64(r.IntN(23)-4) / 2}
		b := orb.Point{float64(r.IntN(23)-4) / 2, float64(r.IntN(23)-4) / 2}
		checkSlice(t, tin, a, b, 1e-9)
	}
	got := tin.Slice(nil, orb.Point{-2, 3}, orb.Point{9, 3})
	if len(got) != 1 || len(got[0]) != 8 {
		t.Fatalf("along a row: %v, want one piece with a knot at each of 8 points", got)
	}
	for i, k := range got[0] {
		if want := (Knot{float64(i + 2), hill(xy{float64(i), 3})}); k != want {
			t.Errorf("knot %d is %v, want %v exactly", i, k, want)
		}
	}
}

// The ends of a slice that only touches the ground, or misses it.
func TestSliceAtTheHull(t *testing.T) {
	tin := mustTIN(t, fromXY(xy{0, 0}, xy{4, 0}, xy{4, 4}, xy{0, 4}, xy{2, 2}), TINOptions{})
	for name, tc := range map[string]struct {
		a, b     orb.Point
		from, to float64 // equal: no ground
	}{
		"misses":               {orb.Point{-1, 5}, orb.Point{5, 6}, 0, 0},
		"touches a corner":     {orb.Point{-1, 1}, orb.Point{1, -1}, 0, 0},
		"stops at an edge":     {orb.Point{-2, 1}, orb.Point{0, 1}, 0, 0},
		"starts at an edge":    {orb.Point{0, 1}, orb.Point{-2, 1}, 0, 0},
		"stops short":          {orb.Point{-2, 1}, orb.Point{-1, 1}, 0, 0},
		"stops at a corner":    {orb.Point{-1, -1}, orb.Point{0, 0}, 0, 0},
		"starts beyond":        {orb.Point{5, 1}, orb.Point{6, 1}, 0, 0},
		"in line, beyond":      {orb.Point{5, 0}, orb.Point{6, 0}, 0, 0},
		"no length":            {orb.Point{1, 1}, orb.Point{1, 1}, 0, 0},
		"not a number":         {orb.Point{1, 1}, orb.Point{1, math.NaN()}, 0, 0},
		"along the hull":       {orb.Point{-1, 0}, orb.Point{6, 0}, 1, 5},
		"along, from a corner": {orb.Point{4, 0}, orb.Point{0, 0}, 0, 4},
		"along, within":        {orb.Point{3, 0}, orb.Point{1, 0}, 0, 2},
		"through":              {orb.Point{-1, 1}, orb.Point{9, 1}, 1, 5},
		"diagonal":             {orb.Point{-3, -3}, orb.Point{7, 7}, 3 * math.Sqrt2, 7 * math.Sqrt2},
		"from inside":          {orb.Point{1, 2}, orb.Point{9, 2}, 0, 3},
		"to inside":            {orb.Point{-1, 2}, orb.Point{1, 2}, 1, 2},
		"within one triangle":  {orb.Point{1, 0.25}, orb.Point{2, 0.25}, 0, 1},
	} {
		t.Run(name, func(t *testing.T) {
			pieces := tin.Slice(nil, tc.a, tc.b)
			if tc.from == tc.to {
				if len(pieces) != 0 {
					t.Fatalf("got %v, want no ground", pieces)
				}
				return
			}
			if len(pieces) != 1 {
				t.Fatalf("got %v, want one piece", pieces)
			}
			from, to := pieces[0].Span()
			if math.Abs(from-tc.from) > 1e-12 || math.Abs(to-tc.to) > 1e-12 {
				t.Errorf("ground from %v to %v, want %v to %v", from, to, tc.from, tc.to)
			}
		})
	}
}

// A U of points, its gap closed by long triangles: the slice across it comes in
// two pieces once those are taken away.
func TestSliceAcrossGap(t *testing.T) {
	var places []xy
	for i := range 11 {
		for j := range 11 {
			if i <= 3 || i >= 7 || j <= 3 {
				places = append(places, xy{float64(i), float64(j)})
			}
		}
	}
	tin := mustTIN(t, fromXY(places...), TINOptions{LongestEdge: 2})
	pieces := tin.Slice(nil, orb.Point{-1, 7.5}, orb.Point{12, 7.5})
	if len(pieces) != 2 {
		t.Fatalf("pieces %v, want two", pieces)
	}
	for i, want := range [][2]float64{{1, 4}, {8, 11}} {
		if from, to := pieces[i].Span(); math.Abs(from-want[0]) > 1e-12 || math.Abs(to-want[1]) > 1e-12 {
			t.Errorf("piece %d from %v to %v, want %v", i, from, to, want)
		}
	}
	if s := tin.Summary(); s.Empty == 0 || s.Triangles+s.Empty != tin.triangles() {
		t.Errorf("summary %+v", s)
	}
	if _, ok := tin.Elevation(nil, orb.Point{5, 7.5}); ok {
		t.Error("there is ground in the gap")
	}
	for _, p := range []orb.Point{{3, 7.5}, {3, 8}, {7, 5}, {5, 3}} {
		if _, ok := tin.Elevation(nil, p); !ok {
			t.Errorf("there is no ground at the gap's edge %v", p)
		}
	}
	r := rand.New(rand.NewPCG(15, 16))
	for range 500 {
		checkSlice(t, tin, orb.Point{14*r.Float64() - 2, 14*r.Float64() - 2}, orb.Point{14*r.Float64() - 2, 14*r.Float64() - 2}, 1e-9)
	}
}

// Far from the origin millimetres are kept: the same ground, moved by whole
// metres, has the same slices.
func TestSliceFarFromOrigin(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	near := make([]GroundPoint, 300)
	for i := range near { // 1/1024 m survives the shift exactly
		near[i].At = orb.Point{float64(r.IntN(100000)) / 1024, float64(r.IntN(100000)) / 1024}
		near[i].Elevation = hill(place(near[i].At))
	}
	far := slices.Clone(near)
	const dx, dy = 600000, 4100000
	for i := range far {
		far[i].At = orb.Point{near[i].At[0] + dx, near[i].At[1] + dy}
	}
	a, b := mustTIN(t, near, TINOptions{}), mustTIN(t, far, TINOptions{})
	for range 200 {
		p := orb.Point{float64(r.IntN(100)), float64(r.IntN(100))}
		q := orb.Point{float64(r.IntN(100)), float64(r.IntN(100))}
		one := a.Slice(nil, p, q)
		two := b.Slice(nil, orb.Point{p[0] + dx, p[1] + dy}, orb.Point{q[0] + dx, q[1] + dy})
		if len(one) != len(two) {
			t.Fatalf("%d pieces near, %d far", len(one), len(two))
		}
		for i := range one {
			for k := range one[i] {
				if len(one[i]) != len(two[i]) || math.Abs(one[i][k].Offset-two[i][k].Offset) > 1e-9 ||
					math.Abs(one[i][k].Elevation-two[i][k].Elevation) > 1e-9 {
					t.Fatalf("near %v\nfar %v", one[i], two[i])
				}
			}
		}
	}
}

// A cursor, even one from another surface, changes no answer; nor does the
// direction change the ground.
func TestSliceCursorAndDirection(t *testing.T) {
	tin := mustTIN(t, randomPoints(400), TINOptions{})
	r := rand.New(rand.NewPCG(19, 20))
	c := &Cursor{hint: 1 << 40}
	for range 300 {
		a, b := orb.Point{1000 * r.Float64(), 1000 * r.Float64()}, orb.Point{1200 * r.Float64(), 1200 * r.Float64()}
		with, without := tin.Slice(c, a, b), tin.Slice(nil, a, b)
		if fmt.Sprint(with) != fmt.Sprint(without) {
			t.Fatalf("with a cursor %v, without %v", with, without)
		}
		back := tin.Slice(c, b, a)
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		for _, k := range slices.Concat(with...) {
			if z, ok := atOffset(back, length-k.Offset); ok && math.Abs(z-k.Elevation) > 1e-8 {
				t.Fatalf("offset %v: %v there, %v back", k.Offset, k.Elevation, z)
			}
		}
	}
}

// A breakline along a row leaves a sliver that is 100 m long and a nanometre
// wide, 2 m high in its middle. A slice half-way up it crosses its sides at a
// quarter and at three quarters, at mid height, by similar triangles.
func TestSliceAlongSliver(t *testing.T) {
	points := []GroundPoint{
		{orb.Point{0, 0}, 10},
		{orb.Point{50, 1e-9}, 12},
		{orb.Point{100, 0}, 10},
		{orb.Point{50, 40}, 11},
		{orb.Point{50, -40}, 11},
	}
	tin := mustTIN(t, points, TINOptions{Breaklines: [][]int{{0, 2}}})
	for y, want := range map[float64]Line{
		0:     {{0, 10}, {100, 10}},
		5e-10: {{0, 10}, {25, 11}, {75, 11}, {100, 10}},
		1e-9:  {{0, 10}, {50, 12}, {100, 10}},
	} {
		pieces := tin.Slice(nil, orb.Point{-1, y}, orb.Point{101, y})
		if len(pieces) != 1 || len(pieces[0]) != len(want) {
			t.Fatalf("y %g: %v, want %v", y, pieces, want)
		}
		for i, k := range pieces[0] {
			if math.Abs(k.Offset-1-want[i].Offset) > 1e-6 || math.Abs(k.Elevation-want[i].Elevation) > 1e-6 {
				t.Errorf("y %g: knot %v, want %v moved by 1", y, k, want[i])
			}
		}
	}
}

func FuzzSlice(f *testing.F) {
	f.Add([]byte("\x00\x00\x04\x00\x04\x04\x00\x04\x02\x02"), int8(-1), int8(2), int8(9), int8(2), 1.0, 0.0)
	f.Add([]byte("\x00\x00\x09\x00\x09\x09\x00\x09\x02\x02"), int8(-1), int8(-1), int8(9), int8(9), 0.3048, 4.0)
	f.Fuzz(func(t *testing.T, data []byte, ax, ay, bx, by int8, step, longest float64) {
		if !(math.Abs(step) > 1e-3 && math.Abs(step) < 1e4 && longest < 1e6) || len(data) > 200 {
			return
		}
		tin, err := NewTIN(fromXY(bytePlaces(data, step)...), TINOptions{LongestEdge: longest})
		if err != nil {
			return
		}
		a, b := orb.Point{step * float64(ax) / 2, step * float64(ay) / 2}, orb.Point{step * float64(bx) / 2, step * float64(by) / 2}
		steep := math.Abs(tin.high-tin.low) / math.Abs(step)
		checkSlice(t, tin, a, b, 1e-9*(1+1e3*steep))
	})
}

func BenchmarkSlice(b *testing.B) {
	tin := mustTIN(b, randomPoints(100_000), TINOptions{})
	var c Cursor
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		x := float64(i%900) + 50
		tin.Slice(&c, orb.Point{x, 400}, orb.Point{x, 500})
	}
}
