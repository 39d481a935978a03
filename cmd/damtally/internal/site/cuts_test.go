package site

import "testing"

const cutHeader = "cut,floor elevation (ft),side slope (h:v),material,usable,boundary\n"

func TestCutsAndBlankets(t *testing.T) {
	s := read(t, surveySite().with(tables{
		"profile":  "",
		"cuts":     cutHeader + "spillway,10,2,Fill,yes,\nditch,12,,,,ditch.geojson\n",
		"blankets": "blanket,thickness (in),material\nbed,18,clay\n",
		"zones":    "zone,kind,material\ndam,shell,fill\n",
		"outlines": "of,x (ft),y (ft)\nSpillway,0,0\nSpillway,10,0\nSpillway,10,10\nbed,20,20\nbed,40,20\nbed,40,40\n",
	}).folder(t))
	c := s.Cuts[0]
	same(t, "floor", []float64{c.FloorElevation, c.SideSlope}, []float64{3.048, 2}, nearly)
	same(t, "words", []string{c.Name, c.Material, c.Usable}, []string{"spillway", "fill", "yes"})
	same(t, "corners", len(c.Ring), 4)
	same(t, "a file", s.Cuts[1].Boundary, "ditch.geojson")
	same(t, "no slope given", s.Cuts[1].SideSlopeGiven, false)
	b := s.Blankets[0]
	same(t, "thickness", b.Thickness, 0.4572, nearly)
	same(t, "a material of its own", []string{b.Material, b.Name}, []string{"clay", "bed"})
	same(t, "its corners", len(b.Ring), 4)
}

func TestWrongCutsAndBlankets(t *testing.T) {
	materials := "material,source\nfill,borrow\n"
	checkWrong(t, []wrongCase{
		{"without ground in plan", tables{
			"cuts":     "cut,floor elevation (ft)\nspillway,10\n",
			"blankets": "blanket,thickness (ft),material\nbed,1,fill\n",
			"outlines": "of,x (ft),y (ft)\nspillway,0,0\nspillway,10,0\nspillway,10,10\nbed,0,0\nbed,4,0\nbed,4,4\n",
		}, []string{
			"cuts row 2, cut: there is no survey of the ground in plan to measure it on; give the ground as a survey or as surfaces, or take the row out",
			"blankets row 2, blanket: there is no survey of the ground in plan to measure it on; give the ground as a survey or as surfaces, or take the row out",
		}},
		{"usable, but of what", surveySite().with(tables{
			"materials": materials,
			"cuts":      cutHeader + "a,10,2,,yes,\nb,10,0.2,fill,maybe,\nc,10,2,rock,no,\nd,10,2,,,\n",
			"outlines":  "of,x (ft),y (ft)\na,0,0\na,9,0\na,9,9\nb,0,0\nb,9,0\nb,9,9\nc,0,0\nc,9,0\nc,9,9\n",
		}).but("profile"), []string{
			"cuts row 2, material: is blank, but `usable` is yes; name the soil that comes out, or write no under `usable`",
			"cuts row 3, side slope: a slope of 0.2 across to 1 up is too steep; write 3 for 3 across to 1 up, or 0 for vertical",
			`cuts row 3, usable: "maybe" is not one of its words; the choices are: yes, no`,
			`cuts row 4, material: "rock" is no material of the table materials; the choices are: fill`,
			`cuts row 5, cut: "d" has no corners; give its corners in outlines.csv, in order round it`,
		}},
		{"names", surveySite().with(tables{
			"materials": materials,
			"pits":      "pit,material,depth (ft)\nhill,fill,9\n",
			"cuts":      cutHeader + "Hill,10,2,,no,\n",
			"blankets":  "blanket,thickness (ft),material\nhill,0,fill\nbed,1,clay\nbed,1,fill\n",
			"outlines":  "of,x (ft),y (ft)\nhill,0,0\nhill,9,0\nhill,9,9\nbed,0,0\nbed,9,0\nbed,9,9\n",
		}).but("profile"), []string{
			`cuts row 2, cut: "Hill" is the name of row 2 of pits too, so their corners could not be told apart; give each its own name`,
			`blankets row 2, blanket: "hill" is the name of row 2 of cuts too, so their corners could not be told apart; give each its own name`,
			`blankets row 2, blanket: "hill" is the name of row 2 of pits too, so their corners could not be told apart; give each its own name`,
			`blankets row 2, thickness: "0" is not above zero; write a number above zero`,
			`blankets row 3, material: "clay" is no material of the table materials; the choices are: fill`,
			`blankets row 4, blanket: "bed" stands in row 3 already; give each its own name`,
		}},
	})
}
