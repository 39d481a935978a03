package drawing

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

const sites = "../../../../testdata/sites/"

// planned plans the site at a path.
func planned(t testing.TB, path string) *plan.Result {
	t.Helper()
	s, err := site.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	j, err := plan.Prepare(s)
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Run(j.Design())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fromTables plans a site that is given as the texts of its tables.
func fromTables(t testing.TB, texts map[string]string) *plan.Result {
	t.Helper()
	folder := t.TempDir()
	for name, text := range texts {
		if err := os.WriteFile(filepath.Join(folder, name+".csv"), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return planned(t, folder)
}

// small is an invented dam across a V valley with sides 1:1, z = |x|, its bottom
// level; 60 m upstream the ground rises to close it. The crest runs 60 m from west
// to east.
func small(extra ...string) map[string]string {
	out := map[string]string{
		"site":       "item,value\nname,V valley (invented)\noutput units,metric\nupstream side,left\nnormal pool elevation,10 m\nsettlement allowance,5 %\ncrest is,settled\nsection interval,5 m\n",
		"centreline": "x (m),y (m)\n470,1000\n530,1000\n",
		"survey":     "x (m),y (m),elevation (m)\n470,940,30\n500,940,0\n530,940,30\n470,1060,30\n500,1060,0\n530,1060,30\n465,1090,30\n500,1090,30\n535,1090,30\n",
		"crest":      "elevation (m),width (m)\n12,4\n",
		"faces":      "side,slope (h:v)\nupstream,2\ndownstream,2\n",
		"zones": "zone,kind,material,top below crest (m),top width (m),upstream slope,downstream slope,thickness (m),side\n" +
			"riprap,facing,stone,,,,,0.5,upstream\ncore,core,clay,1,2,0.25,0.25,,\nchimney,filter,sand,,,,,1,downstream\nshell,shell,silt,,,,,,\n",
		"materials": "material,source,placed density (kg/m3),shrink factor (-)\nstone,bought,1800,\nclay,borrow,,0.9\nsand,bought,1700,\nsilt,borrow,,0.9\n",
		"trench":    "station (m),bottom width (m),side slope (h:v),depth (m)\n20,2,1,1\n40,2,1,1\n",
		"stripping": "depth (m)\n0.2\n",
	}
	for i := 1; i < len(extra); i += 2 {
		out[extra[i-1]] = extra[i]
	}
	return out
}

// near fails unless two numbers are as close as the tolerance.
func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g within %g", what, got, want, tolerance)
	}
}

// named finds a sheet by the beginning of its name.
func named(t testing.TB, sheets []*Sheet, name string) *Sheet {
	t.Helper()
	for _, s := range sheets {
		if strings.HasPrefix(s.Name, name) {
			return s
		}
	}
	t.Fatalf("no sheet %s", name)
	return nil
}

// full is the small site with everything that a plan can show.
func full() map[string]string {
	return small(
		"outlines", "of,x (m),y (m)\nNorth pit,485,1065\nNorth pit,515,1065\nNorth pit,515,1080\nNorth pit,485,1080\n"+
			"Spillway,505,950\nSpillway,512,950\nSpillway,512,965\nSpillway,505,965\n"+
			"Lining,497,1030\nLining,503,1030\nLining,503,1045\nLining,497,1045\n",
		"pits", "pit,material,side slope (h:v),depth (m)\nNorth pit,silt,0.5,2\n",
		"borings", "hole,x (m),y (m),from (m),to (m),material,pit\nN-1,490,1070,0,3,silt,North pit\nN-2,508,1075,0,3,silt,North pit\nN-3,500,1068,0,3,silt,North pit\n",
		"cuts", "cut,floor elevation (m),side slope (h:v),material,usable\nSpillway,3,0.5,silt,yes\n",
		"blankets", "blanket,thickness (m),material\nLining,0.3,clay\n",
		"conduits", "conduit,station (m),diameter (m),invert elevation (m),trench width (m),hand compacted width (m)\ndrain pipe,30,0.6,0.2,1.5,0.5\n",
		"stockpiles", "stockpile,x (m),y (m),material,volume (m3)\nHeap,520,980,silt,100\n",
		"hauls", "pit,length (m)\nNorth pit,90\nSpillway,60\nHeap,50\n",
	)
}
