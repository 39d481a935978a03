package site

import "github.com/paulmach/orb"

// Number is a measured value that a cell may leave blank, in SI.
type Number struct {
	Value float64
	Given bool
}

// Or returns the value, or other when the cell was blank.
func (n Number) Or(other float64) float64 {
	if n.Given {
		return n.Value
	}
	return other
}

// Site is everything the tables say, checked row by row, in SI: metres,
// kilograms, seconds, and ratios as fractions. Slopes are horizontal to one
// vertical. Water content windows are fractions too (2 points = 0.02).
// A table that the site does not have is an empty slice.
type Site struct {
	Path       string // as the user gave it
	Settings   Settings
	Centreline []Vertex
	Profile    []ProfilePoint
	Shots      []Shot
	Survey     []SurveyPoint
	Surfaces   []SurfaceFile
	Crest      []CrestPoint
	Faces      []FacePart
	Trench     []TrenchPoint
	Stripping  []StripReach
	Zones      []Zone
	Conduits   []Conduit
	Outlines   []Outline // one for each name in `of`, in order of first row
	Materials  []Material
	Proctor    []LabPoint
	Density    []DensityTest
	Pits       []Pit
	Prices     []PayItem
	Borings    []Boring
	Holes      []Hole // the rows of Borings by hole
	Stockpiles []Stockpile
	Hauls      []Haul
	Fleet      []Machine
	Loads      []Load
	Cuts       []Cut
	Blankets   []Blanket

	// Notes are the assumptions made while reading, for the user to see:
	// default settings taken, words translated.
	Notes []Note

	// PlanUnit is the name of the unit that the centreline's x and y stand in, ""
	// without that table.
	PlanUnit string

	// Tables counts what was found, in the order of the data model, for the
	// two lines that every command prints.
	Tables []TableCount
}

// TableCount is a table found in the site and how many rows it holds.
type TableCount struct {
	Table string
	Rows  int
}

// Note is something the user should know. Level is "note", "look" or "danger".
type Note struct {
	Level  string
	Ref    Ref // zero when the note is about no row
	Text   string
	Source string // the publication behind it, may be empty

	// Item is what the note is said of, where several may say the same: notes that
	// are alike but for it are told as one. Empty for most, and in a result.
	Item string
	// About is the subject, such as dam or soil; set in a result only.
	About string

	// Key is a short fixed name of the few notes that an output shows in a way of
	// its own, with Subject the material that it is about; "" for all others.
	Key, Subject string
}

// KeyShort is the Key of a note that says that the pits do not hold what must be
// available of a material.
const KeyShort = "short_of_borrow"

// Settings are the items of the table `site`.
type Settings struct {
	Ref             Ref // the table itself
	Name            string
	OutputUnits     string // "us" or "metric"
	Currency        string // default "$"
	UpstreamSide    string // "left", "right", or "" when not given
	SectionInterval Number // m
	SectionAccuracy Number // fraction
	ExtendGround    string // "no", "level" or "slope"
	LongestEdge     Number // m
	Datum           string
	CrestIs         string // "settled", "built", or "" when not given
	Allowance       Number // settlement allowance, fraction
	AllowanceBasis  string // "volume", "height" or "toes kept"
	NormalPool      Number // m
	Spillway        Number // m
	DesignHighWater Number // m
	ReserveRatio    float64
	ReserveOn       string // "compacted" or "bank"
	ReserveGiven    bool   // false when the ratio is the default
	TestEvery       Number // m3
	LeastTestsALift Number
	DryingRate      Number // water content lost in a day, fraction
	HaulWinding     Number // road length over straight distance
	HoursPerDay     Number // paid hours of a day
	StartDate       string // year-month-day, "" when not given
	WorkDaysAWeek   Number
	// WeatherDays are the days lost to weather in each month, January first;
	// WeatherGiven says that the setting stands.
	WeatherDays  [12]float64
	WeatherGiven bool
	Evaporation  Number // depth of water lost in a day, m
	// Overhead, Profit and Contingency are added to the bid, fractions.
	Overhead, Profit, Contingency Number
	// ItemRows gives the row of each item that was given, by its name.
	ItemRows map[string]Ref
}

// Vertex is a point of the centreline, in site coordinates.
type Vertex struct {
	Ref     Ref
	At      orb.Point
	Radius  float64 // of the curve that rounds this vertex; 0 = a bend
	Station Number  // only the first row may give it
}

// ProfilePoint is a ground point on the centreline.
type ProfilePoint struct {
	Ref                Ref
	Station, Elevation float64
}

// Shot is a point of a surveyed cross-section; Offset is the surveyor's:
// negative left, positive right, looking up-station.
type Shot struct {
	Ref                        Ref
	Station, Offset, Elevation float64
}

// SurveyPoint is a ground point in plan. Points of one Line name, in order,
// are a breakline.
type SurveyPoint struct {
	Ref               Ref
	At                orb.Point
	Elevation         float64
	Point, Code, Line string
}

// SurfaceFile is a file that holds ground. Blank cells are left to the file.
type SurfaceFile struct {
	Ref                 Ref
	Name                string
	File                string // from the site's folder, with slashes
	Use                 string // "existing" and others that are not used yet
	Pit, Date           string
	Format              string
	Unit, ElevationUnit string  // names of units of length
	ElevationShift      float64 // m
	ColumnOrder         string
}

// ExistingGround lists the files that hold the ground as it is.
func (s *Site) ExistingGround() []SurfaceFile {
	var out []SurfaceFile
	for _, f := range s.Surfaces {
		if f.Use == "existing" {
			out = append(out, f)
		}
	}
	return out
}

// CrestPoint is a point of the crest profile. Station is not given for a level
// crest in a single row.
type CrestPoint struct {
	Ref              Ref
	Station          Number
	Elevation, Width float64
}

// FacePart is a part of a face, from the crest down. ToElevation is blank for
// the part that runs to the ground.
type FacePart struct {
	Ref                    Ref
	Side                   string // "upstream" or "downstream"
	Slope                  float64
	ToElevation            Number
	BenchWidth             float64
	FromStation, ToStation Number
	Overbuild              float64 // horizontal, m
}

// TrenchPoint is a point of the cutoff trench. Exactly one of Depth and
// BottomElevation is given, the same one in every row.
type TrenchPoint struct {
	Ref                    Ref
	Station                float64
	BottomWidth, SideSlope float64
	Depth, BottomElevation Number
	Offset                 float64 // negative upstream
}

// StripReach is a reach of topsoil taken off under the dam.
type StripReach struct {
	Ref                    Ref
	Depth                  float64
	FromStation, ToStation Number
}

// Zone is a part of the section built of one material.
type Zone struct {
	Ref                            Ref
	Zone                           string
	Kind                           string // one of the words of the column
	Materials                      []string
	TopElevation, TopBelowCrest    Number
	TopWidth                       Number
	UpstreamSlope, DownstreamSlope Number
	Thickness                      Number
	Side                           string // "upstream", "downstream", "crest" or ""
	SideGiven                      bool   // the cell holds something, right or wrong
	Lies                           string // "inside", "outside" or "" for inside
	FromElevation, ToElevation     Number
	FromOffset, ToOffset           Number // negative upstream
}

// Conduit is a pipe through the dam.
type Conduit struct {
	Ref                  Ref
	Name                 string
	Station, Diameter    float64
	OffsetFrom, OffsetTo Number  // negative upstream
	Invert               Number  // at OffsetFrom
	OutletInvert         Number  // at OffsetTo; not given = level
	TrenchWidth          float64 // 0 = no trench
	HandWidth            float64 // compacted by hand on each side
}

// Outline is a closed boundary from the table `outlines`: ring with the first
// point repeated at the end, counter-clockwise.
type Outline struct {
	Ref  Ref
	Of   string
	Ring orb.Ring
	Refs []Ref // the row of each ring point, first repeated
}

// Material is a soil or stone and what is asked of it.
type Material struct {
	Ref                     Ref
	Name                    string
	Source                  string // "borrow", "bought", "cut", "strip"
	RequiredCompaction      Number // fraction
	Effort                  string // "standard", "modified", ""
	ExpectedCompaction      Number
	WaterLow, WaterHigh     Number // fractions from optimum
	LiftThickness           Number
	LiftMeasured            string
	SpecificGravity         Number
	SoilClass               string
	LiquidLimit, Plasticity Number // fractions
	Fines                   Number
	Dispersive              string
	ShrinkFactor, Swell     Number // typed factors
	Loss                    Number
	PlacedDensity, Waste    Number // bought stone
	TypicalFactors          bool   // published typical factors may stand where nothing else does
}

// LabPoint is a point of a laboratory compaction test.
type LabPoint struct {
	Ref                               Ref
	Material, Sample, Effort          string
	WaterContent, DryDensity          float64 // dry density from wet where needed
	OversizeFraction, OversizeGravity Number
}

// DensityTest is an in-place test.
type DensityTest struct {
	Ref                    Ref
	State                  string // "bank", "loose", "fill", "trial"
	Material, ID, Date     string
	Pit, Zone              string
	Station                Number
	Offset, Elevation      Number
	Lift                   string
	WetDensity, DryDensity Number // DryDensity is always given after reading
	DryDerived             bool   // dry density was worked out from the wet one
	WaterContent           Number
	Method, Sample         string
	OversizeFraction       Number
	RetestOf, Machine      string
	Passes                 Number
}

// Pit is a borrow pit. Exactly one of FloorElevation and Depth is given.
type Pit struct {
	Ref                   Ref
	Name, Material        string
	SideSlope             float64 // 0 = vertical
	SideSlopeGiven        bool    // false when the cell was blank
	FloorElevation, Depth Number
	GroundElevation       Number
	StripDepth            float64
	Loss                  Number
	Boundary              string   // file that holds the boundary, "" when it is in `outlines`
	Ring                  orb.Ring // from `outlines`, counter-clockwise
	RingRefs              []Ref    // the row of each ring point, first repeated

	Setback, CoverToLeave Number // m; blank is not zero
	OpeningCost           Number // money
	LeastUse, MostUse     Number // bank m3
	HaulFromX, HaulFromY  Number // m, where the haul begins
}

// PayItem is a line of the bid.
type PayItem struct {
	Ref        Ref
	Item, Unit string
	UnitPrice  float64
	QuantityOf string // name of a result, or "" when Quantity is typed
	Quantity   Number // in Unit, not SI
	Measured   string
	UnitCost   Number // own cost of one Unit
	MarkUp     Number // added to the cost, fraction
	PriceTyped bool   // false when UnitPrice is the cost with its mark-up
}
