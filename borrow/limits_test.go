package borrow

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// programmed is the relative difference that a linear program in floating point
// may make beside whole numbers.
const programmed = 1e-7

// A limit over one supply, which goes by the linear program, costs what the same
// bound on the supply costs in whole numbers.
func TestLimitOverOneSupplyIsItsBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := drawTransport(t)
		for p := range q.Places {
			q.Places[p].Cost = 0
		}
		q.wholeMetres()
		i := rapid.IntRange(0, len(q.Supplies)-1).Draw(t, "bound")
		s := &q.Supplies[i]
		least := rapid.Float64Range(0, 200).Draw(t, "least")
		most := least + rapid.Float64Range(0, 300).Draw(t, "room")
		bounded := *q
		bounded.Supplies = append([]Supply(nil), q.Supplies...)
		bounded.Places = append(append([]Place(nil), q.Places...), Place{Least: least, Most: most})
		bounded.Supplies[i].Place = len(q.Places)
		want, err := bounded.Allocate()
		if err != nil {
			t.Fatal(err)
		}
		limited := *q
		limited.Limits = []Limit{{Supplies: []int{i}, Least: min(least, s.Bank), Most: most}}
		got, err := limited.Allocate()
		if err != nil {
			t.Fatal(err)
		}
		free, err := q.Allocate()
		if err != nil {
			t.Fatal(err)
		}
		if len(free.Short) > 0 {
			return // what lacks is shared out in another way then
		}
		cannot := 0.0 // by the bound
		for _, x := range want.Short {
			cannot += x.Short
		}
		for _, x := range want.Forced {
			cannot += x.Over
		}
		if max(got.Over, cannot) < 1e-6 && max(got.Over, cannot) > 0 {
			return // within the rounding of the program
		}
		if (len(got.Unheld) > 0) != (cannot > 0) {
			t.Fatalf("limit: %+v %v, bound: %+v %+v", got.Unheld, got.Over, want.Short, want.Forced)
		}
		if len(got.Unheld) == 0 && math.Abs(got.Cost()-want.Cost()) > programmed*max(1, want.Cost()) {
			t.Fatalf("limit costs %v, bound %v", got.Cost(), want.Cost())
		}
	})
}

// Two materials of one pit with a most use for both, by hand: the pit is the near
// one for both zones, and its 100 bank m3 go where they save most.
func TestMostUseOfAPitWithTwoMaterials(t *testing.T) {
	q := plain([]float64{80, 80, 500, 500}, []float64{70, 70}, [][]float64{{1, -1}, {-1, 2}, {5, -1}, {-1, 9}})
	q.Places = []Place{{Name: "near", Most: 100}}
	q.Supplies[0].Place, q.Supplies[1].Place = 0, 0
	a := must(t, q)
	// Zone 1 saves 7 a m3, zone 0 only 4: 70 go to zone 1, 30 to zone 0.
	if want := 70*2 + 30*1 + 40*5.0; math.Abs(a.Cost()-want) > programmed*want {
		t.Errorf("cost %v, want %v: %+v", a.Cost(), want, a.Flows)
	}
	// No soil of the near pit is worth more than it holds, since the limit binds first.
	if a.Saving[0] > programmed || a.Saving[1] > programmed {
		t.Errorf("savings %v", a.Saving)
	}
	q.Places[0] = Place{Name: "near", Least: 150, Most: math.Inf(1)}
	a = must(t, q)
	if len(a.Unheld) != 1 || a.Unheld[0].Name != "near" || math.Abs(a.Over-10) > programmed*10 {
		t.Errorf("a least use of 150 where 140 are taken: %+v, %v", a.Unheld, a.Over)
	}
	q.Places[0] = Place{Name: "near", Least: 120, Most: 130, Cost: 1000}
	q.Routes[0].Cost, q.Routes[1].Cost = 50, 60 // now it is the dear one
	a = must(t, q)
	// 70 to zone 0 at 45 a m3 more, 50 to zone 1 at 51 more, or the other way round.
	if want := 1000 + 70*50 + 50*60 + 20*9.0; math.Abs(a.Cost()-want) > programmed*want {
		t.Errorf("cost %v, want %v", a.Cost(), want)
	}
}

// Opening costs beside limits: every set of opened places is tried one by one.
func TestOpeningWithinLimitsEqualsTryingEverySet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := drawTransport(t)
		q.wholeMetres()
		var all []int
		for i := range q.Supplies {
			if rapid.Bool().Draw(t, "in") {
				all = append(all, i)
			}
		}
		q.Limits = []Limit{{Supplies: all, Most: rapid.Float64Range(0, 1500).Draw(t, "most")}}
		a, err := q.Allocate()
		if err != nil {
			t.Fatal(err)
		}
		if len(a.Short)+len(a.Unheld) > 0 {
			return
		}
		best := math.Inf(1)
		for set := range 1 << len(q.Places) {
			only := *q
			only.Supplies = append([]Supply(nil), q.Supplies...)
			only.Places = make([]Place, len(q.Places))
			cost := 0.0
			for p := range only.Places {
				only.Places[p] = Place{Most: math.Inf(1)}
				if set>>p&1 == 1 {
					cost += q.Places[p].Cost
				}
			}
			for i := range only.Supplies {
				if set>>only.Supplies[i].Place&1 == 0 {
					only.Supplies[i].Bank = 0
				}
			}
			b, err := only.Allocate()
			if err != nil {
				t.Fatal(err)
			}
			if len(b.Short)+len(b.Unheld) == 0 {
				best = min(best, cost+b.Cost())
			}
		}
		if math.Abs(a.Cost()-best) > programmed*max(1, best) {
			t.Fatalf("cost %v, the best set costs %v", a.Cost(), best)
		}
	})
}

func TestWrongLimits(t *testing.T) {
	for name, l := range map[string]Limit{
		"most below least": {Least: 5, Most: 4},
		"no number":        {Least: math.NaN(), Most: 4},
		"no such supply":   {Supplies: []int{7}, Most: 4},
	} {
		q := plain([]float64{5}, []float64{4}, [][]float64{{1}})
		q.Limits = []Limit{l}
		var wrong *TransportError
		if _, err := q.Allocate(); !errors.As(err, &wrong) || wrong.Part != "limit" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// wholeMetres takes out amounts of less than a cubic metre, which no program in floating
// point can tell from rounding beside hundreds.
func (q *Transport) wholeMetres() {
	for j := range q.Demands {
		q.Demands[j].Compacted = math.Ceil(q.Demands[j].Compacted)
	}
	for i := range q.Supplies {
		q.Supplies[i].Bank = math.Ceil(q.Supplies[i].Bank)
	}
}
