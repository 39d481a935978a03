package soil

import "math"

// term is the logarithm of one mean density as a random variable: Student's t
// with df degrees of freedom, times scale, about its logarithm.
type term struct {
	state State
	scale float64
	df    float64
}

// termOf is what is known of a density with stated practice weighed in: its
// tests' variance and practice's variance, weighted by their degrees of freedom
// (the conjugate prior of a normal variance: Gelman and others, Bayesian Data
// Analysis, section 3.3). Two tests that happen to agree do not make a mean
// certain this way, and two that do not agree do not make it absurd.
func termOf(d Density, s State) (term, bool) {
	p, ok := d.Precision(s)
	if !ok {
		return term{}, false
	}
	if p.Assumed {
		return term{s, p.Variation / math.Sqrt(float64(p.N)), p.DF}, true
	}
	return blended(s, p.Variation, p.N, p.N), true
}

// blended is the term of a mean of n tests whose spread was seen on the given
// number of tests.
func blended(s State, variation float64, seen, n int) term {
	prior := s.Variation()
	df := float64(practiceWeight + seen - 1)
	variance := (practiceWeight*prior*prior + float64(seen-1)*variation*variation) / df
	return term{s, math.Sqrt(variance / float64(n)), float64(practiceWeight + n - 1)}
}

// variance is that of scaled Student's t: scale^2 df / (df - 2), df above 2.
func (t term) variance() float64 { return t.scale * t.scale * t.df / (t.df - 2) }

// terms are what drives a volume of the given state, fill first; false when one
// of the two densities is not known or the factor was typed.
func (f Factors) terms(of State) ([]term, bool) {
	other := f.Bank
	if of == Loose {
		other = f.Loose
	}
	fill, ok := termOf(f.Fill, Fill)
	if !ok || of == Bank && (f.ShrinkFrom == Typed || f.ShrinkFrom == Published) {
		return nil, false
	}
	dug, ok := termOf(other, of)
	return []term{fill, dug}, ok
}

// outOfTen is the standard normal quantile that 1 in 10 lies above.
const outOfTen = 1.2815515655446004

// FirstOrder is a volume's uncertainty by first-order propagation: variances of
// logarithms add up.
type FirstOrder struct {
	// Deviation is the standard deviation of the logarithm of the volume: about
	// the volume's own relative one.
	Deviation float64
	Shares    []VarianceShare // what drives it, largest first; adds up to 1
}

// VarianceShare is the part of the variance that one state's tests bring in.
type VarianceShare struct {
	State State
	Share float64 // fraction
}

// Range gives the values, relative to the figured volume, that 1 in 10 lies
// below and above, by the normal distribution of the logarithm.
func (o FirstOrder) Range() Interval {
	return Interval{math.Exp(-outOfTen * o.Deviation), math.Exp(outOfTen * o.Deviation)}
}

// Half is half the width of Range, relative to the volume.
func (o FirstOrder) Half() float64 {
	r := o.Range()
	return (r.High - r.Low) / 2
}

// Propagate gives the uncertainty of the volume in the state of (Bank or Loose)
// that a given compacted volume takes, to first order. It is false where a
// density is not known or the factor was typed, since a typed factor says nothing
// of how sure it is.
func (f Factors) Propagate(of State) (FirstOrder, bool) {
	terms, ok := f.terms(of)
	if !ok {
		return FirstOrder{}, false
	}
	return propagate(terms), true
}

// propagate adds up the variances of the terms and sorts their shares.
func propagate(terms []term) FirstOrder {
	total := 0.0
	for _, t := range terms {
		total += t.variance()
	}
	o := FirstOrder{Deviation: math.Sqrt(total)}
	for _, t := range terms {
		share := VarianceShare{t.state, t.variance() / total}
		if len(o.Shares) > 0 && o.Shares[0].Share < share.Share {
			o.Shares = append([]VarianceShare{share}, o.Shares...)
		} else {
			o.Shares = append(o.Shares, share)
		}
	}
	return o
}

// Purchase is what more tests of one state would do to a volume's range.
type Purchase struct {
	State         State
	Tests         int     // how many more
	Before, After float64 // half the width of the range that 1 in 10 lies below and above, relative
}

// NextTests says in which state more tests narrow the range of the volume in the
// state of (Bank or Loose) the most, when the new tests spread as those before.
// It is false where Propagate is. A planned fill density is compared with that
// many fill tests in its place.
func (f Factors) NextTests(of State, more int) (Purchase, bool) {
	terms, ok := f.terms(of)
	if !ok || more < 1 {
		return Purchase{}, false
	}
	best := Purchase{Tests: more, Before: propagate(terms).Half(), After: math.Inf(1)}
	for i, t := range terms {
		after := append([]term(nil), terms...)
		after[i] = f.with(t.state, more)
		if h := propagate(after).Half(); h < best.After {
			best.State, best.After = t.state, h
		}
	}
	return best, best.After < best.Before
}

// with is the term of a state after more tests in it.
func (f Factors) with(s State, more int) term {
	d := map[State]Density{Bank: f.Bank, Loose: f.Loose, Fill: f.Fill}[s]
	if d.From == Planned {
		return blended(s, s.Variation(), 1, more)
	}
	p, _ := d.Precision(s)
	return blended(s, p.Variation, p.N, p.N+more)
}
