package borrow

import (
	"math"

	"github.com/damtally/damtally/earthwork/soil"
	"gonum.org/v1/gonum/stat/distuv"
)

// Way is one of the ways in which the soil that a job has moved is measured.
type Way string

// The ways.
const (
	ByTally Way = "truck tally"  // loads x capacity x fill, loose
	ByScale Way = "weighed"      // net weights, dry mass
	ByPit   Way = "pit survey"   // surface before against surface after, bank
	ByFill  Way = "fill survey"  // stripped ground against surface, compacted
	ByAll   Way = "all together" // the ways weighed together
)

// Season is what was measured of one soil up to one day. A quantity that was not
// measured is left zero.
type Season struct {
	Tally   Measured // loose m3 that left the pits: loads x capacity x fill, all loads
	Weighed Measured // kg of solids that left the pits, from net weights
	Pit     Measured // bank m3 that the pits lost
	Fill    Measured // compacted m3 in the dam

	// Bank, Loose and Placed are the mean dry densities in the three states, kg/m3
	// (or all three relative to that of the bank, where only factors are known:
	// then nothing can be weighed).
	Bank, Loose, Placed Measured

	// Kept is the share of what leaves the pits that stays in the dam: 1 - loss.
	Kept Measured

	// Level is the confidence of all intervals, in (0, 1).
	Level float64
}

// Account is what one way says was moved, in each state. Solids is the dry mass
// that left the pits, kg: the one figure that does not change from pit to truck
// to dam, and by which the ways are compared. What cannot be figured is left
// zero.
type Account struct {
	Way                    Way
	Solids                 Measured
	Loose, Bank, Compacted Measured
	Weight                 float64 // in the joint figure; adds up to 1
}

// Difference is one way against another: Ratio - 1 is by how much the first says
// more than the second.
type Difference struct {
	First, Second Way
	Ratio         Measured
	Interval      soil.Interval // of the ratio
	// Beyond tells that errors of measurement do not explain the difference: the
	// interval leaves 1 out.
	Beyond bool
}

// Seen is a figure that the work shows beside the one that was assumed.
type Seen struct {
	Seen, Assumed Measured
	Interval      soil.Interval // of Seen
	Ratio         Measured      // seen / assumed
	Differs       bool          // the interval of Ratio leaves 1 out
	Blend         Measured      // both, each weighted by how sure it is
}

// Reconciliation is the account of a season.
type Reconciliation struct {
	Accounts    []Account // of the ways that were measured, in the order of the constants
	Best        Account   // all ways together
	Differences []Difference

	// Agreement is the chance of a disagreement as large as this or larger when
	// nothing but measurement error parts the ways; 1 with fewer than two.
	Agreement float64

	Shrink    Seen // compacted m3 that stays for one bank m3, before losses
	TruckFill Seen // loose m3 in trucks / what the tally counted; assumed is 1
	LooseDry  Seen // dry density in trucks by weights, kg/m3, against the tests
}

// Reconcile sets the ways of a season side by side. Every way is turned into the
// dry mass that left the pits, which makes the ways' errors independent: the
// loose density enters the tally alone, the bank density the pit surveys alone,
// the fill density and the loss the fill survey alone. Intervals are taken on
// logarithms with Student's t (see Measured).
func Reconcile(s Season) Reconciliation {
	var out Reconciliation
	for _, a := range []Account{
		{Way: ByTally, Solids: s.Tally.Times(s.Loose)},
		{Way: ByScale, Solids: s.Weighed},
		{Way: ByPit, Solids: s.Pit.Times(s.Bank)},
		{Way: ByFill, Solids: s.Fill.Times(s.Placed).Over(s.Kept)},
	} {
		a.states(s)
		if a.Solids.Known() || a.Loose.Known() || a.Bank.Known() || a.Compacted.Known() {
			out.Accounts = append(out.Accounts, a)
		}
	}
	out.weigh(s)
	out.compare(s.Level)
	out.Shrink = seen(s.Fill.Over(s.Pit.Times(s.Kept)), s.Bank.Over(s.Placed), s.Level)
	out.TruckFill = seen(s.Pit.Times(s.Bank).Over(s.Loose).Over(Exact(s.Tally.Value)), s.Tally.Over(Exact(s.Tally.Value)), s.Level)
	out.LooseDry = seen(s.Weighed.Over(s.Tally), s.Loose, s.Level)
	return out
}

// states turns the solids into volumes. A way's own volume stands as it was
// measured, without the error of a density.
func (a *Account) states(s Season) {
	a.Loose = a.Solids.Over(s.Loose)
	a.Bank = a.Solids.Over(s.Bank)
	a.Compacted = a.Solids.Times(s.Kept).Over(s.Placed)
	switch a.Way {
	case ByTally:
		a.Loose = s.Tally
	case ByPit:
		a.Bank = s.Pit
	case ByFill:
		a.Compacted = s.Fill
	}
}

// weigh joins the ways.
func (r *Reconciliation) weigh(s Season) {
	var solids []Measured
	for _, a := range r.Accounts {
		solids = append(solids, a.Solids)
	}
	best, disagreement := Joint(solids...)
	r.Best = Account{Way: ByAll, Solids: best}
	r.Best.states(s)
	n, total := 0, 0.0
	for i := range r.Accounts {
		if a := &r.Accounts[i]; a.Solids.Known() && a.Solids.Error() > 0 {
			n++
			a.Weight = 1 / (a.Solids.Error() * a.Solids.Error())
			total += a.Weight
		}
	}
	for i := range r.Accounts {
		if total > 0 {
			r.Accounts[i].Weight /= total
		}
	}
	r.Agreement = 1
	if n > 1 {
		r.Agreement = distuv.ChiSquared{K: float64(n - 1)}.Survival(disagreement)
	}
}

// compare sets every way against every later one.
func (r *Reconciliation) compare(level float64) {
	for i, a := range r.Accounts {
		for _, b := range r.Accounts[i+1:] {
			ratio := a.Solids.Over(b.Solids)
			if !ratio.Known() {
				continue
			}
			d := Difference{First: a.Way, Second: b.Way, Ratio: ratio, Interval: ratio.Interval(level)}
			d.Beyond = leavesOut(d.Interval, 1)
			r.Differences = append(r.Differences, d)
		}
	}
}

func leavesOut(i soil.Interval, x float64) bool { return i.Low > x || i.High < x }

// seen sets a figure beside the one assumed.
func seen(found, assumed Measured, level float64) Seen {
	out := Seen{Seen: found, Assumed: assumed, Ratio: found.Over(assumed)}
	if found.Known() {
		out.Interval = found.Interval(level)
	}
	if out.Ratio.Known() {
		out.Differs = leavesOut(out.Ratio.Interval(level), 1)
	}
	out.Blend, _ = Joint(found, assumed)
	return out
}

// Remaining is what is still to be done with a soil, and whether the pits can.
type Remaining struct {
	Compacted float64  // m3 still to be placed
	Shrink    Measured // shrink factor for it
	Need      Measured // bank m3 to dig for it, loss included
	Available Measured // bank m3 left in the pits
	// Chance is the chance that what is left covers the need, as far as the
	// errors known here go; NaN where it cannot be said.
	Chance float64
	Enough bool // Available covers Need as figured
}

// Remains works out what is still to be dug for compacted m3, with the shrink
// factor and the share kept as the work shows them, against what is left.
func Remains(compacted float64, shrink, kept, available Measured) Remaining {
	out := Remaining{Compacted: max(0, compacted), Shrink: shrink, Available: available, Chance: math.NaN()}
	if out.Compacted == 0 {
		out.Enough, out.Chance = true, 1
		return out
	}
	out.Need = Exact(out.Compacted).Over(shrink).Over(kept)
	if !out.Need.Known() {
		return out
	}
	out.Enough = available.Value >= out.Need.Value
	ratio := available.Over(out.Need)
	switch {
	case !ratio.Known():
		out.Chance = 0
	case ratio.Error() > 0:
		out.Chance = 1 - ratio.Below(1)
	}
	return out
}
