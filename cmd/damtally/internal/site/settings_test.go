package site

import "testing"

func TestWrongSettings(t *testing.T) {
	const ratio = "; write it in percent, such as 10 %"
	const length = "; length takes m mm cm km ft ftUS in yd mi"
	checkWrong(t, []wrongCase{
		{
			"no table",
			tables{"site": ""},
			[]string{`site: the table is missing; add site.csv with the columns item, value`},
		},
		{
			"names",
			tables{"site": "item,value\nupstream sid,left\ncolour,red\nname,a\nName,b\ndatum,\n"},
			[]string{
				`site row 2, item: there is no setting "upstream sid"; did you mean "upstream side"?`,
				"site row 3, item: there is no setting \"colour\"; the choices are: name, output units, currency, decimal mark, upstream side, " +
					"section interval, section accuracy, extend ground, longest edge, datum, crest is, settlement allowance, settlement basis, " +
					"normal pool elevation, spillway elevation, design high water elevation, reserve ratio, reserve on, test every, " +
					"least tests a lift, haul winding, hours per day, start date, work days a week, weather days, drying rate, evaporation, " +
					"overhead, profit, contingency",
				`site row 5, item: the setting "name" stands in row 4 already; keep one`,
				`site row 6, value: is blank; fill it in`,
			},
		},
		{
			"values",
			tables{"site": `item,value
section interval,25
longest edge,30 pcf
settlement allowance,0.1
overhead,10 ft
upstream side,lef
reserve ratio,150 %
test every,abc
spillway elevation,"12,450 ft"
start date,5/1/2026
section accuracy,-1 %
least tests a lift,-1
`},
			[]string{
				`site, crest is: a settlement allowance needs to know what the crest is; add a row ` + "`crest is`" + ` with settled or built, so that the allowance is not added twice`,
				`site row 2, section interval: "25" has no unit; write it with its unit, such as 25 ft` + length,
				`site row 3, longest edge: "30 pcf" is a density, not a length` + length,
				`site row 4, settlement allowance: "0.1" may be a share or a percentage` + ratio,
				`site row 5, overhead: "10 ft" is a length, not a ratio` + ratio,
				`site row 6, upstream side: "lef" is not one of its words; did you mean "left"?`,
				`site row 7, reserve ratio: "150 %" carries a unit; write the number alone`,
				`site row 8, test every: "abc" is not a number with a unit; volume takes m3 ft3 yd3 acre-ft L gal`,
				`site row 9, spillway elevation: "12,450 ft" is not a number with a unit` + length,
				`site row 10, start date: "5/1/2026" is not a date; write year-month-day, such as 2026-05-31`,
				`site row 11, section accuracy: "-1 %" is not above zero; write a number above zero`,
				`site row 12, least tests a lift: "-1" is below zero; write zero or more`,
			},
		},
		{
			"intervals",
			tables{"site": "item,value\nsection interval,0.001 in\n"},
			[]string{`site row 2, section interval: "0.001 in" is closer than sections are ever cut; write 0.25 ft or 0.08 m or more, such as 25 ft or 10 m`},
		},
		{
			"out of reason",
			tables{"site": "item,value\nsettlement allowance,100 %\ncrest is,settled\nreserve ratio,0.5\ndecimal mark,x\n"},
			[]string{
				`site row 2, settlement allowance: 100 % is far more than any fill settles; write such as 10 %`,
				`site row 4, reserve ratio: is 0.5, below the need itself; write 1 or more, such as 1.5`,
				`site row 5, decimal mark: "x" is no decimal mark; write . or ,`,
			},
		},
	})
}

func TestSettings(t *testing.T) {
	s := read(t, plainSite().with(tables{"site": `item,value
name,Pond
currency,EUR
section interval,25 ft
settlement allowance,10 %
crest is,Settled
settlement basis,toes kept
reserve ratio,1.25
reserve on,bank
normal pool elevation,9 m
test every,500 yd3
least tests a lift,2
`}).folder(t))
	same(t, "settings", s.Settings, Settings{
		Name: "Pond", OutputUnits: "us", Currency: "EUR", SectionInterval: Number{7.62, true}, ExtendGround: "no",
		CrestIs: "settled", Allowance: Number{0.1, true}, AllowanceBasis: "toes kept", NormalPool: Number{9, true},
		ReserveRatio: 1.25, ReserveOn: "bank", ReserveGiven: true, TestEvery: Number{500 * 0.764554857984, true},
		LeastTestsALift: Number{2, true},
	}, butRefs, nearly)
	same(t, "rows", s.Settings.ItemRows["reserve on"], Ref{Table: "site", Row: 9}, refsToo)
	same(t, "notes", noteTexts(s), []string{
		"note: site: results are in us units, as the tables are; set `output units` to change that",
	})
}

// TestDefaultReserve: 1.5 times the compacted volume (US Department of
// Agriculture, Agriculture Handbook 590), with its source in the note.
func TestDefaultReserve(t *testing.T) {
	s := read(t, plainSite().folder(t))
	same(t, "ratio", s.Settings.ReserveRatio, 1.5)
	same(t, "on", s.Settings.ReserveOn, "compacted")
	last := s.Notes[len(s.Notes)-1]
	same(t, "note", last.Text, "the pits must hold 1.5 times the compacted volume; set `reserve ratio` and `reserve on` to change that")
	same(t, "source", last.Source, "US Department of Agriculture, Agriculture Handbook 590")
}

func TestOutputUnitsFollowTheTables(t *testing.T) {
	for unit, want := range map[string]string{"ft": "us", "ftUS": "us", "in": "us", "m": "metric", "cm": "metric"} {
		s := read(t, plainSite().with(tables{"crest": "elevation (" + unit + "),width (ft)\n320,12\n"}).folder(t))
		same(t, unit, s.Settings.OutputUnits, want)
	}
}

func TestDecimalComma(t *testing.T) {
	s := read(t, plainSite().with(tables{
		"site":    "item;value\nsection interval;7,5 m\ndecimal mark;,\n",
		"profile": "station (m);elevation (m)\n0+000;30,5\n0+100,5;1.010\n1.200;30\n",
		"faces":   "side\tslope\nupstream\t3\ndownstream\t2,5:1\n",
	}).folder(t))
	same(t, "interval", s.Settings.SectionInterval.Value, 7.5)
	same(t, "profile", s.Profile, []ProfilePoint{{Ref{}, 0, 30.5}, {Ref{}, 100.5, 1010}, {Ref{}, 1200, 30}}, butRefs)
	same(t, "slope", s.Faces[1].Slope, 2.5)
}
