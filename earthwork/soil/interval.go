package soil

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is a range with the confidence that it was asked for.
type Interval struct {
	Low, High float64
}

// Precision is how well a mean is known.
type Precision struct {
	// Variation is the standard deviation of single tests / their mean.
	Variation float64
	N         int     // tests behind the mean
	DF        float64 // degrees of freedom of Variation
	// Assumed says that Variation is from stated practice, not from the tests.
	Assumed bool
}

// Precision says how well the density is known: from its own tests where there
// are two or more, from stated practice for one. A planned density (Planned) has
// the spread of laboratory maxima and of crews' means, over Samples laboratory
// samples (one where that is not known). It is false for a density that is not
// known.
func (d Density) Precision(s State) (Precision, bool) {
	switch {
	case d.From == Planned:
		n := max(1, d.Samples)
		lab := LabVariation / math.Sqrt(float64(n))
		return Precision{Variation: math.Hypot(lab, CrewVariation), N: 1, DF: practiceWeight, Assumed: true}, true
	case d.From != FromTests || d.N < 1 || !(d.Value > 0):
		return Precision{}, false
	case d.N == 1:
		return Precision{Variation: s.Variation(), N: 1, DF: practiceWeight, Assumed: true}, true
	}
	return Precision{Variation: d.SD / d.Value, N: d.N, DF: float64(d.N - 1)}, true
}

// Half is half the width of the mean's confidence interval / the mean:
// t s / (mean sqrt(n)), Student's t of the level in (0, 1) on both sides. It is
// wide for few tests: with two, t is 12.7 at 95 %.
func (p Precision) Half(level float64) float64 {
	return StudentT((1+level)/2, p.DF) * p.Variation / math.Sqrt(float64(p.N))
}

// Interval is the confidence interval of the mean, in its own unit: mean (1 -+
// Half). A lower end below zero stands as zero, since no density is negative.
func (p Precision) Interval(mean, level float64) Interval {
	h := p.Half(level)
	return Interval{Low: max(0, mean*(1-h)), High: mean * (1 + h)}
}

// StudentT is the quantile of Student's t: the value that a draw stays below
// with the given probability, in (0, 1), at the given degrees of freedom, above
// zero.
func StudentT(probability, df float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(probability)
}

// FactorIntervals are confidence intervals of the factors; one that cannot be
// figured, since a factor is typed or not known, is nil.
type FactorIntervals struct {
	Shrink, Swell, LoadFactor *Interval
}

// Intervals gives the confidence intervals of the factors at a level in (0, 1).
//
// A factor is a quotient of two means. Its interval is taken on the logarithm,
// where the two half widths join in quadrature (the method of variance
// estimates recovery: Zou and Donner, Statistics in Medicine 27, 2008). Unlike
// the interval with Welch's degrees of freedom, it never gets wider when one of
// the two means becomes better known.
func (f Factors) Intervals(level float64) FactorIntervals {
	bank, knowBank := f.Bank.Precision(Bank)
	loose, knowLoose := f.Loose.Precision(Loose)
	fill, knowFill := f.Fill.Precision(Fill)
	var out FactorIntervals
	if knowBank && knowFill && f.ShrinkFrom != Typed && f.ShrinkFrom != Published {
		out.Shrink = quotient(f.Shrink, bank.Half(level), fill.Half(level))
	}
	if knowBank && knowLoose && f.SwellFrom == FromTests {
		bulk := quotient(1+f.Swell, bank.Half(level), loose.Half(level))
		out.Swell = &Interval{bulk.Low - 1, bulk.High - 1}
		out.LoadFactor = &Interval{1 / bulk.High, 1 / bulk.Low}
	}
	return out
}

// quotient is the interval of a quotient from the relative half widths of its
// two means.
func quotient(value, half1, half2 float64) *Interval {
	h := math.Hypot(half1, half2)
	return &Interval{value * math.Exp(-h), value * math.Exp(h)}
}
