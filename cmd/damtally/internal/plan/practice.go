package plan

// This file holds published rules of practice for small dams, as figures to set
// the design beside. None is a verdict: codes differ from place to place, and a
// figure here may be older than the one in force. Feet are kept as printed.
// What was read in a quotation only is said to be "as quoted".

const (
	footPrinted = 0.3048 // m; the rules are printed in feet
	// printedTo is the share by which a design may lie below a printed figure
	// and be as good as on it: 3.0 m stands for a printed 10 ft.
	printedTo = 0.02
	// sameFeet guards the rounding of a height that was converted from feet.
	sameFeet = 1e-6
)

// The publications behind the rules.
const (
	ah590   = "US Department of Agriculture Handbook 590 (1997), as quoted"
	cps378  = "Natural Resources Conservation Service, pond standard 378 as filed in Colorado"
	kansas  = "Kansas wildlife agency, pond construction"
	osha    = "29 CFR 1926.652"
	usbr    = "Bureau of Reclamation, ACER Technical Memorandum No. 2, freeboard criteria"
	novak   = "Hydraulic Structures, 4th ed., minimal standards for lesser dams"
	usLaw   = "33 USC 467"
	georgia = "Georgia Safe Dams Program"
	massLaw = "302 CMR 10.06 (Massachusetts)"
	moLaw   = "Missouri, manual of the state's engineering analysis (old)"
)

// rule is a least figure by height of dam: it holds above over up to upTo, feet.
type rule struct {
	source           string
	over, upTo, feet float64
}

// topWidths are least widths of the top of a dam.
var topWidths = []rule{
	{ah590, 0, 10, 6},
	{ah590, 10, 14, 8},
	{ah590, 14, 19, 10},
	{ah590, 19, 24, 12},
	{ah590, 24, 34, 14},
	{cps378, 10, 15, 8},
	{cps378, 15, 20, 10},
	{cps378, 20, 25, 12},
	{kansas, 0, 20, 10},
	{kansas, 20, 25, 12},
	{kansas, 25, 30, 14},
}

// slopeRule is the steepest a dam's faces may be, horizontal to one vertical.
type slopeRule struct {
	source, soils  string
	classes        []string // ASTM D2487 symbols; none = any soil
	up, down, both float64  // both is the sum, 0 for none
}

var slopeRules = []slopeRule{
	{cps378, "any soil", nil, 2.5, 2, 5},
	{kansas, "any soil", nil, 3, 2.5, 0},
	{ah590, "clayey or silty sand and gravel, sandy clay", []string{"SC", "GC", "SM", "GM", "CL"}, 3, 2, 5},
	{ah590, "silty clay, clayey silt", []string{"CL-ML", "ML", "CL"}, 3, 3, 6},
}

// freeboardRule is a least height of the settled top over high water, for lakes of a
// length over one and up to another figure, ft; 0 and 0 for any.
type freeboardRule struct {
	source, when string
	over, upTo   float64
	feet         float64
}

var freeboardRules = []freeboardRule{
	{ah590, "a lake shorter than 660 ft", 0, 660, 1},
	{ah590, "a lake of 660 to 1,320 ft", 660, 1320, 1.5},
	{ah590, "a lake up to half a mile", 1320, longestLake, 2},
	{cps378, "any pond, over the flow of the design storm", 0, 0, 1},
	{usbr, "new embankment dams", 0, 0, 2},
	{novak, "lesser dams", 0, 0, 3.28},
}

// longestLake is the length up to which a freeboard is published by length, half a
// mile in feet; for a longer lake an engineer decides (the same source).
const longestLake = 2640

// Rules of the cutoff trench, Handbook 590 as quoted.
const (
	trenchWidthFeet = 8   // or the dozer's blade, where that is wider
	trenchSlope     = 1.5 // horizontal to one vertical
)

// threshold is where a law begins to look at a dam.
type threshold struct {
	source            string
	height, storageAF float64 // ft and acre-ft; 0 for none
	says              string
}

var thresholds = []threshold{
	{usLaw, 25, 50, "a dam from 25 ft of height or 50 acre-ft of storage; below 6 ft or 15 acre-ft not, unless it is a threat"},
	{georgia, 25, 100, "a dam from 25 ft or 100 acre-ft; below 6 ft or 15 acre-ft exempt"},
	{massLaw, 6, 15, "looked at above 6 ft or 15 acre-ft"},
	{moLaw, 35, 0, "regulated from 35 ft, dams of farms exempt"},
}
