package soil

import (
	"cmp"
	"math"
	"slices"
)

// Strip is one density test of a trial strip.
type Strip struct {
	Passes     int     // of the machine, one direction each; 0 is spread soil
	Compaction float64 // fraction of the laboratory maximum
}

// Step is what a machine reached with a number of passes.
type Step struct {
	Passes     int
	N          int     // tests
	Compaction float64 // their mean
	// Smooth is the mean raised where fewer passes did better: passes do not
	// loosen soil, so such a dip is scatter (isotonic regression).
	Smooth float64
}

// Growth is how compaction grows with the passes of one machine in one soil.
type Growth struct {
	Steps []Step // by rising passes
	// Fitted says that a curve could be laid through the steps: Ceiling - Drop x
	// exp(-Rate x passes). It takes three numbers of passes and a bend.
	Fitted              bool
	Ceiling, Drop, Rate float64
}

// MeasureGrowth sums up the tests of one machine in one soil, in any order.
func MeasureGrowth(tests []Strip) Growth {
	var g Growth
	sorted := slices.Clone(tests)
	slices.SortFunc(sorted, func(a, b Strip) int {
		return cmp.Or(cmp.Compare(a.Passes, b.Passes), cmp.Compare(a.Compaction, b.Compaction))
	})
	for _, t := range sorted {
		if n := len(g.Steps); n == 0 || g.Steps[n-1].Passes != t.Passes {
			g.Steps = append(g.Steps, Step{Passes: t.Passes})
		}
		s := &g.Steps[len(g.Steps)-1]
		s.N++
		s.Compaction += (t.Compaction - s.Compaction) / float64(s.N)
	}
	g.smooth()
	g.fit()
	return g
}

// smooth is isotonic regression by pooling neighbours that fall (Ayer and
// others, 1955), each step weighted by its tests.
func (g *Growth) smooth() {
	type pool struct {
		sum, weight float64
		steps       int
	}
	var pools []pool
	for _, s := range g.Steps {
		pools = append(pools, pool{s.Compaction * float64(s.N), float64(s.N), 1})
		for n := len(pools); n > 1 && pools[n-2].sum*pools[n-1].weight > pools[n-1].sum*pools[n-2].weight; n-- {
			last := pools[n-1]
			pools = pools[:n-1]
			p := &pools[n-2]
			p.sum, p.weight, p.steps = p.sum+last.sum, p.weight+last.weight, p.steps+last.steps
		}
	}
	i := 0
	for _, p := range pools {
		for range p.steps {
			g.Steps[i].Smooth = p.sum / p.weight
			i++
		}
	}
}

// The rates of growth that the fit looks at, per pass: at the slowest a machine
// needs 60 passes for most of what it can do, at the fastest one pass does it.
// Beyond either the steps show no bend, and nothing is fitted.
const (
	slowestRate = 0.05
	fastestRate = 3.0
	rateSteps   = 200
	// thirdings narrow the rate down by (2/3)^40, to eight figures.
	thirdings = 40
)

// fit lays the curve by least squares: for each rate the ceiling and the drop
// follow from a straight line in exp(-rate x passes). The best rate is looked for
// on a fine scale, then narrowed down between its neighbours.
func (g *Growth) fit() {
	if len(g.Steps) < 3 {
		return
	}
	rate := func(step float64) float64 {
		return slowestRate * math.Pow(fastestRate/slowestRate, step/rateSteps)
	}
	miss := func(step float64) float64 {
		_, _, m := g.line(rate(step))
		return m
	}
	best, at := math.Inf(1), -1
	for i := range rateSteps + 1 {
		if m := miss(float64(i)); m < best {
			best, at = m, i
		}
	}
	if at <= 0 || at >= rateSteps {
		return
	}
	low, high := float64(at-1), float64(at+1)
	for range thirdings {
		a, b := low+(high-low)/3, high-(high-low)/3
		if miss(a) <= miss(b) {
			high = b
		} else {
			low = a
		}
	}
	ceiling, drop, _ := g.line(rate(low))
	if drop > 0 {
		g.Fitted, g.Ceiling, g.Drop, g.Rate = true, ceiling, drop, rate(low)
	}
}

// line is the straight line ceiling - drop x for x = exp(-rate passes), each
// step weighted by its tests, and the sum of its squared misses.
func (g *Growth) line(rate float64) (ceiling, drop, miss float64) {
	var n, sx, sy float64
	for _, s := range g.Steps {
		w := float64(s.N)
		n += w
		sx += w * math.Exp(-rate*float64(s.Passes))
		sy += w * s.Compaction
	}
	var sxx, sxy float64
	for _, s := range g.Steps {
		dx, dy := math.Exp(-rate*float64(s.Passes))-sx/n, s.Compaction-sy/n
		sxx += float64(s.N) * dx * dx
		sxy += float64(s.N) * dx * dy
	}
	drop = -sxy / sxx
	ceiling = sy/n + drop*sx/n
	for _, s := range g.Steps {
		d := s.Compaction - ceiling + drop*math.Exp(-rate*float64(s.Passes))
		miss += float64(s.N) * d * d
	}
	return ceiling, drop, miss
}

// Reach says how a number of passes is known.
type Reach string

// The ways to know it.
const (
	Tried    Reach = "tried"     // within the passes of the trial
	Beyond   Reach = "beyond"    // more passes than were tried, by the curve
	OutReach Reach = "not known" // the trial does not show it
	Never    Reach = "never"     // the machine's ceiling lies below
)

// farthest is how many times the passes tried the curve is trusted.
const farthest = 2

// Needed is the least number of passes that reaches a compaction on the mean.
// Within the trial it is read between the smoothed steps; beyond it off the
// curve, up to twice the passes tried. The number is 0 for OutReach and Never.
func (g Growth) Needed(required float64) (int, Reach) {
	for i, s := range g.Steps {
		if s.Smooth < required-compareSlack {
			continue
		}
		if i == 0 {
			return s.Passes, Tried
		}
		before := g.Steps[i-1]
		part := (required - before.Smooth) / (s.Smooth - before.Smooth)
		exact := float64(before.Passes) + part*float64(s.Passes-before.Passes)
		return int(math.Ceil(exact - wholePass)), Tried
	}
	if !g.Fitted {
		return 0, OutReach
	}
	if g.Ceiling <= required {
		return 0, Never
	}
	most := g.Steps[len(g.Steps)-1].Passes
	n := int(math.Ceil(math.Log(g.Drop/(g.Ceiling-required))/g.Rate - wholePass))
	if n > farthest*most {
		return 0, OutReach
	}
	return max(n, most+1), Beyond
}

// wholePass guards a whole number of passes against rounding: 4.000000001
// passes are 4.
const wholePass = 1e-6

// LiftAfter is the compacted thickness, m, of a lift spread loose to the given
// thickness (m), from the two dry densities (kg/m3, above zero): the soil has
// nowhere to go but down.
func LiftAfter(loose, looseDry, fillDry float64) float64 { return loose * looseDry / fillDry }
