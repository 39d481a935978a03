package plan_test

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// twoPits is the vale with two pits of fill on level ground at 130 ft, upright
// sides, 10 ft deep, and haul roads: the near one holds 100 x 27 ft x 10 ft =
// 1,000 bank yd3, the far one 270 x 400 ft x 10 ft = 40,000 bank yd3.
func twoPits() map[string]string {
	texts := changed(vale(), "pits", "pit,material,side slope (h:v),depth (ft),ground elevation (ft),setback (ft),cover to leave (ft)\nnear,fill,0,10,130,0,0\nfar,fill,0,10,130,0,0\n")
	texts = changed(texts, "outlines", "of,x (ft),y (ft)\n"+box("near", 0, 300, 100, 327)+box("far", 0, 1000, 270, 1400))
	texts = changed(texts, "zones", "zone,kind,material\nall,shell,fill\n")
	return changed(texts, "hauls", "pit,length (ft)\nnear,500\nfar,1500\n")
}

func supplied(t testing.TB, a *plan.Allocation, source string) plan.Supplied {
	t.Helper()
	for _, s := range a.Supplies {
		if s.Source == source {
			return s
		}
	}
	t.Fatalf("no source %s in %+v", source, a.Supplies)
	return plan.Supplied{}
}

// The near pit is used up and the far one gives the rest. One more bank yd3 in the
// near one saves the 1,000 ft between the two roads.
func TestNearPitIsUsedUp(t *testing.T) {
	r := run(t, tables(t, twoPits()))
	a := r.Allocation
	one, other := supplied(t, a, "near"), supplied(t, a, "far")
	near(t, "near pit", one.Used/cubicYd, 1000, 1e-6)
	near(t, "far pit", other.Used, r.Materials[1].Bank-one.Used, 1e-6)
	near(t, "saving", one.Saving, 1000*footLong, 1e-6)
	near(t, "saving far", other.Saving, 0, 0)
	near(t, "bank m3 x m", a.BankMetres, (one.Used*500+other.Used*1500)*footLong, 1e-3)
	if a.Basis != plan.ByDistance || one.Words != "one more bank yd3 would save a haul of 1,000.0 ft" {
		t.Errorf("%s: %s", a.Basis, one.Words)
	}
}

// Flows add up to what each material takes, zone by zone; no source gives more
// than it holds; dry mass dug less loss is dry mass in the dam; and what is dug is
// the bank need, where pits have losses of their own too.
func TestFlowsAddUp(t *testing.T) {
	r := run(t, sites+"demo")
	a := r.Allocation
	for _, m := range r.Materials {
		if m.Bought {
			continue
		}
		bank, inDam, mass := 0.0, 0.0, 0.0
		for _, f := range a.Flows {
			if f.Material == m.Row.Name {
				bank += f.Bank
				inDam += f.Compacted
				mass += f.DryMass * (1 - f.Loss)
			}
		}
		near(t, m.Row.Name+" in the dam", inDam, m.Compacted, 1e-9*m.Compacted)
		near(t, m.Row.Name+" dug", bank, m.Bank, 1e-9*m.Bank)
		if m.Factors.Bank.Value > 0 { // else its factors are typed
			near(t, m.Row.Name+" dry mass", mass, m.DryMass, 1e-9*m.DryMass)
		}
		for _, s := range m.Shares {
			zone := 0.0
			for _, f := range a.Flows {
				if f.Material == m.Row.Name && f.Zone == r.Quantities.Zones[s.Zone].Zone {
					zone += f.Compacted
				}
			}
			near(t, "share of a zone", zone, s.Compacted, 1e-9*s.Compacted)
		}
	}
	for _, s := range a.Supplies {
		if s.Used > s.Holds {
			t.Errorf("%s gives %v of %v", s.Source, s.Used, s.Holds)
		}
	}
	// Low meadow has a loss of 20 %, the other pits of silty sand the material's 4 %.
	sand := r.Materials[1]
	meadow := supplied(t, a, "Low meadow").Used
	near(t, "loss", sand.Loss, (0.2*meadow+0.04*(sand.Bank-meadow))/sand.Bank, 1e-9)
}

// Taking a pit away never makes the haul shorter.
func TestFewerPitsHaulFarther(t *testing.T) {
	texts := demoTables(t)
	all := run(t, tables(t, texts)).Allocation
	var kept []string
	for line := range strings.Lines(texts["pits"]) {
		if !strings.HasPrefix(line, "Low meadow") {
			kept = append(kept, line)
		}
	}
	var corners []string
	for line := range strings.Lines(texts["outlines"]) {
		if !strings.HasPrefix(line, "Low meadow") {
			corners = append(corners, line)
		}
	}
	var holes []string
	for line := range strings.Lines(texts["borings"]) {
		if !strings.Contains(line, ",Low meadow,") {
			holes = append(holes, line)
		}
	}
	texts = changed(changed(changed(texts, "pits", strings.Join(kept, "")), "outlines", strings.Join(corners, "")), "borings", strings.Join(holes, ""))
	fewer := run(t, tables(t, texts)).Allocation
	if len(fewer.Short) > 0 || fewer.Moving < all.Moving*(1-1e-12) {
		t.Errorf("%v with all pits, %v with fewer", all.Moving, fewer.Moving)
	}
}

// A zone of two materials takes them in the order named, until haul roads are
// given: then the nearest soil is taken.
func TestNearestMaterialWhereRoadsAreGiven(t *testing.T) {
	texts := changed(twoPits(), "zones", "zone,kind,material\nall,shell,clay;fill\n")
	texts["pits"] = strings.Replace(texts["pits"], "far,fill", "far,clay", 1)
	texts["pits"] = strings.Replace(texts["pits"], "near,fill,0,10", "near,fill,0,400", 1)
	r := run(t, tables(t, texts))
	near(t, "clay", r.Materials[0].Compacted, 0, 0)
	if len(r.Allocation.Free) != 1 || !hasNote(r.Notes, "note", "the haul distance decides among its materials") {
		t.Errorf("%v", r.Allocation.Free)
	}
	r = run(t, tables(t, changed(texts, "hauls", "")))
	if r.Materials[0].Compacted < r.Materials[1].Compacted || len(r.Allocation.Free) > 0 {
		t.Errorf("by order: %v of clay, %v of fill", r.Materials[0].Compacted, r.Materials[1].Compacted)
	}
	near(t, "all of it", r.Materials[0].Compacted+r.Materials[1].Compacted, r.Quantities.Total, 1e-6)
}

// A usable cut is dug in any case: at the same road its soil costs less than a
// pit's by what loading costs.
func TestCutIsLoadedInAnyCase(t *testing.T) {
	texts := changed(twoPits(), "cuts", cuts+"ditch,105,0,fill,yes\n")
	texts["outlines"] += box("ditch", 100, 200, 200, 240)
	texts["hauls"] = "pit,length (ft)\nnear,500\nfar,500\nditch,500\n"
	texts["fleet"] = fleetHead + hauler + excavator
	r := run(t, tables(t, texts))
	a := r.Allocation
	if a.Basis != plan.ByCost {
		t.Fatal(a.Basis)
	}
	rate := map[string]float64{}
	for _, f := range a.Flows {
		rate[f.Source] = f.Rate
	}
	// 7 buckets of 22 s at 45 minutes an hour and $165 load 15.2 loose yd3; fill swells by 0.2.
	loading := 154.0 / 0.75 / 3600 * 165 / (15.2 * cubicYd) * 1.2
	near(t, "loading", rate["far"]-rate["ditch"], loading, 1e-9)
	near(t, "cut", a.UsedOf(borrow.FromCut, "ditch", "fill"), r.Cuts[0].Capacity.Bank, 1e-6)
	for _, b := range r.Balance {
		if b.Material == "fill" {
			near(t, "there is", b.Available, r.Pits[0].Capacity.Bank+r.Pits[1].Capacity.Bank+r.Cuts[0].Capacity.Bank, 1e-6)
		}
	}
}

// Topsoil and trench: what is stripped counts for the cover, what the trench gives
// for the shell, and all that is left is said.
func TestWhatComesOutInAnyCase(t *testing.T) {
	texts := twoPits()
	texts["trench"] = "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n150,8,1,4\n450,8,1,4\n"
	texts["materials"] += "topsoil,strip,,0.9,0.3,5,,,\ntrench soil,cut,,0.85,0.25,5,,,\n"
	texts["zones"] = "zone,kind,material,thickness (in),side,lies\ngrass,cover,topsoil,6,downstream,outside\nall,shell,trench soil;fill,,,\n"
	r := run(t, tables(t, texts))
	grass := r.Materials[2]
	near(t, "topsoil needed", grass.Bank, borrow.BankFor(r.Quantities.Zones[0].Compacted, 0.9, 0.05), 1e-6)
	for _, e := range r.Excavated {
		switch {
		case e.Kind == borrow.FromStripping:
			near(t, "stripped", e.Bank, r.Quantities.Stripping, 1e-9)
			near(t, "spread again", e.Used, grass.Bank, 1e-6)
			near(t, "left over", e.LeftLoose, (e.Bank-e.Used)*1.3, 1e-6)
		case e.Kind == borrow.FromTrench:
			near(t, "trench", e.Bank, r.Quantities.Trench, 1e-9)
			// Two thirds of what is compacted of it: 1.5 times that must be available.
			near(t, "into the dam", e.Used, e.Bank/1.5/(0.85*0.95), 1e-6)
		default:
			t.Errorf("%+v", e)
		}
	}
	if !hasNote(r.Notes, "note", "It comes out before the fill can take it") {
		t.Error("nothing says that the trench's soil must wait")
	}
}

// Soil that does not suffice is named with all that could have helped.
func TestShortSoilIsNamed(t *testing.T) {
	texts := twoPits()
	texts["pits"] = strings.Replace(texts["pits"], "far,fill,0,10", "far,fill,0,2", 1)
	r := run(t, tables(t, texts))
	if len(r.Allocation.Short) != 1 {
		t.Fatalf("%+v", r.Allocation.Short)
	}
	s := r.Allocation.Short[0]
	held := (1000 + 8000) * cubicYd * 0.9 * 0.96 // shrink factor 0.9, loss 4 %
	near(t, "available", s.Available, held, 1e-6)
	near(t, "short", s.Short, r.Quantities.Total-held, 1e-6)
	if !hasNote(r.Notes, "danger", "all that may go there is from pit near and pit far") || !math.IsInf(supplied(t, r.Allocation, "near").Saving, 1) {
		t.Errorf("%+v", s)
	}
}

// Materials in the order named leave the reserve of all that there is, a heap's soil
// with the pits': with the heap the first material fills more, by the share of the
// heap that the reserve leaves free.
func TestOrderCountsHeaps(t *testing.T) {
	texts := changed(twoPits(), "zones", "zone,kind,material\nall,shell,clay;fill\n")
	texts["pits"] = strings.Replace(texts["pits"], "far,fill", "far,clay", 1)
	texts["pits"] = strings.Replace(texts["pits"], "near,fill,0,10", "near,fill,0,400", 1)
	texts["pits"] = strings.Replace(texts["pits"], "far,clay,0,10", "far,clay,0,1", 1)
	texts = changed(texts, "hauls", "")
	before := run(t, tables(t, texts))
	clay := before.Materials[0]
	if before.Materials[1].Compacted <= 0 || !(clay.Factors.LoadFactor > 0) {
		t.Fatalf("the site does not show it: %+v", clay)
	}
	texts["stockpiles"] = "stockpile,x (ft),y (ft),material,volume (m3)\nheap,900,-50,clay,30\n"
	after := run(t, tables(t, texts))
	ratio := after.Site.Settings.ReserveRatio
	// On the compacted volume: one bank m3 there stands for 1 / ratio compacted ones.
	near(t, "clay", after.Materials[0].Compacted-clay.Compacted, borrow.BankInLoose(30, clay.Factors.LoadFactor)/ratio, 1e-6)
}

// A haul past all numbers leaves who feeds what out, in words that name the row.
func TestHaulPastAllNumbers(t *testing.T) {
	r := hauled(t, strings.Replace(hauler, ",12,18,", ",1e-250,18,", 1)+excavator, roads)
	if r.Allocation != nil || !hasNote(r.Notes, "look", "comes to a cost beyond all numbers; look at the costs, speeds and efficiencies in `fleet`") {
		t.Errorf("%+v", r.Allocation)
	}
}

// Soil that no source holds is told once for all reaches. Without a pit in the site
// only the note that the borrow is not known tells of it.
func TestSoilFromNowhereIsToldOnce(t *testing.T) {
	texts := changed(twoPits(), "zones", "zone,kind,material,top below crest (ft),top width (ft),upstream slope (h:v),downstream slope (h:v)\ncore,core,clay,1,8,1,1\nall,shell,fill\n")
	r := run(t, tables(t, texts))
	if r.Allocation == nil || len(r.Allocation.Short) != 1 {
		t.Fatalf("%+v", r.Allocation)
	}
	s := r.Allocation.Short[0]
	if len(s.Sources) != 0 || s.Available != 0 || !(s.To-s.From > 100) {
		t.Errorf("%+v", s)
	}
	near(t, "short", s.Short, material(t, r, "clay").Compacted, 1e-6)
	if !hasNote(r.Notes, "danger", "nothing in the tables holds it") {
		t.Error("no note")
	}
}
