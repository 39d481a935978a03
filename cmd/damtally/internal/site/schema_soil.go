package site

import "github.com/damtally/damtally/cmd/damtally/internal/units"

func soilTables() []Table {
	return []Table{
		materialsTable(),
		{
			Name:    "proctor",
			Purpose: "A row is one specimen of a laboratory compaction test.",
			Columns: []Column{
				text("material", "Name of the soil").need(),
				text("sample", "Name of the sample; its specimens make one curve").need(),
				word("effort", "Standard (ASTM D698) or modified (ASTM D1557)", "standard", "modified").need(),
				ratio("water content", "Mass of water over mass of dry soil").need().notNegative(),
				measure(units.Density, "dry density", "Dry density; give this or the wet density").positive(),
				measure(units.Density, "wet density", "Wet density; give this or the dry density").positive(),
				ratio("oversize fraction", "Share of the sample's dry mass that was screened out as too coarse").notNegative(),
				count("oversize gravity", "Bulk specific gravity of the coarse part").positive(),
			},
		},
		densityTable(),
		pitsTable(),
		{
			Name:    "borings",
			Purpose: "A row is a layer in a test hole, from the ground down.",
			Columns: []Column{
				text("hole", "Name of the hole").need(),
				length("x", "Easting of the hole").need(),
				length("y", "Northing of the hole").need(),
				length("from", "Depth to the top of the layer").need().notNegative(),
				length("to", "Depth to the bottom of the layer").need().positive(),
				text("material", "What the layer is").need(),
				text("layer", "Name that tells two layers of one soil apart; matches them between holes"),
				length("elevation", "Ground elevation at the hole"),
				text("pit", "Pit that the hole is in; blank for a hole under the dam"),
				word("usable", "Whether it can go into the dam; blank = yes if the dam uses that material", "yes", "no"),
				word("rippable", "Whether a ripper can loosen it; nothing is dug where it cannot", "yes", "no"),
				length("water depth", "Depth to water").notNegative(),
				date("water date", "Day the water was measured"),
				ratio("water content", "Mass of water over mass of dry soil, of the layer as it lies; taken where no bank density test of its pit tells").notNegative(),
			},
		},
		{
			Name:    "stockpiles",
			Purpose: "A row is a heap of soil or stone on the job.",
			Columns: []Column{
				text("stockpile", "Name of the heap").need(),
				length("x", "Easting of the heap").need(),
				length("y", "Northing of the heap").need(),
				text("material", "What it is").need(),
				measure(units.Volume, "volume", "Volume as it lies, loose").notNegative(),
				money("rehandle cost", "Cost of loading it again, for one loose yd3 or m3 as the results have it").notNegative(),
			},
		},
		{
			Name:    "hauls",
			Purpose: "A row is a haul road from a pit, cut or stockpile to the dam.",
			Columns: []Column{
				text("pit", "Name of the pit, cut or stockpile, or: cutoff trench").need(),
				length("length", "One way length of the road").need().positive(),
				station("from station", "Where on the dam it serves from"),
				station("to station", "Where on the dam it serves to"),
				text("zone", "Zone that it serves"),
				ratio("grade", "Rise over run, loaded; downhill negative"),
				ratio("rolling resistance", "As a share of the weight").notNegative(),
				word("by", "What hauls on it", "truck", "scraper", "push"),
			},
		},
		fleetTable(),
		{
			Name:    "prices",
			Purpose: "A row is a pay item of the bid.",
			Columns: []Column{
				text("item", "Name of the pay item").need(),
				text("unit", "Unit that it is paid by").need(),
				money("unit price", "Price of one unit; blank = the unit cost with its mark-up"),
				text("quantity of", "Which result the quantity is taken from"),
				count("quantity", "Quantity, when it is typed").notNegative(),
				word("measured", "How the quantity is measured for pay", "plan", "in place", "bank", "loose", "load",
					"lump sum"),
				money("unit cost", "Your own cost of one unit").notNegative(),
				ratio("mark-up", "Added to the unit cost where the unit price is blank"),
			},
		},
		{
			Name:    "loads",
			Purpose: "A row is a line of the truck tally; `damtally reconcile` sets it against surveys and weights.",
			Columns: []Column{
				date("date", "Day of the loads").need(),
				text("pit", "Pit that they came from").need(),
				count("loads", "Number of loads").need().notNegative(),
				measure(units.Volume, "capacity", "Volume of one truck").need().positive(),
				word("capacity measured", "How that volume was measured", "struck", "heaped", "as loaded"),
				ratio("fill", "How full the trucks were").notNegative(),
				measure(units.Mass, "net weight", "Weight of the soil in one load").notNegative(),
				ratio("water content", "Mass of water over mass of dry soil").notNegative(),
				text("ticket", "Ticket number"),
				count("rejected", "How many of the loads were sent back").notNegative(),
				text("truck", "Name of the truck"),
				text("zone", "Zone that they went to"),
				text("material", "What they carried"),
			},
		},
	}
}

func materialsTable() Table {
	return Table{
		Name:    "materials",
		Purpose: "A row is a soil or stone and what is asked of it.",
		Columns: []Column{
			text("material", "Name of the soil or stone").need(),
			word("source", "Where it comes from; blank for borrow", "borrow", "bought", "cut", "strip"),
			ratio("required compaction", "Least percent of the laboratory's maximum dry density").positive(),
			word("effort", "Laboratory test that the percent refers to", "standard", "modified"),
			ratio("expected compaction", "Percent that crews reach on average").positive(),
			ratio("water content low", "Driest allowed, in points from optimum: -2 means 2 points dry"),
			ratio("water content high", "Wettest allowed, in points from optimum: 2 means 2 points wet"),
			length("lift thickness", "Thickness of one layer").positive(),
			word("lift measured", "Whether the layer is measured before or after rolling", "loose", "compacted"),
			count("specific gravity", "Of the soil's grains, about 2.7").positive(),
			text("soil class", "Class of the soil, such as CL (ASTM D2487)"),
			ratio("liquid limit", "Liquid limit (ASTM D4318)").notNegative(),
			ratio("plasticity index", "Plasticity index (ASTM D4318)").notNegative(),
			ratio("fines", "Share finer than the No. 200 sieve").notNegative(),
			word("dispersive", "Whether water washes it apart", "yes", "no", "untested"),
			ratio("shrink factor", "Compacted volume made by one bank volume, when there are no density tests").positive(),
			ratio("swell", "Loose volume over bank volume, less 1, when there are no density tests").notNegative(),
			ratio("loss", "Share of what is dug that never reaches the dam").notNegative(),
			measure(units.Density, "placed density", "Density in place of bought stone").positive(),
			ratio("waste", "Share of bought stone that is lost").notNegative(),
			word("typical factors", "Yes = take published typical factors of the soil where it has neither tests nor typed ones; they are not tested", "yes", "no"),
		},
	}
}

func densityTable() Table {
	return Table{
		Name:    "density",
		Purpose: "A row is a density test in the pit, in the truck or in the dam.",
		Columns: []Column{
			word("state", "Bank = in the pit, loose = in the truck, fill = in the dam, trial = in a test fill",
				"bank", "loose", "fill", "trial").need(),
			text("material", "Name of the soil").need(),
			text("id", "Number of the test"),
			date("date", "Day of the test"),
			text("pit", "Pit that it was made in"),
			text("zone", "Zone that it was made in"),
			station("station", "Where it was made"),
			length("offset", "Where it was made, upstream negative"),
			length("elevation", "Where it was made"),
			text("lift", "Layer that it was made in"),
			measure(units.Density, "wet density", "Wet density; then give the water content too").positive(),
			measure(units.Density, "dry density", "Dry density").positive(),
			ratio("water content", "Mass of water over mass of dry soil").notNegative(),
			text("method", "How it was made, such as sand cone or nuclear gauge"),
			text("sample", "Laboratory sample that it is compared with"),
			ratio("oversize fraction", "Share of the test's dry mass that the lab would screen out as too coarse").notNegative(),
			text("retest of", "Number of the failed test that this one repeats"),
			text("machine", "Machine of a test fill"),
			count("passes", "Passes of the machine").notNegative(),
		},
	}
}

func pitsTable() Table {
	return Table{
		Name:    "pits",
		Purpose: "A row is a borrow pit; its corners are in outlines.",
		Columns: []Column{
			text("pit", "Name of the pit").need(),
			text("material", "What it holds, when borings do not say"),
			slope("side slope", "How far across for 1 up; blank or 0 for vertical sides"),
			length("floor elevation", "Elevation of the floor; give this or the depth, or neither to follow the layers in borings"),
			length("depth", "Depth below the ground; give this or the floor elevation").positive(),
			length("ground elevation", "Level of the ground, when there is no survey"),
			length("strip depth", "Topsoil taken off first").notNegative(),
			length("setback", "Distance kept from the boundary and from the toe of the dam; 0 for none").notNegative(),
			length("cover to leave", "Thickness left above rock, sand or unknown ground; 0 for none").notNegative(),
			ratio("loss", "Share of what is dug that never reaches the dam; replaces the material's").notNegative(),
			money("opening cost", "Cost of opening the pit at all: clearing, road, putting it right; counts beside haul costs").notNegative(),
			measure(units.Volume, "least use", "Least bank volume that must be dug there").notNegative(),
			measure(units.Volume, "most use", "Most bank volume that may be dug there").notNegative(),
			length("haul from x", "Easting where the haul begins; blank = the middle of the pit"),
			length("haul from y", "Northing where the haul begins; blank = the middle of the pit"),
			text("boundary", "GeoJSON file that holds the boundary, when it is not in outlines"),
		},
	}
}

func fleetTable() Table {
	return Table{
		Name:    "fleet",
		Purpose: "A row is a type of machine.",
		Columns: []Column{
			text("machine", "Name of the machine; trial tests name it so too").need(),
			word("kind", "What it is", "truck", "scraper", "loader", "excavator", "dozer", "roller", "disc", "grader",
				"pump", "water truck").need(),
			count("count", "How many there are; blank = as many as keep up").notNegative(),
			measure(units.Volume, "capacity", "Loose volume of one load, bucket or blade; of a pump, what it moves in its load time").positive(),
			word("capacity measured", "How that volume was measured", "struck", "heaped", "as loaded"),
			ratio("bucket fill", "Share of the capacity that is in it on the job; blank = full").positive(),
			measure(units.Mass, "payload", "Most mass it may carry").positive(),
			measure(units.Mass, "weight", "Mass of the empty machine").positive(),
			measure(units.Power, "power", "Power of the engine; it lowers the speeds on a hauls road with a grade or rolling resistance").positive(),
			measure(units.Area, "contact area", "Area on which it stands").positive(),
			measure(units.Time, "load time", "Time to fill it; of a loader or an excavator, for one bucket").notNegative(),
			measure(units.Time, "dump time", "Time to dump and turn; of a water truck, to drive, spray and come back").notNegative(),
			measure(units.Speed, "loaded speed", "Average speed when loaded").positive(),
			measure(units.Speed, "empty speed", "Average speed when empty").positive(),
			ratio("efficiency", "Working minutes of an hour over 60").positive(),
			money("cost per hour", "Cost of one hour").notNegative(),
			length("width", "Width that one pass covers").positive(),
			measure(units.Speed, "speed", "Working speed on the fill").positive(),
			count("passes", "Passes for one layer, where no trial says it").positive(),
		},
	}
}
