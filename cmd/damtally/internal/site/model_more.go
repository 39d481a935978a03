package site

import "github.com/paulmach/orb"

// Boring is a layer in a test hole. Depths are below the ground at the hole, m.
type Boring struct {
	Ref           Ref
	Hole          string
	At            orb.Point
	From, To      float64
	Material      string
	Layer         string // name that matches layers between holes, may be ""
	Elevation     Number // of the ground at the hole
	Pit           string // "" = a hole under the dam
	Usable        string // "yes", "no" or ""
	Rippable      string // "yes", "no" or ""
	WaterDepth    Number
	WaterDate     string
	WaterContent  Number
	UsableIsGiven bool // the cell `usable` holds something
}

// Stockpile is a heap of soil or stone on the job.
type Stockpile struct {
	Ref          Ref
	Name         string
	At           orb.Point
	Material     string
	Volume       Number // as it lies, loose m3
	RehandleCost Number // for one loose yd3 or m3, whichever the results are in
}

// Haul is a haul road from a pit, cut or stockpile.
type Haul struct {
	Ref                    Ref
	Pit                    string
	Length                 float64 // one way, m
	FromStation, ToStation Number
	Zone                   string
	Grade                  Number // rise over run when loaded, downhill negative
	RollingResistance      Number // share of the weight
	By                     string // "truck", "scraper", "push" or ""
}

// Machine is a type of machine of the fleet.
type Machine struct {
	Ref                            Ref
	Name, Kind                     string
	Count                          Number
	Capacity                       Number // of one load or bucket, m3, in the state that CapacityMeasured says
	CapacityMeasured               string // "struck", "heaped", "as loaded" or ""
	BucketFill                     Number // fraction
	Payload, Weight                Number // kg
	Power                          Number // of the engine, W
	ContactArea                    Number // m2
	LoadTime, DumpTime             Number // s
	LoadedSpeed, EmptySpeed, Speed Number // m/s
	Efficiency                     Number // fraction
	CostPerHour                    Number // money
	Width                          Number // m
	Passes                         Number
}

// Load is a line of the truck tally.
type Load struct {
	Ref                       Ref
	Date, Pit                 string
	Loads                     float64
	Capacity                  float64 // of one truck, m3, in the state that CapacityMeasured says
	CapacityMeasured          string  // "struck", "heaped", "as loaded" or ""
	Fill                      Number  // fraction of the capacity
	NetWeight                 Number  // of the soil in one load, kg
	WaterContent              Number
	Ticket                    string
	Rejected                  Number // loads sent back, among Loads
	Truck, Zone, MaterialName string
}

// Cut is an excavation that the job needs, such as a spillway.
type Cut struct {
	Ref            Ref
	Name           string
	FloorElevation float64
	SideSlope      float64 // 0 = vertical
	SideSlopeGiven bool
	Material       string
	Usable         string // "yes", "no" or ""
	Boundary       string // file that holds the boundary, "" when it is in `outlines`
	Ring           orb.Ring
	RingRefs       []Ref
}

// Blanket is a lining of the lake bed.
type Blanket struct {
	Ref       Ref
	Name      string
	Thickness float64 // square to the ground, m
	Material  string
	Boundary  string // file that holds the boundary, "" when it is in `outlines`
	Ring      orb.Ring
	RingRefs  []Ref
}
