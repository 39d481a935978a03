package soil

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
)

// Seed is the fixed seed of the random draws, so that the same tests give the
// same range.
const Seed = 20260301

// DrawCount is how many draws a range is taken from: the value that 1 in 10 lies
// below is then known to half a hundredth of the spread.
const DrawCount = 100_000

// Draws are random draws of a volume, relative to the volume figured from the
// means.
type Draws struct {
	logs []float64 // their logarithms, in rising order
}

// Draw draws the volume in the state of (Bank or Loose) that a given compacted
// volume takes, n times (1 or more), from Student's t about the logarithm of each
// mean density. The same seed gives the same draws. It is false where Propagate
// is.
func (f Factors) Draw(of State, n int, seed uint64) (Draws, bool) {
	terms, ok := f.terms(of)
	if !ok || n < 1 {
		return Draws{}, false
	}
	// Each term has a stream of its own, so that more tests in one state do not
	// change the draws of the other. They are drawn side by side for the same reason.
	parts := make([][]float64, len(terms))
	var wait sync.WaitGroup
	for i, t := range terms {
		wait.Go(func() { parts[i] = t.draw(n, source(seed, t.state)) })
	}
	wait.Wait()
	d := Draws{parts[0]}
	for i, dug := range parts[1] {
		d.logs[i] -= dug // the density dug lies under the line
	}
	slices.Sort(d.logs)
	return d, true
}

// source is the stream of random numbers of one state.
func source(seed uint64, s State) rand.Source {
	stream := map[State]uint64{Bank: 1, Loose: 2, Fill: 3}
	return rand.NewPCG(seed, stream[s])
}

// draw draws the term n times: a normal over the root of a chi-squared by its
// degrees of freedom, which is Student's t.
func (t term) draw(n int, source rand.Source) []float64 {
	normal := distuv.Normal{Mu: 0, Sigma: t.scale, Src: source}
	chi := distuv.ChiSquared{K: t.df, Src: source}
	out := make([]float64, n)
	for i := range out {
		out[i] = normal.Rand() / math.Sqrt(chi.Rand()/t.df)
	}
	return out
}

// Quantile is the value, relative to the figured volume, that the given share
// of the draws, from 0 to 1, lies below; between two draws by their logarithms.
func (d Draws) Quantile(share float64) float64 {
	at := share * float64(len(d.logs)-1)
	i := min(int(at), len(d.logs)-1)
	next := min(i+1, len(d.logs)-1)
	return math.Exp(d.logs[i] + (at-float64(i))*(d.logs[next]-d.logs[i]))
}

// Below is the share of the draws, from 0 to 1, that are at or below a value
// above zero, relative to the figured volume: the chance that a supply of that
// size suffices.
func (d Draws) Below(value float64) float64 {
	limit := math.Log(value)
	i, _ := slices.BinarySearchFunc(d.logs, limit, func(v, target float64) int {
		if v <= target {
			return -1
		}
		return 1
	})
	return float64(i) / float64(len(d.logs))
}
