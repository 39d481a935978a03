package soil

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
)

// Member is one soil of a family of compaction curves: its points and the peak
// read off them.
type Member struct {
	Name   string
	Points []Point
	Curve  Curve
}

// Family is a set of compaction curves of like soils: the denser a soil gets,
// the drier it does so, and the curves lie side by side. One point on the dry
// side then tells which curve a soil has (AASHTO T 272).
type Family struct {
	members []Member // by rising maximum dry density
}

// ErrNoFamily is wrapped by the error of NewFamily.
var ErrNoFamily = errors.New("the samples form no family of curves")

// ErrOnePoint is wrapped by the error of OnePoint.
var ErrOnePoint = errors.New("the point does not fit the family of curves")

// NewFamily makes a family of two or more members, in any order. The error wraps
// ErrNoFamily: too few, a curve without a peak, or a denser soil whose optimum is
// not drier.
func NewFamily(members []Member) (Family, error) {
	sorted := slices.Clone(members)
	slices.SortStableFunc(sorted, func(a, b Member) int { return cmp.Compare(a.Curve.MaxDry, b.Curve.MaxDry) })
	if len(sorted) < 2 {
		return Family{}, fmt.Errorf("%w: it takes two or more", ErrNoFamily)
	}
	for i, m := range sorted {
		if !m.Curve.Bracketed {
			return Family{}, fmt.Errorf("%w: sample %s does not show its peak", ErrNoFamily, m.Name)
		}
		if i > 0 && !(m.Curve.Optimum < sorted[i-1].Curve.Optimum && m.Curve.MaxDry > sorted[i-1].Curve.MaxDry) {
			return Family{}, fmt.Errorf("%w: sample %s is denser than %s, yet its optimum is not drier", ErrNoFamily, m.Name, sorted[i-1].Name)
		}
	}
	return Family{sorted}, nil
}

// onePointDriest is how dry a one-point test may be, as a share of the optimum
// that it leads to: 80 % (WAQTC field procedure for AASHTO T 272, 2004).
const onePointDriest = 0.80

// OnePoint is the peak of the soil that one compacted specimen belongs to: the
// curve between the two members that it plots between, in proportion. The
// specimen must plot between two curves, from 80 to 100 % of the optimum found
// (WAQTC field procedure for AASHTO T 272, 2004), else the error, which wraps
// ErrOnePoint, says that another is to be compacted.
func (f Family) OnePoint(p Point) (Curve, error) {
	for i := 1; i < len(f.members); i++ {
		light, dense := f.members[i-1], f.members[i]
		low, ok1 := light.at(p.Water)
		high, ok2 := dense.at(p.Water)
		if !ok1 || !ok2 || !(low <= p.Dry && p.Dry <= high && low < high) {
			continue
		}
		t := (p.Dry - low) / (high - low)
		found := Curve{
			MaxDry:  light.Curve.MaxDry + t*(dense.Curve.MaxDry-light.Curve.MaxDry),
			Optimum: light.Curve.Optimum + t*(dense.Curve.Optimum-light.Curve.Optimum),
			N:       1, Bracketed: true, Peaks: 1,
		}
		if ratio := p.Water / found.Optimum; ratio < onePointDriest || ratio > 1 {
			return Curve{}, fmt.Errorf("%w: its water content is %.0f %% of the optimum found; compact another from 80 to 100 %% of it", ErrOnePoint, 100*ratio)
		}
		return found, nil
	}
	return Curve{}, fmt.Errorf("%w: it plots between no two curves; test this soil on its own", ErrOnePoint)
}

// at is the member's dry density at a water content on the dry side of its
// tested points; false outside them.
func (m Member) at(water float64) (float64, bool) {
	w, dry := distinct(m.Points)
	if len(w) < 3 || water < w[0] || water > w[len(w)-1] {
		return 0, false
	}
	return akima.fit(w, dry).Predict(water), true
}
