// Package report writes the result of a plan as JSON, for other programs.
//
// The structs here are apart from the plan's own, so that the plan may change
// while the keys that people's files depend on stay. Everything is SI: m, m2,
// m3, kg, kg/m3; ratios are fractions; a name that ends in _pct is in percent.
// A key whose part has no input is absent. A value that could not be figured is
// null, and a note says which and why. The text of Schema says it all formally.
package report
