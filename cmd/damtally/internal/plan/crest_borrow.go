package plan

import (
	"errors"
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// reserveHeld is the share of what a material's pits hold that it may be short by
// and still count as held: a zone of several materials uses up the first of them
// to the last of its reserve, and rounding must not turn that into a shortage.
const reserveHeld = 1e-9

// borrowLeft is what is left of the borrow, bank m3, with the reserve held: the
// least over the materials. An error says what cannot be built or not be told.
func (j *Job) borrowLeft(crest float64) (float64, error) {
	d := j.withCrest(crest)
	q, err := j.Quantities(d)
	if err != nil {
		return 0, err
	}
	for _, w := range q.Warnings {
		if w.Kind == earthwork.OpenEnd && crest > lowestCrest(&j.design) {
			return 0, errOpenEnd
		}
	}
	r := &Result{Site: j.site, Design: d, Quantities: q, Pits: j.pitsBeside(&q), Cuts: j.cuts}
	r.Materials = j.materials(d, q)
	left := math.Inf(1)
	for _, b := range j.balance(r) {
		if b.Compacted == 0 {
			continue
		}
		if b.Enough == nil {
			return 0, fmt.Errorf("it is not known how much %s the dam needs or the pits hold", b.Material)
		}
		margin := b.Available - b.Required
		if math.Abs(margin) <= reserveHeld*b.Available {
			margin = 0
		}
		left = min(left, margin)
	}
	return left, nil
}

// borrowSteps is in how many steps a crest is sought up or down before the last of
// them is halved: a core or a bench may not fit in a dam that is far too low, and the
// search must not begin there.
const borrowSteps = 24

// crestForBorrow is the highest crest that the pits can build with the reserve.
func (j *Job) crestForBorrow() (*CrestFound, error) {
	ref := j.crestRef()
	none := func(what, mend string) error {
		return site.Problems{{Ref: ref, Column: "elevation", What: what, Mend: mend}}
	}
	if len(j.pits) == 0 {
		return nil, none("what the borrow can build is not known, since the site has no pits", "add the tables `pits` and `outlines`")
	}
	b, err := j.borrowBracket()
	if err != nil {
		return nil, none(err.Error(), "add borrow, or mend what stands in the way")
	}
	crest, err := earthwork.HighestCrestForBorrow(func(x float64) (float64, error) {
		left, err := j.borrowLeft(x)
		if math.IsInf(left, 1) {
			err = errors.New("the dam takes nothing from the pits")
		}
		return left, err
	}, b)
	var no *earthwork.NoAnswerError
	if errors.As(err, &no) {
		why := "the pits hold enough for a crest of " + j.level(no.At) + " and more"
		if no.Err != nil {
			why = fmt.Sprintf("the pits hold enough up to a crest of %s, and above it the dam cannot be figured: %s", j.level(no.At), j.whyNot(no.Err))
		}
		return nil, none(why, "the borrow is not what limits this dam")
	}
	if err != nil {
		return nil, err
	}
	return j.crestResult(j.toHundredth(crest, math.Floor))
}

// borrowBracket steps from the site's crest up, or down when its pits do not hold
// enough, to where that turns.
func (j *Job) borrowBracket() (earthwork.Bracket, error) {
	at := lowestCrest(&j.design)
	q, err := j.Quantities(j.design)
	if err != nil {
		return earthwork.Bracket{}, err
	}
	s := &q.Sections[max(q.Highest, 0)]
	step := max(s.Crest-s.StrippedLevel, 1) / borrowSteps
	left, err := j.borrowLeft(at)
	if err != nil {
		return earthwork.Bracket{}, errors.New(j.whyNot(err))
	}
	if left >= 0 {
		high := at
		for range 2 * borrowSteps {
			high += step
			if left, err = j.borrowLeft(high); err != nil || left < 0 {
				break
			}
		}
		return earthwork.Bracket{Low: at, High: high, Tolerance: crestTolerance}, nil
	}
	for low := at - step; low > s.StrippedLevel; low -= step {
		left, err = j.borrowLeft(low)
		if err != nil {
			return earthwork.Bracket{}, fmt.Errorf("the pits do not hold enough for a crest of %s, and a lower one cannot be figured: %s", j.level(low+step), j.whyNot(err))
		}
		if left >= 0 {
			return earthwork.Bracket{Low: low, High: low + step, Tolerance: crestTolerance}, nil
		}
	}
	return earthwork.Bracket{}, errors.New("the pits do not hold enough for any dam here, reserve included")
}
