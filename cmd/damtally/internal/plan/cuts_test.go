package plan_test

import (
	"fmt"
	"math"
	"testing"
)

// vale is a dam across a valley of two planes that fall 1 in 10 to x = 300 ft,
// where the ground lies at 100 ft; water stands on the side of rising y.
func vale() map[string]string {
	survey := "x (ft),y (ft),elevation (ft)\n"
	for _, y := range []float64{-400, 0, 400} {
		for _, x := range []float64{0, 300, 600} {
			survey += fmt.Sprintf("%g,%g,%g\n", x, y, 100+math.Abs(x-300)/10)
		}
	}
	return map[string]string{
		"site":       "item,value\noutput units,us\nupstream side,left\nsection interval,25 ft\n",
		"centreline": "x (ft),y (ft)\n0,0\n600,0\n",
		"survey":     survey,
		"crest":      "elevation (ft),width (ft)\n120,12\n",
		"faces":      "side,slope (h:v)\nupstream,3\ndownstream,3\n",
		"stripping":  "depth (ft)\n0.5\n",
		"materials":  "material,source,soil class,shrink factor (-),swell (-),loss (%),lift thickness (in),lift measured,dispersive\nclay,borrow,CL,0.8,0.25,5,6,compacted,untested\nfill,borrow,SM,0.9,0.2,4,,,\n",
	}
}

const cuts = "cut,floor elevation (ft),side slope (h:v),material,usable\n"

// box is the outline of a rectangle.
func box(name string, x0, y0, x1, y1 float64) string {
	return fmt.Sprintf("%[1]s,%[2]g,%[3]g\n%[1]s,%[4]g,%[3]g\n%[1]s,%[4]g,%[5]g\n%[1]s,%[2]g,%[5]g\n", name, x0, y0, x1, y1)
}

// A cut of 100 ft x 40 ft with upright sides down to 105 ft, where the ground
// falls from 120 to 110 ft: 10 ft deep in the mean. One of 60 ft x 60 ft where the
// ground rises from 112 to 118 ft, down to 115 ft: a wedge 30 ft long and 3 ft high.
func TestCuts(t *testing.T) {
	texts := changed(changed(changed(vale(),
		"cuts", cuts+"ditch,105,0,fill,yes\nspillway,115,,fill,\n"),
		"outlines", "of,x (ft),y (ft)\n"+box("ditch", 100, 200, 200, 240)+box("spillway", 420, -300, 480, -240)),
		"prices", "item,unit,unit price,quantity of\nditch,yd3,5,cut ditch\nspillway,yd3,5,cut SPILLWAY\n")
	r := run(t, tables(t, texts))
	near(t, "ditch", r.Items[0].Quantity, 100*40*10/27.0, 1e-9)
	near(t, "ditch, bank", r.Cuts[0].Capacity.Bank/yd3, 100*40*10/27.0, 1e-9)
	near(t, "ditch, loose", r.Cuts[0].Loose/yd3, 1.2*100*40*10/27.0, 1e-9)
	near(t, "dug to", r.Cuts[0].Capacity.DugTo/0.3048, 105, 1e-9)
	near(t, "spillway", r.Items[1].Quantity, 60*30*3/2/27.0, 1e-9)
	if !r.Cuts[0].Usable || r.Cuts[1].Usable {
		t.Error("the ditch is usable, the spillway does not say")
	}
	for part, level := range map[string]string{
		"cut ditch: 1,481 bank yd3 come out, between its boundary at the ground and its floor at 105.00 ft, up to 15.0 ft deep; topsoil on it is not parted off; `usable` is yes, so it counts as a source of fill": "note",
		"cut spillway: 100 bank yd3 come out":                                  "note",
		"it does not say `usable`, so none of it counts as borrow":             "note",
		"cut spillway has no `side slope`, so its sides are taken as vertical": "look",
	} {
		if !hasNote(r.Notes, level, part) {
			t.Errorf("no %s with %q in\n%s", level, part, listed(r.Notes))
		}
	}
	if hasNote(r.Notes, "danger", "reaches under the dam") {
		t.Error("neither cut lies under the dam")
	}
}

// At x = 300 ft the dam is 20.5 ft high over the stripped ground and reaches
// 6 + 3 x 20.5 = 67.5 ft to each side.
func TestCutUnderTheDam(t *testing.T) {
	for y, under := range map[float64]bool{66: true, 69: false} {
		r := run(t, tables(t, changed(changed(vale(), "cuts", cuts+"ditch,95,2,,\n"), "outlines", "of,x (ft),y (ft)\n"+box("ditch", 280, y, 320, 140))))
		if got := hasNote(r.Notes, "danger", "cut ditch reaches under the dam or its toe between stations 2+75 and 3+25"); got != under {
			t.Errorf("from y %g: %v, want %v in\n%s", y, got, under, listed(r.Notes))
		}
	}
}

func TestWrongCuts(t *testing.T) {
	for _, c := range []struct{ name, rows, outlines, want string }{
		{"twice", "a,95,2,,\nb,95,2,,\n", box("a", 100, 200, 200, 240) + box("b", 190, 230, 260, 300), "cuts row 3, cut: cut b and cut a overlap, so the ground they share would be counted twice; move the corners of one of them"},
		{"off the survey", "a,95,2,,\n", box("a", 100, 200, 200, 440), "cuts row 2, cut: cut a reaches off the survey near x 200.00 ft, y 420.00 ft, along 40.0 ft; survey the whole cut, or move its corners in"},
		{"in the air", "a,130,2,,\n", box("a", 100, 200, 200, 240), "cuts row 2, floor elevation: cut a: the floor lies above the ground everywhere; check the floor's elevation and the ground's"},
		{"flat sides", "a,95,20,,\n", box("a", 100, 200, 200, 240), "cuts row 2, side slope: cut a: the ground falls away from the boundary as steeply as the sides, so nothing can be dug; make the sides steeper or move the corners"},
	} {
		got := failing(t, changed(changed(vale(), "cuts", cuts+c.rows), "outlines", "of,x (ft),y (ft)\n"+c.outlines))
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	pits := changed(changed(changed(vale(), "cuts", cuts+"a,95,2,,\n"), "pits", "pit,material,side slope (h:v),depth (ft)\nhill,clay,1,4\n"),
		"outlines", "of,x (ft),y (ft)\n"+box("a", 100, 200, 200, 240)+box("hill", 120, 210, 180, 230))
	if got, want := failing(t, pits), "cuts row 2, cut: cut a and pit hill overlap, so the ground they share would be counted twice; move the corners of one of them"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
