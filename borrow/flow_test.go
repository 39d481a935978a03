package borrow

import (
	"testing"

	"pgregory.net/rapid"
)

// drawNetwork draws a transport network with limits on some arcs, few enough
// amounts and costs that ties are common.
func drawNetwork(t *rapid.T) *network {
	givers, takers := rapid.IntRange(1, 5).Draw(t, "givers"), rapid.IntRange(1, 6).Draw(t, "takers")
	most := rapid.SampledFrom([]int64{3, 10, 1000000}).Draw(t, "most")
	n := &network{}
	for range givers {
		n.need = append(n.need, rapid.Int64Range(0, most).Draw(t, "gives"))
		n.spare = append(n.spare, 0)
	}
	for range takers {
		n.need = append(n.need, -rapid.Int64Range(1, most).Draw(t, "takes"))
		n.spare = append(n.spare, 0)
	}
	for i := range givers {
		for j := range takers {
			if rapid.IntRange(0, 4).Draw(t, "way") == 0 {
				continue
			}
			limit := int64(unlimited)
			if rapid.IntRange(0, 3).Draw(t, "limited") == 0 {
				limit = rapid.Int64Range(0, most).Draw(t, "limit")
			}
			n.arcs = append(n.arcs, flowArc{i, givers + j, limit, rapid.Int64Range(0, most).Draw(t, "cost")})
		}
	}
	for v, need := range n.need {
		if need < 0 {
			n.spare[v] = n.lacking()
		}
	}
	return n
}

// all is the cost of a flow with what is lacking.
func (n *network) all(a *flowAnswer) float64 {
	sum := n.cost(a)
	for v, kept := range a.kept {
		sum += float64(n.spare[v]) * float64(kept)
	}
	return sum
}

func TestFlowIsProvedCheapest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		a := n.solve()
		if err := n.prove(a); err != nil {
			t.Fatal(err)
		}
	})
}

// What one more unit changes is found by figuring the whole network again.
func TestOneMoreUnitChangesWhatItSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		a := n.solve()
		more := n.oneMore(a)
		for v := range n.need {
			again := &network{need: append([]int64(nil), n.need...), spare: n.spare, arcs: n.arcs}
			if again.need[v] < 0 {
				again.need[v]--
			} else {
				again.need[v]++
			}
			if got, want := float64(more[v]), n.all(again.solve())-n.all(a); got != want {
				t.Fatalf("one more at node %d: said %g, is %g", v, got, want)
			}
		}
	})
}

// A proof that accepts anything would prove nothing.
func TestProofRefusesWhatIsNotCheapest(t *testing.T) {
	n := &network{
		need: []int64{5, 5, -4}, spare: []int64{0, 0, 1000},
		arcs: []flowArc{{0, 2, unlimited, 3}, {1, 2, unlimited, 2}},
	}
	good := n.solve()
	if err := n.prove(good); err != nil || good.flow[0] != 0 || good.flow[1] != 4 {
		t.Fatalf("flow %v, %v", good.flow, err)
	}
	for name, a := range map[string]*flowAnswer{
		"the dear way":  {flow: []int64{4, 0}, kept: []int64{1, 5, 0}, price: good.price},
		"too little":    {flow: []int64{0, 3}, kept: []int64{5, 2, 0}, price: good.price},
		"lacking":       {flow: []int64{0, 3}, kept: []int64{5, 2, 1}, price: good.price},
		"wrong prices":  {flow: good.flow, kept: good.kept, price: []int64{0, 0, 4, 0}},
		"less than 0":   {flow: []int64{-1, 5}, kept: []int64{6, 0, 0}, price: good.price},
		"over the need": {flow: []int64{0, 6}, kept: []int64{5, -1, -2}, price: good.price},
	} {
		if n.prove(a) == nil {
			t.Errorf("%s: passed as the cheapest", name)
		}
	}
}
