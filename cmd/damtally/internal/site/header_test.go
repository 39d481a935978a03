package site

import "testing"

func TestWrongHeaders(t *testing.T) {
	checkWrong(t, []wrongCase{
		{"right", nil, nil},
		{
			"missing column",
			tables{"crest": "elevation (ft)\n32\n"},
			[]string{`crest, width: the column is missing; add a column headed "width (ft)"`},
		},
		{
			"unknown column",
			tables{"crest": "elevation (ft),widht (ft)\n32,12\n"},
			[]string{
				`crest, width: the column is missing; add a column headed "width (ft)"`,
				`crest row 1, widht (ft): there is no such column in this table; did you mean "width"?`,
			},
		},
		{
			"unknown column far from any",
			tables{"crest": "elevation (ft),width (ft),colour\n32,12,red\n"},
			[]string{`crest row 1, colour: there is no such column in this table; the choices are: elevation, width, station`},
		},
		{
			"no unit",
			tables{"crest": "elevation,width (ft)\n32,12\n"},
			[]string{`crest row 1, elevation: the header has no unit; write "elevation (ft)"; length takes m mm cm km ft ftUS in yd mi`},
		},
		{
			"unknown unit",
			tables{"crest": "elevation (fathom),width (ft)\n32,12\n"},
			[]string{`crest row 1, elevation: the unit "fathom" is not known; length takes m mm cm km ft ftUS in yd mi`},
		},
		{
			"unit of another kind",
			tables{"crest": "elevation (pcf),width (ft)\n32,12\n"},
			[]string{`crest row 1, elevation: the unit "pcf" measures density, not length; length takes m mm cm km ft ftUS in yd mi`},
		},
		{
			"unit of a slope",
			tables{"faces": "side,slope (ft)\nupstream,3\ndownstream,3\n"},
			[]string{`faces row 1, slope: is no length, but its header says (ft); take the unit out`},
		},
		{
			"units without brackets",
			tables{"crest": "elevation ft,top_width_ft\n32,12\n", "profile": "station (ft),Elevation feet\n0,30\n100,10\n"},
			[]string{
				"profile, elevation: the column is missing; add a column headed \"elevation (ft)\"",
				`profile row 1, Elevation feet: there is no such column in this table; put the unit in brackets: write "elevation (ft)"`,
				"crest, elevation: the column is missing; add a column headed \"elevation (ft)\"",
				"crest, width: the column is missing; add a column headed \"width (ft)\"",
				`crest row 1, elevation ft: there is no such column in this table; put the unit in brackets: write "elevation (ft)"`,
				`crest row 1, top_width_ft: there is no such column in this table; the choices are: elevation, width, station`,
			},
		},
		{
			"two slips in a word",
			tables{"faces": "side,sloap (h:v)\nupstream,3\ndownstream,3\n"},
			[]string{
				`faces, slope: the column is missing; add a column headed "slope"`,
				`faces row 1, sloap (h:v): there is no such column in this table; did you mean "slope"?`,
			},
		},
		{
			"a unit with its state",
			tables{"stockpiles": "stockpile,x (ft),y (ft),material,volume (LCY)\na,1,2,fill,3\n"},
			[]string{`stockpiles row 1, volume: the unit "LCY" is not known; write yd3; that it is loose is no part of the unit, the row or the column says it`},
		},
		{
			"column twice",
			tables{"crest": "elevation (ft),width (ft),Width (m)\n32,12,4\n"},
			[]string{`crest row 1, width: the column stands twice, as "width (ft)" and "Width (m)"; keep one`},
		},
		{
			"file of one empty line",
			tables{"crest": "\n"},
			[]string{
				`crest: the table is empty; write the column names in its first row, or take it out`,
			},
		},
		{
			"cell without a column name",
			tables{"profile": "station (ft),elevation (ft)\n0,30\n1,250,10\n2000,30\n"},
			[]string{
				`profile row 3: has something in its cell 3, which has no column name; put a cell that holds a separator in quotes (a number such as 12,450 is written 12450), or name the column`,
			},
		},
	})
}

// TestHeadersAreForgiving: case, blanks, order, brackets and titles are free.
func TestHeadersAreForgiving(t *testing.T) {
	want := read(t, plainSite().folder(t))
	for name, changes := range map[string]tables{
		"order and case":         {"crest": "WIDTH (FT) ,  Elevation(ft)\n12,32\n"},
		"square brackets":        {"crest": "elevation [ft],width [ft]\n32,12\n"},
		"slope without unit":     {"faces": "Side,Slope\nUpstream,3\nDOWNSTREAM,2.5\n"},
		"remarks and empty rows": {"crest": "# the top\n\nelevation (ft),width (ft)\n# level\n,\n32,12\n\n"},
		"metres and inches":      {"crest": "elevation (in),width (yd)\n384,4\n"},
	} {
		t.Run(name, func(t *testing.T) {
			s := read(t, plainSite().with(changes).folder(t))
			same(t, "site", s, want, butRefs, nearly)
		})
	}
}

func TestTitleRowsAboveTheHeader(t *testing.T) {
	s := read(t, plainSite().with(tables{"crest": "Crest of the dam,\nby the engineer,2026\nelevation (ft),width (ft)\n32,12\n"}).folder(t))
	same(t, "row", s.Crest[0].Ref.Row, 4)
	same(t, "notes", noteTexts(s)[0], "note: crest: what stands above the header is passed over")
}

func TestSynonyms(t *testing.T) {
	ts := plainSite().with(tables{
		"crest":      "",
		"top of dam": "elevation (ft),width (ft)\n32,12\n",
		"keyway":     "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n50,8,1.5,4\n",
		"faces":      "side,slope (h:v),to elevation (ft),berm width (ft)\nupstream,3,,\ndownstream,2,20,10\ndownstream,3,,\n",
	})
	s := read(t, ts.folder(t))
	same(t, "bench", s.Faces[1].BenchWidth, 10*0.3048)
	same(t, "trench rows", len(s.Trench), 1)
	same(t, "notes", noteTexts(s)[:3], []string{
		`note: trench: the file "keyway" is read as the table trench`,
		`note: crest: the file "top of dam" is read as the table crest`,
		`note: faces: the column "berm width" is read as "bench width"`,
	})
	same(t, "twin", read(t, ts.book(t)).Faces, s.Faces, butRefs)
}

func TestNearest(t *testing.T) {
	words := []string{"elevation", "station", "offset", "x", "y"}
	for name, want := range map[string]string{
		"elevaton": "elevation", "Elevatoin": "elevation", "sta tion": "station", "off-set": "offset", "banana": "",
		"stations": "station",
	} {
		if got := nearest(name, words); got != want {
			t.Errorf("nearest(%q) = %q, want %q", name, got, want)
		}
	}
	// Textbook pairs: kitten-sitting 3 (Levenshtein), ca-ac 1 (one swap).
	same(t, "kitten", distance([]rune("kitten"), []rune("sitting")), 3)
	same(t, "swap", distance([]rune("ca"), []rune("ac")), 1)
}

func TestSchemaIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, table := range Schema() {
		if table.Purpose == "" || seen[headKey(table.Name)] {
			t.Errorf("table %q: no purpose or twice", table.Name)
		}
		seen[headKey(table.Name)] = true
		columns := map[string]bool{}
		for _, c := range table.Columns {
			if c.Help == "" || columns[headKey(c.Name)] || (c.Kind == Word) != (len(c.Words) > 0) {
				t.Errorf("%s, %s: no help, twice, or words of no word column", table.Name, c.Name)
			}
			columns[headKey(c.Name)] = true
		}
	}
	for _, item := range Items() {
		if item.Help == "" || (item.Kind == Word) != (len(item.Words) > 0) || seen["item"+headKey(item.Name)] {
			t.Errorf("setting %s: no help, twice, or words of no word item", item.Name)
		}
		seen["item"+headKey(item.Name)] = true
	}
	for _, s := range Synonyms() {
		if ours, ok := translate(s.Theirs); !ok || ours != s.Ours {
			t.Errorf("%q is read as %q, not %q", s.Theirs, ours, s.Ours)
		}
	}
}
