package borrow

import "math"

// Reserve is how much more than the need must be available, since what is found
// when a pit is opened is never quite what was sounded.
type Reserve struct {
	Ratio  float64 // of the base, above zero; common practice and the default is 1.5
	OnBank bool    // the base is the bank need; else the compacted volume
}

// Need is what the dam takes of one material.
type Need struct {
	Material  string
	Compacted float64 // in the dam, m3
	Bank      float64 // to dig, loss included, m3; NaN when no shrink factor is known
}

// Weighed is a need set against what the pits hold.
type Weighed struct {
	Base     float64 // what the reserve ratio multiplies, m3; NaN when not known
	Required float64 // to be available, bank m3; NaN when the need is not known
	Ratio    float64 // available / base; NaN when the base is 0 or not known
	// Known says that the need is known in bank volume, so that Enough can be
	// said at all.
	Known  bool
	Enough bool    // known, and available is not below Required
	Short  float64 // Required - available when that is positive, bank m3
}

// Weigh sets a need against the bank volume available in the pits, m3, before
// loss. Required is the larger of reserve.Ratio x base and the bank need
// itself: a reserve on the compacted volume may come out below what must be
// dug, and less than that is never enough.
//
// US Department of Agriculture Handbook 590 (1997) multiplies the compacted
// volume: 8,099 yd3 x 1.5 = 12,148 yd3 to be available.
func Weigh(need Need, available float64, reserve Reserve) Weighed {
	w := Weighed{Base: need.Compacted}
	if reserve.OnBank {
		w.Base = need.Bank
	}
	w.Ratio = available / w.Base
	if w.Base == 0 {
		w.Ratio = math.NaN()
	}
	w.Required = max(reserve.Ratio*w.Base, need.Bank) // NaN in either is NaN
	w.Known = !math.IsNaN(w.Required)
	w.Enough = w.Known && available >= w.Required*(1-enoughSlack)
	if w.Known && !w.Enough {
		w.Short = w.Required - available
	}
	return w
}

// enoughSlack is the share of what is required that is taken for the rounding of
// floating point alone, so that a pit drawn to hold just what is required does.
const enoughSlack = 1e-12
