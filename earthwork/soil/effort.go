package soil

// Effort is the compaction that a laboratory test puts into the soil.
type Effort string

// The efforts. A percent of one means nothing beside the other: 95 % of modified
// is as a rule above 100 % of standard.
const (
	Standard Effort = "standard" // ASTM D698, AASHTO T 99
	Modified Effort = "modified" // ASTM D1557, AASHTO T 180
)

// Rammer is how a laboratory test compacts a specimen.
type Rammer struct {
	Mass   float64 // of the rammer, kg
	Drop   float64 // its fall, m
	Layers int
	Blows  int     // on each layer
	Mould  float64 // volume, m3
}

// Energy is the work of the rammer per volume of soil, J/m3: layers x blows x
// weight x drop / volume of the mould. It is about 600 kJ/m3 for the standard and
// 2,700 kJ/m3 for the modified effort (ASTM D698, D1557).
func (r Rammer) Energy() float64 {
	return float64(r.Layers*r.Blows) * r.Mass * gravity * r.Drop / r.Mould
}
