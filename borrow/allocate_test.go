package borrow

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// plain is a question in which one bank m3 makes one compacted m3.
func plain(give, take []float64, cost [][]float64) *Transport {
	t := &Transport{}
	for _, g := range give {
		t.Supplies = append(t.Supplies, Supply{Bank: g, Shrink: 1, BankDensity: 1600, Place: -1})
	}
	for _, d := range take {
		t.Demands = append(t.Demands, Demand{Compacted: d})
	}
	for i, row := range cost {
		for j, c := range row {
			if c >= 0 {
				t.Routes = append(t.Routes, Route{i, j, c})
			}
		}
	}
	return t
}

// arithmetic is the relative difference that rounding of floating point may
// make.
const arithmetic = 1e-9

func alike(a, b float64) bool {
	return a == b || math.Abs(a-b) <= arithmetic*max(1, math.Abs(a), math.Abs(b))
}

func must(t testing.TB, q *Transport) *Allocation {
	t.Helper()
	a, err := q.Allocate()
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Two pits, two zones, worked by hand: the near pit is small. One more bank m3
// in it saves the difference of the hauls, less what the far pit costs anyway.
func TestAllocationByHand(t *testing.T) {
	q := plain([]float64{100, 1000}, []float64{80, 60}, [][]float64{{1, 4}, {3, 5}})
	q.Supplies[0].Loss, q.Supplies[0].Shrink = 0.1, 0.9
	// Pit 0 makes 81 compacted m3 at 1/0.81 and 4/0.81 each; the far one at 3 and 5.
	a := must(t, q)
	// Feeding zone 0 from the near pit saves 3 - 1/0.81, zone 1 only 5 - 4/0.81.
	want := 80/0.81*1 + 1/0.81*4 + 59*5
	if !alike(a.Cost(), want) || len(a.Short)+len(a.Forced) > 0 {
		t.Errorf("cost %v, want %v: %+v", a.Cost(), want, a)
	}
	if want := (5 - 4/0.81) * 0.81; !alike(a.Saving[0], want) || a.Saving[1] != 0 {
		t.Errorf("savings %v, want %v and 0", a.Saving, want)
	}
	if !alike(a.Price[1], 5) || !alike(a.Price[0], 1/0.81+5-4/0.81) {
		t.Errorf("prices %v", a.Price)
	}
}

// drawTransport draws pits with materials and losses, zones that take some of
// the materials, opening costs and limits.
func drawTransport(t *rapid.T) *Transport {
	q := &Transport{}
	places := rapid.IntRange(1, 5).Draw(t, "places")
	for range places {
		p := Place{Most: math.Inf(1)}
		if rapid.Bool().Draw(t, "costs") {
			p.Cost = rapid.Float64Range(0, 3000).Draw(t, "opening")
		}
		q.Places = append(q.Places, p)
	}
	for i := range places {
		for range rapid.IntRange(1, 2).Draw(t, "layers") {
			q.Supplies = append(q.Supplies, Supply{
				Kind: FromPit, Bank: rapid.Float64Range(0, 900).Draw(t, "bank"), Shrink: rapid.Float64Range(0.7, 1).Draw(t, "shrink"),
				Loss: rapid.Float64Range(0, 0.3).Draw(t, "loss"), BankDensity: rapid.Float64Range(1300, 1900).Draw(t, "density"), Place: i,
			})
		}
	}
	for j := range rapid.IntRange(1, 6).Draw(t, "demands") {
		q.Demands = append(q.Demands, Demand{Compacted: rapid.Float64Range(0, 400).Draw(t, "compacted")})
		for i := range q.Supplies {
			if rapid.IntRange(0, 4).Draw(t, "suits") > 0 {
				q.Routes = append(q.Routes, Route{i, j, rapid.Float64Range(0, 20).Draw(t, "cost")})
			}
		}
	}
	return q
}

// Dry mass dug, less loss, is the dry mass in the dam, by supply; no supply gives
// more than it holds; what is asked is what comes and what lacks.
func TestAllocationConservesMass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := drawTransport(t)
		a, err := q.Allocate()
		if err != nil {
			t.Fatal(err)
		}
		dug, placed := make([]float64, len(q.Supplies)), make([]float64, len(q.Supplies))
		bank, got := make([]float64, len(q.Supplies)), make([]float64, len(q.Demands))
		asked, came, lacks := 0.0, 0.0, 0.0
		for _, f := range a.Flows {
			r := q.Routes[f.Route]
			s := &q.Supplies[r.Supply]
			bank[r.Supply] += f.Bank
			dug[r.Supply] += f.DryMass
			// The density in the dam by its definition: shrink = bank / fill density.
			placed[r.Supply] += f.Compacted * s.BankDensity / s.Shrink
			got[r.Demand] += f.Compacted
			came += f.Compacted
		}
		for i, s := range q.Supplies {
			if !alike(dug[i]*(1-s.Loss), placed[i]) {
				t.Fatalf("supply %d: %v kg less loss against %v kg in the dam", i, dug[i], placed[i])
			}
			if bank[i] > s.Bank+arithmetic {
				t.Fatalf("supply %d gives %v of %v", i, bank[i], s.Bank)
			}
		}
		for j, d := range q.Demands {
			asked += d.Compacted
			if got[j] > d.Compacted*(1+arithmetic) || len(a.Short) == 0 && !alike(got[j], d.Compacted) {
				t.Fatalf("demand %d gets %v of %v", j, got[j], d.Compacted)
			}
		}
		for _, s := range a.Short {
			lacks += s.Short
		}
		if !alike(asked, came+lacks) {
			t.Fatalf("%v asked, %v came, %v lacks", asked, came, lacks)
		}
	})
}

// Opening costs: every set of opened places is figured one by one.
func TestOpeningEqualsTryingEverySet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := drawTransport(t)
		a, err := q.Allocate()
		if err != nil {
			t.Fatal(err)
		}
		if len(a.Short) > 0 {
			return
		}
		best := math.Inf(1)
		for set := range 1 << len(q.Places) {
			only := *q
			only.Supplies = append([]Supply(nil), q.Supplies...)
			only.Places = append([]Place(nil), q.Places...)
			cost := 0.0
			for p := range only.Places {
				only.Places[p].Cost = 0
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
			if len(b.Short) == 0 {
				best = min(best, cost+b.Cost())
			}
		}
		if !alike(a.Cost(), best) {
			t.Fatalf("cost %v, the best set costs %v", a.Cost(), best)
		}
	})
}

// Taking a pit away never makes it cheaper.
func TestFewerPitsNeverCostLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := drawTransport(t)
		all, err := q.Allocate()
		if err != nil {
			t.Fatal(err)
		}
		gone := rapid.IntRange(0, len(q.Supplies)-1).Draw(t, "gone")
		q.Supplies[gone].Bank = 0
		fewer, err := q.Allocate()
		if err != nil {
			t.Fatal(err)
		}
		if len(all.Short) > len(fewer.Short) && len(fewer.Short) == 0 {
			t.Fatal("soil that was short suffices without a pit")
		}
		if len(fewer.Short) == 0 && fewer.Cost() < all.Cost()*(1-arithmetic)-arithmetic {
			t.Fatalf("%v with all, %v with fewer", all.Cost(), fewer.Cost())
		}
	})
}

// A shortage names demands and supplies that anybody can add up.
func TestShortageIsACertificate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := drawTransport(t)
		a, err := q.Allocate()
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range a.Short {
			in := map[int]bool{}
			feeds := map[int]bool{}
			needed, available := 0.0, 0.0
			for _, j := range s.Demands {
				in[j] = true
				needed += q.Demands[j].Compacted
			}
			for _, i := range s.Supplies {
				feeds[i] = true
				available += q.Supplies[i].Bank * q.Supplies[i].gain()
			}
			for _, r := range q.Routes {
				if in[r.Demand] && !feeds[r.Supply] {
					t.Fatalf("supply %d may feed demand %d and is not named", r.Supply, r.Demand)
				}
			}
			if s.Short <= 0 || math.Abs(needed-available-s.Short) > arithmetic*max(1, needed) {
				t.Fatalf("%v needed, %v there, said to be short by %v", needed, available, s.Short)
			}
		}
	})
}

// Soil that just suffices is not short, whatever floating point makes of it.
func TestJustEnoughIsEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Supply{Shrink: rapid.Float64Range(0.7, 1).Draw(t, "shrink"), Loss: rapid.Float64Range(0, 0.3).Draw(t, "loss"), Place: -1}
		q := &Transport{}
		total := 0.0
		for j := range rapid.IntRange(1, 30).Draw(t, "reaches") {
			d := rapid.Float64Range(0, 5000).Draw(t, "compacted")
			q.Demands = append(q.Demands, Demand{Compacted: d})
			q.Routes = append(q.Routes, Route{0, j, 1})
			total += d
		}
		s.Bank = BankFor(total, s.Shrink, s.Loss)
		q.Supplies = []Supply{s}
		if a, err := q.Allocate(); err != nil || len(a.Short) > 0 {
			t.Fatalf("%v, %+v", err, a)
		}
	})
}

// Least use is dug even where it is dear, and what cannot be placed is proved.
func TestLeastUse(t *testing.T) {
	q := plain([]float64{500, 500}, []float64{300}, [][]float64{{1}, {9}})
	q.Places = []Place{{Most: math.Inf(1)}, {Least: 120, Most: 400, Cost: 50}}
	q.Supplies[0].Place, q.Supplies[1].Place = 0, 1
	a := must(t, q)
	if want := 180*1.0 + 120*9 + 50; !alike(a.Cost(), want) {
		t.Errorf("cost %v, want %v", a.Cost(), want)
	}
	q.Places[1].Least = 350
	a = must(t, q)
	if len(a.Forced) != 1 || !alike(a.Forced[0].Over, 50) || !alike(a.Cost(), 300*9+50) {
		t.Errorf("least use that cannot be placed: %+v", a)
	}
}

func TestTransportErrors(t *testing.T) {
	for name, spoil := range map[string]func(*Transport){
		"negative bank":  func(q *Transport) { q.Supplies[0].Bank = -1 },
		"no shrink":      func(q *Transport) { q.Supplies[0].Shrink = 0 },
		"all lost":       func(q *Transport) { q.Supplies[0].Loss = 1 },
		"no number":      func(q *Transport) { q.Demands[0].Compacted = math.NaN() },
		"endless":        func(q *Transport) { q.Demands[0].Compacted = math.Inf(1) },
		"negative cost":  func(q *Transport) { q.Routes[0].Cost = -1 },
		"past all cost":  func(q *Transport) { q.Routes[0].Cost = 1e250 },
		"all but lost":   func(q *Transport) { q.Supplies[0].Shrink, q.Routes[0].Cost = 1e-200, 1e20 },
		"past all soil":  func(q *Transport) { q.Demands[0].Compacted = 1e40 },
		"no such supply": func(q *Transport) { q.Routes[0].Supply = 7 },
		"no such place":  func(q *Transport) { q.Supplies[0].Place = 3 },
		"density":        func(q *Transport) { q.Supplies[0].BankDensity = math.NaN() },
		"most below":     func(q *Transport) { q.Places = []Place{{Least: 5, Most: 4}} },
	} {
		q := plain([]float64{5}, []float64{4}, [][]float64{{1}})
		spoil(q)
		var wrong *TransportError
		if _, err := q.Allocate(); !errors.As(err, &wrong) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
