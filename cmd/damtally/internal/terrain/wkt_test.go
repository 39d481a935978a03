package terrain

import (
	"os"
	"path/filepath"
	"testing"
)

// What GDAL writes of reference systems, whose units the EPSG dataset knows.
func TestUnitsInWellKnownText(t *testing.T) {
	for name, want := range map[string]struct {
		plane, elevation string
		degrees          bool
	}{
		"compound.wkt1": {"ftUS", "ftUS", false},
		"compound.wkt2": {"ftUS", "ftUS", false},
		"plane.wkt1":    {"ftUS", "", false},
		"plane.wkt2":    {"ftUS", "", false},
		"metric.wkt2":   {"m", "m", false},
		"degrees.wkt1":  {"", "", true},
		"degrees.wkt2":  {"", "", true},
	} {
		text, err := os.ReadFile(filepath.Join("testdata/wkt", name))
		if err != nil {
			t.Fatal(err)
		}
		plane, elevation, degrees := wktSays(string(text))
		if plane != want.plane || elevation != want.elevation || degrees != want.degrees {
			t.Errorf("%s: plane %q, elevation %q, degrees %v, want %v", name, plane, elevation, degrees, want)
		}
	}
	for text, want := range map[string]string{
		`PROJCS["a",GEOGCS["b",UNIT["degree",0.0174]],UNIT["Foot",0.3048]]`:  "ft",
		`PROJCS("a",UNIT("foot_survey_us", 0.3048006096012192)) ` + "\x00":   "ftUS",
		`PROJCS["a",UNIT["link",0.201168]]`:                                  "",
		`PROJCS["a",UNIT["metre"]]`:                                          "",
		`PROJCS["a",PARAMETER["x",1,LENGTHUNIT["metre",1]],UNIT["f",0.3048]`: "ft",
		`BOUNDCRS[SOURCECRS[PROJCRS["a",LENGTHUNIT["metre",1]]]]`:            "m",
		`[[[[`: "", `"`: "", "": "", `PROJCS[,,]`: "", `PROJCS]]`: "",
	} {
		if got, _, _ := wktSays(text); got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

func FuzzWKT(f *testing.F) {
	files, err := filepath.Glob("testdata/wkt/*.wkt*")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	f.Fuzz(func(_ *testing.T, text string) { wktSays(text) })
}
