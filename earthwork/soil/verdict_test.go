package soil

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The window of -2 to +2 points and the required 95 % are common in practice
// (UFC 3-220-20 gives -2 to +2 points about optimum for most uses).
func TestJudge(t *testing.T) {
	req := Requirement{MaxDry: 1800, Optimum: 0.14, Compaction: 0.95, Low: ptr(-0.02), High: ptr(0.02)}
	nan := math.NaN()
	for name, c := range map[string]struct {
		dry, water float64
		req        Requirement
		judged     bool
		reasons    []string
	}{
		"passes":                  {1750, 0.14, req, true, nil},
		"just at the density":     {0.95 * 1800, 0.14, req, true, nil},
		"just at the wet edge":    {1750, 0.14 + 0.02, req, true, nil},
		"just at the dry edge":    {1750, 0.14 - 0.02, req, true, nil},
		"94.96 % is not 95 %":     {0.9496 * 1800, 0.14, req, true, []string{LowDensity}},
		"too wet":                 {1750, 0.1605, req, true, []string{TooWet}},
		"too dry":                 {1750, 0.1195, req, true, []string{TooDry}},
		"loose and wet":           {1600, 0.20, req, true, []string{LowDensity, TooWet}},
		"no water content":        {1750, nan, req, true, nil},
		"no laboratory test":      {1750, 0.14, Requirement{Compaction: 0.95, High: ptr(0.02)}, false, nil},
		"nothing required":        {1750, 0.14, Requirement{MaxDry: 1800, Optimum: 0.14}, false, nil},
		"one side of the window":  {1750, 0.30, Requirement{Optimum: 0.14, Low: ptr(-0.02)}, true, nil},
		"wet of optimum required": {1750, 0.14, Requirement{Optimum: 0.14, Low: ptr(0.01)}, true, []string{TooDry}},
	} {
		v := Judge(c.dry, c.water, c.req)
		if v.Judged != c.judged || v.Pass != (c.judged && len(c.reasons) == 0) {
			t.Errorf("%s: %+v", name, v)
		}
		if diff := cmp.Diff(c.reasons, v.Reasons); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		if math.IsNaN(v.Compaction) != (c.req.MaxDry == 0) {
			t.Errorf("%s: compaction %g", name, v.Compaction)
		}
	}
}

// Denser never fails where looser passed, and a test passes or has a reason.
func TestJudgeMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		req := Requirement{MaxDry: 1800, Optimum: 0.14, Compaction: rapid.Float64Range(0.9, 1).Draw(t, "required"), Low: ptr(-0.02), High: ptr(0.03)}
		dry := rapid.Float64Range(1500, 1900).Draw(t, "dry")
		water := rapid.Float64Range(0.10, 0.20).Draw(t, "water")
		v, denser := Judge(dry, water, req), Judge(dry*1.01, water, req)
		if v.Pass && !denser.Pass {
			t.Fatalf("%+v passes, denser %+v does not", v, denser)
		}
		if v.Pass == (len(v.Reasons) > 0) {
			t.Fatalf("%+v", v)
		}
	})
}
