package plan_test

import (
	"math"
	"strings"
	"testing"
)

// pond is a small dam on a profile, with a clay pit of its own, by hand: crest
// 105 ft, ground 110, 90, 90, 110 ft; slopes 3 and 2; a pit 100 ft square, 2:1,
// 10 ft deep below ground at 100 ft.
var pond = map[string]string{
	"site":      "item,value\noutput units,us\n",
	"profile":   "station (ft),elevation (ft)\n0,110\n100,90\n200,90\n300,110\n",
	"crest":     "elevation (ft),width (ft)\n105,12\n",
	"faces":     "side,slope (h:v)\nupstream,3\ndownstream,2\n",
	"stripping": "depth (ft)\n0.5\n",
	"zones":     "zone,kind,material\nfill,shell,clay\n",
	"materials": "material,source,shrink factor (-),swell (%),loss (%)\nclay,borrow,0.9,25,10\nsand,borrow,0.95,12,5\n",
	"pits":      "pit,material,side slope (h:v),depth (ft),ground elevation (ft)\nnorth,clay,2,10,100\n",
	"outlines":  "of,x (ft),y (ft)\nnorth,0,0\nnorth,100,0\nnorth,100,100\nnorth,0,100\n",
}

func TestReachesThatMissTheDam(t *testing.T) {
	for _, c := range []struct{ table, text, want string }{
		{"trench", "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n10+50,8,1.5,4\n12+50,8,1.5,4\n", "trench row 2, station: the trench runs from station 10+50 to 12+50, but the dam stands from station 0+22.5"},
		{"trench", "station (ft),bottom width (ft),side slope (h:v),depth (ft),offset (ft)\n1+00,8,1.5,4,-3000\n2+00,8,1.5,4,-3000\n", "trench row 2: nothing is dug for the trench anywhere under the dam"},
		{"stripping", "depth (ft),from station (ft),to station (ft)\n0.5,10+00,12+50\n", "stripping row 2, from station: this stripping lies wholly beside the dam"},
	} {
		if got := failing(t, changed(pond, c.table, c.text)); !strings.Contains(got, c.want) {
			t.Errorf("%q\nlacks %q", got, c.want)
		}
	}
}

func TestDoubts(t *testing.T) {
	for _, c := range []struct{ name, table, text, level, want string }{
		{"gap in the stripping", "stripping", "depth (ft),from station (ft),to station (ft)\n0.5,,1+00\n0.5,1+50,\n", "look", "nothing is stripped from station 1+00 to 1+50"},
		{"stripping that ends early", "stripping", "depth (ft),to station (ft)\n0.5,1+00\n", "look", "nothing is stripped from station 1+00 to the end of the dam"},
		{"no stripping", "stripping", "", "look", "there is no table `stripping`"},
		{"deep stripping", "stripping", "depth (ft)\n6\n", "look", "stripping 6.0 ft deep is very deep"},
		{"one trench row", "trench", "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n1+50,8,1.5,4\n", "note", "runs as long as the dam"},
		{"trench beyond the dam", "trench", "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n0,8,1.5,4\n3+00,8,1.5,4\n", "look", "beyond the dam, which stands from"},
		{"flat face", "faces", "side,slope (h:v)\nupstream,30\ndownstream,2\n", "look", "very flat for a dam"},
		{"bench over the crest", "faces", "side,slope (h:v),to elevation (ft),bench width (ft)\nupstream,3,120,10\nupstream,3,,\ndownstream,2,,\n", "look", "above the crest wherever it stands"},
		{"vertical pit", "pits", "pit,material,depth (ft),ground elevation (ft)\nnorth,clay,10,100\n", "look", "taken as vertical"},
		{"sides that meet", "pits", "pit,material,side slope (h:v),depth (ft),ground elevation (ft)\nnorth,clay,2,100,100\n", "look", "the sides of pit north meet 25.0 ft below the ground"},
		{"no loss", "materials", "material,shrink factor (-),swell (%)\nclay,0.9,25\n", "look", "no `loss` is given"},
		{"no waste", "materials", "material,source,placed density (pcf)\nclay,bought,110\n", "look", "no `waste` is given"},
	} {
		texts := changed(pond, c.table, c.text)
		if c.name == "no waste" { // bought stone comes from no pit
			delete(texts, "pits")
			delete(texts, "outlines")
		}
		r := run(t, tables(t, texts))
		if !hasNote(r.Notes, c.level, c.want) {
			t.Errorf("%s: no %s with %q in %+v", c.name, c.level, c.want, r.Notes)
		}
		if hasNote(run(t, tables(t, pond)).Notes, c.level, c.want) {
			t.Errorf("%s: the plain pond says so too", c.name)
		}
	}
}

func TestPitAndPriceConflicts(t *testing.T) {
	two := changed(pond, "pits", "pit,material,side slope (h:v),depth (ft),ground elevation (ft)\nnorth,clay,2,10,100\nsouth,clay,2,10,100\n")
	for _, c := range []struct {
		texts map[string]string
		want  string
	}{
		{changed(two, "outlines", pond["outlines"]+"south,0,0\nsouth,100,0\nsouth,100,100\nsouth,0,100\n"), "pits row 3, pit: pits north and south overlap"},
		{changed(two, "outlines", pond["outlines"]+"south,50,50\nsouth,150,50\nsouth,150,150\nsouth,50,150\n"), "pits north and south overlap"},
		{changed(two, "outlines", pond["outlines"]+"south,40,40\nsouth,60,40\nsouth,60,60\nsouth,40,60\n"), "pits north and south overlap"},
		{changed(pond, "materials", "material,source,placed density (pcf)\nclay,bought,110\n"), "pits row 2, material: pit north holds clay, which `materials` says is bought"},
		{changed(pond, "prices", "item,unit,unit price,quantity of,measured\nHaul,yd3,4,loose clay,bank\n"), "prices row 2, measured: the item is measured bank, but loose clay is not a bank volume"},
		{changed(pond, "prices", "item,unit,unit price,quantity of\nHaul,LCY,4,loose clay\n"), `prices row 2, unit: "LCY" does not measure loose clay; write yd3; that it is loose is no part of the unit`},
	} {
		if got := failing(t, c.texts); !strings.Contains(got, c.want) {
			t.Errorf("%q\nlacks %q", got, c.want)
		}
	}
	run(t, tables(t, changed(pond, "prices", "item,unit,unit price,quantity of,measured\nHaul,CY,4,Loose  Clay,loose\n")))
	beside := changed(two, "outlines", pond["outlines"]+"south,100,0\nsouth,200,0\nsouth,200,100\nsouth,100,100\n")
	run(t, tables(t, beside)) // a common side is no overlap
}

// A zone of two materials takes the first as far as its reserve allows, and the
// second for the rest: both then hold.
func TestZoneOfTwoMaterialsKeepsTheReserve(t *testing.T) {
	texts := changed(pond, "zones", "zone,kind,material\nfill,shell,clay; sand\n")
	texts["pits"] = "pit,material,side slope (h:v),depth (ft),ground elevation (ft)\nnorth,clay,2,10,100\nsouth,sand,2,20,100\n"
	texts["outlines"] = pond["outlines"] + "south,200,0\nsouth,400,0\nsouth,400,200\nsouth,200,200\n"
	r := run(t, tables(t, texts))
	for _, b := range r.Balance {
		if b.Enough == nil || !*b.Enough {
			t.Errorf("%s: %+v", b.Material, b)
		}
		if b.Compacted <= 0 {
			t.Errorf("%s takes no part", b.Material)
		}
	}
	near(t, "clay to the limit of its reserve", r.Balance[0].Available/r.Balance[0].Compacted, 1.5, 1e-9)
	near(t, "both together", r.Balance[0].Compacted+r.Balance[1].Compacted, r.Quantities.Total, 1e-9*r.Quantities.Total)
}

// A check that fails is told with the notes, not on the summary alone.
func TestFailedChecksAreTold(t *testing.T) {
	r := run(t, tables(t, pond))
	failed := 0
	for _, c := range r.Checks {
		if !c.Holds {
			failed++
		}
	}
	if failed == 0 || !hasNote(r.Notes, "look", "a check does not hold: neat fill by average end area beside the prismoidal volume") {
		t.Errorf("%d checks fail; notes %+v", failed, r.Notes)
	}
}

// The pit by hand: a frustum of 100 ft and 60 ft squares, 10 ft deep.
func TestPitByHand(t *testing.T) {
	r := run(t, tables(t, pond))
	near(t, "north", r.Pits[0].Capacity.Bank/yd3, 10.0/3*(10000+3600+math.Sqrt(10000*3600))/27, 1e-6)
}
