package units

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// printed guards figures that a publication prints with seven digits.
const printed = 5e-7

// TestFactors compares with the rounded factors that NIST SP 811 (2008),
// Appendix B.8, prints (E+00 form there), not with our own constants.
func TestFactors(t *testing.T) {
	for name, want := range map[string]float64{
		"ft": 3.048e-1, "ftUS": 3.048006e-1, "in": 2.54e-2, "yd": 9.144e-1, "mi": 1.609344e3,
		"ha": 1e4, "ft2": 9.290304e-2, "yd2": 8.361274e-1,
		"ft3": 2.831685e-2, "yd3": 7.645549e-1, "L": 1e-3, "gal": 3.785412e-3,
		"t/m3": 1e3, "g/cm3": 1e3, "pcf": 1.601846e1,
		"lb": 4.535924e-1, "t": 1e3, "ton": 9.071847e2,
		"km/h": 2.777778e-1, "mph": 4.4704e-1,
		"min": 60, "h": 3600, "d": 86400, "kPa": 1e3, "psi": 6.894757e3, "kW": 1e3, "hp": 7.456999e2,
	} {
		u, ok := Lookup(name)
		if !ok {
			t.Errorf("no unit %q", name)
		} else if math.Abs(u.SI/want-1) > printed {
			t.Errorf("%s = %.9g, published %.7g", name, u.SI, want)
		}
	}
}

// TestAcre: Handbook 44 Appendix C gives 43,560 square feet; with the
// international foot that is 4,046.8564224 m2 exactly.
func TestAcre(t *testing.T) {
	u, _ := Lookup("acre")
	if math.Abs(u.SI/4046.8564224-1) > 1e-15 {
		t.Errorf("acre = %.12g m2", u.SI)
	}
	foot, _ := Lookup("acre-ft")
	if math.Abs(foot.SI/1233.48183754752-1) > 1e-15 {
		t.Errorf("acre-ft = %.12g m3", foot.SI)
	}
}

// TestUnitWeight: kN/m3 by standard gravity; water of 1000 kg/m3 weighs 9.80665 kN/m3.
func TestUnitWeight(t *testing.T) {
	u, _ := Lookup("kN/m3")
	if got := u.ToSI(9.80665); math.Abs(got-1000) > 1e-10 {
		t.Errorf("9.80665 kN/m3 = %v kg/m3", got)
	}
}

func TestLookup(t *testing.T) {
	for text, want := range map[string]string{
		"ft": "ft", "FT": "ft", "Ft": "ft", "feet": "ft", "ftUS": "ftUS", "FTUS": "ftUS", "ftus": "ftUS",
		"t": "t", "ton": "ton", "TON": "ton", "M": "m", "l": "L", "kn/m3": "kN/m3", "yd³": "yd3", "m^2": "m2",
		"Acre-Ft": "acre-ft", "%": "%", "-": "-", "–": "-", "H:V": "h:v", "lb/ft3": "pcf", " cu  yd ": "yd3",
		"CY": "yd3", "cy": "yd3", "Cu. Yd.": "yd3", "cu.yd.": "yd3", "ac": "acre", "in.": "in", "ft.": "ft", "sq. ft.": "ft2",
		"SF": "ft2", "cf": "ft3", "LF": "ft", "SY": "yd2", "ac-ft": "acre-ft",
	} {
		if u, ok := Lookup(text); !ok || u.Name != want {
			t.Errorf("Lookup(%q) = %q, %v; want %q", text, u.Name, ok, want)
		}
	}
	for _, text := range []string{"T", "", "furlong", "fts", "kg/m2", "12", ".", "BCY", "LCY", "CCY"} {
		if u, ok := Lookup(text); ok {
			t.Errorf("Lookup(%q) = %q, want none", text, u.Name)
		}
	}
}

func TestHint(t *testing.T) {
	kinds := map[string]Kind{"LCY": Volume, "bcy": Volume, "ccy": Length, "T": Mass}
	for name, want := range map[string]string{
		"ccy": "",
		"LCY": "write yd3; that it is loose is no part of the unit, the row or the column says it",
		"bcy": "write yd3; that it is bank is no part of the unit, the row or the column says it",
		"T":   "write t for 1,000 kg or ton for 2,000 lb",
		"t":   "", "yd3": "", "furlong": "",
	} {
		if got := Hint(name, kinds[name]); got != want {
			t.Errorf("Hint(%q) = %q, want %q", name, got, want)
		}
	}
}

func TestNames(t *testing.T) {
	for kind, want := range map[Kind]string{
		Length: "m mm cm km ft ftUS in yd mi", Area: "m2 ha ft2 yd2 acre", Volume: "m3 ft3 yd3 acre-ft L gal",
		Density: "kg/m3 t/m3 g/cm3 kN/m3 pcf", Mass: "kg t lb ton", Speed: "km/h mph m/s", Time: "s min h d",
		Pressure: "kPa psi", Power: "kW hp", Ratio: "% -", Slope: "h:v", Money: "", Count: "",
	} {
		if got := Names(kind); got != want {
			t.Errorf("Names(%s) = %q, want %q", kind, got, want)
		}
	}
}

func TestStation(t *testing.T) {
	for _, c := range []struct {
		system System
		m      float64
		want   string
	}{
		{US, 1250 * 0.3048, "12+50"},
		{US, 1250.25 * 0.3048, "12+50.25"},
		{US, 1250.5 * 0.3048, "12+50.5"},
		{US, 0, "0+00"},
		{US, 5 * 0.3048, "0+05"},
		{US, -50 * 0.3048, "-0+50"},
		{US, 99.999 * 0.3048, "1+00"},
		{US, -0.001 * 0.3048, "0+00"},
		{US, 123456 * 0.3048, "1234+56"},
		{Metric, 1250, "1+250"},
		{Metric, 1250.5, "1+250.5"},
		{Metric, 7.25, "0+007.25"},
		{Metric, -12, "-0+012"},
		{Metric, 999.999, "1+000"},
	} {
		if got := c.system.Station(c.m); got != c.want {
			t.Errorf("%s station %v = %q, want %q", c.system.Name, c.m, got, c.want)
		}
	}
}

func TestParseStation(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		want       float64 // in the unit
		err        string
	}{
		{"12+50", "ft", 1250, ""},
		{"1+250", "m", 1250, ""},
		{"1250", "ft", 1250, ""},
		{"12+50.25", "ftUS", 1250.25, ""},
		{" -0+50 ", "ft", -50, ""},
		{"-50", "m", -50, ""},
		{"12 + 50", "ft", 1250, ""},
		{"+50", "ft", 50, ""},
		{"1.25e3", "ft", 1250, ""},
		{"1.25", "km", 1.25, ""},
		{"12+5", "ft", 0, "\"12+5\" can be read in two ways; write two digits after the plus in ft, such as 12+50 for 1250"},
		{"12+500", "ft", 0, "\"12+500\" can be read in two ways; write two digits after the plus in ft, such as 12+50 for 1250"},
		{"12+50", "m", 0, "\"12+50\" can be read in two ways; write three digits after the plus in m, such as 1+250 for 1250"},
		{"12+50", "km", 0, "\"12+50\" has a plus, but the stations are in km; give stations in ft or m, or write a plain number"},
		{"12+", "ft", 0, "\"12+\" is not a station; write two digits after the plus in ft, such as 12+50 for 1250"},
		{"12+5x", "ft", 0, "\"12+5x\" is not a station; write two digits after the plus in ft, such as 12+50 for 1250"},
		{"1+2+50", "ft", 0, "\"1+2+50\" is not a station; write two digits after the plus in ft, such as 12+50 for 1250"},
		{"NaN", "ft", 0, "\"NaN\" is not a station; write two digits after the plus in ft, such as 12+50 for 1250"},
		{"", "km", 0, "\"\" is not a station; write a plain number"},
		{"1e308", "km", 0, "\"1e308\" is out of range; write a smaller number"},
	} {
		u, _ := Lookup(c.unit)
		got, err := ParseStation(c.text, u)
		if c.err == "" && (err != nil || math.Abs(got-u.ToSI(c.want)) > 1e-12*math.Abs(got)) {
			t.Errorf("%q in %s = %v, %v; want %v", c.text, c.unit, got, err, u.ToSI(c.want))
		}
		if c.err != "" && (err == nil || err.Error() != c.err || !errors.As(err, new(Error))) {
			t.Errorf("%q in %s: error %v; want %s", c.text, c.unit, err, c.err)
		}
	}
}

// half guards the rounding of a written station to two decimals.
const half = 0.005

func TestStationComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		system := rapid.SampledFrom([]System{US, Metric}).Draw(t, "system")
		value := rapid.Float64Range(-1e6, 1e6).Draw(t, "value")
		text := system.Station(system.Length.ToSI(value))
		back, err := ParseStation(text, system.Length)
		if err != nil {
			t.Fatalf("%v written as %s: %v", value, text, err)
		}
		if math.Abs(system.Length.FromSI(back)-value) > half*(1+1e-6) {
			t.Fatalf("%v written as %s came back as %v", value, text, system.Length.FromSI(back))
		}
	})
}

func FuzzParseStation(f *testing.F) {
	for _, s := range []string{"12+50", "1+250", "-0+50", "12+5", "1e9", "NaN", "+", "-", "0x1p4", "1_0", "+-1", "1+-50"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, u := range Of(Length) {
			v, err := ParseStation(text, u)
			if math.IsNaN(v) || math.IsInf(v, 0) || err != nil && v != 0 {
				t.Fatalf("%q in %s = %v, %v", text, u.Name, v, err)
			}
		}
	})
}
