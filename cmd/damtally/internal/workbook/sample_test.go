package workbook

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

const (
	ft  = 0.3048
	pcf = 0.45359237 / (ft * ft * ft)
)

// given is a number that a cell gives, in SI.
func yes(v float64) site.Number { return site.Number{Value: v, Given: true} }

// sampleSite is a small zoned dam with invented figures: two soils, riprap by the
// ton, a trench, three pits of which one is poor, lab and field tests with a
// failed test and its retest, and a bid.
func sampleSite() site.Site {
	s := site.Site{
		Path: "sample",
		Settings: site.Settings{
			Name: "Sample pond (invented)", OutputUnits: "us", Currency: "$",
			CrestIs: "settled", Allowance: yes(0.05), AllowanceBasis: "height",
			ReserveRatio: 1.5, ReserveOn: "compacted", ExtendGround: "no",
		},
		Crest: []site.CrestPoint{{Elevation: 120 * ft, Width: 12 * ft}},
		Faces: []site.FacePart{
			{Side: "upstream", Slope: 3},
			{Side: "downstream", Slope: 2.5, ToElevation: yes(110 * ft), BenchWidth: 8 * ft, Overbuild: 1 * ft},
			{Side: "downstream", Slope: 3},
		},
		Trench: []site.TrenchPoint{
			{Station: 150 * ft, BottomWidth: 10 * ft, SideSlope: 1.5, Depth: yes(4 * ft)},
			{Station: 320 * ft, BottomWidth: 10 * ft, SideSlope: 1.5, Depth: yes(6 * ft)},
		},
		Stripping: []site.StripReach{{Depth: 0.5 * ft}},
		Zones: []site.Zone{
			{Zone: "core", Kind: "core", Materials: []string{"lean clay"}, TopBelowCrest: yes(2 * ft), TopWidth: yes(8 * ft), UpstreamSlope: yes(0.5), DownstreamSlope: yes(0.5)},
			{Zone: "shell", Kind: "shell", Materials: []string{"silty sand", "lean clay"}},
		},
		Materials: []site.Material{
			{Name: "lean clay", Source: "borrow", RequiredCompaction: yes(0.95), Effort: "standard", WaterLow: yes(-0.02), WaterHigh: yes(0.03), SpecificGravity: yes(2.7), Loss: yes(0.06)},
			{Name: "silty sand", Source: "borrow", RequiredCompaction: yes(0.95), Effort: "standard", Loss: yes(0.04), ShrinkFactor: yes(0.9), Swell: yes(0.2)},
		},
	}
	for i, z := range []float64{120.5, 112, 104, 99, 98, 100, 107, 115, 120.5} {
		s.Profile = append(s.Profile, site.ProfilePoint{Station: float64(i) * 60 * ft, Elevation: z * ft})
	}
	sampleSoil(&s)
	samplePits(&s)
	s.Prices = []site.PayItem{
		{Item: "Fill in place", Unit: "yd3", UnitPrice: 4.25, QuantityOf: "total compacted", Measured: "in place"},
		{Item: "Clay, dug", Unit: "m3", UnitPrice: 3, QuantityOf: "bank lean clay", Measured: "bank"},
		{Item: "=HYPERLINK(\"x\")", Unit: "each", UnitPrice: 1200, Quantity: yes(1), Measured: "lump sum"},
		{Item: "Seeding", Unit: "acre", UnitPrice: 900, QuantityOf: "footprint"},
	}
	return s
}

// layeredSite is the sample with layers: riprap outside on its bedding, topsoil
// to seed, a chimney drain.
func layeredSite() site.Site {
	s := sampleSite()
	s.Zones = append([]site.Zone{
		{Zone: "riprap", Kind: "facing", Materials: []string{"lean clay"}, Thickness: yes(2 * ft), Side: "upstream", Lies: "outside", FromElevation: yes(104 * ft)},
		{Zone: "bedding", Kind: "bedding", Materials: []string{"silty sand"}, Thickness: yes(0.5 * ft), Side: "upstream", Lies: "outside"},
		{Zone: "topsoil", Kind: "cover", Materials: []string{"lean clay"}, Thickness: yes(0.5 * ft), Side: "downstream"},
		{Zone: "drain", Kind: "drain", Materials: []string{"silty sand"}, Thickness: yes(3 * ft), Side: "downstream"},
	}, s.Zones...)
	s.Prices = append(s.Prices,
		site.PayItem{Item: "Seeding", Unit: "acre", UnitPrice: 900, QuantityOf: "surface topsoil"},
		site.PayItem{Item: "Riprap in place", Unit: "yd3", UnitPrice: 40, QuantityOf: "zone riprap"},
		site.PayItem{Item: "Laid outside", Unit: "yd3", UnitPrice: 1, QuantityOf: "outside"})
	return s
}

func sampleSoil(s *site.Site) {
	for i, p := range [][2]float64{{0.12, 104}, {0.145, 108.4}, {0.17, 110}, {0.195, 108}, {0.22, 103.5}} {
		s.Proctor = append(s.Proctor, site.LabPoint{
			Ref: site.Ref{Table: "proctor", Row: 2 + i}, Material: "lean clay", Sample: "C-1", Effort: "standard", WaterContent: p[0], DryDensity: p[1] * pcf,
		})
	}
	add := func(state, id string, wet, water float64, retest string) {
		s.Density = append(s.Density, site.DensityTest{
			Ref: site.Ref{Table: "density", Row: 2 + len(s.Density)}, State: state, Material: "lean clay", ID: id, Date: "2026-05-01",
			WetDensity: yes(wet * pcf), WaterContent: yes(water), DryDensity: yes(wet * pcf / (1 + water)), DryDerived: true, RetestOf: retest, Sample: "C-1",
		})
	}
	add("fill", "F-1", 126, 0.17, "")
	add("bank", "B-1", 115, 0.19, "")
	add("bank", "B-2", 116.2, 0.2, "")
	add("fill", "F-2", 121, 0.21, "")
	add("bank", "B-3", 114.1, 0.185, "")
	add("loose", "L-1", 92, 0.19, "")
	add("loose", "L-2", 93.5, 0.2, "")
	add("fill", "F-2R", 125.5, 0.18, "F-2")
}

func samplePits(s *site.Site) {
	pit := func(name, material string, side, depth float64, loss site.Number) {
		w := side * ft
		x := float64(len(s.Pits)) * 400 * ft // side by side
		ring := orb.Ring{{x, 0}, {x + w, 0}, {x + w, w}, {x, w}, {x, 0}}
		s.Pits = append(s.Pits, site.Pit{
			Ref: site.Ref{Table: "pits", Row: 2 + len(s.Pits)}, Name: name, Material: material, SideSlope: 2,
			Depth: yes(depth * ft), GroundElevation: yes(130 * ft), StripDepth: 0.75 * ft, Loss: loss, Ring: ring, RingRefs: make([]site.Ref, len(ring)),
		})
	}
	pit("Hill", "lean clay", 220, 12, site.Number{})
	pit("Terrace", "silty sand", 260, 9, site.Number{})
	pit("Meadow", "silty sand", 60, 4, yes(0.2))
}

// shortSite is the sample with a shell of one soil and too small a pit of it.
func shortSite() site.Site {
	s := sampleSite()
	s.Zones[1].Materials = []string{"silty sand"}
	s.Pits[1].Depth = yes(7 * ft)
	return s
}

// exampleSites are the sites that the project shows, below testdata/sites.
var exampleSites = []string{"demo", "plain", "metric/metric.xlsx", "handbook"}

func readSite(tb testing.TB, name string) site.Site {
	tb.Helper()
	s, err := site.Read(filepath.Join("..", "..", "..", "..", "testdata", "sites", filepath.FromSlash(name)))
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

// planned runs a site through the plan.
func planned(tb testing.TB, s site.Site) *plan.Result {
	tb.Helper()
	job, err := plan.Prepare(s)
	if err != nil {
		tb.Fatal(err)
	}
	r, err := job.Run(job.Design())
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// written is a result's workbook as bytes.
func written(tb testing.TB, r *plan.Result) []byte {
	tb.Helper()
	var out bytes.Buffer
	if err := Write(&out, r, "test"); err != nil {
		tb.Fatal(err)
	}
	return out.Bytes()
}

// metric is a site shown in metric units.
func metric(s site.Site) site.Site {
	s.Settings.OutputUnits = units.Metric.Name
	return s
}
