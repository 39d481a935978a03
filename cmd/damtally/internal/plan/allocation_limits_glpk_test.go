package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/needtool"
)

// randomLimited draws pits of one to three soils, each with a shrink factor and a
// loss of its own, zones that take some of the soils, and limits over several soils:
// of a whole pit, and of any soils together.
func randomLimited(r *rand.Rand) *borrow.Transport {
	q := &borrow.Transport{}
	asked := 0.0
	for range 2 + r.IntN(5) {
		d := float64(10 + r.IntN(90))
		asked += d
		q.Demands = append(q.Demands, borrow.Demand{Compacted: d})
	}
	pits := 2 + r.IntN(3)
	for p := range pits {
		place := borrow.Place{Most: math.Inf(1)}
		if r.IntN(3) == 0 {
			place.Most = math.Round(asked * (0.2 + r.Float64()))
		}
		if r.IntN(4) == 0 {
			place.Least = math.Round(min(place.Most, asked) * 0.4 * r.Float64())
		}
		q.Places = append(q.Places, place)
		for range 1 + r.IntN(3) {
			q.Supplies = append(q.Supplies, borrow.Supply{
				Bank: math.Round(asked * (0.3 + r.Float64())), Shrink: 0.75 + 0.2*r.Float64(), Loss: 0.15 * r.Float64(), Place: p,
			})
		}
	}
	for i := range q.Supplies {
		for j := range q.Demands {
			if i == 0 || r.IntN(3) > 0 {
				q.Routes = append(q.Routes, borrow.Route{Supply: i, Demand: j, Cost: float64(r.IntN(30))})
			}
		}
	}
	for range 1 + r.IntN(2) {
		l := borrow.Limit{Most: math.Round(asked * (0.3 + r.Float64()))}
		for i := range q.Supplies {
			if r.IntN(2) == 0 {
				l.Supplies = append(l.Supplies, i)
			}
		}
		if r.IntN(2) == 0 {
			l.Least = math.Round(l.Most * 0.6 * r.Float64())
		}
		q.Limits = append(q.Limits, l)
	}
	return q
}

// limitedText writes a problem with limits as GLPK reads it (CPLEX LP format). The
// amounts are compacted volumes, of which a bank volume is one over its gain.
func limitedText(q *borrow.Transport) string {
	var text strings.Builder
	text.WriteString("Minimize\n cost: 0 none")
	bank := func(k int) float64 {
		s := q.Supplies[q.Routes[k].Supply]
		return 1 / (s.Shrink * (1 - s.Loss))
	}
	for k, r := range q.Routes {
		fmt.Fprintf(&text, "\n + %.17g x%d", r.Cost*bank(k), k)
	}
	text.WriteString("\nSubject To\n")
	row := func(in func(borrow.Route) bool, weight func(k int) float64, sense string, right float64) {
		text.WriteString(" 0 none")
		for k, r := range q.Routes {
			if in(r) {
				fmt.Fprintf(&text, "\n + %.17g x%d", weight(k), k)
			}
		}
		fmt.Fprintf(&text, " %s %.17g\n", sense, right)
	}
	bounds := func(in func(supply int) bool, least, most float64) {
		of := func(r borrow.Route) bool { return in(r.Supply) }
		if !math.IsInf(most, 1) {
			row(of, bank, "<=", most)
		}
		if least > 0 {
			row(of, bank, ">=", least)
		}
	}
	for i, s := range q.Supplies {
		bounds(func(k int) bool { return k == i }, 0, s.Bank)
	}
	for j, d := range q.Demands {
		row(func(r borrow.Route) bool { return r.Demand == j }, func(int) float64 { return 1 }, "=", d.Compacted)
	}
	for p, place := range q.Places {
		bounds(func(k int) bool { return q.Supplies[k].Place == p }, place.Least, place.Most)
	}
	for _, l := range q.Limits {
		bounds(func(k int) bool {
			for _, i := range l.Supplies {
				if i == k {
					return true
				}
			}
			return false
		}, l.Least, l.Most)
	}
	text.WriteString("End\n")
	return text.String()
}

// limitedRounding is the relative difference that two linear programs in floating
// point may make.
const limitedRounding = 1e-7

// Within limits over several soils the flows cost as much as those that GLPK finds,
// and are said to be impossible where it finds none.
func TestLimitsEqualGLPK(t *testing.T) {
	glpsol := needtool.Find(t, "glpsol")
	r := rand.New(rand.NewPCG(1951, 6))
	cannot, binding := 0, 0
	for n := range 200 {
		q := randomLimited(r)
		want, _ := solvedText(t, glpsol, limitedText(q))
		a := allocated(t, q)
		held := len(a.Short)+len(a.Forced)+len(a.Unheld) == 0
		if math.IsInf(want, 1) {
			if cannot++; held {
				t.Errorf("problem %d: GLPK finds that it cannot be, ours costs %v", n, a.Cost())
			}
			continue
		}
		if !held || math.Abs(a.Cost()-want) > limitedRounding*max(1, want) {
			t.Errorf("problem %d: cost %v, GLPK says %v; short %+v, forced %+v, limits %+v", n, a.Cost(), want, a.Short, a.Forced, a.Unheld)
			continue
		}
		if unbound := *q; len(q.Limits) > 0 {
			unbound.Limits = nil
			if allocated(t, &unbound).Cost() < a.Cost()*(1-limitedRounding) {
				binding++
			}
		}
		if n%10 == 0 { // figuring every neighbour takes long
			limitedPrices(t, n, q, a)
		}
	}
	if cannot == 0 || cannot > 120 || binding < 20 {
		t.Errorf("%d of 200 problems cannot be and in %d the limits bind; the test wants some of each", cannot, binding)
	}
}

// limitedPrices checks that each price lies between what one more and one less
// would really change.
func limitedPrices(t *testing.T, n int, q *borrow.Transport, a *borrow.Allocation) {
	t.Helper()
	const step = 1e-3 // a whole m3 may pass a corner of the costs on its way
	for i := range q.Supplies {
		moreSaves := (a.Cost() - costAfter(t, q, &q.Supplies[i].Bank, step)) / step
		lessCosts := (costAfter(t, q, &q.Supplies[i].Bank, -step) - a.Cost()) / step
		if slack := 1e-3; a.Saving[i] < moreSaves-slack || a.Saving[i] > lessCosts+slack {
			t.Errorf("problem %d, supply %d: saving %v, one more saves %v, one less costs %v", n, i, a.Saving[i], moreSaves, lessCosts)
		}
	}
}
