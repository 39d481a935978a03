package site

import "github.com/damtally/damtally/cmd/damtally/internal/units"

// Items returns the settings that the table `site` may hold, in the order of
// the data model.
func Items() []Item {
	return []Item{
		{Name: "name", Kind: Text, Help: "Name of the job"},
		{
			Name: "output units", Kind: Word, Words: []string{"us", "metric"},
			Default: "us when lengths are in feet, else metric", Help: "Units of the results",
		},
		{Name: "currency", Kind: Text, Default: "$", Help: "Sign or name of the money"},
		{
			Name: "decimal mark", Kind: Text, Default: ".",
			Help: "Mark before the decimals in your tables, a point or a comma",
		},
		{
			Name: "upstream side", Kind: Word, Words: []string{"left", "right"},
			Help: "Side of the water when looking up-station; needed with a centreline or shots",
		},
		{
			Name: "section interval", Kind: Numeric, UnitKind: units.Length, Range: Positive,
			Help: "Greatest distance between sections",
		},
		{
			Name: "section accuracy", Kind: Numeric, UnitKind: units.Ratio, Range: Positive,
			Help: "Adds sections until halving a reach changes its volume by less than this",
		},
		{
			Name: "extend ground", Kind: Word, Words: []string{"no", "level", "slope"}, Default: "no",
			Help: "What to do where the ground ends before the toe: nothing, go on level, or go on with the last slope",
		},
		{
			Name: "longest edge", Kind: Numeric, UnitKind: units.Length, Range: Positive,
			Help: "Longest side of a ground triangle; longer ones are left out",
		},
		{Name: "datum", Kind: Text, Help: "What the elevations refer to"},
		{
			Name: "crest is", Kind: Word, Words: []string{"settled", "built"},
			Help: "Whether the crest in the tables is the one after settling, or the one as built; needed with an allowance",
		},
		{
			Name: "settlement allowance", Kind: Numeric, UnitKind: units.Ratio, Range: NotNegative,
			Help: "What is built beyond the settled dam",
		},
		{
			Name: "settlement basis", Kind: Word, Words: []string{"height", "volume", "toes kept"}, Default: "height",
			Help: "What the allowance is a share of: the height with slopes kept, the volume, or the height with toes kept",
		},
		elevationItem("normal pool elevation", "Water level on an ordinary day"),
		elevationItem("spillway elevation", "Level of the spillway"),
		elevationItem("design high water elevation", "Highest water level of the design"),
		{
			Name: "reserve ratio", Kind: Numeric, UnitKind: units.Count, Range: Positive, Default: "1.5",
			Help: "How many times the need the pits must hold",
		},
		{
			Name: "reserve on", Kind: Word, Words: []string{"compacted", "bank"}, Default: "compacted",
			Help: "Volume that the reserve ratio multiplies",
		},
		{
			Name: "test every", Kind: Numeric, UnitKind: units.Volume, Range: Positive,
			Help: "Compacted volume for one density test",
		},
		{
			Name: "least tests a lift", Kind: Numeric, UnitKind: units.Count, Range: NotNegative,
			Help: "Fewest density tests in one lift of a zone",
		},
		{
			Name: "haul winding", Kind: Numeric, UnitKind: units.Count, Range: Positive,
			Help: "Road length over straight distance",
		},
		{
			Name: "hours per day", Kind: Numeric, UnitKind: units.Count, Range: Positive,
			Help: "Paid hours of a day",
		},
		{Name: "start date", Kind: Date, Help: "First day of the work"},
		{
			Name: "work days a week", Kind: Numeric, UnitKind: units.Count, Range: Positive,
			Help: "Days worked in a week",
		},
		{Name: "weather days", Kind: Text, Help: "Days lost to weather by month, such as Jan 12, Feb 10; a month left out loses none"},
		{
			Name: "drying rate", Kind: Numeric, UnitKind: units.Ratio, Range: Positive,
			Help: "Points of water content that spread soil loses in a fair day, such as 1.5 %",
		},
		{
			Name: "evaporation", Kind: Numeric, UnitKind: units.Length, Range: NotNegative,
			Help: "Depth of water lost in a day, such as 0.2 in",
		},
		shareItem("overhead", "Added to the pay items, as a share of them"),
		shareItem("profit", "Added to the pay items with overhead and contingency, as a share of all three"),
		shareItem("contingency", "Added to the pay items with overhead, as a share of both"),
	}
}

func elevationItem(name, help string) Item {
	return Item{Name: name, Kind: Numeric, UnitKind: units.Length, Help: help}
}

func shareItem(name, help string) Item {
	return Item{Name: name, Kind: Numeric, UnitKind: units.Ratio, Range: NotNegative, Help: help}
}
