package earthwork

import "github.com/damtally/damtally/geometry"

// Place says which side of its station a section stands for. Where something
// steps at a station (a trench's end, a change of stripping, a bend) there is a
// section just before it and one just after.
type Place string

// The places of a section at its station.
const (
	On     Place = "on"
	Before Place = "before"
	After  Place = "after"
)

// Section is the dam cut square to the centreline.
type Section struct {
	Station float64
	At      Place

	Ground   geometry.Line // as surveyed
	Stripped geometry.Line // ground less stripping
	Outline  geometry.Line // the design faces, from toe to toe and a little beyond

	GroundLevel   float64 // ground on the centreline, m
	StrippedLevel float64 // stripped ground on the centreline, m
	Crest         float64 // design crest elevation, m
	CrestWidth    float64
	BuiltCrest    float64 // crest as built, with the allowance, m
	SettledCrest  float64 // crest after settlement, m

	// Fill tells whether there is any dam here; without it the toes are the
	// crest's edges where the crest just meets the ground, or both zero.
	Fill                         bool
	UpstreamToe, DownstreamToe   float64 // offsets of the neat toes
	UpstreamToeZ, DownstreamToeZ float64 // stripped ground there

	Neat   geometry.Measure // between stripped ground and outline, trench left out
	Trench geometry.Measure // dug below the stripped ground and filled again
	// Outside is what layers outside the outline add, beside the neat dam.
	Outside geometry.Measure

	// What the three ways of taking the allowance add to Neat at this section.
	AddHeight, AddToesKept, AddVolume geometry.Measure

	Width     geometry.Measure // of the neat dam in plan, toe to toe: m, and its moment m2
	Stripping geometry.Measure // area of topsoil under the dam
	Overbuild geometry.Measure // outside the built outline

	// Zones has one entry a zone, in the design's order.
	Zones []ZoneArea

	// Shapes are the zones of the neat dam as stacks of trapezoids between the
	// stripped ground and the outline; Dug is the trench below the stripped
	// ground, Over the layers outside the outline. Label is the zone's index.
	Shapes, Dug, Over []geometry.Slab
	// Raised is the outline as built, where a settlement allowance on height
	// raises it; nil else.
	Raised      geometry.Line
	TrenchDepth float64 // below the stripped ground at the trench's offset, m; measured, at its deepest

	// StrippedSeen is how much of the width from toe to toe was measured after
	// stripping, m; Heaped is how far the measured ground lies at most above the
	// ground as it was, m. DugSeen says that the trench is the one measured.
	StrippedSeen, Heaped float64
	DugSeen              bool

	side Side    // from which it was cut
	lean float64 // not 0 in a mitre: how far it runs up-station for each metre of offset

	// CoreOutside is area of cores, as drawn, above the outline.
	CoreOutside float64

	// Beyond is neat area past a hump of the ground, outside the toes. It is
	// reported and not counted.
	Beyond float64
}

// ZoneArea is a zone's share of a section. The sum over all zones equals the
// section's own measures.
type ZoneArea struct {
	Neat, Trench, Settlement geometry.Measure
	Outside                  geometry.Measure // outside the outline
	// Surface is, for a facing or a cover, the length of the outline that it
	// covers, benches included; for a bedding that of its own stretch; for a
	// blanket and a cover of the crest its width in plan: m, and its moment m2.
	Surface geometry.Measure
	// CutOff is the area of a core or a toe drain, as drawn, that lies above the
	// outline between the toes and is cut off by it, m2.
	CutOff float64
}

// Volume is a volume worked out in more than one way, m3. It is additive.
type Volume struct {
	EndArea    float64 // average end area: L (A1 + A2) / 2, the pay method
	Prismoidal float64 // L (A1 + 4 Am + A2) / 6 with a cut middle section
	Bend       float64 // curves and bends, to be added to either
}

// Plus returns the sum of two volumes.
func (v Volume) Plus(o Volume) Volume {
	return Volume{v.EndArea + o.EndArea, v.Prismoidal + o.Prismoidal, v.Bend + o.Bend}
}

// Reach is the stretch between two neighbouring sections at different stations.
type Reach struct {
	From, To int     // indices into Quantities.Sections
	Length   float64 // m
	Fill     Volume  // neat, trench left out
}

// ZoneVolume is a zone's volume by part.
type ZoneVolume struct {
	Zone       string
	Neat       Volume
	Trench     float64 // m3, by average end area, bends included
	Settlement float64
	Outside    float64
	Compacted  float64 // neat end area + bend + trench + settlement + outside
	// Surface is the area of the zone's surface by average end area, bends
	// included, m2: see ZoneArea. 0 for zones that are no layer on a surface.
	Surface float64
}

// Quantities is everything that the sections add up to. Volumes are compacted.
type Quantities struct {
	Sections []Section
	Reaches  []Reach
	Mitres   []Mitre // at the bends of the centreline, two to a bend
	Zones    []ZoneVolume

	Fill       Volume  // neat
	Trench     float64 // m3, and the same below
	Settlement float64 // by the basis of the design; 0 when the crest is built
	Outside    float64 // layers outside the outline
	Total      float64 // fill end area + bend + trench + settlement + outside

	ByHeight, ByToesKept, ByVolume float64 // what each basis would add, m3

	Stripping float64 // topsoil in place, m3
	Overbuild float64
	Footprint float64 // plan area between the toes, m2

	Refined   Refined // by Design.Accuracy
	LayerEnds int     // sections that stand where a layer begins, ends or meets a bench

	Highest  int // index of the section with the greatest height on the centreline, -1 for none
	Warnings []Warning
}

// Refined says what Design.Accuracy made of the sections.
type Refined struct {
	Added int // sections that stand for the accuracy alone
	// Change is by how much halving every reach once more would change fill and
	// trench, m3: the sum of the changes of all reaches without their signs.
	Change float64
	// Short counts reaches that were not halved further although they still
	// change by more, since their sections stand closer than anyone can stake.
	Short int
}

// Warning is something the dam's geometry shows that its builder must know.
type Warning struct {
	Danger  bool
	Station float64 // where, m
	Kind    WarningKind
	Value   float64 // m, m2 or m3 as the kind says
	Side    string  // "upstream", "downstream" or ""
}

// WarningKind says which warning it is and what Value means.
type WarningKind string

// The warnings.
const (
	// OpenEnd: the dam ends in a vertical face Value metres high.
	OpenEnd WarningKind = "open end"
	// BeyondHump: Value m2 of outline above the ground lies past a hump and is not counted.
	BeyondHump WarningKind = "beyond hump"
	// Extended: the ground was carried on by up to Value metres on Side to reach the toe.
	Extended WarningKind = "extended ground"
	// TrenchNotDug: the trench's bottom lies above the stripped ground here.
	TrenchNotDug WarningKind = "trench not dug"
	// CoreOutside: where the dam is low, Value m2 of the cores as drawn lie
	// outside the outline. Where it is not low that is a ZoneOutsideError.
	CoreOutside WarningKind = "core outside"
	// ToeDrainCut: Value m2 of toe drains as drawn lie outside the outline.
	ToeDrainCut WarningKind = "toe drain cut"
	// BlanketCut: a blanket ends Value metres outside the toe on Side.
	BlanketCut WarningKind = "blanket cut"
	// ChimneyTop: a chimney's top lies Value metres above the core's and is cut.
	ChimneyTop WarningKind = "chimney top"
	// CurveOverlap: the toe on Side, inside a curve, lies Value metres beyond
	// the curve's centre, so that sections overlap.
	CurveOverlap WarningKind = "curve overlap"
	// BendOverlap: the mitre at a bend would run Value metres beyond the end of
	// a part of the centreline beside it, so that sections overlap. Side is the
	// inside of the bend.
	BendOverlap WarningKind = "bend overlap"
	// BendGround: the ground does not reach the toe in the mitre of a bend, so that
	// the square section beside it stands for the wedge. Value is 0.
	BendGround WarningKind = "bend ground"
)
