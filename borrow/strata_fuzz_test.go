package borrow

import (
	"encoding/binary"
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// holesFrom reads holes from bytes: how many, then for each its place, elevation and
// layers, any number that eight bytes may hold among them.
func holesFrom(data []byte) []Hole {
	next := func() byte {
		if len(data) == 0 {
			return 0
		}
		b := data[0]
		data = data[1:]
		return b
	}
	number := func() float64 {
		if kind := next(); kind != 255 {
			return float64(kind) / 4
		}
		var raw [8]byte
		for i := range raw {
			raw[i] = next()
		}
		return math.Float64frombits(binary.LittleEndian.Uint64(raw[:]))
	}
	var out []Hole
	for range next() % 6 {
		h := Hole{At: orb.Point{number(), number()}, Elevation: number(), Water: number()}
		from := 0.0
		for range next() % 6 {
			kind := next()
			l := Layer{From: from, To: from + number(), Usable: kind&1 > 0, Topsoil: kind&2 > 0, Hard: kind&4 > 0}
			l.Name = []string{"", "", "a", "b"}[kind>>3&3]
			l.Material = []string{"clay", "sand"}[kind>>5&1]
			h.Layers = append(h.Layers, l)
			from = l.To
		}
		out = append(out, h)
	}
	return out
}

// Whatever holes come, they are refused with a rule, or give a pit whose parts are
// numbers and add up, and whose layers lie in each hole in its own order.
func FuzzStrata(f *testing.F) {
	f.Add([]byte{1, 0, 0, 40, 9, 2, 1, 8, 33, 8})
	f.Add([]byte{3, 0, 0, 40, 9, 2, 1, 8, 33, 8, 90, 0, 44, 8, 1, 1, 12, 0, 80, 36, 9, 3, 2, 2, 1, 8, 36, 9})
	f.Add([]byte{2, 0, 0, 255, 1, 2, 3, 4, 5, 6, 7, 127, 9, 1, 1, 8, 4, 4, 4, 4, 1, 1, 8})
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := NewStrata(holesFrom(data))
		if err != nil {
			var wrong *StrataError
			if !errors.As(err, &wrong) || wrong.Rule.String() == "" {
				t.Fatalf("%v names no rule", err)
			}
			return
		}
		for i := range s.Holes {
			for k := 1; k < len(s.numbers[i]); k++ {
				if s.numbers[i][k] < s.numbers[i][k-1] {
					t.Fatalf("hole %d: layers %v are out of order", i, s.numbers[i])
				}
			}
		}
		p := Pit{Ring: orb.Ring{{0, 0}, {60, 0}, {60, 40}, {0, 40}, {0, 0}}, SideSlope: 2, Floor: 3, ByDepth: true, Level: 10, Strata: s}
		c, err := p.Measure()
		if err != nil {
			return
		}
		sum := 0.0
		for _, v := range c.Layers {
			sum += v
		}
		if !alike(c.Dug, c.Strip+c.Waste+c.Bank) || !alike(sum, c.Bank+c.Waste) || !(c.Bank >= 0) || !(c.Dug <= 60*40*3*(1+arithmetic)) {
			t.Fatalf("parts do not add up: %+v", c)
		}
	})
}
