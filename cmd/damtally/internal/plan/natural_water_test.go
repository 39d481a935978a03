package plan_test

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// withLayerWater gives the holes of one pit of the plain site a water content.
func withLayerWater(t *testing.T, s map[string]string, contents map[string]string) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(s["borings"]), "\n")
	for i, line := range lines {
		switch {
		case strings.HasPrefix(line, "#"):
			continue
		case strings.HasPrefix(line, "hole,"):
			line += ",water content (%)"
		default:
			hole, _, _ := strings.Cut(line, ",")
			content := ""
			if strings.Contains(line, ",yes,") {
				content = contents[hole]
			}
			line += "," + content
		}
		lines[i] = line
	}
	s["borings"] = strings.Join(lines, "\n") + "\n"
}

// Without density tests that give a water content, the layers of the test holes do:
// the mean weighted by the thickness that would be dug. By hand, West hill is dug 11
// ft deep below 9 in. of topsoil, so each hole counts 10.25 ft; East terrace is dug to
// 861.5 ft from the ground of each hole.
func TestWaterOfLayers(t *testing.T) {
	s := demoTables(t)
	withLayerWater(t, s, map[string]string{"W-1": "18", "W-2": "20", "W-3": "25"})
	s["density"] = strings.ReplaceAll(s["density"], ",West hill,", ",East terrace,")
	r := run(t, tables(t, s))
	w := material(t, r, "lean clay").Moisture
	var hill *plan.PitMoisture
	for i := range w.Pits {
		if w.Pits[i].Pit == "West hill" {
			hill = &w.Pits[i]
		}
	}
	if hill == nil || hill.Tests != 0 || hill.Layers != 3 {
		t.Fatalf("%+v", w)
	}
	near(t, "present", hill.Present, (0.18+0.20+0.25)/3, 1e-12)
	near(t, "all of it comes from there", w.Present, hill.Present, 1e-12)
	if !hasNote(r.Notes, "note", "that of its test holes is taken") || !hasNote(r.Notes, "look", "lean clay lies too wet in the pit") {
		t.Errorf("%+v", r.Notes)
	}
	// Its own tests rule, and a note says so.
	s = demoTables(t)
	withLayerWater(t, s, map[string]string{"W-1": "18"})
	r = run(t, tables(t, s))
	near(t, "tests rule", material(t, r, "lean clay").Moisture.Present, 0.2076, 1e-12)
	if !hasNote(r.Notes, "note", "lean clay in pit West hill: the water content of its test holes, 18 %, is not used") {
		t.Errorf("%+v", r.Notes)
	}
}

// Layers count by the thickness dug: on flat ground a pit of 10 ft with 2 in. of
// topsoil takes 4 ft of one layer and 6 ft less the topsoil of the other.
func TestWaterOfLayersByThickness(t *testing.T) {
	s := flatPit(t, "depth (ft),side slope,setback (ft),cover to leave (ft),strip depth (in)", "10,0,0,0,2",
		"B1,6000,11100,860,0,6,lean clay,top,Flat,12", "B1,6000,11100,860,6,30,lean clay,low,Flat,24")
	_, rest, _ := strings.Cut(s["borings"], "\n")
	s["borings"] = "hole,x (ft),y (ft),elevation (ft),from (ft),to (ft),material,layer,pit,water content (%)\n" + rest
	s["density"] = strings.ReplaceAll(s["density"], ",Flat,", ",,") // of no pit
	w := material(t, run(t, tables(t, s)), "lean clay").Moisture
	if w == nil || len(w.Pits) != 1 || w.Pits[0].Layers != 2 || w.Pits[0].Tests != 0 {
		t.Fatalf("%+v", w)
	}
	top := 6 - 2.0/12
	near(t, "weighted", w.Present, (top*0.12+4*0.24)/(top+4), 1e-9)
}

// Two pits of one soil that lie unlike wet: the dam's water is that of each by what
// it gives, each wet pit dries its own days, and the calendar takes both.
func TestWaterByPit(t *testing.T) {
	s := demoTables(t)
	s["site"] += "drying rate,1 %\nstart date,2026-06-01\n"
	s["pits"] = strings.Replace(s["pits"], "861.5", "866", 1) // so that the meadow is needed too
	s["density"] += "bank,silty sand,B-20,2026-03-12,Low meadow,,,,,,120.0,17.0,sand cone,S-1,\n"
	r := run(t, tables(t, s))
	w := material(t, r, "silty sand").Moisture
	if len(w.Pits) != 2 {
		t.Fatalf("%+v", w)
	}
	sum, taken := 0.0, 0.0
	for _, p := range w.Pits {
		sum, taken = sum+p.Used*p.Present, taken+p.Used
	}
	if !(w.Pits[0].Used > 0 && w.Pits[1].Used > 0) || !w.Weighted {
		t.Fatalf("%+v", w.Pits)
	}
	near(t, "weighted by what is taken", w.Present, sum/taken, 1e-12)
	near(t, "water of the whole", w.Mass, material(t, r, "silty sand").DryMass*(w.Target-sum/taken), 1e-6*math.Abs(w.Mass))
	lab := material(t, r, "silty sand").Lab
	near(t, "days of the meadow", w.Pits[1].Days, (0.17-lab.Optimum-0.02)/0.01, 1e-9)
	if !math.IsNaN(w.Pits[0].Days) || w.Pits[0].TooWet {
		t.Errorf("the terrace is dry: %+v", w.Pits[0])
	}
	if !hasNote(r.Notes, "look", "silty sand lies too wet in the pit: Low meadow has 17 % by 1 bank test") {
		t.Errorf("%+v", r.Notes)
	}
}

// Each source that lies too wet dries before it can be rolled: the days of the first
// lots stand in the calendar one after the other, and each tells the room that its
// lots take at the pace of the work.
func TestDryingInTheCalendar(t *testing.T) {
	s := changed(changed(demoTables(t), "fleet", fleetHead+hauler+excavator), "hauls", roads)
	s["site"] += "start date,2026-06-01\n"
	plain := run(t, tables(t, s)).Haul
	s["density"] = strings.NewReplacer("114.1,9.1,", "120.1,15.1,", "113.2,9.8,", "119.2,15.8,", "114.6,8.7,", "120.6,14.7,", "113.7,9.4,", "119.7,15.4,").Replace(s["density"])
	s["site"] += "drying rate,0.2 %\n"
	r := run(t, tables(t, s))
	h := r.Haul
	clay, sand := material(t, r, "lean clay"), material(t, r, "silty sand")
	if len(h.Dry) != 2 {
		t.Fatalf("%+v", h.Dry)
	}
	sum := 0.0
	for _, l := range h.Dry {
		m := clay
		if l.Material == "silty sand" {
			m = sand
		}
		near(t, l.Source, l.Days, m.Moisture.Pits[0].Days, 1e-12)
		mv, _ := moveFrom(t, r, l.Source)
		spread := m.Moisture.Lift * m.Factors.Fill.Value / m.Factors.Loose.Value
		if math.IsNaN(mv.Pace) != math.IsNaN(l.Room) || l.Room < mv.Pace*3600*h.HoursPerDay*l.Days/spread*(1-1e-9) {
			t.Errorf("%+v at %g", l, mv.Pace)
		}
		sum += l.Days
	}
	near(t, "days of all", h.Drying, sum, 1e-12)
	if plain.Drying != 0 || h.Finish <= plain.Finish || !hasNote(r.Notes, "look", "soil that lies too wet must dry before it can be rolled") {
		t.Errorf("%s, before %s: %+v", h.Finish, plain.Finish, r.Notes)
	}
}
