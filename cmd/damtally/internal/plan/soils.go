package plan

import (
	"errors"
	"fmt"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/earthwork/soil"
)

// aboveRequired is how far crews must average above the least compaction so
// that single tests pass, as a fraction: 2 points.
const (
	aboveRequired       = 0.02
	aboveRequiredSource = "UFC 3-220-20 (2025), section 3-4.3.2"
)

// soilOf is a material in use with what tests say of it.
type soilOf struct {
	row     site.Material
	bought  bool
	lab     *soil.Curve
	fine    *soil.Curve // mean of the samples as tested, before any oversize correction
	samples []Sample
	factors soil.Factors
	known   bool
	spread  *Spread // nil for bought stone
}

// prepareSoils finds the materials in use, reads their curves and works out
// their factors.
func (j *Job) prepareSoils() site.Problems {
	var ps site.Problems
	for _, row := range j.materialsInUse(&ps) {
		s := soilOf{row: row, bought: row.Source == "bought"}
		j.readCurves(&s, &ps)
		j.workFactors(&s, &ps)
		j.soils = append(j.soils, s)
	}
	j.prepareSpread()
	j.noteUnknown()
	j.judgeTests(&ps)
	return ps
}

// noteUnknown says once that nothing is known of the soil.
func (j *Job) noteUnknown() {
	for i := range j.soils {
		if j.soils[i].known || j.soils[i].bought {
			return
		}
	}
	j.note("look", site.Ref{}, "no density tests and no typed factors are given, so only compacted volumes are known; "+
		"with a table `materials` and `density` tests or typed factors the plan also gives bank and loose volumes", "")
}

// materialsInUse lists the materials of the table, or without one those that
// the zones name. When neither says, the dam is of one material.
func (j *Job) materialsInUse(ps *site.Problems) []site.Material {
	rows := j.site.Materials
	if len(rows) == 0 {
		var names []string
		for _, z := range j.site.Zones {
			names = append(names, z.Materials...)
		}
		if len(names) == 0 {
			names = []string{earthwork.DefaultZone}
		}
		for _, b := range j.site.Blankets {
			names = append(names, b.Material)
		}
		for _, name := range unique(names) {
			rows = append(rows, site.Material{Name: name})
		}
		return rows
	}
	if len(j.site.Zones) == 0 && j.fillMaterial() == "" {
		*ps = append(*ps, site.Problem{
			Ref:  site.Ref{Table: "materials"},
			What: fmt.Sprintf("there are %d materials and no table `zones`, so it is not known which the dam is built of", len(rows)),
			Mend: "add a table `zones`, or name one material fill",
		})
	}
	return rows
}

// fillMaterial is the material of a dam without zones.
func (j *Job) fillMaterial() string {
	rows := j.site.Materials
	for _, m := range rows {
		if m.Name == earthwork.DefaultZone {
			return m.Name
		}
	}
	switch len(rows) {
	case 0:
		return earthwork.DefaultZone
	case 1:
		return rows[0].Name
	}
	return ""
}

// zoneMaterials is what a zone may be built of, first choice first.
func (j *Job) zoneMaterials(zone int) []string {
	if len(j.site.Zones) == 0 {
		return []string{j.fillMaterial()}
	}
	return j.site.Zones[zone].Materials
}

// inUse tells whether a zone or a blanket may be built of the material.
func (j *Job) inUse(name string) bool {
	for _, b := range j.site.Blankets {
		if b.Material == name {
			return true
		}
	}
	for i := range max(1, len(j.site.Zones)) {
		for _, m := range j.zoneMaterials(i) {
			if m == name {
				return true
			}
		}
	}
	return false
}

// readCurves reads the laboratory tests of a material: one curve a sample, of
// the effort that the material names. Their mean is the material's own.
func (j *Job) readCurves(s *soilOf, ps *site.Problems) {
	points, order, effort, first := j.labPoints(s.row, ps)
	j.noteOtherEffort(s.row)
	*ps = append(*ps, j.overSaturated(s.row, effort)...)
	var single []string // samples of one point, which take a family to read
	for _, sample := range order {
		c, err := soil.FitCurve(points[sample])
		switch {
		case err == nil:
			j.noteCurve(s.row.Name, sample, c, first[sample])
			j.addSample(s, Sample{Name: sample, Curve: c, Fine: c}, first[sample], ps)
		case len(points[sample]) == 1:
			single = append(single, sample)
		default:
			*ps = append(*ps, noCurve(s.row, sample, first[sample], err))
		}
	}
	j.readSingle(s, single, points, first, ps)
	s.average()
	if len(s.samples) > 1 {
		j.note("note", s.row.Ref, fmt.Sprintf("%s has %d lab samples (%s effort); the plan uses the mean of their maximum dry densities, and a field test is compared with the sample that it names",
			s.row.Name, len(s.samples), effort), "")
	}
}

// noCurve says that a sample gives no curve.
func noCurve(m site.Material, sample string, at site.Ref, err error) site.Problem {
	return site.Problem{
		Ref: at, Column: "sample",
		What: fmt.Sprintf("sample %s of %s gives no compaction curve: %v", named(sample), m.Name, err),
		Mend: "give at least three points at different water contents",
	}
}

// addSample keeps a sample, corrected for its oversize.
func (j *Job) addSample(s *soilOf, read Sample, at site.Ref, ps *site.Problems) {
	j.correctOversize(s.row, &read, at, ps)
	s.samples = append(s.samples, read)
}

// average takes the mean of the samples as the material's own curve.
func (s *soilOf) average() {
	n := float64(len(s.samples))
	if n == 0 {
		return
	}
	mean, fine := soil.Curve{Bracketed: true}, soil.Curve{}
	for _, p := range s.samples {
		mean.MaxDry += p.Curve.MaxDry / n
		mean.Optimum += p.Curve.Optimum / n
		mean.N += p.Curve.N
		mean.Bracketed = mean.Bracketed && p.Curve.Bracketed
		fine.MaxDry += p.Fine.MaxDry / n
		fine.Optimum += p.Fine.Optimum / n
	}
	s.lab, s.fine = &mean, &fine
}

// overSaturated finds lab points that no soil of the material's specific
// gravity can reach, since they would hold less than no air.
func (j *Job) overSaturated(m site.Material, effort string) site.Problems {
	var ps site.Problems
	gravity := m.SpecificGravity.Or(heaviest)
	for _, p := range j.site.Proctor {
		if p.Material != m.Name || p.Effort != effort {
			continue
		}
		most := soil.ZeroAirVoids(gravity, p.WaterContent)
		if p.DryDensity <= most*(1+readingSlack) {
			continue
		}
		ps = append(ps, site.Problem{
			Ref: p.Ref, Column: "dry density",
			What: fmt.Sprintf("sample %s has %s dry at %s water; without any air left the soil would weigh %s (specific gravity %.2f), so the point cannot be",
				named(p.Sample), j.density(p.DryDensity), percent(p.WaterContent), j.density(most), gravity),
			Mend: "check the density, the water content and the specific gravity",
		})
	}
	return ps
}

// heaviest is the specific gravity taken where none is given, for the check
// alone: few soils are heavier (common practice; US Army FM 5-472 gives 2.60 to
// 2.80 for most inorganic soils).
const heaviest = 3.0

// readingSlack is how far a lab point may lie above the zero-air-voids line
// before it is called wrong, relative: a lab states densities to 0.1 pcf in 100
// and specific gravity to 0.01 in 2.7.
const readingSlack = 0.005

// noteOtherEffort says which samples of a material are left out, since they are of
// another effort than it names: a percent of one is no percent of the other.
func (j *Job) noteOtherEffort(m site.Material) {
	var names []string
	var other site.LabPoint
	for _, p := range j.site.Proctor {
		if p.Material == m.Name && m.Effort != "" && p.Effort != m.Effort {
			if len(names) == 0 {
				other = p
			}
			names = append(names, named(p.Sample))
		}
	}
	if names = unique(names); len(names) > 0 {
		j.note("look", other.Ref, fmt.Sprintf("%s: sample%s %s %s of %s effort and %s is required, which cannot be compared, so %s left out",
			m.Name, plural(len(names)), strings.Join(names, ", "), oneMany(len(names), "is", "are"), other.Effort, m.Effort, oneMany(len(names), "it is", "they are")), "")
	}
}

// oneMany chooses a word by number.
func oneMany(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// labPoints groups a material's lab points by sample, of one effort.
func (j *Job) labPoints(m site.Material, ps *site.Problems) (points map[string][]soil.Point, order []string, effort string, first map[string]site.Ref) {
	points, first = map[string][]soil.Point{}, map[string]site.Ref{}
	effort = m.Effort
	for _, p := range j.site.Proctor {
		if p.Material != m.Name {
			continue
		}
		if effort == "" {
			effort = p.Effort
			j.note("note", m.Ref, fmt.Sprintf("%s names no `effort`; the lab's %s effort is taken", m.Name, effort), "")
		}
		if p.Effort != effort {
			if m.Effort == "" {
				*ps = append(*ps, site.Problem{
					Ref: p.Ref, Column: "effort",
					What: fmt.Sprintf("%s has lab points of %s and of %s effort", m.Name, effort, p.Effort),
					Mend: "say in `materials` which `effort` is required",
				})
			}
			continue
		}
		if _, seen := points[p.Sample]; !seen {
			order = append(order, p.Sample)
			first[p.Sample] = p.Ref
		}
		points[p.Sample] = append(points[p.Sample], soil.Point{Water: p.WaterContent, Dry: p.DryDensity})
	}
	return points, order, effort, first
}

// workFactors works out shrink, swell and fill density of a material.
func (j *Job) workFactors(s *soilOf, ps *site.Problems) {
	in := soil.Input{
		Bank:  j.densities(s.row.Name, "bank"),
		Loose: j.densities(s.row.Name, "loose"),
		Fill:  j.densities(s.row.Name, "fill"),
	}
	if s.lab != nil {
		in.MaxDry, in.Samples = s.lab.MaxDry, len(s.samples)
		in.Expected = j.expected(s.row, len(in.Fill) == 0)
	}
	if s.row.ShrinkFactor.Given {
		in.TypedShrink = &s.row.ShrinkFactor.Value
	}
	if s.row.Swell.Given {
		in.TypedSwell = &s.row.Swell.Value
	}
	typical := j.typical(s, &in, ps)
	f, err := soil.Work(in)
	typical.mark(&f)
	s.factors = f
	s.known = err == nil
	j.factorNotes(s, in)
	if err == nil && f.SwellFrom == soil.FromTests && f.Swell <= 0 {
		*ps = append(*ps, site.Problem{
			Ref: s.row.Ref, Column: "material",
			What: fmt.Sprintf("%s: its loose tests are no lighter than its bank tests (%s and %s dry), but soil swells when it is dug",
				s.row.Name, j.density(f.Loose.Value), j.density(f.Bank.Value)),
			Mend: "look in `density` whether bank and loose were mixed up, or wet and dry",
		})
	}
	if err == nil || s.bought || len(j.site.Materials) == 0 || !j.inUse(s.row.Name) {
		return
	}
	*ps = append(*ps, j.factorProblem(s.row, err))
}

// otherEffort is the effort of a material's lab points when none of them is of
// the effort that the material names, "" else.
func (j *Job) otherEffort(m site.Material) string {
	other := ""
	for _, p := range j.site.Proctor {
		if p.Material == m.Name && p.Effort == m.Effort {
			return ""
		}
		if p.Material == m.Name && m.Effort != "" {
			other = p.Effort
		}
	}
	return other
}

// factorProblem says why a material stops, and the ways out.
func (j *Job) factorProblem(m site.Material, err error) site.Problem {
	p := site.Problem{Ref: m.Ref, Column: "material"}
	var none *soil.NoShrinkError
	if !errors.As(err, &none) {
		p.What = fmt.Sprintf("%s: %v", m.Name, err)
		p.Mend = "check its tests"
		return p
	}
	p.What = fmt.Sprintf("%s has no shrink factor, so its bank volume cannot be figured", m.Name)
	ways := make([]string, len(none.Ways))
	for i, w := range none.Ways {
		ways[i] = fmt.Sprintf("(%d) %s (missing: %s)", i+1, w.Name, strings.Join(w.Lacks, ", "))
	}
	p.Mend = "give one of: " + strings.Join(ways, "; ")
	if other := j.otherEffort(m); other != "" {
		p.What += fmt.Sprintf("; its lab points are of %s effort and %s is required, which cannot be compared", other, m.Effort)
	}
	return p
}

// expected is the compaction that crews will average, as a fraction; 0 when
// nothing is required or typed. tell says that it will be used.
func (j *Job) expected(m site.Material, tell bool) float64 {
	if m.ExpectedCompaction.Given {
		return m.ExpectedCompaction.Value
	}
	if !m.RequiredCompaction.Given {
		return 0
	}
	e := m.RequiredCompaction.Value + aboveRequired
	if tell {
		j.note("note", m.Ref, fmt.Sprintf("%s: expected compaction is taken as %s, 2 points above the required %s, since crews must average above the least",
			m.Name, percent(e), percent(m.RequiredCompaction.Value)), aboveRequiredSource)
	}
	return e
}

// factorNotes says what stands behind a material's factors.
func (j *Job) factorNotes(s *soilOf, in soil.Input) {
	f := s.factors
	name := s.row.Name
	if f.ShrinkFrom == soil.Typed {
		j.noteOf("look", s.row.Ref, "a shrink factor was typed, not measured; every bank and loose volume of the material rests on it", fmt.Sprintf("%s %.3f", name, f.Shrink), "")
	} else if s.row.ShrinkFactor.Given && f.ShrinkFrom != soil.Unknown {
		j.note("note", s.row.Ref, fmt.Sprintf("%s: the typed shrink factor %.3f is not used, since tests give %.3f", name, s.row.ShrinkFactor.Value, f.Shrink), "")
	}
	if f.SwellFrom == soil.Typed {
		j.noteOf("look", s.row.Ref, "a swell was typed, not measured; loose volumes and loads of the material rest on it", name+" "+percent(f.Swell), "")
	} else if s.row.Swell.Given && f.SwellFrom == soil.FromTests {
		j.note("note", s.row.Ref, fmt.Sprintf("%s: the typed swell %s is not used, since tests give %s", name, percent(s.row.Swell.Value), percent(f.Swell)), "")
	}
	if !s.bought && s.known && f.SwellFrom == soil.Unknown && j.inUse(name) {
		j.note("look", s.row.Ref, fmt.Sprintf("%s: the loose volume is not known; it needs loose density tests or a typed swell", name), "")
	}
	for _, d := range []struct {
		state string
		soil.Density
	}{{"bank", f.Bank}, {"loose", f.Loose}, {"fill", f.Fill}} {
		if d.From == soil.FromTests && d.N < fewTests {
			j.noteOf("look", s.row.Ref, "with so few density tests the true mean may well lie some percent away", fmt.Sprintf("%s %s, %d test%s", name, d.state, d.N, plural(d.N)), "common practice")
		}
	}
}

// fewTests is the number of tests below which a mean is called thin (common
// practice; the interval itself is not figured here).
const fewTests = 3

func plural(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}

// densities lists the dry densities of a material's tests in one state. A fill
// test that was tested again is left out: the retest stands for it.
func (j *Job) densities(material, state string) []float64 {
	var out []float64
	for _, t := range j.site.Density {
		if t.Material == material && t.State == state && !j.retested(t.ID) {
			out = append(out, t.DryDensity.Value)
		}
	}
	return out
}

// retested tells whether another test replaces the one of this id.
func (j *Job) retested(id string) bool {
	if id == "" {
		return false
	}
	for _, t := range j.site.Density {
		if t.RetestOf == id {
			return true
		}
	}
	return false
}

func unique(names []string) []string {
	seen := map[string]bool{}
	var out []string
	for _, n := range names {
		if !seen[n] {
			seen[n] = true
			out = append(out, n)
		}
	}
	return out
}

func named(sample string) string {
	if sample == "" {
		return "(no name)"
	}
	return sample
}
