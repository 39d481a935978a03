package earthwork

// Kind is what a zone is.
type Kind string

// The kinds of zone.
const (
	// Core is a body on the centreline, upright or leaning, that runs down into
	// the cutoff trench.
	Core Kind = "core"
	// Shell is all that the other zones leave.
	Shell Kind = "shell"
	// Filter and Drain are laid as Form says.
	Filter Kind = "filter"
	Drain  Kind = "drain"
	// Facing is a layer on a face, such as riprap.
	Facing Kind = "facing"
	// Bedding is a layer under a facing.
	Bedding Kind = "bedding"
	// Cover is topsoil on a face or on the crest.
	Cover Kind = "cover"
)

// Form is the shape in which a filter or a drain is laid.
type Form string

// The forms of filters and drains.
const (
	// Chimney is a band along the core's face on Side, Thickness wide measured
	// level, from the zone's top, or the core's where that is lower, down to
	// the stripped ground. Several chimneys on a side lie one outside the other
	// in the order of the zones, the first one against the core.
	Chimney Form = "chimney"
	// Blanket lies on the stripped ground between FromOffset and ToOffset,
	// Thickness high, with upright ends.
	Blanket Form = "blanket"
	// Toe is a trapezoid at the toe of the face on Side: its outer bottom corner
	// is the toe, its level top lies Thickness above it and is TopWidth wide,
	// and its sides fall with UpstreamSlope and DownstreamSlope to the stripped
	// ground.
	Toe Form = "toe"
)

// DamSide is the part of the dam's surface that a layer belongs to.
type DamSide string

// The sides of a dam.
const (
	UpstreamSide   DamSide = "upstream"
	DownstreamSide DamSide = "downstream"
	CrestSide      DamSide = "crest" // for a cover
)

// Zone is a part of the section built of one material to one requirement.
// A point of the section belongs to the first zone in the list that covers it.
// A shell covers the whole section. What no zone covers is an error. Which
// fields count for which kind is said with each; layers are cut off by the
// outline and the stripped ground.
type Zone struct {
	Name string
	Kind Kind
	Form Form // of a filter or drain

	// Of a core and a chimney: TopElevation is used when ByElevation is set,
	// TopBelowCrest otherwise, m.
	ByElevation                 bool
	TopElevation, TopBelowCrest float64

	// Of a core: it stands on the centreline, TopWidth wide at its top, and
	// widens downwards with its slopes, horizontal to one vertical. A slope
	// below zero leans inwards going down; the two may not sum up below zero.
	// Of a toe drain too, see Toe.
	TopWidth                       float64
	UpstreamSlope, DownstreamSlope float64

	// Thickness in m: of a chimney measured level, of a blanket upwards, of a
	// facing, bedding or cover square to the face (on the crest and on benches
	// that is upwards), of a toe drain its height.
	Thickness float64
	Side      DamSide

	// Outside says that a facing, bedding or cover lies outside the outline; it
	// then ends at the stripped ground carried on beyond the toe, and adds to
	// Outside volumes and not to the fill.
	Outside bool

	// FromElevation and ToElevation are the elevations, m, between which a
	// facing, bedding or cover lies on its face, cut off level; -Inf and +Inf
	// are the toe and the crest. A bench just at either is left out. A bedding
	// with neither takes those of its facing: the first one on its side that
	// has an elevation in common with it. Several beddings of a facing lie one
	// under the other in the order of the zones.
	FromElevation, ToElevation float64

	// FromOffset and ToOffset are where a blanket begins and ends, m; -Inf and
	// +Inf are the toes.
	FromOffset, ToOffset float64
}

// onFace tells whether the zone is a layer along a face or the crest.
func (z *Zone) onFace() bool { return z.Kind == Facing || z.Kind == Bedding || z.Kind == Cover }
