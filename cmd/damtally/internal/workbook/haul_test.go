package workbook

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// haulSite is the example lake with a fleet, haul roads and a calendar, invented.
func haulSite(t *testing.T) site.Site {
	const foot, mph, yd3, ton, inch = 0.3048, 0.44704, 0.764554857984, 907.18474, 0.0254
	s := readSite(t, exampleSites[0])
	s.Fleet = []site.Machine{
		{
			Name: "Hauler", Kind: "truck", Capacity: yes(16 * yd3), CapacityMeasured: "struck", BucketFill: yes(0.95), Payload: yes(18 * ton), Weight: yes(15e3), Power: yes(180e3),
			DumpTime: yes(75), LoadedSpeed: yes(14 * mph), EmptySpeed: yes(20 * mph), Efficiency: yes(0.8), CostPerHour: yes(95),
		},
		{Name: "Excavator", Kind: "excavator", Count: yes(1), Capacity: yes(2.4 * yd3), LoadTime: yes(22), CostPerHour: yes(165), Weight: yes(36e3), ContactArea: yes(6.8), Width: yes(5 * foot), Speed: yes(mph)},
		{Name: "Dozer", Kind: "dozer", Width: yes(10 * foot), Speed: yes(3 * mph), Passes: yes(3), Efficiency: yes(0.75), CostPerHour: yes(130)},
		{Name: "Padfoot*", Kind: "roller", Count: yes(1), Width: yes(7 * foot), Speed: yes(4 * mph), Passes: yes(8), Efficiency: yes(0.75), CostPerHour: yes(110)},
		{Name: "Pump", Kind: "pump", Capacity: yes(2), LoadTime: yes(60)},
		{Name: "Water wagon", Kind: "water truck", Capacity: yes(15), DumpTime: yes(900), Efficiency: yes(0.75)},
	}
	s.Hauls = []site.Haul{
		{Pit: "West hill", Length: 1500 * foot, Grade: yes(0.07), RollingResistance: yes(0.03)},
		{Pit: "East terrace", Length: 900 * foot},
		{Pit: "East terrace", Length: 1100 * foot, ToStation: yes(400 * foot)},
		{Pit: "Low meadow", Length: 700 * foot},
	}
	s.Settings.StartDate, s.Settings.HoursPerDay, s.Settings.Evaporation = "2026-06-15", yes(10), yes(0.2*inch)
	for i, p := range []float64{0, 2, 4, 6} {
		for _, m := range []string{"Padfoot*", "Excavator"} {
			s.Density = append(s.Density, site.DensityTest{
				Ref: site.Ref{Table: "density", Row: 60 + 2*i + len(m)}, State: "trial", Material: "lean clay", Sample: "C-1", Machine: m,
				DryDensity: yes((88 + 7*p - 0.4*p*p) * pcf), Passes: yes(p),
			})
		}
	}
	return s
}

// Every figure of the haul is a formula that gives the plan's own.
func TestHaulFollows(t *testing.T) {
	for _, change := range []func(*site.Site){
		func(*site.Site) {},
		func(s *site.Site) { s.Settings.OutputUnits = "metric" },
		func(s *site.Site) { s.Fleet[0].Count = yes(1) },
		func(s *site.Site) { s.Fleet[0].LoadTime = yes(200) },
		func(s *site.Site) { s.Fleet = s.Fleet[:1]; s.Fleet[0].LoadTime = yes(200) },
		func(s *site.Site) { s.Fleet[0].Capacity = site.Number{} },
		func(s *site.Site) { s.Fleet[0].DumpTime = site.Number{} },
		func(s *site.Site) { s.Fleet[0].Kind, s.Hauls[0].By = "scraper", "scraper" },
		func(s *site.Site) {
			s.Hauls[1].By, s.Fleet[2].Capacity, s.Fleet[2].LoadedSpeed = "push", yes(4), yes(1)
		},
		func(s *site.Site) { s.Fleet = nil },
	} {
		s := haulSite(t)
		change(&s)
		if b := build(planned(t, s), "test"); len(b.faults) > 0 {
			t.Errorf("figures without formulas: %q", b.faults)
		}
	}
}

// totalOf is the figure beside a word of the sheet Haul.
func totalOf(t *testing.T, b *book, words string) *cell {
	t.Helper()
	row := rowWith(t, b.haul, 1, words)
	return b.haul.at(row, 3)
}

// TestHaulRecalculated works the sheets out with another program, as they are and
// with a truck, a road, a roller and a price changed.
func TestHaulRecalculated(t *testing.T) {
	r := planned(t, haulSite(t))
	b, plain := build(r, "test"), written(t, r)
	typed := func(sheet *sheet, from string, name string, col int) at {
		row := rowWith(t, sheet, 1, from)
		return placeOf(sheet.at(rowWith(t, sheet, row, name), col))
	}
	edit := func(p at, value string) []byte { return withCell(t, plain, p.sheet, p.cell, value) }
	does := "Machines: what they do"
	got := recalculate(t, map[string][]byte{
		"plain":    plain,
		"capacity": edit(typed(b.haul, does, "Hauler", 5), "12"),
		"count":    edit(typed(b.haul, does, "Padfoot*", 4), "3"),
		"price":    edit(typed(b.haul, "Machines: hours and cost", "Hauler", 8), "200"),
		"road":     edit(typed(b.trips, "From", "East terrace", moveRoad), "2000"),
	})
	sameValues(t, "plain", cellsOf(t, plain), got["plain"])

	const yd3 = 0.764554857984
	after := func(change func(*site.Site)) *plan.Haul {
		s := haulSite(t)
		change(&s)
		return planned(t, s).Haul
	}
	figure := func(book, words string) float64 { return numberAt(t, got[book], placeOf(totalOf(t, b, words))) }
	small := after(func(s *site.Site) { s.Fleet[0].Capacity = yes(12 * yd3) })
	near(t, "loads of a smaller truck", figure("capacity", "Loads"), small.Loads)
	near(t, "hours of a smaller truck", figure("capacity", "Hours of what carries"), small.TruckHours)
	three := after(func(s *site.Site) { s.Fleet[3].Count = yes(3) })
	near(t, "hours on the job with three rollers", figure("count", "Hours on the job"), three.Hours)
	dear := 0.0
	for _, m := range r.Haul.Machines {
		if m.Machine == 0 {
			dear = m.Hours * (200 - 95)
		}
	}
	near(t, "cost at another price", figure("price", "Cost of the work, $"), r.Haul.Cost+dear)
	// The first road from East terrace: more distance, the same bank volume.
	for _, mv := range r.Haul.Moves {
		if f := r.Allocation.Flows[mv.Flow]; f.Source == "East terrace" {
			more := f.Bank / yd3 * (2000 - f.Haul/0.3048)
			near(t, "bank x distance", figure("road", "Bank yd3 x ft"), r.Haul.BankMetres/yd3/0.3048+more)
			break
		}
	}
	if math.IsNaN(r.Haul.Cost) || r.Haul.Slowest == "" {
		t.Errorf("%+v", r.Haul)
	}
}

// Whatever is left blank in the fleet, each figure of the haul follows by formula or
// is not known, and nothing is a NaN.
func TestHaulWithBlanks(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	whole := haulSite(t)
	for range 40 {
		s := whole
		s.Fleet = slices.Clone(whole.Fleet)
		s.Hauls = slices.Clone(whole.Hauls)
		for i := range s.Fleet {
			m := &s.Fleet[i]
			for _, n := range []*site.Number{
				&m.Count, &m.Capacity, &m.BucketFill, &m.Payload, &m.Weight, &m.Power, &m.ContactArea, &m.LoadTime, &m.DumpTime,
				&m.LoadedSpeed, &m.EmptySpeed, &m.Speed, &m.Efficiency, &m.CostPerHour, &m.Width, &m.Passes,
			} {
				if random.IntN(8) == 0 {
					*n = site.Number{}
				}
			}
		}
		s.Hauls[random.IntN(len(s.Hauls))].By = []string{"", "truck", "scraper", "push"}[random.IntN(4)]
		r := planned(t, s)
		if b := build(r, "test"); len(b.faults) > 0 {
			t.Errorf("figures without formulas: %q with %+v", b.faults, s.Fleet)
		}
	}
}
