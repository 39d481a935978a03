package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// judgeTests says of every in-place test what it comes to.
func (j *Job) judgeTests(ps *site.Problems) {
	j.checkChains(ps)
	for _, row := range j.site.Density {
		t := Test{Row: row, DryDensity: row.DryDensity.Value, Replaced: j.retested(row.ID), Compaction: math.NaN()}
		t.MaxDry, t.Optimum, t.FromOptimum, t.Saturation, t.AirVoids = math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN()
		if s := j.soil(row.Material); s != nil {
			j.describe(&t, s, ps)
		}
		j.tests = append(j.tests, t)
	}
	j.noteRetests()
	j.noteEarlyRetests()
	j.noteNearest()
	j.noteUnjudged()
	j.noteGravity()
	j.noteStones()
}

// describe works out what follows from a test, and judges a fill test.
func (j *Job) describe(t *Test, s *soilOf, ps *site.Problems) {
	compacted := t.Row.State == "fill" || t.Row.State == "trial"
	t.Sample, _ = j.sampleFor(s, t.Row)
	lab, err := s.labFor(t.Row, t.Sample)
	if compacted && s.lab != nil && !s.hasSample(t.Sample) {
		lab, err = nil, nil
		j.note("look", t.Row.Ref, fmt.Sprintf("%s test %s names sample %s, which is of another effort than %s requires, so it is neither passed nor failed", t.Row.State, named(t.Row.ID), t.Sample, s.row.Name), "")
	}
	if err != nil && compacted {
		*ps = append(*ps, oversizeProblem(t.Row.Ref, err))
		return
	}
	in := soil.InPlace{Dry: t.DryDensity, Water: water(t.Row), MaxDry: math.NaN(), Optimum: math.NaN(), Gravity: s.row.SpecificGravity.Or(math.NaN())}
	if lab != nil && compacted {
		in.MaxDry, in.Optimum = lab.MaxDry, lab.Optimum
	}
	d := in.Derive()
	t.MaxDry, t.Optimum = in.MaxDry, in.Optimum
	t.FromOptimum, t.Saturation, t.AirVoids = d.FromOptimum, d.Saturation, d.AirVoids
	if d.Impossible {
		*ps = append(*ps, j.overSaturatedTest(t, in.Gravity))
		return
	}
	t.Compaction = d.Compaction
	if t.Row.State != "fill" {
		return
	}
	v := soil.Judge(t.DryDensity, in.Water, requirement(s, lab))
	if v.Judged {
		pass := v.Pass
		t.Pass, t.Reasons = &pass, v.Reasons
	}
	if v.Judged && !v.Pass && !t.Replaced {
		j.note("danger", t.Row.Ref, fmt.Sprintf("fill test %s failed (%s) and no retest stands for it; %s. Until a retest replaces it, it counts in the mean fill density",
			named(t.Row.ID), joined(v.Reasons), j.buriedWords(t.Row)), "")
	}
}

// overSaturatedTest says that a test holds less than no air.
func (j *Job) overSaturatedTest(t *Test, gravity float64) site.Problem {
	most := soil.ZeroAirVoids(gravity, t.Row.WaterContent.Value)
	return site.Problem{
		Ref: t.Row.Ref, Column: "water content",
		What: fmt.Sprintf("%s test %s has %s dry at %s water, which is more than full of water; without any air left the soil would weigh %s (specific gravity %.2f), so the test cannot be",
			t.Row.State, named(t.Row.ID), j.density(t.DryDensity), percent(t.Row.WaterContent.Value), j.density(most), gravity),
		Mend: "check the density, the water content and the material's specific gravity",
	}
}

// checkChains refuses tests that repeat each other in a ring.
func (j *Job) checkChains(ps *site.Problems) {
	tests := make([]soil.Tested, len(j.site.Density))
	for i, t := range j.site.Density {
		tests[i] = soil.Tested{ID: t.ID, RetestOf: t.RetestOf}
	}
	_, err := soil.Chains(tests)
	var ring *soil.CycleError
	if errors.As(err, &ring) {
		*ps = append(*ps, site.Problem{
			Ref: j.site.Density[ring.Index].Ref, Column: "retest of",
			What: fmt.Sprintf("test %s repeats itself through others, so none of them stands", named(ring.ID)),
			Mend: "let each retest name the failed test before it",
		})
	}
}

// noteUnjudged says which materials have fill tests and a requirement, but no
// laboratory maximum to compare them with.
func (j *Job) noteUnjudged() {
	for i := range j.soils {
		s := &j.soils[i]
		if s.lab == nil && s.row.RequiredCompaction.Given && len(j.densities(s.row.Name, "fill")) > 0 {
			lacks := "no lab points in `proctor`"
			if j.otherEffort(s.row) != "" {
				lacks = "no lab points of the " + s.row.Effort + " effort that it names in `proctor`"
			}
			j.note("look", s.row.Ref, s.row.Name+" has fill tests and a required compaction, but "+lacks+", so the tests are neither passed nor failed", "")
		}
	}
}

// noteGravity says of which materials with tests no specific gravity is given, so that
// no test of them can be caught holding more water than it has room for.
func (j *Job) noteGravity() {
	for i := range j.soils {
		s := &j.soils[i]
		tested := slices.ContainsFunc(j.site.Density, func(t site.DensityTest) bool { return t.Material == s.row.Name && t.WaterContent.Given })
		if tested && !s.bought && !s.row.SpecificGravity.Given {
			j.note("note", s.row.Ref, fmt.Sprintf("%s has no `specific gravity`, so saturation and air voids of its tests are not known, and its lab points are held against %.2f, which catches gross errors only", s.row.Name, heaviest), "")
		}
	}
}

// noteStones says what was taken for granted of the stones in tests that were
// compared with a curve corrected for them.
func (j *Job) noteStones() {
	for i := range j.soils {
		s := &j.soils[i]
		var names []string
		at, gravity := site.Ref{}, 0.0
		for _, t := range j.tests {
			if t.Row.Material != s.row.Name || math.IsNaN(t.MaxDry) || !(t.Row.OversizeFraction.Or(0) > soil.OversizeIgnored) {
				continue
			}
			if names == nil {
				at, gravity = t.Row.Ref, s.stoneGravity(t.Sample)
			}
			names = append(names, named(t.Row.ID))
		}
		if names != nil {
			which := "test " + names[0]
			if len(names) > 1 {
				which = "tests " + andList(names)
			}
			j.note("note", at, fmt.Sprintf("%s: the oversize in %s is taken to be dry stone of specific gravity %.2f; each is compared with the lab curve corrected for its own",
				s.row.Name, which, gravity), oversizeSource)
		}
	}
}

// noteRetests says once that replaced tests are left out of the means.
func (j *Job) noteRetests() {
	n := 0
	for _, t := range j.tests {
		if t.Replaced && t.Row.State == "fill" {
			n++
		}
	}
	if n > 0 {
		j.note("note", site.Ref{Table: "density"}, fmt.Sprintf("%d fill test%s tested again; only the retest counts in the mean fill density", n, wasWere(n)), "")
	}
}

func wasWere(n int) string {
	if n == 1 {
		return " was"
	}
	return "s were"
}

// requirement is what a fill test of a material is held against, with the curve
// of its sample, nil without lab points.
func requirement(s *soilOf, lab *soil.Curve) soil.Requirement {
	var r soil.Requirement
	if lab != nil {
		r.MaxDry, r.Optimum = lab.MaxDry, lab.Optimum
	}
	r.Compaction = s.row.RequiredCompaction.Value
	if s.row.WaterLow.Given {
		r.Low = &s.row.WaterLow.Value
	}
	if s.row.WaterHigh.Given {
		r.High = &s.row.WaterHigh.Value
	}
	return r
}

func water(t site.DensityTest) float64 { return t.WaterContent.Or(math.NaN()) }

func joined(reasons []string) string {
	out := ""
	for i, r := range reasons {
		if i > 0 {
			out += ", "
		}
		out += r
	}
	return out
}

// soil finds a material in use by name.
func (j *Job) soil(name string) *soilOf {
	for i := range j.soils {
		if j.soils[i].row.Name == name {
			return &j.soils[i]
		}
	}
	return nil
}
