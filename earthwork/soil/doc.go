// Package soil holds what laboratory and field tests say of a soil: its
// compaction curve, its dry density in the bank, loose in a truck and
// compacted in the fill, and the factors that link those three states.
//
// Densities are kg/m3, water contents are fractions of the mass of solids,
// compaction is a fraction of the laboratory's maximum dry density.
package soil
