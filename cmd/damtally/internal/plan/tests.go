package plan

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// judgeTests says of every in-place test what it comes to.
func (j *Job) judgeTests() {
	for _, row := range j.site.Density {
		t := Test{Row: row, DryDensity: row.DryDensity.Value, Compaction: math.NaN(), Replaced: j.retested(row.ID)}
		if s := j.soil(row.Material); s != nil && row.State == "fill" {
			v := soil.Judge(t.DryDensity, water(row), requirement(s, row.Sample))
			t.Compaction = v.Compaction
			if v.Judged {
				pass := v.Pass
				t.Pass, t.Reasons = &pass, v.Reasons
			}
			if v.Judged && !v.Pass && !t.Replaced {
				j.note("danger", row.Ref, fmt.Sprintf("fill test %s failed (%s) and no retest stands for it; see that it is not buried", named(row.ID), joined(v.Reasons)), "")
			}
		}
		j.tests = append(j.tests, t)
	}
	j.noteRetests()
	j.noteUnjudged()
}

// noteUnjudged says which materials have fill tests and a requirement, but no
// laboratory maximum to compare them with.
func (j *Job) noteUnjudged() {
	for i := range j.soils {
		s := &j.soils[i]
		if s.lab == nil && s.row.RequiredCompaction.Given && len(j.densities(s.row.Name, "fill")) > 0 {
			j.note("look", s.row.Ref, s.row.Name+" has fill tests and a required compaction, but no lab points in `proctor`, so the tests are neither passed nor failed", "")
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

// requirement is what a fill test of a material is held against.
func requirement(s *soilOf, sample string) soil.Requirement {
	var r soil.Requirement
	curve := s.lab
	for i := range s.samples {
		if sample != "" && s.samples[i].Name == sample {
			curve = &s.samples[i].Curve
		}
	}
	if curve != nil {
		r.MaxDry, r.Optimum = curve.MaxDry, curve.Optimum
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
