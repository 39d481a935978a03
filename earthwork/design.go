package earthwork

// Design is a dam as drawn, plain data that may be copied and changed freely.
// Where a reach of stations is given, -Inf and +Inf stand for "from the start"
// and "to the end".
type Design struct {
	Crest      []CrestPoint // by rising station; one point = a level crest
	Upstream   []FacePart   // from the crest down
	Downstream []FacePart
	Trench     Trench
	Stripping  []StripReach
	Zones      []Zone // highest priority first; none = one zone named DefaultZone

	Settlement Settlement

	// Interval is the greatest distance between sections, m; 0 adds none.
	Interval float64

	// Accuracy, a fraction, adds sections between those until halving a reach
	// changes its volume by less than this share; 0 adds none. See Quantities.
	Accuracy float64
}

// DefaultZone is the name of the one zone that a dam without zones is made of,
// and of that zone's material.
const DefaultZone = "fill"

// CrestPoint is the crest at a station, m. Between points elevation and width
// run straight. Station is ignored when the crest has a single point.
type CrestPoint struct {
	Station, Elevation, Width float64
}

// FacePart is a stretch of a face with one slope, followed by a bench. A part
// whose ToElevation is not below where it starts is left out, with its bench.
type FacePart struct {
	Slope       float64 // horizontal to one vertical, above zero
	ToElevation float64 // m; -Inf runs to the ground
	Bench       float64 // width of the level step at ToElevation, m
	From, To    float64 // stations between which this part stands, m
	Overbuild   float64 // horizontal, placed beyond the face and trimmed off, m

	// ledge says that the crest has just come down to ToElevation: the part has no
	// height left, but its bench still stands, level with the crest.
	ledge bool
}

// Trench is a cutoff trench, dug below the stripped ground and filled again.
// It stands from its first point's station to its last's, with vertical ends;
// a single point stands for the whole length of the dam.
type Trench struct {
	Points []TrenchPoint // by rising station
	// ByDepth says that Level in every point is a depth below the stripped
	// ground at the trench's own offset; else it is the bottom's elevation.
	ByDepth bool
}

// TrenchPoint is the trench at a station, m. Between points everything runs
// straight.
type TrenchPoint struct {
	Station     float64
	BottomWidth float64
	SideSlope   float64 // horizontal to one vertical, zero or more
	Level       float64 // depth or bottom elevation, see Trench.ByDepth
	Offset      float64 // of the trench's middle
}

// StripReach is a depth of topsoil taken off before the fill goes in, m,
// between two stations.
type StripReach struct {
	Depth    float64
	From, To float64
}

// Basis says on what a settlement allowance is taken.
type Basis string

// The three ways in which published guidance takes an allowance.
const (
	// OnHeight raises the crest by the allowance times the height on the
	// centreline and keeps the slopes, so the toes move out.
	OnHeight Basis = "height"
	// OnHeightToesKept stretches the section upwards between fixed toes.
	OnHeightToesKept Basis = "toes kept"
	// OnVolume adds the allowance to the neat volume.
	OnVolume Basis = "volume"
)

// Settlement is what is built beyond the settled dam, so that the dam is right
// when it has settled.
type Settlement struct {
	Allowance float64 // fraction, zero or more
	Basis     Basis
	// CrestIsBuilt says that the crest of the design is the crest as built:
	// then the allowance lies in it already and adds nothing.
	CrestIsBuilt bool
}
