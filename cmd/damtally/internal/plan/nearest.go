package plan

import (
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// byRule says how the lab sample of a test that names none was found.
type byRule int

// The rules, in the order in which they are tried.
const (
	byName  byRule = iota
	byPit          // the one sample that the tests of its pit name
	byPlace        // that of the nearest test in its zone that names one
	byMean         // none: the mean of all samples stands
)

// sampleFor is the lab sample that a test in compacted soil is compared with, ""
// for the mean of all. A test that names none takes the sample that the tests of its
// pit name, if they agree; else that of the nearest fill test of its zone that names
// one, since soil that lies side by side was mostly dug side by side; else the mean.
func (j *Job) sampleFor(s *soilOf, t site.DensityTest) (string, byRule) {
	if t.Sample != "" || len(s.samples) < 2 || t.State != "fill" && t.State != "trial" {
		return t.Sample, byName
	}
	if name := j.sampleOfPit(t); name != "" {
		return name, byPit
	}
	if name := j.sampleBeside(t); name != "" {
		return name, byPlace
	}
	return "", byMean
}

// sampleOfPit is the one sample that all tests of the material in a test's pit name,
// "" where there is none or they differ.
func (j *Job) sampleOfPit(t site.DensityTest) string {
	name := ""
	for _, o := range j.site.Density {
		if t.Pit == "" || o.Pit != t.Pit || o.Material != t.Material || o.Sample == "" {
			continue
		}
		if name != "" && o.Sample != name {
			return ""
		}
		name = o.Sample
	}
	return name
}

// sampleBeside is the sample of the nearest fill test of the same material and zone
// that names one, the first of those alike; a place that only one of the two gives
// counts for nothing.
func (j *Job) sampleBeside(t site.DensityTest) string {
	name, best := "", math.Inf(1)
	for _, o := range j.site.Density {
		if !t.Station.Given || !o.Station.Given || o.State != "fill" || o.Material != t.Material || o.Zone != t.Zone || o.Sample == "" {
			continue
		}
		apart := math.Hypot(math.Hypot(between(t.Station, o.Station), between(t.Offset, o.Offset)), between(t.Elevation, o.Elevation))
		if apart < best {
			name, best = o.Sample, apart
		}
	}
	return name
}

// between is how far two places lie apart along one line, 0 where one is blank.
func between(a, b site.Number) float64 {
	if !a.Given || !b.Given {
		return 0
	}
	return a.Value - b.Value
}

// noteNearest says once for each material how the tests that name no sample were
// compared.
func (j *Job) noteNearest() {
	for i := range j.soils {
		s := &j.soils[i]
		var n [byMean + 1]int
		for _, t := range j.site.Density {
			if t.Material == s.row.Name && t.Sample == "" && len(s.samples) > 1 && (t.State == "fill" || t.State == "trial") {
				_, rule := j.sampleFor(s, t)
				n[rule]++
			}
		}
		all := n[byPit] + n[byPlace] + n[byMean]
		if all == 0 {
			continue
		}
		var ways []string
		for _, w := range []struct {
			rule  byRule
			words string
		}{
			{byPit, "with the sample that the tests of the same pit name"},
			{byPlace, "with that of the nearest fill test in the zone that names one"},
			{byMean, "with the mean of all"},
		} {
			if n[w.rule] > 0 {
				ways = append(ways, fmt.Sprintf("%d %s", n[w.rule], w.words))
			}
		}
		j.note("look", site.Ref{Table: "density"}, fmt.Sprintf("%d test%s of %s in compacted soil name%s no lab sample, and there are %d; compared: %s; name the sample to be sure",
			all, plural(all), s.row.Name, singular(all), len(s.samples), strings.Join(ways, ", ")), "common practice")
	}
}

// singular is the ending of a verb: "1 test names", "2 tests name".
func singular(n int) string {
	if n == 1 {
		return "s"
	}
	return ""
}
