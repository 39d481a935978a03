package plan

import (
	"math"

	"github.com/damtally/damtally/borrow"
)

// Allocation says which soil goes where. It is nil when nothing is known of
// supplies or of shrink factors.
type Allocation struct {
	Flows []Flow // in the order of the supplies, then of the demands
	// Basis is what was made least: the cost in money, the bank volume times the
	// haul distance, or the bank volume alone where no distance is known.
	Basis AllocationBasis
	// Moving is what the flows come to and Opening what opening pits adds, in the
	// unit of the basis: money, m3 m or m3.
	Moving, Opening float64
	// BankMetres is bank volume times road length over all flows, m3 m; NaN when
	// a road is not known.
	BankMetres float64
	Supplies   []Supplied
	Short      []ShortOf
	Forced     []ForcedUse
	// Unheld names the pits of several materials whose least and most use cannot be
	// held together; Over is by how much compacted volume, m3.
	Unheld []string
	Over   float64
	// Free lists the zones whose split over several materials the least cost
	// decided, by name.
	Free  []string
	Cases int // sets of opened pits that were weighed
}

// AllocationBasis is what an allocation makes least.
type AllocationBasis string

// What is made least, by what is known.
const (
	ByCost     AllocationBasis = "cost"
	ByDistance AllocationBasis = "haul distance"
	ByVolume   AllocationBasis = "bank volume"
)

// Flow is soil from one source that goes into one reach of a zone or into a
// blanket.
type Flow struct {
	Source   string // name of the pit, cut, stockpile; "trench"
	Kind     borrow.SupplyKind
	Material string
	Zone     string // "blanket NAME" for a blanket
	Blanket  bool
	From, To float64 // stations of the reach, m; NaN for a blanket

	Bank      float64 // to dig, loss included, m3
	Loose     float64 // in trucks, m3; NaN when no swell is known
	Compacted float64 // in the dam, m3
	DryMass   float64 // dug, kg; NaN when no bank density is known
	Loss      float64 // that applies to it, fraction

	Haul  float64 // length of the road one way, m; NaN when not known
	Road  HaulRoad
	Loads float64 // not rounded; NaN without a truck
	Rate  float64 // cost of one bank m3 in the unit of the basis
	Cost  float64 // Rate x Bank
}

// Supplied is what one source holds of one material and what is taken of it.
type Supplied struct {
	Source   string
	Kind     borrow.SupplyKind
	Material string
	Holds    float64 // bank m3 before loss
	Used     float64 // bank m3
	// Saving is what one more bank m3 here would save, in the unit of the basis;
	// +Inf where the dam is short of it, NaN for a pit that is left closed.
	Saving float64
	Closed bool   // opening it does not pay
	Words  string // what one more there would do, in the site's units
}

// ShortOf says that soil does not suffice, however it is shared out: Zones take
// Needed of Materials, and Sources, which are all that may feed them, make no
// more than Available. Compacted m3.
type ShortOf struct {
	Materials, Zones, Sources []string
	From, To                  float64 // stations that the zones' reaches span, m; NaN for blankets
	Needed, Available, Short  float64
}

// ForcedUse says that the least use of pits cannot be placed. Compacted m3.
type ForcedUse struct {
	Sources, Zones    []string
	Least, Room, Over float64
}

// UsedOf is what is taken of a material from a source, bank m3.
func (a *Allocation) UsedOf(kind borrow.SupplyKind, source, material string) float64 {
	if a == nil {
		return 0
	}
	for _, s := range a.Supplies {
		if s.Kind == kind && s.Source == source && s.Material == material {
			return s.Used
		}
	}
	return 0
}

// Cost is all that the allocation costs, NaN when no costs are known.
func (a *Allocation) Cost() float64 {
	if a.Basis != ByCost {
		return math.NaN()
	}
	return a.Moving + a.Opening
}
