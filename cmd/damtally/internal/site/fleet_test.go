package site

import "testing"

func TestWrongFleet(t *testing.T) {
	const head = "machine,kind,count,capacity (yd3),capacity measured,bucket fill (%),efficiency (%),loaded speed (mph),passes\n"
	checkWrong(t, []wrongCase{
		{
			"machines",
			tables{"fleet": head +
				"Hauler,truck,2.5,14,heaped,95,83,15,\n" +
				"hauler,lorry,2,14,piled,200,120,150,\n" +
				"Padfoot,roller,1,,heaped,,,,6.5\n"},
			[]string{
				"fleet row 2, count: 2.5 is no whole number; write a whole number",
				`fleet row 3, machine: "hauler" stands in row 2 already; give each its own name`,
				`fleet row 3, kind: "lorry" is not one of its words; the choices are: truck, scraper, loader, excavator, dozer, roller, disc, grader, pump, water truck`,
				`fleet row 3, capacity measured: "piled" is not one of its words; the choices are: struck, heaped, as loaded`,
				"fleet row 3, bucket fill: 200 % of the capacity cannot lie in it; write such as 95 %",
				"fleet row 3, loaded speed: is faster than any such machine drives; look at the number and at the header's unit",
				"fleet row 3, efficiency: is more than 60 minutes of an hour; write the working minutes of an hour over 60, such as 50 minutes = 83 %",
				"fleet row 4, capacity: is blank, yet `capacity measured` says how it was measured; give the capacity, or leave both blank",
				"fleet row 4, passes: 6.5 is no whole number; write a whole number",
			},
		},
		{
			"settings",
			tables{"site": "item,value\nwork days a week,8\nhours per day,25\nhaul winding,0.5\nevaporation,2 m\n"},
			[]string{
				"site row 2, work days a week: 8 days are no part of a week; write 7 or less, such as 5",
				"site row 3, hours per day: 25 hours are no part of a day; write 24 or less, such as 10",
				"site row 4, haul winding: 0.5 times the straight distance is no haul road; write 1 or more, such as 1.3",
				"site row 5, evaporation: 2 m of water do not dry off in a day; write a depth of water a day, such as 0.2 in",
			},
		},
	})
}
