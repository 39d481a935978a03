package plan

import (
	"math"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// TestBidAddsUp holds the bottom of a bid against the same sums worked by hand.
func TestBidAddsUp(t *testing.T) {
	s := site.Settings{
		Currency: "$", Overhead: site.Number{Value: 0.1, Given: true},
		Contingency: site.Number{Value: 0.05, Given: true}, Profit: site.Number{Value: 0.08, Given: true},
	}
	j := &Job{site: site.Site{Settings: s}}
	nan := math.NaN()
	r := &Result{Items: []Item{{Amount: 1000, Cost: 800}, {Amount: 500, Cost: nan}}}
	r.Quantities.Overbuild = 20
	r.Bid, r.Unpaid = j.bid(r)
	// 1,500; 10 % = 150; 5 % of 1,650 = 82.50; 8 % of 1,732.50 = 138.60; 1,871.10.
	for what, pair := range map[string][2]float64{
		"items": {r.Bid.Items, 1500}, "overhead": {r.Bid.Overhead, 150}, "contingency": {r.Bid.Contingency, 82.5},
		"profit": {r.Bid.Profit, 138.6}, "total": {r.Bid.Total, 1871.1}, "cost": {r.Bid.Cost, 800}, "costed": {float64(r.Bid.Costed), 1},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-9*pair[1] { // rounding of sums
			t.Errorf("%s is %.6f, want %.6f", what, pair[0], pair[1])
		}
	}
	if len(r.Unpaid) != 1 || r.Unpaid[0].Key != "overbuild" || r.Unpaid[0].Volume != 20 {
		t.Errorf("unpaid: %+v", r.Unpaid)
	}
}
