package soil

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/testdata/published"
)

// soil/oversize-correction.csv: UFC 3-220-20 equations 3-6 and 3-7 by a textbook
// exercise and by an example of the North Dakota manual for AASHTO T 224. The
// exercise is in Mg/m3 with water of 1 Mg/m3, so the stones' gravity is taken
// over our water.
func TestOversizePublished(t *testing.T) {
	for _, r := range published.Read(t, "soil/oversize-correction.csv") {
		o := Oversize{Share: r.Number(t, "Pc"), Water: r.Number(t, "w_coarse_pct") / 100}
		water := 100 * o.WholeWater(r.Number(t, "w_fine_pct")/100)
		published.Near(t, r["case"]+" water", water, r.Number(t, "published_total_w_pct"), 0.2+1e-9) // 10.8 is printed as 11
		published.Near(t, r["case"]+" water", water, r.Number(t, "computed_total_w_pct"), r.Half(t, "computed_total_w_pct"))
		if !r.Has("fine_dry_density") {
			continue
		}
		o.Gravity = r.Number(t, "Gs_coarse") * 1000 / WaterDensity
		got := o.WholeDensity(1000*r.Number(t, "fine_dry_density")) / 1000
		published.Near(t, r["case"]+" density", got, r.Number(t, "published_total_dry"), r.Half(t, "published_total_dry"))
		published.Near(t, r["case"]+" density", got, r.Number(t, "computed_total_dry"), r.Half(t, "computed_total_dry"))
	}
}

// soil/sand-cone.csv. The second case prints a wet density of 2.48, which its own
// data contradict (2.439): that is not reproduced; its dry density is.
func TestSandConePublished(t *testing.T) {
	for _, r := range published.Read(t, "soil/sand-cone.csv") {
		wet := HoleDensity(r.Number(t, "wet_soil"), r.Number(t, "sand_used"), r.Number(t, "sand_density"), r.Number(t, "cone_volume"))
		// The hole's volume is printed to five figures.
		published.Near(t, r["case"]+" wet", wet, r.Number(t, "wet_density_computed"), 2e-5*wet)
		dry := DryDensity(wet, r.Number(t, "water_content_pct")/100)
		published.Near(t, r["case"]+" dry", dry, r.Number(t, "dry_density_computed"), 3e-5*dry)
		if r.Has("published_dry_density") {
			published.Near(t, r["case"]+" dry", dry, r.Number(t, "published_dry_density"), r.Half(t, "published_dry_density"))
			if math.Abs(wet-2.48) < 0.02 {
				t.Errorf("%s: wet density %g is the misprint", r["case"], wet)
			}
		}
	}
}

// soil/dry-density-samples.csv (J. Geotech. Div. ASCE 1981): 24 pitcher and 11
// block samples. Means and deviations by the plain formulas; the worked answer
// that went round with them (mean 115.06 of n = 10) is not reproduced. Both sets
// spread within the 3 to 7 % of stated practice for natural soils.
func TestDryDensitySamples(t *testing.T) {
	sets := map[string][]float64{}
	for _, r := range published.Read(t, "soil/dry-density-samples.csv") {
		sets[r["method"]] = append(sets[r["method"]], r.Number(t, "dry_density_pcf"))
	}
	for method, want := range map[string]struct {
		n         int
		sum, t975 float64
	}{
		"pitcher": {24, 2487.8, 2.0687},
		"block":   {11, 1112.2, 2.2281},
	} {
		d := DensityOf(sets[method])
		if d.N != want.n || math.Abs(d.Value-want.sum/float64(want.n)) > 1e-9 {
			t.Errorf("%s: %+v", method, d)
		}
		if math.Abs(d.Value-115.06) < 5 {
			t.Errorf("%s: the wrong answer is reproduced", method)
		}
		p, ok := d.Precision(Bank)
		if !ok || p.Assumed || p.Variation < 0.03 || p.Variation > 0.07 {
			t.Errorf("%s: %+v", method, p)
		}
		half := want.t975 * d.SD / math.Sqrt(float64(want.n))
		got := p.Interval(d.Value, 0.95)
		published.Near(t, method+" low", got.Low, d.Value-half, 1e-4*half)
		published.Near(t, method+" high", got.High, d.Value+half, 1e-4*half)
	}
}

// soil/t-quantiles.csv: Student's t to four decimals.
func TestStudentTPublished(t *testing.T) {
	for _, r := range published.Read(t, "soil/t-quantiles.csv") {
		for column := range r {
			if level, ok := strings.CutPrefix(column, "t_"); ok {
				p := published.Row{"p": level}.Number(t, "p")
				got := StudentT(p, r.Number(t, "df"))
				published.Near(t, column+" at "+r["df"], got, r.Number(t, column), r.Half(t, column))
			}
		}
	}
}

// soil/pwl-beta-formula.csv: the share within one limit for many indices.
func TestWithinLimitFormula(t *testing.T) {
	for _, r := range published.Read(t, "soil/pwl-beta-formula.csv") {
		got := 100 * WithinLimit(r.Number(t, "Q"), int(r.Number(t, "n")))
		published.Near(t, "n "+r["n"]+" Q "+r["Q"], got, r.Number(t, "PWL_pct"), r.Half(t, "PWL_pct"))
	}
}

// soil/pwl-fhwa-t5080-12-table-1b.csv: FHWA T 5080.12, Table 1B. For each printed
// share and number of tests the index that gives it, to the table's two decimals.
// Columns of several n hold for some n of their range. Not reproduced: row 67 at
// n = 5 (0.47 for 0.48) and the .031 of row 62.
func TestWithinLimitTable(t *testing.T) {
	misprints := 0
	for _, r := range published.Read(t, "soil/pwl-fhwa-t5080-12-table-1b.csv") {
		share := r.Number(t, "PWL_pct_positive_Q") / 100
		for column, sizes := range map[string][2]int{
			"n3": {3, 3}, "n4": {4, 4}, "n5": {5, 5}, "n6": {6, 6}, "n7": {7, 7}, "n8": {8, 8}, "n9": {9, 9},
			"n10_11": {10, 11}, "n12_14": {12, 14}, "n15_18": {15, 18}, "n19_25": {19, 25}, "n26_37": {26, 37}, "n38_69": {38, 69}, "n70_200": {70, 200},
		} {
			if !r.Has(column) {
				continue
			}
			want, miss := r.Number(t, column), math.Inf(1)
			for n := sizes[0]; n <= sizes[1]; n++ {
				miss = min(miss, math.Abs(indexOf(share, n)-want))
			}
			const printed = 0.0055 // half a unit of the second decimal, and a little
			if wrong := column == "n5" && share == 0.67 || want == 0.031; wrong {
				misprints++
				if miss <= printed {
					t.Errorf("the misprint in row %g, %s is reproduced", 100*share, column)
				}
			} else if miss > printed {
				t.Errorf("row %g, %s: index off by %.4f", 100*share, column, miss)
			}
		}
		low := WithinLimit(-indexOf(share, 7), 7)
		published.Near(t, "negative index", 100*low, r.Number(t, "PWL_pct_negative_Q"), 1e-6)
	}
	if misprints != 2 {
		t.Errorf("%d misprints met, want 2", misprints)
	}
}

// indexOf is the quality index that gives a share, by bisection.
func indexOf(share float64, n int) float64 {
	low, high := -5.0, 5.0
	for range 60 {
		middle := (low + high) / 2
		if WithinLimit(middle, n) < share {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// soil/faa-section-110-example.memory.csv (from memory): one lot of four tests,
// lower limit 96.3: index 1.4352, 97.84 % within.
func TestSumUpLot(t *testing.T) {
	var values []float64
	rows := published.Read(t, "soil/faa-section-110-example.memory.csv")
	for _, r := range rows {
		values = append(values, r.Number(t, "density_pct"))
	}
	low := rows[0].Number(t, "LSL")
	lot := SumUp(values, &low, nil)
	published.Near(t, "mean", lot.Mean, rows[0].Number(t, "mean"), 1e-9)
	published.Near(t, "deviation", lot.SD, rows[0].Number(t, "s"), rows[0].Half(t, "s"))
	published.Near(t, "within", 100*lot.Within, rows[0].Number(t, "PWL_pct_computed"), rows[0].Half(t, "PWL_pct_computed"))
	if lot.Lowest != 96.6 || lot.Highest != 99.3 || lot.N != 4 {
		t.Errorf("%+v", lot)
	}
}

// soil/water-conditioning.csv: textbook exercises on water to add or take off.
func TestWaterPublished(t *testing.T) {
	for _, r := range published.Read(t, "soil/water-conditioning.csv") {
		pounds := WaterMass(r.Number(t, "dry_weight"), r.Number(t, "w_present_pct")/100, r.Number(t, "w_target_pct")/100)
		published.Near(t, r["case"], pounds, r.Number(t, "computed_lb"), r.Half(t, "computed_lb"))
		published.Near(t, r["case"], pounds/r.Number(t, "lb_per_gal"), r.Number(t, "computed_gal"), r.Half(t, "computed_gal"))
		value, unit, ok := strings.Cut(r["published"], " ")
		if !ok {
			continue
		}
		if unit == "gal" {
			pounds /= r.Number(t, "lb_per_gal")
		}
		said := published.Row{"said": value}
		published.Near(t, r["case"]+" as published", pounds, said.Number(t, "said"), said.Half(t, "said"))
	}
}

// soil/lab-compaction-efforts.csv: the energies of ASTM D698 and D1557 from the
// rammer, its drop and the 4 in. mould of 1/30 ft3, in ft-lbf/ft3.
func TestEffortPublished(t *testing.T) {
	const (
		pound    = 0.45359237 // kg
		foot     = 0.3048     // m
		perSI    = foot * foot * foot / (pound * gravity * foot)
		fromRows = 12 * 30 // in. to ft, moulds to ft3
	)
	for _, r := range published.Read(t, "soil/lab-compaction-efforts.csv") {
		ram := Rammer{
			Mass: r.Number(t, "rammer_lbf") * pound, Drop: r.Number(t, "drop_in") / 12 * foot,
			Layers: int(r.Number(t, "layers")), Blows: int(r.Number(t, "blows_4in_mould")), Mould: foot * foot * foot / 30,
		}
		got := ram.Energy() * perSI
		published.Near(t, r["test"], got, r.Number(t, "energy_check_4in_ftlbf_ft3"), 1e-6)
		// The names are rounded: 12,400 and 56,000, 600 and 2,700 kJ/m3.
		published.Near(t, r["test"], got, r.Number(t, "nominal_energy_ftlbf_ft3"), 0.005*got)
		published.Near(t, r["test"], ram.Energy()/1000, r.Number(t, "nominal_energy_kNm_m3"), 0.015*ram.Energy()/1000)
	}
}

// soil/roller-production.csv: compacted yd3/h, published with the rounded 16.3.
func TestProductionPublished(t *testing.T) {
	const foot, mile, hour = 0.3048, 1609.344, 3600.0
	yard := math.Pow(3*foot, 3)
	for _, r := range published.Read(t, "soil/roller-production.csv") {
		roll := Rolling{
			Width: r.Number(t, "W_ft") * foot, Speed: r.Number(t, "S_mph") * mile / hour, Lift: r.Number(t, "L_in") / 12 * foot,
			Efficiency: r.Number(t, "E"), Passes: int(r.Number(t, "P")),
		}
		got := roll.Production() * hour / yard
		// E is printed to six figures.
		published.Near(t, r["case"], got, r.Number(t, "computed_ccy_h_exact"), 1e-6*got+r.Half(t, "computed_ccy_h_exact"))
		if r.Has("published_ccy_h") {
			rounded := got * 16.3 / (5280.0 / 12 / 27)
			published.Near(t, r["case"], rounded, r.Number(t, "published_ccy_h"), r.Half(t, "published_ccy_h"))
			published.Near(t, r["case"], rounded/r.Number(t, "compacted_per_bank"), r.Number(t, "published_bcy_h"), r.Half(t, "published_bcy_h"))
		}
	}
}

// soil/grubbs-critical-values.csv: Grubbs's two-sided test, without the two
// misprints of the table.
func TestGrubbsPublished(t *testing.T) {
	for _, r := range published.Read(t, "soil/grubbs-critical-values.csv") {
		n := int(r.Number(t, "n"))
		for column, level := range map[string]float64{"g_0.05": 0.05, "g_0.01": 0.01} {
			got, want := GrubbsCritical(n, level), r.Number(t, column)
			if n == 7 && level == 0.05 || n == 15 && level == 0.01 {
				if math.Abs(got-want) < 0.01 {
					t.Errorf("the misprint of n = %d is reproduced", n)
				}
				continue
			}
			published.Near(t, column+" at "+r["n"], got, want, 0.001) // the table cuts some values
		}
	}
	published.Near(t, "n = 7", GrubbsCritical(7, 0.05), 2.020, 0.0005)
}

// soil/fm5-434-table-1-1.memory.csv (from memory): every typical factor.
func TestTypicalAsTable(t *testing.T) {
	for _, r := range published.Read(t, "soil/fm5-434-table-1-1.memory.csv") {
		got, ok := Typical("", r["soil"])
		if !ok || r["from"] != "bank" || got.Soil != r["soil"] {
			if r["from"] == "bank" && !strings.Contains(r["soil"], "coral") {
				t.Errorf("%s: %+v", r["soil"], got)
			}
			continue
		}
		published.Near(t, r["soil"]+" shrink", got.Shrink, r.Number(t, "to_compacted"), 1e-12)
		published.Near(t, r["soil"]+" swell", 1+got.Swell, r.Number(t, "to_loose"), 1e-12)
	}
}
