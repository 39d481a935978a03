package earthwork

import (
	"fmt"
	"math"
	"slices"
)

// Figure works out a figure for one value, such as the storage for a crest. It
// may fail for values that cannot be built (a face that runs off the ground).
type Figure func(x float64) (float64, error)

// Bracket is where an answer is looked for and how closely.
type Bracket struct {
	Low, High float64 // Low < High
	// Tolerance is how close the answer lies to the true one, above zero; for a
	// crest a millimetre is closer than anyone builds.
	Tolerance float64
}

// NoAnswerReason says why there is no answer in a bracket.
type NoAnswerReason string

// The reasons.
const (
	// AlreadyAtLow: the wish is met at the low end, so the answer lies below it.
	AlreadyAtLow NoAnswerReason = "already at the low end"
	// NotAtHigh: the wish is not met even at the high end.
	NotAtHigh NoAnswerReason = "not even at the high end"
	// NotAtLow: the supply does not suffice even at the low end.
	NotAtLow NoAnswerReason = "not even at the low end"
	// StillAtHigh: the supply suffices at the high end, so the answer lies above it.
	StillAtHigh NoAnswerReason = "still at the high end"
	// CannotFigure: the figure fails (see Err) before the wish is met or ends.
	CannotFigure NoAnswerReason = "cannot be figured"
	// BadBracket: the bracket is empty or its tolerance is not above zero.
	BadBracket NoAnswerReason = "empty bracket"
)

// NoAnswerError says that a bracket holds no answer.
type NoAnswerError struct {
	Reason NoAnswerReason
	At     float64 // the end or place that the reason speaks of
	Figure float64 // there, or for CannotFigure at the last place before it; NaN when nothing was figured
	Wanted float64 // 0 for Greatest
	Err    error   // why the figure fails
}

// Error implements error.
func (e *NoAnswerError) Error() string {
	text := fmt.Sprintf("no answer: %s (%g), where it is %g and %g is wanted", e.Reason, e.At, e.Figure, e.Wanted)
	if e.Err != nil {
		text += ": " + e.Err.Error()
	}
	return text
}

// Unwrap returns why the figure fails.
func (e *NoAnswerError) Unwrap() error { return e.Err }

// Least returns the least x in the bracket at which a figure that rises with x
// is at least what is wanted. The figure may jump: then the answer is where it
// jumps. The figure was worked out at the answer, so it is never less than
// wanted there; the true answer lies no more than the tolerance below it.
// Values at which the figure fails must lie above all others. The error is a
// *NoAnswerError.
func Least(f Figure, wanted float64, b Bracket) (float64, error) {
	n, err := narrow(f, func(y float64) bool { return y >= wanted }, b, AlreadyAtLow, NotAtHigh)
	if err == nil && n.failed != nil {
		err = &NoAnswerError{Reason: CannotFigure, At: n.to, Figure: n.figure, Err: n.failed}
	}
	if err != nil {
		err.Wanted = wanted
		return math.NaN(), err
	}
	return n.to, nil
}

// First is Least for a figure that may fall in places, as the pool's area does where
// a higher crest takes up a bench. It looks at the places of scan in order, and
// between the first at which the wish is met and the one before it as Least does: what
// rises and falls again between two neighbouring places is not seen. again is the
// first place of scan beyond the answer at which the wish is not met any more, NaN
// for none. The error is a *NoAnswerError.
func First(f Figure, wanted float64, b Bracket, scan []float64) (x, again float64, err error) {
	places := []float64{b.Low}
	for _, s := range scan {
		if s > b.Low && s < b.High {
			places = append(places, s)
		}
	}
	places = append(places, b.High)
	slices.Sort(places)
	places = slices.Compact(places)
	to := len(places) - 1
	for i := 1; i < len(places); i++ {
		if y, err := f(places[i]); err != nil || y >= wanted {
			to = i
			break
		}
	}
	x, err = Least(f, wanted, Bracket{places[max(to-1, 0)], places[to], b.Tolerance})
	if err != nil {
		return x, math.NaN(), err
	}
	for _, s := range places[to:] {
		if y, err := f(s); err != nil || y < wanted {
			if err == nil {
				return x, s, nil
			}
			break
		}
	}
	return x, math.NaN(), nil
}

// Greatest returns the greatest x in the bracket at which a figure that falls
// with x (what is left of a supply) is not below zero. The figure was worked out
// at the answer; the true answer lies no more than the tolerance above it.
// Values at which the figure fails must lie above all others: when it fails
// before it falls below zero there is no answer. Jumps and error are as for
// Least.
func Greatest(left Figure, b Bracket) (float64, error) {
	n, err := narrow(left, func(y float64) bool { return !(y >= 0) }, b, NotAtLow, StillAtHigh)
	if err == nil && n.failed != nil {
		err = &NoAnswerError{Reason: CannotFigure, At: n.to, Figure: n.figure, Err: n.failed}
	}
	if err != nil {
		return math.NaN(), err
	}
	return n.from, nil
}

// narrowed is the last interval of a search: before it turned and after.
type narrowed struct {
	from, to float64
	figure   float64 // at from
	failed   error   // of the figure at to
}

// narrow halves the bracket until it is no longer than the tolerance, so that
// the figure has not turned at its low end and has, or fails, at its high end.
// Bisection, since a secant has nothing to go by at a jump. The reasons are for
// a figure that has turned at the low end and one that has not at the high end.
func narrow(f Figure, turned func(float64) bool, b Bracket, atLow, atHigh NoAnswerReason) (narrowed, *NoAnswerError) {
	if !(b.Low < b.High && b.Tolerance > 0 && b.High-b.Low < math.Inf(1)) {
		return narrowed{}, &NoAnswerError{Reason: BadBracket, At: b.Low, Figure: math.NaN()}
	}
	y, err := f(b.Low)
	switch {
	case err != nil:
		return narrowed{}, &NoAnswerError{Reason: CannotFigure, At: b.Low, Figure: math.NaN(), Err: err}
	case turned(y):
		return narrowed{}, &NoAnswerError{Reason: atLow, At: b.Low, Figure: y}
	}
	n := narrowed{from: b.Low, to: b.High, figure: y}
	y, n.failed = f(b.High)
	if n.failed == nil && !turned(y) {
		return narrowed{}, &NoAnswerError{Reason: atHigh, At: b.High, Figure: y}
	}
	for n.to-n.from > b.Tolerance {
		mid := n.from + (n.to-n.from)/2
		if mid <= n.from || mid >= n.to {
			break // as close as floating point goes
		}
		y, err := f(mid)
		if err == nil && !turned(y) {
			n.from, n.figure = mid, y
		} else {
			n.to, n.failed = mid, err
		}
	}
	return n, nil
}

// PoolFigure works out storage or water area for a dam with a crest elevation
// and its water at a pool elevation, m.
type PoolFigure func(crest, pool float64) (float64, error)

// CrestForStorage returns the lowest crest elevation, m, whose normal pool,
// freeboard metres below it, holds the wanted volume, m3. The storage must not
// fall as crest and pool rise together: where the water's face has benches or more
// than one slope it may, and First with the levels of CrestSteps serves. The bracket
// is of crest elevations; the error is a *NoAnswerError.
//
// Freeboard here is the plain difference between crest and pool that the caller
// wishes for, no judgement on how much is enough.
func CrestForStorage(storage PoolFigure, volume, freeboard float64, b Bracket) (float64, error) {
	return Least(func(crest float64) (float64, error) { return storage(crest, crest-freeboard) }, volume, b)
}

// CrestForPoolArea returns the lowest crest elevation, m, whose normal pool,
// freeboard metres below it, is as large as the wanted area, m2; the rest as for
// CrestForStorage. The area of water may jump where a side valley joins.
func CrestForPoolArea(area PoolFigure, wanted, freeboard float64, b Bracket) (float64, error) {
	return Least(func(crest float64) (float64, error) { return area(crest, crest-freeboard) }, wanted, b)
}

// HighestCrestForBorrow returns the highest crest elevation, m, that the proven
// borrow can build. left says for a crest what is left of the borrow when the
// dam and the reserve are taken from it, the least over the materials, in any
// one unit; it must not rise with the crest. The bracket is of crest elevations;
// the error is a *NoAnswerError.
func HighestCrestForBorrow(left Figure, b Bracket) (float64, error) {
	return Greatest(left, b)
}

// CrestSteps are the crest elevations at which the pool, freeboard metres below the
// crest, may jump or begin to fall as the crest rises, each with one just below it:
// where crest or pool pass the end of a part of the upstream face. It is nil where
// the face has one slope and no bench, since then the face moves up with the water
// and takes no more of it. just is how far below.
func (d *Design) CrestSteps(freeboard, just float64) []float64 {
	if len(d.Upstream) == 0 || !slices.ContainsFunc(d.Upstream, func(p FacePart) bool { return p.Bench > 0 || p.Slope != d.Upstream[0].Slope }) {
		return nil
	}
	var out []float64
	for _, p := range d.Upstream {
		if math.IsInf(p.ToElevation, -1) {
			continue
		}
		for _, z := range []float64{p.ToElevation, p.ToElevation + freeboard} {
			out = append(out, z-just, z+just)
		}
	}
	slices.Sort(out)
	return out
}
