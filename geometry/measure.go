package geometry

// Measure is the area of a shape in a cross-section and its first moment about
// the centreline. Both are additive, so shapes may be summed in any order, and
// both are right for a shape of no area, where a centroid is not.
type Measure struct {
	Area   float64 // m2
	Moment float64 // integral of offset dA, m3; positive downstream
}

// Plus returns the sum of two measures.
func (m Measure) Plus(o Measure) Measure {
	return Measure{m.Area + o.Area, m.Moment + o.Moment}
}

// Times returns the measure multiplied by k.
func (m Measure) Times(k float64) Measure {
	return Measure{m.Area * k, m.Moment * k}
}
