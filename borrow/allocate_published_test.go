package borrow

import (
	"testing"

	"github.com/damtally/damtally/testdata/published"
)

// The transportation problems of testdata/published/volume/transport_data.csv,
// against the optima of the file beside it: published ones and those of GLPK.
// transp_4x5 comes with the results of two rules of thumb, both of them dearer.
func TestPublishedTransports(t *testing.T) {
	questions := map[string]*Transport{}
	for _, row := range published.Read(t, "volume/transport_data.csv") {
		q := questions[row["problem_id"]]
		if q == nil {
			q = &Transport{}
			questions[row["problem_id"]] = q
		}
		value := row.Number(t, "value")
		switch row["kind"] {
		case "supply":
			q.Supplies = append(q.Supplies, Supply{Bank: value, Shrink: 1, Place: -1})
		case "demand":
			q.Demands = append(q.Demands, Demand{Compacted: value})
		case "cost":
			q.Routes = append(q.Routes, Route{int(row.Number(t, "i")) - 1, int(row.Number(t, "j")) - 1, value})
		}
	}
	for _, row := range published.Read(t, "volume/transport_results.csv") {
		name := row["problem_id"]
		q := questions[name]
		if q == nil {
			t.Fatalf("no problem %s", name)
		}
		a := must(t, q)
		published.Near(t, name, a.Cost(), row.Number(t, "glpsol_optimum"), arithmetic*a.Cost())
		if row.Has("published_optimum") {
			published.Near(t, name+" as published", a.Cost(), row.Number(t, "published_optimum"), row.Half(t, "published_optimum"))
		}
		if len(a.Short)+len(a.Forced) > 0 {
			t.Errorf("%s: said to be short: %+v", name, a.Short)
		}
	}
}

// The same beer problem without the dummy source that the textbook adds: the
// demand is 100 above the supply, and just that is short.
func TestShortTransportWithoutDummy(t *testing.T) {
	q := plain([]float64{1000, 3000}, []float64{500, 900, 1800, 200, 700}, [][]float64{{2, 4, 5, 2, 1}, {3, 1, 3, 2, 3}})
	a := must(t, q)
	if len(a.Short) != 1 || a.Short[0].Short != 100 || len(a.Short[0].Demands) != 5 || len(a.Short[0].Supplies) != 2 {
		t.Fatalf("%+v", a.Short)
	}
	published.Near(t, "cost", a.Cost(), 8300, arithmetic*8300) // beer_short_dummy, by GLPK
}
