// Package borrow compares what a dam takes with what the pits hold: needs in
// dry mass and bank volume, the volume of a pit, and the balance of the two.
// It knows materials, zones and reaches by name only, and no dam.
//
// Values are SI: metres, m2, m3, kilograms; slopes are horizontal to one
// vertical, losses and ratios fractions. Plan coordinates are those of package
// geometry. A volume always says its state: bank, loose or compacted.
package borrow
