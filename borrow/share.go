package borrow

import (
	"errors"
	"fmt"
	"math"
)

// Source is a material that may fill a zone, and what there is of it.
type Source struct {
	Material string
	Shrink   float64 // shrink factor before losses, above zero
	Loss     float64 // fraction in [0, 1)
	Bank     float64 // still in its pits, before loss, bank m3; +Inf = no limit
}

// Portion is the part of a zone that one material fills.
type Portion struct {
	Material  string
	Fraction  float64 // of the zone's compacted volume
	Compacted float64 // m3
	Bank      float64 // to dig for it, loss included, m3
}

// ErrNoSources is returned by Share when no material is named.
var ErrNoSources = errors.New("no material to fill the zone with")

// SourceError is returned by Share for a source that cannot be.
type SourceError struct {
	Index  int // in the list, from 0
	Source Source
	What   string // what is wrong with it
}

// Error names the material and what is wrong.
func (e *SourceError) Error() string {
	return fmt.Sprintf("material %s: %s", e.Source.Material, e.What)
}

// Share divides a zone's compacted volume, m3, over its materials in the listed
// order: each gives what its pits hold, the next the rest. What is still
// lacking then falls to the first material, where the balance shows it short.
// One portion comes back for each source, in order; their fractions add up to 1
// and their volumes to the zone's.
//
// The volume of each part is carried to its own bank by its own factors, so the
// dry mass dug, less loss, is the dry mass in the zone, material by material.
// For several zones take each portion's Bank off the sources before the next.
//
// The error is ErrNoSources or a *SourceError; compacted is zero or more.
func Share(compacted float64, sources []Source) ([]Portion, error) {
	if len(sources) == 0 {
		return nil, ErrNoSources
	}
	out := make([]Portion, len(sources))
	left := compacted
	for i, s := range sources {
		if err := s.check(i); err != nil {
			return nil, err
		}
		out[i] = Portion{Material: s.Material}
		out[i].Compacted = min(left, CompactedFrom(max(0, s.Bank), s.Shrink, s.Loss))
		left -= out[i].Compacted
	}
	out[0].Compacted += left
	for i, s := range sources {
		out[i].Bank = BankFor(out[i].Compacted, s.Shrink, s.Loss)
		if compacted > 0 {
			out[i].Fraction = out[i].Compacted / compacted
		}
	}
	if compacted == 0 {
		out[0].Fraction = 1
	}
	return out, nil
}

// check returns a *SourceError when the source cannot be.
func (s Source) check(i int) error {
	switch {
	case !(s.Shrink > 0) || math.IsInf(s.Shrink, 1):
		return &SourceError{i, s, "the shrink factor must be above 0"}
	case !(s.Loss >= 0 && s.Loss < 1):
		return &SourceError{i, s, "the loss must be from 0 % to less than 100 %"}
	case math.IsNaN(s.Bank):
		return &SourceError{i, s, "what its pits hold must be a number"}
	}
	return nil
}
