//go:build slow

package soil

import (
	"math"
	"testing"
)

// Ten million draws against a hundred thousand, kept out of the normal run
// (go test -tags slow): the quantiles of the smaller number lie within three of
// their standard errors.
func TestTenMillionDraws(t *testing.T) {
	f := worked(t, fewTests())
	for _, of := range []State{Bank, Loose} {
		many, _ := f.Draw(of, 10_000_000, Seed+1)
		few, _ := f.Draw(of, DrawCount, Seed)
		for _, p := range []float64{0.1, 0.5, 0.9} {
			const near = 0.005 // of share, for the slope of the distribution
			slope := 2 * near / (many.Quantile(p+near) - many.Quantile(p-near))
			slack := 3 * math.Sqrt(p*(1-p)/DrawCount) / slope
			if got, want := few.Quantile(p), many.Quantile(p); math.Abs(got-want) > slack {
				t.Errorf("%s %g: %.6f, want %.6f within %.6f", of, p, got, want, slack)
			}
		}
	}
}
