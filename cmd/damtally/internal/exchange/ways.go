package exchange

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/paulmach/orb"
)

// borings draws each test hole once, with what its layers are in words.
func (m *mapmaker) borings() {
	length := m.system.Length
	seen := map[string]bool{}
	for _, b := range m.r.Site.Borings {
		if seen[b.Hole] {
			continue
		}
		seen[b.Hole] = true
		layers, deepest := m.layersOf(b.Hole)
		about := map[string]any{"layers": layers, "depth_" + length.Name: length.FromSI(deepest)}
		if b.Pit != "" {
			about["pit"] = b.Pit
		}
		if b.Elevation.Given {
			about["ground_"+length.Name] = length.FromSI(b.Elevation.Value)
		}
		if b.WaterDepth.Given {
			about["water_depth_"+length.Name] = length.FromSI(b.WaterDepth.Value)
		}
		m.add("test hole", b.Hole, m.point(orb.Point{b.At[0] - m.origin[0], b.At[1] - m.origin[1]}), about)
	}
}

// layersOf is what a hole shows from the ground down, in words, and its depth.
func (m *mapmaker) layersOf(hole string) (words string, deepest float64) {
	length := m.system.Length
	for _, b := range m.r.Site.Borings {
		if b.Hole != hole {
			continue
		}
		if words != "" {
			words += "; "
		}
		words += fixed(length.FromSI(b.From), wordDecimals) + " to " + fixed(length.FromSI(b.To), wordDecimals) + " " + length.Name + " " + b.Material
		deepest = max(deepest, b.To)
	}
	return words, deepest
}

// wordDecimals is how many decimals a depth has in words.
const wordDecimals = 2

// hauls draws a straight line for each way of soil to a reach of the dam. A road's
// length may be known, its course never is.
func (m *mapmaker) hauls() {
	a := m.r.Allocation
	if a == nil {
		return
	}
	length, volume := m.system.Length, m.system.Volume
	type way struct {
		source, material string
		start, end       orb.Point
	}
	sums := map[way]float64{}
	var order []way
	first := map[way]*plan.Flow{}
	for i := range a.Flows {
		f := &a.Flows[i]
		w := way{f.Source, f.Material, f.Road.Start, f.Road.End}
		if !f.Road.Placed || w.start == w.end {
			continue
		}
		if first[w] == nil {
			first[w] = f
			order = append(order, w)
		}
		sums[w] += f.Bank
	}
	for _, w := range order {
		f := first[w]
		about := map[string]any{
			"course": "a straight line, not a road", "from": w.source, "material": w.material,
			"bank_" + volume.Name: volume.FromSI(sums[w]), "haul_" + length.Name: length.FromSI(f.Haul),
			"haul_is": "a straight line with its winding",
		}
		if f.Road.Typed {
			about["haul_is"] = "a road's length as typed"
		}
		if !math.IsNaN(f.From) {
			about["from_station_"+length.Name], about["to_station_"+length.Name] = length.FromSI(f.From), length.FromSI(f.To)
		}
		m.add("haul", "", m.line(orb.LineString{w.start, w.end}), about)
	}
}

// point writes one place.
func (m *mapmaker) point(p orb.Point) shape {
	all := m.points(orb.LineString{p})
	return shape{"Point", all[1 : len(all)-1]}
}
