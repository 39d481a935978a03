package site

import "testing"

// tallySite is a small site with a pit and a truck tally of the given rows.
func tallySite(rows string) tables {
	return surveySite().with(tables{
		"materials": "material\nclay\n",
		"zones":     "zone,kind,material\ndam,shell,clay\n",
		"pits":      "pit,material,side slope,depth (ft)\nNorth,clay,2,10\n",
		"outlines":  "of,x (ft),y (ft)\nNorth,0,0\nNorth,100,0\nNorth,100,100\n",
		"loads":     "date,pit,loads,capacity (yd3),fill (-),net weight (ton),rejected,zone,material\n" + rows,
	})
}

func TestLoadsAreRead(t *testing.T) {
	s := read(t, tallySite("2026-6-1,north,40,16,0.95,,2,dam,\n2026-06-02,North,12,16,,18.5,,,Clay\n").folder(t))
	same(t, "loads", s.Loads, []Load{
		{Date: "2026-06-01", Pit: "North", Loads: 40, Capacity: 16 * 0.764554857984, Fill: Number{0.95, true}, Rejected: Number{2, true}, Zone: "dam"},
		{Date: "2026-06-02", Pit: "North", Loads: 12, Capacity: 16 * 0.764554857984, NetWeight: Number{18.5 * 907.18474, true}, MaterialName: "clay"},
	}, butRefs, nearly)
}

func TestWrongLoads(t *testing.T) {
	progress := func(row string) tables {
		return tallySite("").with(tables{"loads": "", "surfaces": "name,file,use,pit,date\na,a.csv," + row + "\n"}).but("profile")
	}
	checkWrong(t, []wrongCase{
		{"right", tallySite("2026-06-01,North,40,16,1,,2,dam,clay\n").but("profile"), nil},
		{
			"a slip in every cell", tallySite("2026-06-01,Nort,4.5,16,95,,5,damm,cly\n").but("profile"),
			[]string{
				`loads row 2, pit: "Nort" is no pit, cut or stockpile of the site; did you mean "North"?`,
				`loads row 2, loads: is not a whole number of loads; count the loads, and give a half load its ` + "`fill`",
				`loads row 2, fill: is more than 150 % of the truck's capacity; write 90 % or 0.9 for a truck that is nine tenths full`,
				`loads row 2, rejected: is more than the loads of the row; count rejected loads among the ` + "`loads`",
				`loads row 2, zone: "damm" is no zone of the table zones; did you mean "dam"?`,
				`loads row 2, material: "cly" is no material of the table materials; did you mean "clay"?`,
			},
		},
		{"no weight", tallySite("2026-06-01,North,4,16,1,0,,,\n").but("profile"), []string{"loads row 2, net weight: is 0; leave it blank where the loads were not weighed"}},
		{"a survey of the only pit", progress("pit survey,,2026-06-01"), nil},
		{"a survey of no pit", progress("pit survey,South,2026-06-01"), []string{`surfaces row 2, pit: "South" is no pit of the table pits; did you mean "North"?`}},
		{"a fill in a pit", progress("fill survey,North,2026-06-01"), []string{
			`surfaces row 2, pit: stands beside the use "fill survey", which is not of a pit; leave it blank, or mend the ` + "`use`",
		}},
		{"no day", progress("pit survey,North,"), []string{
			"surfaces row 2, date: is blank; write the day of the survey, year-month-day, since loads are compared up to that day",
		}},
		{"no day is needed before the digging", progress("pit stripped,North,"), nil},
	})
}
