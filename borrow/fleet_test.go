package borrow

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork/soil"
	"github.com/damtally/damtally/testdata/published"
	"pgregory.net/rapid"
)

// One roller keeps up with 540 bank yd3 an hour: its production by 16.3 W S L E /
// P, carried to the bank, published in testdata/published/soil/roller-production.csv.
func TestRollerAgainstArrival(t *testing.T) {
	r := published.Find(t, published.Read(t, "soil/roller-production.csv"), "case", "vibratory")
	roller := soil.Rolling{
		Width: r.Number(t, "W_ft") * feet, Speed: r.Number(t, "S_mph") * miles / hour, Lift: r.Number(t, "L_in") / 12 * feet,
		Efficiency: r.Number(t, "E"), Passes: int(r.Number(t, "P")),
	}
	compacted := roller.Production() * hour / cubicYd
	published.Near(t, "compacted yd3/h", compacted, r.Number(t, "computed_ccy_h_exact"), r.Half(t, "computed_ccy_h_exact"))
	bank := compacted / r.Number(t, "compacted_per_bank")
	// The source takes 16.3 for 16.296, two parts in ten thousand more.
	published.Near(t, "bank yd3/h", bank, r.Number(t, "published_bcy_h"), r.Half(t, "published_bcy_h")+2.3e-4*bank)
	p, err := PaceOf([]Stage{{"hauling", 540, 1}, {"rolling", bank, 0}})
	if err != nil || p.Machines[1] != 1 || p.Slowest != 0 {
		t.Errorf("%+v, %v", p, err)
	}
	published.Near(t, "share of the roller's time", p.Busy[1], 0.92, 0.005) // published 0.92
}

func TestPaceOf(t *testing.T) {
	p, err := PaceOf([]Stage{{"loading", 10, 1}, {"hauling", 3, 5}, {"rolling", 12, 0}, {"water", math.Inf(1), 0}})
	if err != nil || p.Rate != 10 || p.Slowest != 0 || p.Machines[2] != 1 || p.Machines[3] != 1 || p.Busy[3] != 0 {
		t.Errorf("%+v, %v", p, err)
	}
	if p, _ = PaceOf([]Stage{{"loading", 10, 1}, {"hauling", 3, 2}}); p.Rate != 6 || p.Slowest != 1 || p.Busy[0] != 0.6 {
		t.Errorf("%+v", p)
	}
	// Without a number the first stage has one machine.
	if p, _ = PaceOf([]Stage{{"loading", 10, 0}, {"hauling", 3, 0}}); p.Rate != 10 || p.Machines[0] != 1 || p.Machines[1] != 4 {
		t.Errorf("%+v", p)
	}
	if _, err = PaceOf([]Stage{{"loading", math.NaN(), 1}, {"hauling", math.Inf(1), 1}}); !errors.Is(err, ErrNoStages) {
		t.Errorf("%v", err)
	}
}

// The pace is no faster than any stage; one machine less where the number was
// worked out would hold it up; the slowest stage is busy all the time.
func TestPaceProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var stages []Stage
		for range rapid.IntRange(1, 6).Draw(t, "n") {
			stages = append(stages, Stage{"", rapid.Float64Range(0.1, 20).Draw(t, "each"), rapid.IntRange(0, 4).Draw(t, "machines")})
		}
		p, err := PaceOf(stages)
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range stages {
			if float64(p.Machines[i])*s.Each < p.Rate*(1-1e-9) {
				t.Fatalf("stage %d is slower than the pace: %+v of %+v", i, p, stages)
			}
			if s.Machines == 0 && p.Machines[i] > 1 && float64(p.Machines[i]-1)*s.Each >= p.Rate {
				t.Fatalf("stage %d has a machine too many: %+v of %+v", i, p, stages)
			}
		}
		if math.Abs(p.Busy[p.Slowest]-1) > 1e-12 {
			t.Fatalf("the slowest waits: %+v", p)
		}
	})
}
