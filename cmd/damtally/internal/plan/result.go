package plan

import (
	"slices"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/earthwork/soil"
)

// Result is all that is known of a plan, in SI. The workbook, the JSON file and
// every later output read this and nothing else.
type Result struct {
	Site  site.Site // the input, for the tests, lab points and pay items behind the figures
	Notes []site.Note

	Design     earthwork.Design
	Quantities earthwork.Quantities

	// SurfaceVolume is the neat fill measured between surfaces, m3: a check of
	// the volume by end area that uses no section. It is nil without a surface,
	// and NaN, with a note, when it cannot be figured.
	SurfaceVolume *float64

	// Plan is the dam in plan: toes, crest, footprint, trench, pools. It is nil
	// without a centreline.
	Plan *PlanView

	Lifts *Lifts
	Lake  *Lake // nil without ground in plan, or when no lake can stand

	Conduits []Conduit // in the order of the table
	Cuts     []Cut     // in the order of the table
	Blankets []Blanket // in the order of the table; no part of Quantities
	Dug      *Dug      // nil where nothing was measured after stripping or digging

	Materials []Material
	Tests     []Test
	Lots      []Lot // fill tests by zone and lift
	Trials    []Trial
	Pits      []Pit
	Balance   []Balance
	// Allocation is who feeds what; nil when that is not known.
	Allocation *Allocation
	Excavated  []Excavated // what comes out whatever the borrow
	Haul       *Haul       // nil without an allocation or a fleet
	Items      []Item
	Bid        *Bid         // nil without pay items
	Unpaid     []UnpaidWork // what no pay item measures; nil without pay items
	Checks     []Check

	// Reconciliation is nil but for Job.Reconcile.
	Reconciliation *Reconciliation
}

// Material is a material with its factors and what the dam takes of it.
// Every material that a zone names is here, in the order of the table
// `materials`, then as the zones name them.
type Material struct {
	Row    site.Material // zero but for the name when there is no `materials` table
	Bought bool          // stone by the ton: Mass counts, bank and loose do not

	Lab *soil.Curve // nil without lab points; of the effort in use, mean of the samples
	// Samples are the curves behind Lab, by sample in order of the table.
	Samples []Sample
	Factors soil.Factors
	Loss    float64 // share of what is dug, fraction
	Known   bool    // Factors hold a shrink factor; else only compacted volumes are known

	Shares    []Share // what each zone takes, in zone order
	Blankets  []BlanketShare
	Compacted float64 // m3, sum of the shares and of the blankets
	DryMass   float64 // kg, 0 when no fill density is known (typed factors only)
	Bank      float64 // m3 to dig, loss included; NaN when not known
	Loose     float64 // m3 in trucks, all that is dug; NaN when not known
	Mass      float64 // kg of bought stone, waste included

	// Spread is how sure all that is; nil for bought stone.
	Spread *Spread
	// Moisture is the water to add or dry off; nil where it is not known.
	Moisture *Moisture
}

// Sample is one laboratory sample and the curve read off it.
type Sample struct {
	Name  string
	Curve soil.Curve // of the whole soil: corrected for oversize where some was screened out
	Fine  soil.Curve // as tested; the same as Curve without oversize
	// Oversize is the coarse part that the laboratory screened out.
	Oversize soil.Oversize
}

// used tells whether anything is built of the material.
func (m *Material) used() bool { return len(m.Shares)+len(m.Blankets) > 0 }

// Share is the part of a zone that one material fills.
type Share struct {
	Zone      int     // index into Quantities.Zones
	Fraction  float64 // of the zone's compacted volume
	Compacted float64 // m3
}

// Test is an in-place density test with what it says.
type Test struct {
	Row        site.DensityTest
	DryDensity float64 // kg/m3
	// Compaction is percent compaction as a fraction; NaN without a lab maximum
	// or for tests in bank or loose soil.
	Compaction float64
	// Sample is the lab sample that it is compared with, "" for the mean of all.
	Sample string
	// MaxDry and Optimum are what it is compared with; NaN where nothing is.
	MaxDry, Optimum float64
	// FromOptimum, Saturation and AirVoids are fractions; NaN where the water
	// content, the optimum or the specific gravity is not known.
	FromOptimum, Saturation, AirVoids float64
	// Pass is nil when nothing is required or nothing can be compared.
	Pass    *bool
	Reasons []string // why it fails, in plain words: "density", "too wet", "too dry"
	// Replaced says that a retest stands for this test.
	Replaced bool
}

// Pit is a borrow pit and what it holds.
type Pit struct {
	Row      site.Pit
	Capacity borrow.Capacity
	Loss     float64 // that applies to it, fraction
	// UsableDepth is the mean depth from ground to floor at the corners, less
	// the topsoil, m; for a check of the capacity.
	UsableDepth float64

	// ByMaterial is what may go into the dam, by material, usable ones only, in
	// the order in which the holes name them; one entry, the table's material,
	// where no hole says. Their sum is Capacity.Bank.
	ByMaterial []PitMaterial
	// Strip is topsoil and Waste what lies below it and is not usable, both dug
	// to reach the rest; BelowWater is the part of all that is dug that lies
	// below the water level in the holes. Bank m3.
	Strip, Waste, BelowWater float64
	Holes                    int // test holes in the pit
	// ShareBeyond is the share of the usable volume that lies farther than
	// Beyond, m, from the nearest hole; NaN without holes.
	ShareBeyond, Beyond float64

	Strata *borrow.Strata // nil without holes
	// FromDam is the distance from the boundary to the foot of the neat dam, m, 0
	// where it reaches under the dam; NaN where that is not known. CutBack is the
	// usable volume that the dam's ground and the setback from it take away, bank m3.
	FromDam, CutBack float64
	// Dig is how deep the pit is dug for its share; nil without an allocation.
	Dig *PitDig
	// InPool is the level above which the lake reaches the pit, m; +Inf where it
	// never does, NaN without a lake.
	InPool float64

	shape borrow.Pit
	whole *borrow.Whole // dug to its own floor; nil where nothing can be dug
}

// PitMaterial is what a pit holds of one material that may go into the dam.
type PitMaterial struct {
	Material string
	Bank     float64 // before loss, bank m3
	Loss     float64 // that applies to it, fraction
	// Unsure is the relative standard deviation of Bank that the test holes leave
	// open, by how badly holes foretell one another; NaN with fewer than three.
	Unsure float64
}

// PitDig is a pit dug no deeper than its share of the dam needs.
type PitDig struct {
	Used float64 // usable, all materials, bank m3
	// By is what is used of each of Pit.ByMaterial and what of it comes out beside
	// that, since it lies on the way, bank m3.
	By []PitUse
	// Floor is the floor needed: a depth for a pit with a depth, else an elevation.
	Floor    float64
	Capacity borrow.Capacity // dug to there
	Left     float64         // usable and left in the pit, bank m3
	Map      borrow.DepthMap // in the job's own coordinates; empty when nothing is dug

	excavation *borrow.Excavation // nil when nothing is dug
}

// PitUse is what is used of one material of a pit.
type PitUse struct{ Used, Over float64 }

// has tells whether the pit is of a material, however little it holds.
func (p *Pit) has(material string) bool {
	return slices.ContainsFunc(p.ByMaterial, func(m PitMaterial) bool { return m.Material == material })
}

// Holds is what the pit holds of a material, bank m3 before loss.
func (p *Pit) Holds(material string) float64 {
	for _, m := range p.ByMaterial {
		if m.Material == material {
			return m.Bank
		}
	}
	return 0
}

// Balance is need against supply for one material, bank m3.
type Balance struct {
	Material  string
	Compacted float64
	Needed    float64 // bank, loss included; NaN when no factors are known
	Available float64 // bank, in the pits and beside them, before loss
	// Base is what ReserveRatio multiplies: compacted or bank need, m3.
	Base         float64
	ReserveOn    string
	ReserveRatio float64
	Required     float64 // the larger of ReserveRatio x Base and Needed; ReserveRatio x Base when Needed is not known
	Ratio        float64 // Available / Base; NaN when Base is 0
	Enough       *bool   // nil when it cannot be said
	Short        float64 // Required - Available when positive
	Pits         []int   // indices into Result.Pits
	Beside       []BesidePits
	// Chance is the chance that Available covers Needed, from what ChanceBasis
	// names; nil where that is not known, and NoChance says why when holes lack.
	Chance                *float64
	ChanceBasis, NoChance string
}

// Item is a priced line of the bid. Quantity is in Unit of the row.
type Item struct {
	Row      site.PayItem
	Name     string // of the result that it measures, in small letters; "" when typed
	Quantity float64
	Amount   float64
	// Unpaid is why the quantity could not be figured, "" when it was.
	Unpaid string
	// Measured is how the quantity is measured for pay: a word of the column
	// `measured`, or "as typed".
	Measured string
	// Cost is the bidder's own cost, MarkUp what the unit price adds to the unit
	// cost, fraction; both are NaN without a unit cost.
	Cost, MarkUp float64
}

// Check is one of the ways in which the plan checks itself.
type Check struct {
	What        string  // plain words
	Key         string  // short fixed name, for outputs
	Subject     string  // the material or pit it is about, "" for the whole
	Ours, Other float64 // in the unit that Unit names
	Unit        string  // "m3", "kg", "m2", "m", "1"
	Holds       bool
	// Tolerance is how far the two may differ, as a share of the larger, for a
	// check that sets two figures side by side; Least and Most bound Ours for a
	// check of a usual range, and are both 0 for the others.
	Tolerance, Least, Most float64
	// Costly says that a failure is likely to cost money; the summary shows it red.
	Costly bool
	Mend   string // what to look at when it does not hold
}
