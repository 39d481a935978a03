package borrow

import (
	"math"
	"slices"

	"github.com/damtally/damtally/earthwork/soil"
	"gonum.org/v1/gonum/stat/distuv"
)

// Measured is a quantity above zero that was measured, with how sure it is. The
// zero Measured is "not measured". What is worked out from it remembers which
// errors are in it and how strongly, so that one that is in two figures is not
// counted as two: a bank volume times its density over the same density is as
// sure as the volume.
type Measured struct {
	Value float64 // SI
	terms []term
}

// term is the share of one error in the logarithm of a quantity.
type term struct {
	of     *cause
	factor float64
}

// cause is one error of measurement: the standard error of a logarithm, and the
// degrees of freedom behind it, 0 for an error that is known and not seen on a
// sample.
type cause struct{ deviation, df float64 }

// Measure is a quantity whose standard error is the given share of it, 0 for none,
// with the degrees of freedom behind that error, 0 where it is known and not
// seen on a sample. The error is independent of that of every other quantity.
func Measure(value, relative, df float64) Measured {
	m := Measured{Value: value}
	if relative > 0 {
		m.terms = []term{{&cause{relative, df}, 1}}
	}
	return m
}

// Exact is a figure that is taken as exact.
func Exact(value float64) Measured { return Measured{Value: value} }

// MeasuredDensity is a mean dry density, kg/m3, with the error that its tests
// show. A typed or unknown density is not measured.
func MeasuredDensity(d soil.Density, s soil.State) Measured {
	relative, df, ok := d.MeanError(s)
	if !ok {
		return Measured{}
	}
	return Measure(d.Value, relative, df)
}

// Known tells whether the quantity was measured.
func (m Measured) Known() bool { return m.Value > 0 && !math.IsInf(m.Value, 1) }

// Times is the product of two quantities; not measured where one is not.
func (m Measured) Times(o Measured) Measured {
	if !m.Known() || !o.Known() {
		return Measured{}
	}
	return Measured{m.Value * o.Value, joined(m.terms, 1, o.terms, 1)}
}

// Over is the quotient of two quantities; not measured where one is not.
func (m Measured) Over(o Measured) Measured {
	if !m.Known() || !o.Known() {
		return Measured{}
	}
	return Measured{m.Value / o.Value, joined(m.terms, 1, o.terms, -1)}
}

// joined adds up the errors of two quantities raised to a power each: errors of
// a logarithm are linear in it.
func joined(a []term, powerA float64, b []term, powerB float64) []term {
	out := make([]term, 0, len(a)+len(b))
	for _, t := range a {
		out = append(out, term{t.of, powerA * t.factor})
	}
	for _, t := range b {
		i := slices.IndexFunc(out, func(o term) bool { return o.of == t.of })
		if i < 0 {
			out = append(out, term{t.of, powerB * t.factor})
			continue
		}
		out[i].factor += powerB * t.factor
	}
	return out
}

// Error is the standard error as a share of the quantity, that of its
// logarithm: variances of independent errors add up.
func (m Measured) Error() float64 {
	sum := 0.0
	for _, t := range m.terms {
		sum += t.variance()
	}
	return math.Sqrt(sum)
}

func (t term) variance() float64 {
	e := t.factor * t.of.deviation
	return e * e
}

// DF are the degrees of freedom behind Error, by Welch and Satterthwaite (B. L.
// Welch, Biometrika 34, 1947; also JCGM 100:2008, annex G.4); 0 where all errors
// are known.
func (m Measured) DF() float64 {
	sum, behind := 0.0, 0.0
	for _, t := range m.terms {
		v := t.variance()
		sum += v
		if t.of.df > 0 {
			behind += v * v / t.of.df
		}
	}
	if behind == 0 {
		return 0
	}
	return sum * sum / behind
}

// Half is half the width of the confidence interval of the logarithm at a level
// in (0, 1): about the share of Value by which it may be off. Degrees of freedom
// that are no whole number are cut to one, as JCGM 100:2008, G.4.1 has it; so a
// spreadsheet gives the same figure.
func (m Measured) Half(level float64) float64 {
	if m.DF() == 0 {
		return distuv.UnitNormal.Quantile((1+level)/2) * m.Error()
	}
	return soil.StudentT((1+level)/2, m.wholeDF()) * m.Error()
}

// wholeDF are the degrees of freedom, where there are any, for Student's t.
func (m Measured) wholeDF() float64 { return max(1, math.Floor(m.DF())) }

// Below is the chance that the quantity is less than a value above zero, as far as
// its error goes; its error is above zero.
func (m Measured) Below(value float64) float64 {
	t := math.Log(value/m.Value) / m.Error()
	if m.DF() == 0 {
		return distuv.UnitNormal.CDF(t)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: m.wholeDF()}.CDF(t)
}

// Interval is the confidence interval at a level in (0, 1), in the unit of
// Value.
func (m Measured) Interval(level float64) soil.Interval {
	h := m.Half(level)
	return soil.Interval{Low: m.Value * math.Exp(-h), High: m.Value * math.Exp(h)}
}

// Joint joins measurements of one quantity into the one that they say
// together: the mean of their logarithms, each weighted by one over its
// variance, which has the least variance of all weighted means when their errors
// are independent (the theorem of Gauss and Markov). disagreement is the weighted sum of squares about it, which
// follows chi square with one degree of freedom fewer than there are
// measurements as long as nothing but measurement error parts them. Quantities
// that were not measured are passed over; an exact one stands alone.
func Joint(ways ...Measured) (best Measured, disagreement float64) {
	sum, weights := 0.0, 0.0
	for _, m := range ways {
		if !m.Known() {
			continue
		}
		e := m.Error()
		if e == 0 {
			return m, 0
		}
		sum += math.Log(m.Value) / (e * e)
		weights += 1 / (e * e)
	}
	if weights == 0 {
		return Measured{}, 0
	}
	best.Value = math.Exp(sum / weights)
	for _, m := range ways {
		if !m.Known() {
			continue
		}
		e := m.Error()
		best.terms = joined(best.terms, 1, m.terms, 1/(e*e*weights))
		gap := (math.Log(m.Value) - sum/weights) / e
		disagreement += gap * gap
	}
	return best, disagreement
}
