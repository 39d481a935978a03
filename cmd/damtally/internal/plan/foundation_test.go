package plan_test

import "testing"

// holes at station 3+00, where the ground of the vale lies at 100 ft and the trench,
// 4 ft below 0.5 ft of stripping, goes down to 95.5 ft.
func TestFoundationHoles(t *testing.T) {
	base := changed(changed(vale(), "trench", "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n1+00,8,1.5,4\n5+00,8,1.5,4\n"),
		"zones", "zone,kind,material,top below crest (ft),top width (ft),upstream slope,downstream slope\ncore,core,clay,2,6,0.5,0.5\nshell,shell,fill,,,,\n")
	const head = "hole,x (ft),y (ft),from (ft),to (ft),material,usable,rippable,water depth (ft)\n"
	for _, c := range []struct{ name, rows, level, want string }{
		{
			"tight at the bottom", "H1,300,0,0,1,topsoil,no,,\nH1,300,0,1,3,sand,no,,\nH1,300,0,3,12,clay,no,,\n", "note",
			"the trench's bottom lies in soil like the core's at every test hole under the dam, 1 of them",
		},
		{
			"not through the sand", "H1,300,0,0,7,sand,no,,\nH1,300,0,7,12,clay,no,,\n", "look",
			"hole H1 (station 3+00): the trench's bottom, 95.50 ft, stands 2.5 ft above the bottom of its sand, which is unlike the core's soil: is that layer to be cut off?",
		},
		{"ends in sand", "H1,300,0,0,2,clay,no,,\nH1,300,0,2,6,sand,no,,\n", "look", "it ends in sand at 94.00 ft: how deep does that go?"},
		{"too short", "H1,300,0,0,2,clay,no,,\n", "look", "it ends at 98.00 ft, above the trench's bottom, 95.50 ft: what does the trench stand in?"},
		{"rock", "H1,300,0,0,3,clay,no,,\nH1,300,0,3,9,rock,no,no,\n", "look", "the trench goes 1.5 ft into its rock: can that be dug, and is it tight?"},
		{"water", "H1,300,0,0,12,clay,no,,2.5\n", "look", "water stands in it at 97.50 ft, 2.0 ft above the trench's bottom: how is the open trench kept dry?"},
		{"no trench there", "H1,80,0,0,3,sand,no,,\nH1,80,0,3,9,clay,no,,\n", "look", ""},
	} {
		r := run(t, tables(t, changed(base, "borings", head+c.rows)))
		if c.want != "" && !hasNote(r.Notes, c.level, c.want) {
			t.Errorf("%s: no %s with %q in\n%s", c.name, c.level, c.want, listed(r.Notes))
		}
	}
	// A crest of 130 ft keeps the dam standing at station 0+80, where no trench is dug.
	high := changed(changed(base, "crest", "elevation (ft),width (ft)\n124,12\n"), "borings", head+"H1,80,0,0,3,sand,no,,\nH1,80,0,3,9,clay,no,,\n")
	if r := run(t, tables(t, high)); !hasNote(r.Notes, "look", "it shows sand down to 119.00 ft, which is unlike the core's soil, and no trench is dug there: is none needed?") {
		t.Error(listed(r.Notes))
	}
	// A hole beyond the toe says nothing of the trench.
	if r := run(t, tables(t, changed(base, "borings", head+"H1,300,90,0,7,sand,no,,\n"))); hasNote(r.Notes, "look", "hole H1") {
		t.Error(listed(r.Notes))
	}
}
