package geometry

// Trapezoid is a piece of a slab: all of one label, between two straight lines.
// Elevations are metres; From and To mean the slab's two offsets.
type Trapezoid struct {
	Label                int
	BottomFrom, BottomTo float64
	TopFrom, TopTo       float64
}

// Slab is the part of a cross-section between two offsets, From < To, as a
// stack of trapezoids from the bottom up. Neighbours in the stack share a line
// or have a gap between them; they never overlap.
type Slab struct {
	From, To float64
	Stack    []Trapezoid
}
