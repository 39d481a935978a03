package soil

import (
	"math"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"pgregory.net/rapid"
)

// soil/zero-air-voids-line.csv: the lines of zero air voids, 5 % air voids and
// 90 % saturation (UFC 3-220-20 equation 3-2 among its sources), for several
// water densities; ours is fixed, so each is compared as a multiple of it.
func TestZeroAirVoidsLine(t *testing.T) {
	for _, r := range published.Read(t, "soil/zero-air-voids-line.csv") {
		gs, w := r.Number(t, "Gs"), r.Number(t, "water_content_pct")/100
		scale := r.Number(t, "water_unit_weight") / WaterDensity
		for column, ours := range map[string]float64{
			"zav_dry":              ZeroAirVoids(gs, w),
			"air_voids_5pct_dry":   AirVoidsLine(gs, w, 0.05),
			"saturation_90pct_dry": SaturationLine(gs, w, 0.90),
		} {
			published.Near(t, column, ours*scale, r.Number(t, column), r.Half(t, column))
		}
	}
}

// ASTM D698 takes the unit weight of water at 20 degrees as 9.789 kN/m3 or
// 62.32 lbf/ft3 (from memory); standard gravity 9.80665 m/s2 and the pound of
// 0.45359237 kg link them.
func TestWaterDensity(t *testing.T) {
	published.Near(t, "from kN/m3", WaterDensity, 9789/9.80665, 0.05)
	published.Near(t, "from lbf/ft3", WaterDensity, 62.32*0.45359237/math.Pow(0.3048, 3), 0.1)
}

func TestPhasesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gs := rapid.Float64Range(2.4, 2.9).Draw(t, "gs")
		w := rapid.Float64Range(0.01, 0.5).Draw(t, "w")
		s := rapid.Float64Range(0.05, 1).Draw(t, "saturation")
		va := rapid.Float64Range(0, 0.4).Draw(t, "air voids")
		dry := SaturationLine(gs, w, s)
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
				t.Fatalf("%s = %g, want %g", what, got, want)
			}
		}
		near("saturation", Saturation(dry, gs, w), s)
		near("air voids", AirVoids(AirVoidsLine(gs, w, va), gs, w), va)
		near("void ratio", DryDensityOfVoidRatio(VoidRatio(dry, gs), gs), dry)
		near("full saturation", SaturationLine(gs, w, 1), ZeroAirVoids(gs, w))
		// By volumes: solids, water and air of one cubic metre add up to it.
		solids, water := dry/(gs*WaterDensity), dry*w/WaterDensity
		near("air by volumes", AirVoids(dry, gs, w), 1-solids-water)
		near("saturation by volumes", Saturation(dry, gs, w), water/(1-solids))
	})
}

// soil/proctor-das-eight-point-si.csv, companion field test: 1705 kg/m3 wet at
// 10.5 % is 1542.99 kg/m3 dry, 90.06 % of 1713.31.
func TestCompactionOfFieldTest(t *testing.T) {
	dry := DryDensity(1705, 0.105)
	published.Near(t, "dry", dry, 1542.99, 0.005)
	published.Near(t, "compaction", 100*CompactionRatio(dry, 1713.31), 90.06, 0.005)
}
