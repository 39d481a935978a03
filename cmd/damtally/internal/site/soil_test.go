package site

import "testing"

func TestWrongMaterials(t *testing.T) {
	checkWrong(t, []wrongCase{
		{
			"shares",
			tables{"materials": `material,required compaction (%),expected compaction (%),water content low (%),water content high (%),shrink factor (-),swell (-),loss (%),specific gravity
a,0.95,97,2,-2,0,0.25,100,2.7
b,95,9700,-50,2,90,25,-5,270
`},
			[]string{
				`materials row 2, required compaction: reads as 0.95 %; look at the header's unit: write such as 95 under (%), or 0.95 under (-)`,
				"materials row 2, water content low: is above `water content high`; swap the two",
				`materials row 2, shrink factor: "0" is not above zero; write a number above zero`,
				`materials row 2, loss: is 100 %, so nothing would reach the dam; look at the header's unit: write such as 5 under (%)`,
				`materials row 3, expected compaction: reads as 9700 %; look at the header's unit: write such as 97 under (%), or 0.97 under (-)`,
				`materials row 3, water content low: is -50 points from optimum; write points from optimum under (%), such as -2 or 3`,
				`materials row 3, specific gravity: is 270, which no soil or stone has; write such as 2.70`,
				`materials row 3, shrink factor: reads as 9000 %; look at the header's unit: write such as 0.9 under (-), or 90 under (%)`,
				`materials row 3, swell: reads as 2500 %; look at the header's unit: write such as 25 under (%), or 0.25 under (-)`,
				`materials row 3, loss: "-5" is below zero; write zero or more`,
			},
		},
		{
			"bought stone",
			tables{"materials": "material,source,placed density (pcf)\nstone,bought,\nriprap,bought,1100\n"},
			[]string{
				`materials row 2, placed density: bought stone needs it, since it is paid by mass; fill it in`,
				`materials row 3, placed density: is 1100 pcf, which no soil or stone has; look at the number and at the header's unit`,
			},
		},
	})
}

func TestMaterials(t *testing.T) {
	s := read(t, plainSite().with(tables{
		"materials": "material,water content low (%),water content high (-),loss (%),fines (-),swell (%),effort,required compaction (%),expected compaction (%)\nfill,-1 %,0.02,5,60 %,25,Standard,95,94\n",
	}).folder(t))
	same(t, "material", s.Materials[0], Material{
		Name: "fill", Source: "borrow", WaterLow: Number{-0.01, true}, WaterHigh: Number{0.02, true}, Loss: Number{0.05, true},
		Fines: Number{0.6, true}, Swell: Number{0.25, true}, Effort: "standard", RequiredCompaction: Number{0.95, true},
		ExpectedCompaction: Number{0.94, true},
	}, butRefs, nearly)
	same(t, "note", noteTexts(s)[2], "look: materials row 2: the expected compaction of fill is below the required one: half the tests would fail")
}

func TestWrongTests(t *testing.T) {
	const unit = ", which no soil has; look at the number and at the header's unit: soil is about 80 to 150 pcf, or 1300 to 2400 kg/m3"
	checkWrong(t, []wrongCase{
		{
			"densities",
			tables{"density": `state,material,id,wet density (pcf),dry density (pcf),water content (%),retest of
bank,fill,1,115,,,
bank,fill,2,,,12,
bank,fill,3,115,110,20,
bank,fill,3,100,105,,
loose,fill,4,1840,,10,4
fill,fill,5,,95,,9
bnak,fil,6,,95,,
`},
			[]string{
				`density row 2, water content: is blank, but a wet density alone does not say how much is soil; fill it in, or give the dry density`,
				`density row 3: has neither a wet nor a dry density; give one of them`,
				`density row 4, dry density: does not agree with wet density and water content, which give 87.1212 % of it; look which of the three is wrong, or leave the dry density blank`,
				`density row 5, id: "3" stands in row 4 already; give each its own name`,
				`density row 5, wet density: is below the dry density; look whether the two are swapped`,
				`density row 6, wet density: is 1840 pcf` + unit,
				`density row 6, retest of: names the test itself; name the failed test that this one repeats`,
				`density row 7, retest of: "9" is no id of the table density; the choices are: 1, 2, 3, 4, 5, 6`,
				`density row 8, state: "bnak" is not one of its words; did you mean "bank"?`,
				`density row 8, material: "fil" is not the dam's one material, which is called fill; did you mean "fill"?`,
			},
		},
		{
			"water content under the wrong unit",
			tables{"density": "state,material,wet density (pcf),water content (-)\nbank,fill,110,10\nbank,fill,110,0.18\n"},
			[]string{
				`density row 2, water content: of 1000 % would leave a dry density of 10 pcf, which no soil has; look at the number and at the header's unit: 18 under (%) is 0.18 under (-)`,
			},
		},
		{
			"names",
			tables{
				"density":   "state,material,dry density (pcf),pit,zone,sample\nbank,clay,95,west,coar,C-2\nbank,silt,95,,,\n",
				"materials": "material\nClay\n", "proctor": "material,sample,effort,water content (%),dry density (pcf)\nclay,C-1,standard,12,100\nclay,c-1,modified,12,100\nsilt,C-1,standard,14,100\n",
				"zones":    "zone,kind,material\nshell,shell,clay\n",
				"pits":     "pit,material,depth (ft),ground elevation (ft)\nWest hill,clay,10,50\n",
				"outlines": "of,x (ft),y (ft)\nwest hill,0,0\nwest hill,10,0\nwest hill,0,10\n",
			},
			[]string{
				`proctor row 3, effort: sample "C-1" has another effort in row 2; give each compaction test its own sample name`,
				`proctor row 4, material: "silt" is no material of the table materials; the choices are: Clay`,
				`proctor row 4, sample: "C-1" is of another material in row 2; give each sample its own name`,
				`density row 2, pit: "west" is no pit of the table pits; the choices are: West hill`,
				`density row 2, zone: "coar" is no zone of the table zones; the choices are: shell`,
				`density row 2, sample: "C-2" is no sample of the table proctor; did you mean "C-1"?`,
				`density row 3, material: "silt" is no material of the table materials; the choices are: Clay`,
			},
		},
	})
}

// TestDryDensity: dry = wet / (1 + water content), the definition of ASTM
// D7263; 120 pcf at 20 % is 100 pcf.
func TestDryDensity(t *testing.T) {
	s := read(t, plainSite().with(tables{
		"density": "state,material,wet density (pcf),dry density (pcf),water content (%)\nbank,fill,120,,20\nbank,FILL,120,100.5,20\nloose,fill,,70,\nbank,fill,147,70,110\n",
		"proctor": "material,sample,effort,water content (%),wet density (pcf)\nfill,1,standard,20,120\n",
	}).folder(t))
	pcf := 0.45359237 / (0.3048 * 0.3048 * 0.3048)
	for i, want := range []DensityTest{
		{DryDensity: Number{100 * pcf, true}, DryDerived: true},
		{DryDensity: Number{100.5 * pcf, true}},
		{DryDensity: Number{70 * pcf, true}},
		{DryDensity: Number{70 * pcf, true}},
	} {
		got := s.Density[i]
		same(t, "density", DensityTest{DryDensity: got.DryDensity, DryDerived: got.DryDerived}, want, butRefs, nearly)
	}
	same(t, "lab", s.Proctor[0].DryDensity, 100*pcf, nearly)
	same(t, "name", s.Density[1].Material, "fill")
	same(t, "note", noteTexts(s)[0], "look: density row 5: a water content of 110 % is more water than soil; look at the lab sheet")
}

func TestWrongPits(t *testing.T) {
	corners := "of,x (ft),y (ft)\n"
	square := func(name string) string {
		return name + ",0,0\n" + name + ",100,0\n" + name + ",100,100\n" + name + ",0,100\n"
	}
	checkWrong(t, []wrongCase{
		{"right", tables{
			"pits":     "pit,material,depth (ft),ground elevation (ft),side slope\nA,fill,10,50,\nB,fill,10,50,0\n",
			"outlines": corners + square("a") + square("B") + "B,0,0\n",
		}, nil},
		{
			"figures",
			tables{
				"pits": `pit,material,depth (ft),floor elevation (ft),ground elevation (ft),strip depth (ft),side slope,loss (%)
A,fill,10,40,50,,1:2,
B,,,,50,,2,
C,fill,1,,,1,2,100
D,clay,,60,50,,2,
D,fill,10,,50,,2,
`,
				"outlines": corners + square("A") + square("B") + square("C") + square("D"),
			},
			[]string{
				`pits row 2, side slope: "1:2" does not say how far across for 1 up; write 3 for 3 across to 1 up`,
				`pits row 2, floor elevation: stands beside a depth; keep one of the two`,
				`pits row 3, material: is blank; name the soil that the pit holds, or give holes of the pit in borings`,
				`pits row 3, floor elevation: there is neither a floor elevation nor a depth; give one of the two, or give holes of the pit in borings, whose layers the floor then follows`,
				`pits row 4, depth: is not below the stripping, so the pit gives nothing; dig deeper than the strip depth`,
				`pits row 4, ground elevation: is blank, and there is no survey of the ground; fill it in, or give the ground as a survey`,
				`pits row 4, loss: is 100 %, so nothing would reach the dam; look at the header's unit: write such as 5 under (%)`,
				`pits row 5, material: "clay" is not the dam's one material, which is called fill; the choices are: fill`,
				`pits row 5, floor elevation: is not below the ground elevation; look which of the two is wrong`,
				`pits row 6, pit: "D" stands in row 5 already; give each its own name`,
			},
		},
		{
			"outlines",
			tables{
				"pits":     "pit,material,depth (ft),ground elevation (ft)\nA,fill,10,50\nB,fill,10,50\nC,fill,10,50\nE,fill,10,50\nF,fill,10,50\n",
				"outlines": corners + "A,0,0\nA,1,1\nB,0,0\nB,100,100\nB,100,0\nB,0,100\nC,0,0\nC,50,0\nC,100,0\nD,0,0\nD,1,0\nD,0,1\nE,0,0\nE,0,0\nE,1,0\nE,1,1\n",
			},
			[]string{
				`outlines row 2, of: the outline of "A" has 2 corners; give at least three, in order round it`,
				`outlines row 4, of: the outline of "B" crosses itself: its sides from rows 4 and 6 meet; give the corners in order round it`,
				`outlines row 8, of: the outline of "C" crosses itself: its sides from rows 8 and 10 meet; give the corners in order round it`,
				`outlines row 11, of: "D" is no pit, cut or blanket of the site; mend the name, or add the pit`,
				`outlines row 15: is the same corner as row 14; take one of the rows out`,
				`pits row 6, pit: "F" has no corners; give its corners in outlines.csv, in order round it`,
			},
		},
	})
}

func TestOutlines(t *testing.T) {
	s := read(t, surveySite().with(tables{
		"profile":  "",
		"pits":     "pit,material,depth (ft),ground elevation (ft)\nHill,fill,10,50\n",
		"cuts":     "cut,floor elevation (ft)\nspillway,10\n",
		"outlines": "of,x (m),y (m)\nHILL,0,0\nspillway,0,0\nHill,0,10\nspillway,1,0\nhill,10,10\nspillway,1,1\n",
	}).folder(t))
	hill := s.Pits[0]
	same(t, "turned counter-clockwise and closed", hill.Ring, s.Outlines[0].Ring)
	same(t, "ring", [][2]float64{hill.Ring[0], hill.Ring[1], hill.Ring[2], hill.Ring[3]}, [][2]float64{{0, 0}, {10, 10}, {0, 10}, {0, 0}})
	var rows []int
	for _, r := range hill.RingRefs {
		rows = append(rows, r.Row)
	}
	same(t, "rows", rows, []int{2, 6, 4, 2})
	same(t, "names", []string{s.Outlines[0].Of, s.Outlines[1].Of}, []string{"Hill", "spillway"})
}

func TestWrongPrices(t *testing.T) {
	checkWrong(t, []wrongCase{{
		"quantities",
		tables{"prices": "item,unit,unit price ($),quantity of,quantity,measured\nfill,yd3,$4.50,fill,,in place\npipe,ft,20,fill,30,plan\nseed,acre,900,,,\nmobilisation,job,\"5,000.00\",,,lump sum\nx,ft,5 ft,,1,\n"},
		[]string{
			"prices row 3, quantity: stands beside a `quantity of`; keep one of the two",
			"prices row 4, quantity: there is no quantity; give a quantity, or name a result under `quantity of`",
			`prices row 6, unit price: "5 ft" carries a unit of its own; write the number alone`,
		},
	}})
	s := read(t, plainSite().with(tables{"prices": "item,unit,unit price,measured\nmobilisation,job,\"5,000.00\",lump sum\n"}).folder(t))
	same(t, "lump sum", s.Prices[0], PayItem{Item: "mobilisation", Unit: "job", UnitPrice: 5000, PriceTyped: true, Quantity: Number{1, true}, Measured: "lump sum"}, butRefs)
}
