package plan_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// flatPit is the demo with one pit of 300 by 200 ft on typed level ground, beside
// the survey, and with the given rows of `borings`.
func flatPit(t testing.TB, columns, cells string, borings ...string) map[string]string {
	t.Helper()
	s := demoTables(t)
	s["pits"] = "pit,ground elevation (ft)," + columns + "\nFlat,860," + cells + "\n"
	s["outlines"] = "of,x (ft),y (ft)\nFlat,6000,11000\nFlat,6300,11000\nFlat,6300,11200\nFlat,6000,11200\n"
	s["borings"] = "hole,x (ft),y (ft),from (ft),to (ft),material,pit,usable,rippable,water depth (ft)\n" + strings.Join(borings, "\n") + "\n"
	s["density"] = strings.NewReplacer("West hill", "Flat", "East terrace", "Flat").Replace(s["density"])
	delete(s, "prices")
	return s
}

// log is the rows of a hole: soil and bottom by turns.
func log(name string, x, y float64, layers ...any) string {
	var rows []string
	from := 0.0
	for i := 0; i < len(layers); i += 2 {
		to := layers[i+1].(float64)
		rows = append(rows, fmt.Sprintf("%s,%g,%g,%g,%g,%s,Flat,,,", name, x, y, from, to, layers[i]))
		from = to
	}
	return strings.Join(rows, "\n")
}

// Three holes with the same layers: topsoil, clay, sand that the dam takes, gravel
// that it does not. Volumes are area x thickness under upright sides.
func TestPitByLayers(t *testing.T) {
	layers := []any{"topsoil", 1.0, "lean clay", 12.0, "gravel", 13.0, "silty sand", 40.0}
	r := run(t, tables(t, flatPit(t, "floor elevation (ft),side slope,setback (ft),cover to leave (ft)", "824,0,0,0",
		log("B1", 6050, 11050, layers...), log("B2", 6250, 11050, layers...), log("B3", 6150, 11150, layers...))))
	p := r.Pits[0]
	const area = 300 * 200 * ft * ft
	near(t, "topsoil", p.Strip, area*1*ft, 1e-6)
	near(t, "clay", p.Holds("lean clay"), area*11*ft, 1e-6)
	near(t, "sand", p.Holds("silty sand"), area*23*ft, 1e-6)
	near(t, "waste", p.Waste, area*1*ft, 1e-6)
	near(t, "all", p.Capacity.Dug, area*36*ft, 1e-6)
	if p.Holes != 3 || p.ByMaterial[0].Unsure > 1e-12 || p.ByMaterial[1].Unsure > 1e-12 {
		t.Errorf("holes that agree leave nothing open: %+v", p.ByMaterial)
	}
	for _, b := range r.Balance {
		near(t, "available "+b.Material, b.Available, p.Holds(b.Material), 1e-9)
		if b.Chance == nil || b.ChanceBasis != plan.ChanceOfTests {
			t.Errorf("%s: chance %v from %q", b.Material, b.Chance, b.ChanceBasis)
		}
	}
	// Its share of the sand lies lowest, so it says how deep: topsoil, clay, gravel
	// and then the sand that is used.
	d := p.Dig
	sand := r.Allocation.UsedOf("pit", "Flat", "silty sand")
	if sand == 0 || d == nil {
		t.Fatalf("no sand is taken: %+v", r.Allocation)
	}
	near(t, "floor", d.Floor, 860*ft-13*ft-sand/area, 1e-6)
	near(t, "left", d.Left, p.Capacity.Bank-d.Capacity.Bank, 1e-6)
	near(t, "clay beside the share", d.By[0].Over, p.Holds("lean clay")-d.By[0].Used, 1e-6)
	if !hasNote(r.Notes, "look", "pit Flat: 2,222 bank yd3 that cannot go into the dam must be dug") {
		t.Errorf("%+v", r.Notes)
	}
}

// The floor follows the first usable layers less the cover, and holes unlike one
// another leave something open; fewer than three tell no chance.
func TestPitFollowsItsLayers(t *testing.T) {
	site := flatPit(t, "side slope,setback (ft),cover to leave (ft),strip depth (in)", "0,0,2,0",
		log("B1", 6000, 11100, "silty sand", 10.0, "gravel", 14.0), log("B2", 6300, 11100, "silty sand", 20.0, "gravel", 24.0))
	site["zones"] = strings.ReplaceAll(site["zones"], "lean clay", "silty sand")
	sand := func(r *plan.Result) plan.Balance {
		for _, b := range r.Balance {
			if b.Material == "silty sand" {
				return b
			}
		}
		t.Fatal("no balance of the sand")
		return plan.Balance{}
	}
	r := run(t, tables(t, site))
	p := r.Pits[0]
	near(t, "wedge less its cover", p.Capacity.Bank, 300*200*13*ft*ft*ft, 1e-6)
	if b := sand(r); b.Chance != nil || !strings.Contains(b.NoChance, "fewer than three test holes") {
		t.Errorf("two holes: %+v", b)
	}
	for _, w := range []string{"its floor follows the bottom of the first usable layers", "no chance is told that there is enough"} {
		if !hasNote(r.Notes, "note", w) {
			t.Errorf("no note %q", w)
		}
	}
	site["borings"] += log("B3", 6150, 11100, "silty sand", 12.0, "gravel", 14.0) + "\n"
	r = run(t, tables(t, site))
	p = r.Pits[0]
	// By hand: thicknesses 8, 18, 10 ft. From the others, weighted by 1 / distance
	// squared at 150 and 300 ft (4 to 1): 11.6, 9.6, 13; missed by 3.6, 8.4, 3.
	want := math.Sqrt((3.6*3.6+8.4*8.4+3*3)/3) / math.Sqrt(3) / 12
	near(t, "left open", p.ByMaterial[0].Unsure, want, 1e-9)
	if b := sand(r); b.Chance == nil || *b.Chance <= 0 || *b.Chance > 1 || b.ChanceBasis != plan.ChanceWithLayers {
		t.Errorf("three holes: %+v", b)
	}
}

// What is left blank is asked for with what was published; what is answered with 0
// is not.
func TestBlankSetbackIsAsked(t *testing.T) {
	r := run(t, sites+"plain")
	asked := []string{
		"pits West hill, East terrace and Low meadow have no `setback`",
		"pits West hill, East terrace and Low meadow have no `cover to leave`",
		"40.0 ft from the toe on the water side and 100.0 ft on the land side",
	}
	for _, w := range asked {
		if !hasNote(r.Notes, "look", w) {
			t.Errorf("no note %q", w)
		}
	}
	s := demoTables(t)
	s["pits"] = strings.NewReplacer("strip depth (in),loss (%)", "strip depth (in),loss (%),setback (ft),cover to leave (ft)",
		",9,", ",9,,0,0", ",8,", ",8,,0,0", ",15,20", ",15,20,0,0").Replace(s["pits"])
	for _, n := range run(t, tables(t, s)).Notes {
		for _, w := range asked[:2] {
			if strings.Contains(n.Text, w[len("pits"):]) || strings.Contains(n.Text, "write 0") {
				t.Errorf("answered, yet %q", n.Text)
			}
		}
	}
}

// A pit that reaches under the dam, or nearer to its foot than its setback, is cut
// back; a larger setback takes away no less.
func TestPitBesideTheDam(t *testing.T) {
	s := demoTables(t)
	delete(s, "prices")
	last := math.Inf(1)
	for _, setback := range []string{"", "0", "10", "25"} {
		s["pits"] = "pit,material,depth (ft),side slope,setback (ft)\nWest hill,lean clay,6,1," + setback + "\nEast terrace,silty sand,6,1,\n"
		s["outlines"] = "of,x (ft),y (ft)\nWest hill,5200,10080\nWest hill,5350,10120\nWest hill,5310,10270\nWest hill,5160,10230\n" +
			"East terrace,5750,10500\nEast terrace,5900,10500\nEast terrace,5900,10600\nEast terrace,5750,10600\n"
		delete(s, "borings")
		s["density"] = strings.ReplaceAll(s["density"], "Low meadow", "East terrace")
		r := run(t, tables(t, s))
		p := r.Pits[0]
		if p.FromDam != 0 || !(p.CutBack > 0) || p.Capacity.Bank >= last && setback != "0" {
			t.Errorf("setback %q: %g from the dam, %g cut back, %g held", setback, p.FromDam, p.CutBack, p.Capacity.Bank)
		}
		last = p.Capacity.Bank
		if !hasNote(r.Notes, "look", "pit West hill reaches under the dam") || !hasNote(r.Notes, "danger", "pit West hill lies under the dam") {
			t.Errorf("%+v", r.Notes)
		}
		if q := r.Pits[1]; q.CutBack != 0 || !(q.FromDam > 0) {
			t.Errorf("the far pit: %+v", q)
		}
	}
}

// Pits in the pool add what they dig out below its level, and no pit adds more than
// it digs.
func TestPitsInThePool(t *testing.T) {
	r := run(t, sites+"plain")
	low := r.Pits[2]
	if !(low.InPool < 846*ft) || r.Lake.WithPits == nil {
		t.Fatalf("the meadow lies in the lake: %g", low.InPool)
	}
	last := -1.0
	for i, row := range r.Lake.Rows {
		adds := r.Lake.WithPits[i] - row.Volume
		if adds < last-1e-9 || row.Level <= low.InPool && adds != 0 {
			t.Errorf("at %g m the pits add %g m3 after %g", row.Level, adds, last)
		}
		last = adds
	}
	all := 0.0
	for _, p := range r.Pits {
		all += p.Dig.Capacity.Dug
	}
	if !(last > low.Dig.Capacity.Dug*0.9 && last < all) {
		t.Errorf("at the top the pits add %.0f m3; the meadow digs %.0f, all %.0f", last, low.Dig.Capacity.Dug, all)
	}
}

// Every wrong hole is told in the table's words.
func TestWrongLayers(t *testing.T) {
	for what, c := range map[string]struct {
		rows []string
		want string
	}{
		"repeated": {
			[]string{log("B1", 6050, 11050, "lean clay", 2.0, "gravel", 3.0, "lean clay", 9.0), log("B2", 6250, 11050, "lean clay", 9.0)},
			"borings row 5, layer: lean clay does not come as often in hole B2 as in hole B1, so it cannot be told which layers are the same; give such layers names under `layer`",
		},
		"turned": {
			[]string{log("B1", 6050, 11050, "lean clay", 2.0, "silty sand", 9.0), log("B2", 6250, 11050, "silty sand", 2.0, "lean clay", 9.0)},
			"lies above",
		},
		"too near": {
			[]string{log("B1", 6050, 11050, "lean clay", 9.0), strings.Replace(log("B2", 6050, 11050, "lean clay", 9.0), "6050", "6050.003", 1)},
			"borings row 3, x: hole B2 stands within 1 mm of hole B1; mend its coordinates, or give both the same name",
		},
		"no use": {
			[]string{log("B1", 6050, 11050, "gravel", 9.0)},
			"pits row 2, cover to leave: pit Flat: no hole shows usable soil that is thicker than the cover of 2.0 ft to leave",
		},
	} {
		got := failing(t, flatPit(t, "side slope,setback (ft),cover to leave (ft)", "0,0,2", c.rows...))
		if !strings.Contains(got, c.want) {
			t.Errorf("%s: %q\nlacks %q", what, got, c.want)
		}
	}
	got := failing(t, flatPit(t, "side slope,setback (ft),cover to leave (ft)", "0,120,2", log("B1", 6050, 11050, "lean clay", 9.0)))
	if want := "pits row 2, setback: pit Flat: a setback of 120.0 ft leaves no room inside its boundary"; !strings.Contains(got, want) {
		t.Errorf("%q\nlacks %q", got, want)
	}
}
