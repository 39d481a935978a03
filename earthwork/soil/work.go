package soil

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// Input is what is known of one soil's three states. Densities are dry, kg/m3.
type Input struct {
	Bank, Loose, Fill []float64 // dry densities of field tests

	MaxDry   float64 // laboratory maximum, 0 when not known
	Samples  int     // laboratory samples behind MaxDry, 0 when not known
	Expected float64 // expected compaction, fraction of MaxDry, 0 when not known

	// Typed factors stand in only where density tests do not give the factor.
	TypedShrink *float64 // compacted volume / bank volume
	TypedSwell  *float64 // loose volume / bank volume - 1
}

// ErrNoShrink says that a shrink factor can be had in none of three ways. The
// error that Work returns is a *NoShrinkError, which wraps it.
var ErrNoShrink = errors.New("the shrink factor is not known")

// NoShrinkError lists the ways to a shrink factor and what each lacks.
type NoShrinkError struct {
	Ways []Way
}

// Way is a way to a shrink factor: what it rests on and what of it is missing.
type Way struct {
	Name  string
	Lacks []string
}

// Error names the ways and what each lacks.
func (e *NoShrinkError) Error() string {
	var b strings.Builder
	b.WriteString(ErrNoShrink.Error())
	b.WriteString("; give one of: ")
	for i, w := range e.Ways {
		if i > 0 {
			b.WriteString(", or ")
		}
		fmt.Fprintf(&b, "%s (missing: %s)", w.Name, strings.Join(w.Lacks, ", "))
	}
	return b.String()
}

// Unwrap lets errors.Is find ErrNoShrink.
func (e *NoShrinkError) Unwrap() error { return ErrNoShrink }

// ValueError is returned by Work for a value that cannot be.
type ValueError struct {
	What  string // which value, as "bank dry density"
	Index int    // which test of that state, from 0; -1 for a single value
	Value float64
	Must  string // what it must be, as "above 0"
}

// Error says what is wrong and what the value must be.
func (e *ValueError) Error() string {
	if e.Index < 0 {
		return fmt.Sprintf("%s is %g; it must be %s", e.What, e.Value, e.Must)
	}
	return fmt.Sprintf("%s of test %d is %g; it must be %s", e.What, e.Index+1, e.Value, e.Must)
}

// Work works out the factors that link a soil's three states.
//
// The fill dry density is the mean of the fill tests, else Expected x MaxDry
// (Planned). The shrink factor is bank / fill dry density where both are known,
// else the typed one; with neither, the factors found so far come back with a
// *NoShrinkError. The swell is bank / loose dry density - 1 where both have
// tests, else the typed one, else it is not known, which is no error: SwellFrom
// is Unknown, and Swell and LoadFactor are 0.
//
// Equal mass of solids is behind both (UFC 3-220-20, 2025, section 3-4.3.2).
// A value that cannot be is a *ValueError.
func Work(in Input) (Factors, error) {
	if err := in.check(); err != nil {
		return Factors{}, err
	}
	f := Factors{Bank: DensityOf(in.Bank), Loose: DensityOf(in.Loose), Fill: DensityOf(in.Fill)}
	if f.Fill.From == Unknown && in.MaxDry > 0 && in.Expected > 0 {
		f.Fill = Density{Value: in.Expected * in.MaxDry, From: Planned, Samples: in.Samples}
	}
	switch {
	case f.Bank.From != Unknown && f.Loose.From != Unknown:
		f.Swell, f.SwellFrom = f.Bank.Value/f.Loose.Value-1, FromTests
	case in.TypedSwell != nil:
		f.Swell, f.SwellFrom = *in.TypedSwell, Typed
	}
	if f.SwellFrom != Unknown {
		f.LoadFactor = 1 / (1 + f.Swell)
	}
	switch {
	case f.Bank.From != Unknown && f.Fill.From != Unknown:
		f.Shrink, f.ShrinkFrom = f.Bank.Value/f.Fill.Value, f.Fill.From
	case in.TypedShrink != nil:
		f.Shrink, f.ShrinkFrom = *in.TypedShrink, Typed
	default:
		return f, in.noShrink()
	}
	return f, nil
}

// noShrink lists what each of the three ways to a shrink factor lacks.
func (in Input) noShrink() *NoShrinkError {
	lacks := func(missing ...string) (out []string) {
		for _, m := range missing {
			if m != "" {
				out = append(out, m)
			}
		}
		return out
	}
	absent := func(missing bool, what string) string {
		if missing {
			return what
		}
		return ""
	}
	bank := absent(len(in.Bank) == 0, "bank tests")
	return &NoShrinkError{[]Way{
		{"density tests in bank and fill", lacks(bank, absent(len(in.Fill) == 0, "fill tests"))},
		{"bank tests with the laboratory maximum and the required compaction", lacks(bank,
			absent(in.MaxDry == 0, "laboratory maximum"), absent(in.Expected == 0, "required compaction"))},
		{"a typed shrink factor", lacks("shrink factor")},
	}}
}

// check returns a *ValueError for the first value that cannot be.
func (in Input) check() error {
	states := []struct {
		what  string
		tests []float64
	}{{"bank dry density", in.Bank}, {"loose dry density", in.Loose}, {"fill dry density", in.Fill}}
	for _, s := range states {
		for i, v := range s.tests {
			if !(v > 0) || math.IsInf(v, 1) {
				return &ValueError{s.what, i, v, "above 0"}
			}
		}
	}
	for _, s := range []struct {
		what  string
		value float64
	}{{"laboratory maximum dry density", in.MaxDry}, {"expected compaction", in.Expected}} {
		if !(s.value >= 0) || math.IsInf(s.value, 1) {
			return &ValueError{s.what, -1, s.value, "above 0, or 0 when not known"}
		}
	}
	if v := in.TypedShrink; v != nil && (!(*v > 0) || math.IsInf(*v, 1)) {
		return &ValueError{"shrink factor", -1, *v, "above 0"}
	}
	if v := in.TypedSwell; v != nil && (!(*v > -1) || math.IsInf(*v, 1)) {
		return &ValueError{"swell", -1, *v, "above -100 %"}
	}
	return nil
}
