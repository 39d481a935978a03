package workbook

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// generated is a valid site made by a seed: the sample with another ground, dam,
// soils, pits, tests, units and bid. The same seed gives the same site.
func generated(seed uint64) site.Site {
	r := rand.New(rand.NewPCG(seed, 7))
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	one := func(words ...string) string { return words[r.IntN(len(words))] }
	s := sampleSite()
	set := &s.Settings
	set.Name, set.OutputUnits = fmt.Sprintf("Generated site %d (invented)", seed), one("us", "metric")
	set.Allowance, set.AllowanceBasis = yes(between(0, 0.1)), one(string(earthwork.OnVolume), string(earthwork.OnHeight), string(earthwork.OnHeightToesKept))
	set.CrestIs = one("settled", "settled", "built")
	set.ReserveOn, set.ReserveRatio = one("compacted", "bank"), between(1, 2)
	set.Overhead, set.Profit, set.Contingency = yes(between(0, 0.15)), yes(between(0, 0.1)), yes(between(0, 0.08))
	low := between(88, 104)
	for i := range s.Profile {
		across := math.Abs(float64(i)-4) / 4
		s.Profile[i].Elevation = (low + (121-low)*across*across + between(-1, 1)*(1-across)) * ft
	}
	s.Profile[0].Elevation, s.Profile[8].Elevation = 121*ft, 121*ft
	s.Faces[0].Slope, s.Faces[1].Slope, s.Faces[2].Slope = between(2.5, 4), between(2, 3), between(2.5, 3.5)
	s.Faces[1].BenchWidth, s.Faces[1].Overbuild = between(0, 12)*ft, between(0, 2)*ft
	s.Trench[0].Depth, s.Trench[1].Depth = yes(between(2, 6)*ft), yes(between(2, 8)*ft)
	s.Stripping[0].Depth = between(0, 1.5) * ft
	s.Materials[0].Loss, s.Materials[1].Loss = yes(between(0, 0.15)), yes(between(0, 0.15))
	s.Materials[1].ShrinkFactor, s.Materials[1].Swell = yes(between(0.8, 0.98)), yes(between(0.05, 0.35))
	for i := range s.Density {
		d := &s.Density[i]
		d.WetDensity = yes(d.WetDensity.Value * between(0.97, 1.03))
		d.DryDensity = yes(d.WetDensity.Value / (1 + d.WaterContent.Value))
	}
	for i := range s.Pits {
		s.Pits[i].Depth = yes(between(4, 15) * ft)
		s.Pits[i].StripDepth = between(0.2, 1) * ft
	}
	for i := range s.Prices {
		s.Prices[i].UnitPrice, s.Prices[i].PriceTyped = math.Round(between(100, 900))/100, true
		if r.IntN(2) == 0 {
			s.Prices[i].UnitCost = yes(math.Round(between(100, 700)) / 100)
		}
	}
	if r.IntN(3) == 0 {
		s.Zones = append(layeredSite().Zones[:2:2], s.Zones...)
	}
	return s
}

// TestGeneratedSites works ten generated sites out again with another program:
// every formula gives the stored value, none an error.
func TestGeneratedSites(t *testing.T) {
	const sites = 10
	books := map[string][]byte{}
	for seed := range uint64(sites) {
		r := planned(t, generated(seed))
		for _, fault := range build(r, "test").faults {
			t.Errorf("site %d: the formula does not give the plan's figure: %s", seed, fault)
		}
		books[fmt.Sprintf("generated %d", seed)] = written(t, r)
	}
	got := recalculate(t, books)
	for name, book := range books {
		sameValues(t, name, cellsOf(t, book), got[name])
	}
}

// change is one cell typed over on the sheets, and the same change in the site.
type change struct {
	name  string
	cell  func(b *book) *cell
	value string
	site  func(s *site.Site)
	// whole says that the dam as a whole follows, while the zones' shares of the
	// settlement are an estimate until the plan is run again, as Settings says.
	whole bool
}

// oneCell are the changes that a user would make. Each is planned anew by the
// program, and every main figure of the sheets must be what the plan gives.
func oneCell() []change {
	item := func(row, col int) func(b *book) *cell {
		return func(b *book) *cell { return b.items.at(4+row, col) }
	}
	return []change{
		{"settlement on volume", func(b *book) *cell { return b.set.basis }, "volume", func(s *site.Site) { s.Settings.AllowanceBasis = "volume" }, true},
		{"toes kept", func(b *book) *cell { return b.set.basis }, "toes kept", func(s *site.Site) { s.Settings.AllowanceBasis = "toes kept" }, true},
		{"crest as built", func(b *book) *cell { return b.set.crestIs }, "built", func(s *site.Site) { s.Settings.CrestIs = "built" }, true},
		{"reserve ratio", func(b *book) *cell { return b.set.reserve }, "2.25", func(s *site.Site) { s.Settings.ReserveRatio = 2.25 }, false},
		{"reserve on bank", func(b *book) *cell { return b.set.reserveOn }, "bank", func(s *site.Site) { s.Settings.ReserveOn = "bank" }, false},
		{"loss", func(b *book) *cell { return b.soil[0].loss }, "0.1", func(s *site.Site) { s.Materials[0].Loss = yes(0.1) }, false},
		{"shrink factor", func(b *book) *cell { return b.soil[1].typedShrink }, "0.85", func(s *site.Site) { s.Materials[1].ShrinkFactor = yes(0.85) }, false},
		{"swell", func(b *book) *cell { return b.soil[1].typedSwell }, "0.3", func(s *site.Site) { s.Materials[1].Swell = yes(0.3) }, false},
		{"bank density", func(b *book) *cell { return b.tests.at(rowTestHead+1, testWet) }, "118", func(s *site.Site) {
			d := &s.Density[1]
			d.WetDensity = yes(118 * pcf)
			d.DryDensity = yes(118 * pcf / (1 + d.WaterContent.Value))
		}, false},
		{"unit price", item(1, itemPrice), "6.5", func(s *site.Site) { s.Prices[0].UnitPrice = 6.5 }, false},
		{"unit cost", item(1, itemUnitCost), "3.75", func(s *site.Site) { s.Prices[0].UnitCost = yes(3.75) }, false},
		{"mark-up", item(2, itemMarkUp), "0.25", func(s *site.Site) {
			s.Prices[1].MarkUp, s.Prices[1].UnitPrice = yes(0.25), 2.4*1.25
		}, false},
		{"typed quantity", item(3, itemQuantity), "3", func(s *site.Site) { s.Prices[2].Quantity = yes(3) }, false},
		{"overhead", func(b *book) *cell { return named(b, nameOverhead) }, "0.12", func(s *site.Site) { s.Settings.Overhead = yes(0.12) }, false},
		{"profit", func(b *book) *cell { return named(b, nameProfit) }, "0.05", func(s *site.Site) { s.Settings.Profit = yes(0.05) }, false},
	}
}

// named is the cell with a defined name.
func named(b *book, name string) *cell {
	for _, s := range b.sheets() {
		for _, row := range s.rows {
			for _, c := range row {
				if c != nil && c.name == name {
					return c
				}
			}
		}
	}
	return nil
}

// pricedSite is the sample with costs, a mark-up and what is added to a bid.
func pricedSite() site.Site {
	s := sampleSite()
	s.Settings.Overhead, s.Settings.Contingency, s.Settings.Profit = yes(0.08), yes(0.03), yes(0.07)
	// The plan shares a zone of two soils out anew; the sheets keep its shares.
	s.Zones[1].Materials = []string{"silty sand"}
	for i := range s.Prices {
		s.Prices[i].PriceTyped = true
	}
	s.Prices[0].UnitCost = yes(3.5)
	s.Prices[1].UnitCost, s.Prices[1].MarkUp, s.Prices[1].UnitPrice, s.Prices[1].PriceTyped = yes(2.4), yes(0.2), 2.4*1.2, false
	return s
}

// mainCells are the figures that a change must carry through to.
func mainCells(b *book) map[string]*cell {
	out := map[string]*cell{
		"fill": b.fill.all, "settlement": b.fill.settlement, "bank": b.dug.bank, "loose": b.dug.loose,
		"items": b.bid.items, "bid": b.bid.total, "cost": b.bid.cost, "checks": b.checked.look,
	}
	for i := range b.weighed {
		name := b.r.Balance[i].Material
		out[name+" needed"], out[name+" available"], out[name+" to be available"] = b.weighed[i].needed, b.weighed[i].available, b.weighed[i].to
		out[name+" short"], out[name+" enough"] = b.weighed[i].short, b.weighed[i].enough
	}
	return out
}

// TestOneCellChanges types one cell over at a time, has another program work the
// sheets out again, and holds every main figure against a new plan.
func TestOneCellChanges(t *testing.T) {
	r := planned(t, pricedSite())
	b, plain := build(r, "test"), written(t, r)
	books := map[string][]byte{}
	for _, c := range oneCell() {
		p := placeOf(c.cell(b))
		books[c.name] = withCell(t, plain, p.sheet, p.cell, c.value)
	}
	got := recalculate(t, books)
	before := mainCells(b)
	for _, c := range oneCell() {
		s := pricedSite()
		c.site(&s)
		after := mainCells(build(planned(t, s), "test"))
		moved := false
		for _, name := range keys(after) {
			if c.whole && name != "fill" && name != "settlement" {
				continue
			}
			want, p := after[name].content.val, placeOf(before[name])
			if want.kind == isText {
				if word := show(got[c.name][p.sheet][p.cell]); word != want.text {
					t.Errorf("%s: %s says %q, the plan %q", c.name, name, word, want.text)
				}
				continue
			}
			near(t, c.name+": "+name, numberAt(t, got[c.name], p), want.num)
			moved = moved || !agree(want.num, before[name].content.val.num)
		}
		if !moved {
			t.Errorf("%s: moved nothing, so it proves nothing", c.name)
		}
	}
}
