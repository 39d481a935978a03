package soil

import "fmt"

// Tested is a test's place in a chain of retests: its number and the number of
// the test that it repeats, which is blank for a first test.
type Tested struct {
	ID, RetestOf string
}

// Chain is a first test with all that repeat it, directly or through another, as
// indices into the tests, in their order.
type Chain struct {
	Tests []int
	// Last are the tests that no other repeats: those that stand. There is more
	// than one where a test was repeated twice side by side.
	Last []int
}

// CycleError says that a test repeats itself through others.
type CycleError struct {
	Index int // of one test of the ring, the first in order
	ID    string
}

// Error names the test.
func (e *CycleError) Error() string {
	return fmt.Sprintf("test %s is a retest of itself, through others", e.ID)
}

// Chains sorts tests into chains, in the order in which each is first met. A test
// whose RetestOf names no test begins a chain of its own; of several tests with
// one number the first is meant. A ring of retests is a *CycleError.
func Chains(tests []Tested) ([]Chain, error) {
	first := map[string]int{}
	for i, t := range tests {
		if _, seen := first[t.ID]; !seen && t.ID != "" {
			first[t.ID] = i
		}
	}
	root := make([]int, len(tests))
	repeated := make([]bool, len(tests))
	for i := range tests {
		at := i
		for range tests {
			next, ok := first[tests[at].RetestOf]
			if !ok || tests[at].RetestOf == "" {
				break
			}
			if at == i {
				repeated[next] = true
			}
			at = next
			if at == i {
				return nil, &CycleError{i, tests[i].ID}
			}
		}
		root[i] = at
	}
	return gather(root, repeated), nil
}

// gather collects the tests of each root; the last are those not repeated.
func gather(root []int, repeated []bool) []Chain {
	var out []Chain
	place := map[int]int{}
	for i, r := range root {
		k, ok := place[r]
		if !ok {
			k = len(out)
			place[r] = k
			out = append(out, Chain{})
		}
		out[k].Tests = append(out[k].Tests, i)
		if !repeated[i] {
			out[k].Last = append(out[k].Last, i)
		}
	}
	return out
}
