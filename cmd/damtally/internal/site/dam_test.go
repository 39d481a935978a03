package site

import "testing"

func TestWrongDam(t *testing.T) {
	checkWrong(t, []wrongCase{
		{
			"no crest, no faces",
			tables{"crest": "", "faces": ""},
			[]string{
				`crest: the table is missing; add crest.csv with the columns elevation (ft), width (ft)`,
				`faces: the table is missing; add faces.csv with the columns side, slope`,
			},
		},
		{
			"crest of several rows",
			tables{"crest": "station (ft),elevation (ft),width (ft)\n0,32,12\n,33,12\n100,33,12\n100,34,\n"},
			[]string{
				`crest row 3, station: is blank, and the crest has several rows; give each row its station, or keep one row for a level crest`,
				`crest row 5, width: is blank; fill it in`,
				`crest row 5, station: the same station stands in row 4 already; keep one of the rows`,
			},
		},
		{
			"one face",
			tables{"faces": "side,slope\nupstream,3\n"},
			[]string{`faces, side: the downstream face is missing; add a row with downstream and its slope`},
		},
		{
			"parts of a face",
			tables{"faces": `side,slope,to elevation (ft),bench width (ft)
upstream,3,20,
upstream,3,25,
upstream,3,10,
downstream,2,,5
downstream,3,,
`},
			[]string{
				"faces row 3, to elevation: is not below that of row 2; put the parts in order from the crest down",
				"faces row 4, to elevation: is given in the last part of the face, which must run to the ground; leave it blank, or add a row for the part below",
				"faces row 5, to elevation: is blank, but the face goes on in row 6; say where this part ends; the last part of the face alone runs to the ground",
				"faces row 5, bench width: a bench needs the elevation where it lies; fill in `to elevation`, or leave the bench out",
			},
		},
		{
			"reaches of a face",
			tables{"faces": `side,slope,from station (ft),to station (ft)
upstream,3,,100
upstream,2,100,
downstream,2,,100
downstream,3,50,150
downstream,3,200,
downstream,4,20,10
`},
			[]string{
				"faces row 5, from station: the reach of this row and that of row 4 overlap in part; give rows of one reach the same stations, and let the next reach begin where the last one ends",
				"faces row 6, from station: the downstream face has a gap behind the reach of row 5; let the reach begin where the last one ends",
				"faces row 7, to station: is not beyond the `from station`; swap the two or mend one",
			},
		},
		{
			"trench",
			tables{"trench": `station (ft),bottom width (ft),side slope (h:v),depth (ft),bottom elevation (ft)
0,8,1.5,4,
50,8,0,,5
60,8,1.5,4,5
70,8,1.5,,
60,8,0.1,4,
`},
			[]string{
				"trench row 3, depth: some rows give a depth and some a bottom elevation; give the same one in every row",
				"trench row 4, depth: stands beside a bottom elevation; keep one of the two",
				"trench row 5, depth: there is neither a depth nor a bottom elevation; give one of the two",
				"trench row 6, station: is before the station of row 5; put the rows in order of station",
				"trench row 6, side slope: a slope of 0.1 across to 1 up is too steep; write 3 for 3 across to 1 up, or 0 for vertical",
			},
		},
		{
			"stripping",
			tables{"stripping": "depth (in),from station (ft),to station (ft)\n8,,100\n6,50,\n6,90,80\n-1,,\n"},
			[]string{
				"stripping row 3, from station: the reach overlaps that of row 2; let it begin where the other ends",
				"stripping row 4, to station: is not beyond the `from station`; swap the two or mend one",
				`stripping row 5, depth: "-1" is below zero; write zero or more`,
				"stripping row 5, from station: the reach overlaps that of row 2; let it begin where the other ends",
			},
		},
	})
}

const coreHeader = "zone,kind,material,top elevation (ft),top below crest (ft),top width (ft),upstream slope,downstream slope,thickness (ft)\n"

func TestWrongZones(t *testing.T) {
	materials := "material\nclay\nsilt\n"
	checkWrong(t, []wrongCase{
		{"right", tables{"zones": coreHeader + "core,core,Clay,,2,10,1,0,\nshell,shell,silt; CLAY,,,,,,\n", "materials": materials}, nil},
		{
			"core without its shape",
			tables{"zones": coreHeader + "core,core,clay,30,2,,1,,\nshell,shell,silt,,,,,,\ncore 2,core,clay,,,10,1,1,\n"},
			[]string{
				"zones row 2, top elevation: stands beside `top below crest`; keep one of the two",
				"zones row 2, top width: a core needs it; fill it in",
				"zones row 2, downstream slope: a core needs it; fill it in",
				"zones row 4, zone: stands below the shell of row 3, so it gets nothing; move the row above the shell's",
				"zones row 4, top elevation: a core needs its top; give `top elevation` or `top below crest`",
			},
		},
		{
			"no shell",
			tables{"zones": coreHeader + "core,core,clay,,2,10,1,1,\n"},
			[]string{"zones, kind: there is no shell, so what lies outside the core would be built of nothing; add a last row of kind shell with its material"},
		},
		{
			"shells",
			tables{"zones": coreHeader + "shell,shell,clay,,,10,,,\nshell 2,shell,clay,,,,,,\n"},
			[]string{
				"zones row 2, top width: a shell takes all that is left, so it has no top width of its own; leave the cell blank; the outline of the dam stands in crest and faces",
				"zones row 3, kind: is a second shell; the one in row 2 takes everything; keep one shell; give it several materials parted by ; if need be",
			},
		},
		{
			"no such kind",
			tables{"zones": coreHeader + "drain,filter,sand,,,,,,2\nfacing,riprap,stone,,,,,,\n"},
			[]string{
				"zones row 2, side: a chimney needs it; fill it in",
				`zones row 3, kind: "riprap" is not one of its words; the choices are: core, shell, filter, drain, facing, bedding, cover`,
			},
		},
		{
			"materials",
			tables{"zones": coreHeader + "core,core,clay,,2,10,1,1,\nshell,shell,\"Clay, silt\",,,,,,\n", "materials": materials},
			[]string{`zones row 3, material: "Clay, silt" is no material of the table materials; part names by semicolons: clay; silt`},
		},
		{
			"names of materials",
			tables{"zones": coreHeader + "core,core,caly,,2,10,1,1,\nshell,shell,silt;;stone;Silt,,,,,,\n", "materials": materials},
			[]string{
				`zones row 2, material: "caly" is no material of the table materials; did you mean "clay"?`,
				`zones row 3, material: "Silt" stands twice; name each material once`,
				`zones row 3, material: "stone" is no material of the table materials; the choices are: clay, silt`,
				"zones row 3, material: has a blank name between semicolons; write such as clay; silt",
			},
		},
		{
			"names",
			tables{"zones": coreHeader + "a,core,clay,,2,10,1,1,\nA,shell,silt,,,,,,\n", "materials": "material\nclay\nsilt\nC lay\n"},
			[]string{
				`zones row 3, zone: "A" stands in row 2 already; give each its own name`,
				`materials row 4, material: "C lay" stands in row 2 already; give each its own name`,
			},
		},
	})
}

func TestZonesAndNames(t *testing.T) {
	s := read(t, plainSite().with(tables{
		"zones":     coreHeader + "core,core,CLAY,,2,10,1,0,\nshell,shell,silt ;clay,,,,,,\n",
		"materials": "material\nClay\nSilt\n",
	}).folder(t))
	same(t, "core", s.Zones[0], Zone{
		Zone: "core", Kind: "core", Materials: []string{"Clay"}, TopBelowCrest: Number{2 * 0.3048, true},
		TopWidth: Number{10 * 0.3048, true}, UpstreamSlope: Number{1, true}, DownstreamSlope: Number{0, true},
	}, butRefs, nearly)
	same(t, "shell", s.Zones[1].Materials, []string{"Silt", "Clay"})
}

// A core between shells may be steeper than earth stands by itself, or lean.
func TestCoreSlopes(t *testing.T) {
	s := read(t, plainSite().with(tables{
		"zones":     coreHeader + "core,core,clay,,2,10,-0.5,0.75,\nshell,shell,clay,,,,,,\n",
		"materials": "material\nclay\n",
	}).folder(t))
	same(t, "upstream", s.Zones[0].UpstreamSlope, Number{-0.5, true})
	same(t, "downstream", s.Zones[0].DownstreamSlope, Number{0.75, true})
	checkWrong(t, []wrongCase{{
		"an hourglass",
		tables{"zones": coreHeader + "core,core,clay,,2,10,-1,0.5,\nshell,shell,clay,,,,,,\n", "materials": "material\nclay\n"},
		[]string{"zones row 2, upstream slope: the core grows narrower going down; let the two slopes add up to zero or more"},
	}})
}

const layerHeader = "zone,kind,material,side,thickness (ft),lies,from elevation (ft),to elevation (ft),from offset (ft),to offset (ft),top width (ft),upstream slope,downstream slope,top elevation (ft)\n"

// zoneTables puts rows of zones between a core and a shell.
func zoneTables(rows string) tables {
	return tables{
		"zones":     layerHeader + "core,core,clay,,,,,,,,10,1,1,30\n" + rows + "shell,shell,clay,,,,,,,,,,,\n",
		"materials": "material\nclay\nsand\n",
	}
}

func TestLayers(t *testing.T) {
	s := read(t, plainSite().with(zoneTables(
		"sand,filter,sand,downstream,3,,,,,,,,,28\n"+
			"mat,drain,sand,,1.5,,,,10,40,,,,\n"+
			"toe,drain,sand,downstream,4,,,,,,3,1,0,\n"+
			"riprap,facing,sand,upstream,2,outside,12,28,,,,,,\n"+
			"bed,bedding,sand,upstream,0.5,,,,,,,,,\n"+
			"topsoil,cover,sand,crest,0.5,,,,,,,,,\n",
	)).folder(t))
	var forms []string
	for _, z := range s.Zones {
		forms = append(forms, z.Form())
	}
	same(t, "forms", forms, []string{"", "chimney", "blanket", "toe", "", "", "", ""})
	same(t, "riprap", s.Zones[4], Zone{
		Zone: "riprap", Kind: "facing", Materials: []string{"sand"}, Thickness: Number{2 * 0.3048, true}, Side: "upstream", SideGiven: true,
		Lies: "outside", FromElevation: Number{12 * 0.3048, true}, ToElevation: Number{28 * 0.3048, true},
	}, butRefs, nearly)
	same(t, "mat", s.Zones[2].ToOffset, Number{40 * 0.3048, true}, nearly)
}

func TestWrongLayers(t *testing.T) {
	checkWrong(t, []wrongCase{
		{
			"cells that a kind needs or has not",
			zoneTables("sand,filter,sand,,,,,,,,,,,\nmat,drain,sand,upstream,,,,,10,,,,,\nriprap,facing,sand,upstream,2,,,,,,5,,,\ntoe,drain,sand,downstream,4,,,,,,3,,,\n"),
			[]string{
				"zones row 3, thickness: a chimney needs it; fill it in",
				"zones row 3, side: a chimney needs it; fill it in",
				"zones row 4, thickness: a blanket needs it; fill it in",
				"zones row 4, side: a blanket has no side; leave the cell blank",
				"zones row 5, top width: a facing has no top width; leave the cell blank",
				"zones row 6, upstream slope: a toe drain needs it; fill it in",
				"zones row 6, downstream slope: a toe drain needs it; fill it in",
			},
		},
		{
			"cells that do not agree",
			zoneTables("riprap,facing,sand,upstream,2,,28,12,,,,,,\nmat,drain,sand,,1,,,,40,10,,,,\ntoe,drain,sand,downstream,4,,,,,,3,-1,0,\nsoil,cover,sand,crest,1,,12,,,,,,,\nrock,facing,sand,crest,1,,,,,,,,,\n"),
			[]string{
				"zones row 3, to elevation: is not above `from elevation`; swap the two or mend one",
				"zones row 4, to offset: is not beyond `from offset`; swap the two or mend one; offsets are negative upstream",
				"zones row 5, upstream slope: a side of a toe drain leans in; write 0 for a vertical side or more",
				"zones row 6, from elevation: a cover of the crest lies on all of it; leave `from elevation` and `to elevation` blank",
				"zones row 7, side: only a cover lies on the crest; write upstream or downstream",
			},
		},
		{
			"nothing to lie against",
			tables{"zones": layerHeader + "sand,filter,clay,downstream,3,,,,,,,,,\nbed,bedding,clay,upstream,1,,,,,,,,,\nshell,shell,clay,,,,,,,,,,,\n", "materials": "material\nclay\n"},
			[]string{
				"zones row 2, kind: a chimney lies against a core, and there is none; add a core; for a blanket on the foundation give `from offset` and `to offset`, for a toe drain `top width`",
				"zones row 3, kind: a bedding lies under a facing, and there is none on the upstream face; add a facing on that side",
			},
		},
		{
			"below the shell",
			tables{"zones": layerHeader + "shell,shell,clay,,,,,,,,,,,\nin,cover,clay,upstream,1,,,,,,,,,\nout,cover,clay,upstream,1,outside,,,,,,,,\n", "materials": "material\nclay\n"},
			[]string{"zones row 3, zone: stands below the shell of row 2, so it gets nothing; move the row above the shell's"},
		},
		{
			"accuracy",
			tables{"site": "item,value\nsection accuracy,0.001 %\n"},
			[]string{"site row 2, section accuracy: is 0.001 %, which is no useful accuracy of a volume; write 0.01 % to 20 %, such as 0.5 %"},
		},
	})
}
