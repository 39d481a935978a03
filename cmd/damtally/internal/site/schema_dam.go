package site

// Schema returns the whole data model: every table that a site may hold, in the
// order in which they are read and reported.
func Schema() []Table {
	return append(append(groundTables(), damTables()...), soilTables()...)
}

func groundTables() []Table {
	return []Table{
		{
			Name: "site", Needed: true,
			Purpose: "A row is one setting of the job; a measure carries its unit in the value, such as 25 ft.",
			Columns: []Column{
				text("item", "Name of the setting").need(),
				text("value", "What it is set to, with its unit when it is a measure").need(),
			},
		},
		{
			Name:    "centreline",
			Purpose: "A row is a corner of the dam's centreline in plan; with it the ground can come from survey points.",
			Columns: []Column{
				length("x", "Easting, or distance to the right on your plan").need(),
				length("y", "Northing, or distance up on your plan").need(),
				length("radius", "Radius of the curve that rounds this corner; blank for a sharp bend").notNegative(),
				station("station", "Station of the first corner; blank in all other rows"),
			},
		},
		{
			Name:    "profile",
			Purpose: "A row is a ground point on the centreline; the ground is taken as level across.",
			Columns: []Column{
				station("station", "Distance along the centreline").need(),
				length("elevation", "Ground elevation there").need(),
			},
		},
		{
			Name:    "shots",
			Purpose: "A row is a ground shot of a cross-section, as in the surveyor's notes.",
			Columns: []Column{
				station("station", "Station of the cross-section").need(),
				length("offset", "Distance from the centreline, left negative, right positive, looking up-station").need(),
				length("elevation", "Ground elevation there").need(),
			},
		},
		{
			Name:    "survey",
			Purpose: "A row is a ground point in plan; the ground between the points is made of triangles.",
			Columns: []Column{
				length("x", "Easting, or distance to the right on your plan").need(),
				length("y", "Northing, or distance up on your plan").need(),
				length("elevation", "Ground elevation there").need(),
				text("point", "The surveyor's point number"),
				text("code", "The surveyor's code of what was shot"),
				text("line", "Points with one line name, in order, make a line that the ground bends along"),
			},
		},
		{
			Name:    "surfaces",
			Purpose: "A row is a file that holds ground: a surveyed surface, a raster of elevations, a scan or a list of points.",
			Columns: []Column{
				text("name", "Your name for it; of a file with several surfaces it picks the one of that name").need(),
				text("file", "File name, as seen from the site's folder").need(),
				word("use", "What the surface is", "existing", "stripped", "trench dug", "fill survey",
					"pit survey", "pit stripped").need(),
				text("pit", "Name of the pit that it shows"),
				date("date", "Day of the survey"),
				text("format", "Kind of file, when the name does not say: geotiff, ascii grid, landxml, las, las all, geojson, points"),
				text("unit", "Unit of its plan coordinates, when the file does not say: m, ft or ftUS"),
				text("elevation unit", "Unit of its elevations, when that is another one"),
				length("elevation shift", "Added to every elevation of the file"),
				text("column order", "Which column of a point file is which, such as: point northing easting elevation code"),
			},
		},
	}
}

func damTables() []Table {
	return []Table{
		{
			Name: "crest", Needed: true,
			Purpose: "A row is a point of the top of the dam; one row alone is a level crest.",
			Columns: []Column{
				length("elevation", "Elevation of the top").need(),
				length("width", "Width of the top").need().positive(),
				station("station", "Where this point is; blank when there is one row"),
			},
		},
		{
			Name: "faces", Needed: true,
			Purpose: "A row is a part of a side of the dam, from the crest down; the last part of a side runs to the ground.",
			Columns: []Column{
				word("side", "Water side or land side", "upstream", "downstream").need(),
				slope("slope", "How far across for 1 up: 3 means 3:1").need(),
				length("to elevation", "Where this part ends; blank for the part that runs to the ground"),
				length("bench width", "Width of the level bench at the end of this part").notNegative(),
				station("from station", "Where this shape begins; blank for the start of the dam"),
				station("to station", "Where this shape ends; blank for the end of the dam"),
				length("overbuild", "Extra fill placed beyond the face and trimmed off, measured level").notNegative(),
			},
		},
		{
			Name:    "trench",
			Purpose: "A row is a point of the cutoff trench under the dam; one row alone runs the whole length.",
			Columns: []Column{
				station("station", "Where this point is").need(),
				length("bottom width", "Width of the trench bottom").need().positive(),
				slope("side slope", "How far across for 1 up; 0 for vertical sides").need(),
				length("depth", "Depth below the stripped ground; give this or the bottom elevation").notNegative(),
				length("bottom elevation", "Elevation of the bottom; give this or the depth"),
				length("offset", "Middle of the trench from the centreline, upstream negative; blank for on it"),
			},
		},
		{
			Name:    "stripping",
			Purpose: "A row is a depth of topsoil taken off under the dam.",
			Columns: []Column{
				length("depth", "Depth of topsoil taken off").need().notNegative(),
				station("from station", "Where this depth begins; blank for the start of the dam"),
				station("to station", "Where this depth ends; blank for the end of the dam"),
			},
		},
		zonesTable(),
		{
			Name:    "conduits",
			Purpose: "A row is a pipe through the dam, square to the centreline and straight.",
			Columns: []Column{
				text("conduit", "Name of the pipe").need(),
				station("station", "Where it crosses the centreline").need(),
				length("diameter", "Outside diameter").need().positive(),
				length("offset from", "Where it begins, upstream negative; blank for the toe"),
				length("offset to", "Where it ends, downstream positive; blank for the toe"),
				length("invert elevation", "Elevation of the inside bottom of the pipe where it begins"),
				length("outlet invert elevation", "The same where it ends; blank for a level pipe"),
				length("trench width", "Width of the trench that the pipe is laid in; blank for none").notNegative(),
				length("hand compacted width", "Width compacted by hand on each side").notNegative(),
			},
		},
		{
			Name:    "cuts",
			Purpose: "A row is an excavation that the job needs, such as a spillway: its boundary is drawn at the ground, and its sides fall inwards from there to the floor.",
			Columns: []Column{
				text("cut", "Name of the excavation").need(),
				length("floor elevation", "Elevation of its level floor").need(),
				slope("side slope", "How far across for 1 up; 0 for vertical sides"),
				text("material", "What comes out of it"),
				word("usable", "Whether it can go into the dam; blank counts as no", "yes", "no"),
				text("boundary", "File that holds the boundary, when it is not in outlines"),
			},
		},
		{
			Name:    "blankets",
			Purpose: "A row is a lining of the lake bed, of one thickness within its boundary.",
			Columns: []Column{
				text("blanket", "Name of the lining").need(),
				length("thickness", "Thickness, square to the ground").need().positive(),
				text("material", "What it is built of").need(),
				text("boundary", "File that holds the boundary, when it is not in outlines"),
			},
		},
		{
			Name:    "outlines",
			Purpose: "A row is a corner of the boundary of a pit, a cut or a lining, in order round it.",
			Columns: []Column{
				text("of", "Name of the pit, cut or lining").need(),
				length("x", "Easting of the corner").need(),
				length("y", "Northing of the corner").need(),
			},
		},
	}
}

func zonesTable() Table {
	return Table{
		Name:    "zones",
		Purpose: "A row is a part of the dam built of one material, highest priority first; without it the dam is all one fill.",
		Columns: []Column{
			text("zone", "Your name for the zone").need(),
			word("kind", "What part it is; a filter or drain with offsets is a blanket, with a top width a toe drain, else a chimney along the core",
				"core", "shell", "filter", "drain", "facing", "bedding", "cover").need(),
			text("material", "What it is built of; several are parted by ;").need(),
			length("top elevation", "Top of a core or a chimney; give this or top below crest"),
			length("top below crest", "Top of a core or a chimney, measured down from the crest").notNegative(),
			length("top width", "Width of a core or a toe drain at its top").positive(),
			slope("upstream slope", "How far a core or toe drain widens upstream for 1 down; 0 for vertical, below 0 where a core leans in").steepToo(),
			slope("downstream slope", "How far a core or toe drain widens downstream for 1 down; 0 for vertical, below 0 where a core leans in").steepToo(),
			length("thickness", "Of a layer on a face, square to it; of a chimney, level; of a blanket, upwards; of a toe drain, its height").positive(),
			word("side", "Side of the dam that a layer, chimney or toe drain lies on; a cover may lie on the crest", "upstream", "downstream", "crest"),
			word("lies", "Whether a layer on a face lies inside or outside the outline of the dam; blank for inside", "inside", "outside"),
			length("from elevation", "Lowest elevation of a layer on a face; blank for the toe"),
			length("to elevation", "Highest elevation of a layer on a face; blank for the crest"),
			length("from offset", "Where a blanket begins, upstream negative; blank for the toe"),
			length("to offset", "Where a blanket ends, downstream positive; blank for the toe"),
		},
	}
}
