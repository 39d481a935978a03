package plan_test

import (
	"math"
	"strings"
	"testing"
)

const ft, ft2 = 0.3048, 0.3048 * 0.3048

// layered is a dam of 100 ft on level ground with a zone of every kind, by hand:
// crest 30 ft over ground 10 ft, no stripping.
var layered = map[string]string{
	"site":    "item,value\noutput units,us\n",
	"profile": "station (ft),elevation (ft)\n0,10\n100,10\n",
	"crest":   "elevation (ft),width (ft)\n30,20\n",
	"faces":   "side,slope (h:v)\nupstream,3\ndownstream,2\n",
	"zones": "zone,kind,material,side,thickness (ft),lies,from elevation (ft),to elevation (ft),from offset (ft),to offset (ft),top below crest (ft),top width (ft),upstream slope,downstream slope\n" +
		"core,core,clay,,,,,,,,2,10,0.5,0.25\n" +
		"toe,drain,sand,downstream,3,,,,,,,2,1,2\n" +
		"mat,drain,sand,,1,,,,16,30,,,,\n" +
		"chimney,filter,sand,downstream,3,,,,,,,,,\n" +
		"bedding,bedding,sand,upstream,0.5,outside,,,,,,,,\n" +
		"riprap,facing,stone,upstream,2,outside,14,28,,,,,,\n" +
		"topsoil,cover,topsoil,downstream,0.5,,13,,,,,,,\n" +
		"road,cover,gravel,crest,0.5,,,,,,,,,\n" +
		"shell,shell,silt,,,,,,,,,,,\n",
	"materials": "material,source,placed density (pcf),shrink factor (-)\nclay,borrow,,0.9\nsand,borrow,,0.9\nstone,bought,110,\ntopsoil,strip,,0.9\ngravel,borrow,,0.9\nsilt,borrow,,0.9\n",
	"prices":    "item,unit,unit price,quantity of\nseeding,ft2,1,surface topsoil\nriprap,yd3,1,outside\nriprap by the face,ft2,1,surface riprap\n",
}

func TestLayersByHand(t *testing.T) {
	r := run(t, tables(t, layered))
	want := map[string]float64{ // ft2 of section
		"core":    18 * (10 + 18*0.75/2),
		"toe":     3 * (2 + 3*3/2.0),
		"mat":     14,
		"chimney": 18 * 3,
		"bedding": 14 * math.Sqrt(10) * 0.5,
		"riprap":  14 * math.Sqrt(10) * 2,
		"topsoil": 17 * math.Sqrt(5) * 0.5, // down to the toe drain
		// The crest's cover is 20 ft wide, less the corner that the topsoil of
		// the face has before it: 0.5 ft deep, level width 0.5 x 5^0.5, half of
		// the slope under it taken off.
		"road": 0.5*20 - (0.5*math.Sqrt(5)*0.5 - 0.5*0.5*2/2),
	}
	for _, z := range r.Quantities.Zones {
		if w, ok := want[z.Zone]; ok {
			near(t, z.Zone, z.Compacted/ft2/ft, 100*w, 1e-6)
		}
	}
	near(t, "outside", r.Quantities.Outside/ft2/ft, 100*(want["bedding"]+want["riprap"]), 1e-6)
	near(t, "fill", r.Quantities.Fill.EndArea/ft2/ft, 100*20*(20+20*2.5), 1e-6)
	near(t, "seeding", r.Items[0].Quantity, 100*17*math.Sqrt(5), 1e-6)
	near(t, "riprap laid", r.Items[1].Quantity, 100*(want["bedding"]+want["riprap"])/27, 1e-6)
	near(t, "riprap by the face", r.Items[2].Quantity, 100*14*math.Sqrt(10), 1e-6)
	for _, part := range []string{"bedding and riprap lie outside the outline", "toe, mat, chimney and bedding are figured as volume only"} {
		if !hasNote(r.Notes, "note", part) && !hasNote(r.Notes, "look", part) {
			t.Errorf("no note with %q in %+v", part, r.Notes)
		}
	}
	if !strings.Contains(r.Materials[2].Row.Name, "stone") || math.Abs(r.Materials[2].Compacted/ft2/ft-100*want["riprap"]) > 1e-6 {
		t.Errorf("the stone to buy is the riprap outside: %+v", r.Materials[2])
	}
}

// Zones that only the ground can show to be wrong.
func TestZonesWrongOnTheGround(t *testing.T) {
	row := func(from, to string) map[string]string {
		return changed(layered, "zones", strings.Replace(layered["zones"], from, to, 1))
	}
	for _, c := range []struct {
		name  string
		texts map[string]string
		want  string
	}{
		{"wide core", row("core,core,clay,,,,,,,,2,10,", "core,core,clay,,,,,,,,2,60,"), "zones row 2, top width: at station 0+00 the core is wider or higher than the dam"},
		{"far blanket", row("mat,drain,sand,,1,,,,16,30,", "mat,drain,sand,,1,,,,160,300,"), "zones row 4, zone: mat lies nowhere in the dam, not even in the highest section at station 0+00"},
		{"bedding elsewhere", row("bedding,bedding,sand,upstream,0.5,outside,,", "bedding,bedding,sand,upstream,0.5,outside,10,12"), "zones row 6, kind: zone bedding: a bedding needs a facing on its side, at its elevations"},
		{"bedding outside", row("riprap,facing,stone,upstream,2,outside,", "riprap,facing,stone,upstream,2,,"), "zones row 6, lies: zone bedding: a bedding outside the outline cannot lie under a facing inside it"},
	} {
		if got := failing(t, c.texts); !strings.Contains(got, c.want) {
			t.Errorf("%s: %q\nlacks %q", c.name, got, c.want)
		}
	}
}

// The accuracy asked for adds sections, and the notes say how many.
func TestAccuracyIsTold(t *testing.T) {
	texts := changed(pond, "site", "item,value\noutput units,us\nsection accuracy,0.5 %\n")
	r := run(t, tables(t, texts))
	if r.Quantities.Refined.Added == 0 || !hasNote(r.Notes, "note", "for an accuracy of 0.5 %") {
		t.Errorf("%+v", r.Quantities.Refined)
	}
	f := r.Quantities.Fill
	near(t, "end area beside prismoid", f.EndArea/f.Prismoidal, 1, 0.005*4/3)
}
