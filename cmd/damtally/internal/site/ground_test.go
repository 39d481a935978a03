package site

import "testing"

// surveySite is a small site whose ground is a survey.
func surveySite() tables {
	return plainSite().with(tables{
		"profile":    "",
		"site":       "item,value\nupstream side,left\n",
		"centreline": "x (ft),y (ft)\n0,0\n200,0\n",
		"survey":     "x (ft),y (ft),elevation (ft)\n-50,-200,30\n250,-200,30\n250,200,30\n-50,200,30\n100,0,10\n",
	})
}

func TestWrongGround(t *testing.T) {
	survey := surveySite()
	shots := tables{
		"profile": "", "site": "item,value\nupstream side,right\n",
		"shots": "station (ft),offset (ft),elevation (ft)\n0,-50,30\n0,50,30\n100,-80,10\n100,80,10\n",
	}
	checkWrong(t, []wrongCase{
		{"survey", survey, []string{
			`survey: the ground stands in profile already; keep one of profile, shots and survey`,
		}},
		{"survey alone", survey.with(tables{}).but("profile"), nil},
		{"shots", shots, nil},
		{
			"none",
			tables{"profile": ""},
			[]string{`the site has no ground; add one of the tables profile, shots, or survey with a centreline`},
		},
		{
			"surfaces alone",
			tables{"profile": "", "surfaces": "name,file,use\nground,ground.tif,existing\n"},
			[]string{`centreline: the table is missing, and ground from files needs it; add centreline.csv with the columns x (ft), y (ft)`},
		},
		{
			"surfaces beside a profile, and a way out",
			tables{"surfaces": "name,file,use\nground,../ground.tif,existing\nnew,C:\\x.tif,existing\n"},
			[]string{
				`surfaces: the ground stands in profile already; keep one of profile, shots and survey`,
				`surfaces row 2, file: "../ground.tif" leads out of the site's folder; put the file into the folder and name it from there`,
				`surfaces row 3, file: "C:/x.tif" leads out of the site's folder; put the file into the folder and name it from there`,
			},
		},
		{
			"stations out of order and twice",
			tables{"profile": "station (ft),elevation (ft)\n0,30\n100,10\n100,11\n50,10\n200,30\n"},
			[]string{
				`profile row 4, station: the same station stands in row 3 already; keep one of the rows`,
				`profile row 5, station: is before the station of row 4; put the rows in order of station`,
			},
		},
		{
			"a single point",
			tables{"profile": "station (ft),elevation (ft)\n0,30\n"},
			[]string{`profile: has a single point; give the ground from end to end of the dam`},
		},
		{
			"no rows",
			tables{"profile": "station (ft),elevation (ft)\n"},
			[]string{`profile: the table has no rows; fill it in below the header`},
		},
		{
			"no upstream side, no centreline", survey.with(tables{"site": "item,value\nname,x\n", "centreline": ""}).but("profile"),
			[]string{`centreline: the table is missing, and a survey needs it; add centreline.csv with the columns x (ft), y (ft)`},
		},
		{
			"no upstream side",
			tables{"centreline": "x (ft),y (ft)\n0,0\n200,0\n"},
			[]string{"site, upstream side: the setting is missing; add a row `upstream side` with left or right, the side of the water when looking up-station"},
		},
		{
			"centreline", survey.with(tables{"centreline": "x (ft),y (ft),station (ft),radius (ft)\n0,0,1+00,\n0,0,2+00,-5\n"}).but("profile"),
			[]string{
				`centreline row 3: is the same point as row 2; take one of the rows out`,
				`centreline row 3, radius: "-5" is below zero; write zero or more`,
				`centreline row 3, station: stands beyond the first row; give the start station in the first row alone; the others follow from x and y`,
			},
		},
		{
			"centreline of one point", survey.with(tables{"centreline": "x (ft),y (ft)\n0,0\n"}).but("profile"),
			[]string{`centreline: has fewer than two points; give both ends of the dam`},
		},
		{
			"shots",
			tables{
				"profile": "", "site": "item,value\nupstream side,right\n",
				"shots": "station (ft),offset (ft),elevation (ft)\n100,0,10\n100,0,11\n0,0,30\n0,10,30\n50,1,20\n",
			},
			[]string{
				`shots row 3, offset: row 2 has the same station and offset; keep one of the rows`,
				`shots row 4, station: is before the station of row 3; put the sections in order of station`,
				`shots row 6, station: is a section of a single shot; give the ground on both sides of the centreline`,
			},
		},
		{
			"one section",
			tables{
				"profile": "", "site": "item,value\nupstream side,right\n",
				"shots": "station (ft),offset (ft),elevation (ft)\n100,0,10\n100,50,11\n",
			},
			[]string{`shots: has a single section; give sections from end to end of the dam`},
		},
		{
			"survey twice on a spot", survey.with(tables{"survey": "x (ft),y (ft),elevation (ft)\n1,2,3\n5,5,5\n1,2,3\n1,2,4\n"}).but("profile"),
			[]string{`survey row 5, elevation: row 4 has the same x and y with another elevation; keep one of the rows`},
		},
		{
			"survey of two points", survey.with(tables{"survey": "x (ft),y (ft),elevation (ft)\n1,2,3\n5,5,5\n"}).but("profile"),
			[]string{`survey: has 2 points; give the ground under the whole dam`},
		},
	})
}

// but marks tables as taken out.
func (ts tables) but(names ...string) tables {
	for _, name := range names {
		ts[name] = ""
	}
	return ts
}

func TestGroundIsReadInSI(t *testing.T) {
	s := read(t, surveySite().with(tables{
		"survey":     "point,x (m),y (m),elevation (cm),code,line\n1,10,20,300,TB,bank\n2,11,20,310,TB,bank\n3,11,25,320,GR,\n",
		"centreline": "x (ftUS),y (ftUS),station (ft),radius (m)\n0,0,2+50,\n3937,0,,40\n7874,0,,\n",
	}).folder(t))
	same(t, "survey", s.Survey[1], SurveyPoint{At: [2]float64{11, 20}, Elevation: 3.1, Point: "2", Code: "TB", Line: "bank"}, butRefs, nearly)
	same(t, "start", s.Centreline[0].Station, Number{250 * 0.3048, true}, nearly)
	same(t, "vertex", s.Centreline[1], Vertex{At: [2]float64{1200, 0}, Radius: 40}, butRefs, nearly)
}
