package site

import "testing"

// feedSite is a site with a pit and the given tables about what feeds the dam.
func feedSite(more tables) tables {
	return tallySite("2026-06-01,North,1,16,1,,,,\n").with(more).but("profile")
}

func TestWrongSupplies(t *testing.T) {
	pit := func(columns, cells string) tables {
		return feedSite(tables{"pits": "pit,material,side slope,depth (ft)," + columns + "\nNorth,clay,2,10," + cells + "\n"})
	}
	heap := func(row string) tables {
		return feedSite(tables{"stockpiles": "stockpile,x (ft),y (ft),material,volume (yd3),rehandle cost\n" + row + "\n"})
	}
	road := func(row string) tables { return feedSite(tables{"hauls": "pit,length (ft)\n" + row + "\n"}) }
	reaches := func(rows string) tables {
		return feedSite(tables{"hauls": "pit,length (ft),from station (ft),to station (ft)\n" + rows + "\n"})
	}
	checkWrong(t, []wrongCase{
		{"a good heap", heap("heap,1,2,Clay,300,1.5"), nil},
		{"a heap named as a pit", heap("north,1,2,clay,300,"), []string{
			`stockpiles row 2, stockpile: "north" is the name of row 2 of pits too, so loads and roads from them could not be told apart; give each its own name`,
		}},
		{"two heaps of one name", heap("a,1,2,clay,300,\nA,1,2,clay,300,"), []string{`stockpiles row 3, stockpile: "A" stands in row 2 already; give each its own name`}},
		{"a heap of nothing known", heap("heap,1,2,cley,300,"), []string{`stockpiles row 2, material: "cley" is no material of the table materials; did you mean "clay"?`}},
		{"a road from nowhere", road("Nort,500"), []string{`hauls row 2, pit: "Nort" is no pit, cut or stockpile of the site; did you mean "North"?`}},
		{"a road from the trench", road("Cutoff trench,500"), nil},
		{"two roads of one pit", road("North,500\nnorth,600"), []string{`hauls row 3, pit: the road from "North" in row 2 serves the same place; keep one of the two, or give them stations or zones that differ`}},
		{"two roads that share stations", reaches("North,500,0,200\nNorth,600,150,"), []string{`hauls row 3, pit: the road from "North" in row 2 serves the same place; keep one of the two, or give them stations or zones that differ`}},
		{"roads to one reach after the other", reaches("North,500,0,200\nNorth,600,200,"), nil},
		{"a road for a reach and one for the rest", reaches("North,500,0,200\nNorth,600,,"), nil},
		{"most below least", pit("least use (yd3),most use (yd3)", "500,400"), []string{"pits row 2, most use: is less than the least use; look which of the two is wrong"}},
		{"half a point", pit("haul from x (ft)", "500"), []string{"pits row 2, haul from y: is blank beside `haul from x`; give both, or neither to haul from the middle of the pit"}},
		{"the other half", pit("haul from y (ft)", "500"), []string{"pits row 2, haul from x: is blank beside `haul from y`; give both, or neither to haul from the middle of the pit"}},
	})
}

// Names are taken over as their own table writes them.
func TestSupplyNamesAreTakenOver(t *testing.T) {
	given := feedSite(tables{
		"hauls":      "pit,length (ft)\nNORTH,500\nCUTOFF TRENCH,300\n",
		"stockpiles": "stockpile,x (ft),y (ft),material,volume (yd3),rehandle cost\nheap,1,2,Clay,300,1.5\n",
	})
	delete(given, "profile")
	s := read(t, given.folder(t))
	same(t, "road", s.Hauls[0].Pit, "North")
	same(t, "road", s.Hauls[1].Pit, CutoffTrench)
	same(t, "heap", s.Stockpiles[0].Material, "clay")
}
