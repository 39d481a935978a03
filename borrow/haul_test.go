package borrow

import (
	"math"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"pgregory.net/rapid"
)

// Exact units of the published cases: NIST SP 811, Appendix B.
const (
	feet     = 0.3048
	miles    = 5280 * feet
	cubicYd  = 27 * feet * feet * feet
	shortTon = 2000 * 0.45359237
	minute   = 60.0
	hour     = 3600.0
)

// Loads published in testdata/published/soil/truck-loads.csv.
func TestLoadsPublished(t *testing.T) {
	for _, r := range published.Read(t, "soil/truck-loads.csv") {
		truck := Body{Capacity: r.Number(t, "truck_capacity"), Fill: 1}
		load, by := truck.Load(math.NaN())
		loads := Loads(r.Number(t, "volume_or_mass_hauled"), load)
		if by != ByVolume || loads != r.Number(t, "computed_loads_rounded_up") || r.Has("published_loads") && loads != r.Number(t, "published_loads") {
			t.Errorf("%s: %g loads, by %s", r["case"], loads, by)
		}
	}
}

// A truck of 12 m3 that carries 18,000 kg: soil of 1,200 kg/m3 wet fills it,
// since 18,000 / 1,200 = 15 m3; soil of 1,800 kg/m3 weighs it down to 10 m3.
func TestLoadBinds(t *testing.T) {
	truck := Body{Capacity: 12, Fill: 1, Payload: 18000}
	for _, c := range []struct {
		wet, loose float64
		by         Bound
	}{{1200, 12, ByVolume}, {1500, 12, ByVolume}, {1800, 10, ByWeight}, {math.NaN(), 12, ByVolume}} {
		if loose, by := truck.Load(c.wet); loose != c.loose || by != c.by {
			t.Errorf("%g kg/m3: %g by %s", c.wet, loose, by)
		}
	}
	heaped := Body{Capacity: 12, Fill: 0.9}
	if loose, _ := heaped.Load(1800); math.Abs(loose-10.8) > 1e-12 {
		t.Errorf("nine tenths full: %g", loose)
	}
	byWeight := Body{Fill: 1, Payload: 18000}
	if loose, by := byWeight.Load(1800); loose != 10 || by != ByWeight {
		t.Errorf("no volume: %g by %s", loose, by)
	}
	if loose, _ := byWeight.Load(math.NaN()); !math.IsNaN(loose) {
		t.Errorf("nothing known: %g", loose)
	}
}

// 20 short ton trucks, loose soil of 1,500 kg/m3 dry at 18 %: 18,143.7 / 1,770 m3.
func TestWetDensity(t *testing.T) {
	loose, _ := Body{Payload: 20 * shortTon, Fill: 1}.Load(WetDensity(1500, 0.18))
	if math.Abs(loose-20*shortTon/1770) > 1e-12 {
		t.Errorf("%g", loose)
	}
}

func TestFillTime(t *testing.T) {
	if s, n := FillTime(12, 2.5, 20); n != 5 || s != 100 {
		t.Errorf("%d buckets, %g s", n, s)
	}
	if s, n := FillTime(12, 3, 20); n != 4 || s != 80 {
		t.Errorf("%d buckets, %g s", n, s)
	}
}

// More volume, more payload or lighter soil never make a load smaller, and no load
// breaks either limit.
func TestLoadProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Body{rapid.Float64Range(1, 30).Draw(t, "capacity"), rapid.Float64Range(0.5, 1.2).Draw(t, "fill"), rapid.Float64Range(1e3, 4e4).Draw(t, "payload")}
		wet := rapid.Float64Range(800, 2200).Draw(t, "wet")
		load, _ := b.Load(wet)
		if load > b.Capacity*b.Fill*(1+1e-12) || load*wet > b.Payload*(1+1e-12) {
			t.Fatalf("%g breaks a limit of %+v", load, b)
		}
		more := b
		more.Capacity *= 1.1
		more.Payload *= 1.1
		if bigger, _ := more.Load(wet); bigger < load {
			t.Fatalf("%g falls to %g", load, bigger)
		}
		if lighter, _ := b.Load(0.9 * wet); lighter < load {
			t.Fatalf("%g falls to %g in lighter soil", load, lighter)
		}
	})
}
