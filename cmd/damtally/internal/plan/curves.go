package plan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// unevenCurve is how far apart the ways of reading a peak may lie before the
// user is asked to look at the lab sheet, relative: a laboratory's own repeat
// tests agree to about 1 % (Look, Handbook of Geotechnical Investigation and
// Design Tables, 2007, table 10.6).
const unevenCurve = 0.01

// noteCurve says what is doubtful of a sample's curve.
func (j *Job) noteCurve(material, sample string, c soil.Curve, at site.Ref) {
	look := func(format string, args ...any) {
		text := fmt.Sprintf("sample %s of %s: ", named(sample), material) + fmt.Sprintf(format, args...)
		j.note("look", at, text, "")
	}
	if !c.Bracketed {
		look("the highest lab point is its driest or wettest, so the true maximum may lie higher; ask the lab for more points")
	}
	if c.N < soil.FewPoints {
		look("its curve rests on %d lab points; ask the lab for at least %d", c.N, soil.FewPoints)
	}
	if c.Peaks > 1 {
		look("its lab points rise and fall %d times; a soil has one peak as a rule, so ask the lab which point is off", c.Peaks)
	}
	if c.DrySpread > unevenCurve*c.MaxDry {
		look("ways of drawing its curve put the maximum up to %s apart; more lab points near the peak would settle it", j.density(c.DrySpread))
	}
}

// oversizeOf is the coarse part that the laboratory screened out of a sample. It
// is false where none is given.
func (j *Job) oversizeOf(m site.Material, sample string, ps *site.Problems) (soil.Oversize, bool) {
	var o soil.Oversize
	var first site.LabPoint
	given := false
	for _, p := range j.site.Proctor {
		if p.Material != m.Name || p.Sample != sample {
			continue
		}
		if p.OversizeGravity.Given {
			o.Gravity = p.OversizeGravity.Value
		}
		if !p.OversizeFraction.Given {
			continue
		}
		if given && p.OversizeFraction.Value != o.Share {
			*ps = append(*ps, site.Problem{
				Ref: p.Ref, Column: "oversize fraction",
				What: fmt.Sprintf("sample %s has %s in row %d and %s here", named(sample), percent(o.Share), first.Ref.Row, percent(p.OversizeFraction.Value)),
				Mend: "the coarse part is that of the whole sample: write the same in each of its rows",
			})
			return o, false
		}
		if !given {
			given, first, o.Share = true, p, p.OversizeFraction.Value
		}
	}
	if given && o.Gravity == 0 {
		o.Gravity = j.stoneGravity(m, first.Ref, o.Share)
	}
	return o, given
}

// usualGravity is taken for stones of which nothing is said: quartz has 2.65 (US
// Army FM 5-472, chapter 2: quartz sand 2.65 to 2.67).
const usualGravity = 2.65

// stoneGravity is the specific gravity of stones where it is not given.
func (j *Job) stoneGravity(m site.Material, at site.Ref, share float64) float64 {
	gravity, from := usualGravity, "quartz"
	if m.SpecificGravity.Given {
		gravity, from = m.SpecificGravity.Value, "the soil's own grains"
	}
	if share > soil.OversizeIgnored {
		j.note("note", at, fmt.Sprintf("%s: the stones' specific gravity is not given, so %.2f is taken, that of %s", m.Name, gravity, from), "US Army FM 5-472, chapter 2")
	}
	return gravity
}

// oversizeSource is the publication behind the correction and its limits.
const oversizeSource = "ASTM D4718; UFC 3-220-20 (2025), equations 3-6 and 3-7; limits of AASHTO T 224"

// correctOversize moves a sample's curve from its finer part to the whole soil.
func (j *Job) correctOversize(m site.Material, s *Sample, at site.Ref, ps *site.Problems) {
	var given bool
	if s.Oversize, given = j.oversizeOf(m, s.Name, ps); !given {
		return
	}
	whole, err := s.Oversize.Correct(s.Fine)
	if err != nil {
		*ps = append(*ps, oversizeProblem(at, err))
		return
	}
	s.Curve = whole
	switch share := s.Oversize.Share; {
	case share <= soil.OversizeIgnored:
	case share > soil.OversizeLimitThreeQuarter:
		j.note("look", at, fmt.Sprintf("sample %s of %s was corrected for %s oversize; that holds for soil screened on the No. 4 sieve only (on the 3/4 in. sieve up to %s)",
			named(s.Name), m.Name, percent(share), percent(soil.OversizeLimitThreeQuarter)), oversizeSource)
	default:
		j.note("note", at, fmt.Sprintf("sample %s of %s was corrected for %s oversize, taken to be dry stone: maximum dry density %s becomes %s, optimum %s becomes %s",
			named(s.Name), m.Name, percent(share), j.density(s.Fine.MaxDry), j.density(whole.MaxDry), percent(s.Fine.Optimum), percent(whole.Optimum)), oversizeSource)
	}
}

func oversizeProblem(at site.Ref, err error) site.Problem {
	return site.Problem{
		Ref: at, Column: "oversize fraction",
		What: strings.TrimPrefix(err.Error(), soil.ErrOversize.Error()+": "),
		Mend: "look at the number and at the header's unit, or have the lab test the soil with its stones",
	}
}

// labFor is the curve that a field test is compared with: that of the sample named,
// with "" the mean of the material's samples; with the stones that the test
// itself holds where it says how many. It is nil without lab points. The error
// wraps soil.ErrOversize.
func (s *soilOf) labFor(t site.DensityTest, sample string) (*soil.Curve, error) {
	whole, fine := s.lab, s.fine
	for i := range s.samples {
		if p := &s.samples[i]; sample != "" && p.Name == sample {
			whole, fine = &p.Curve, &p.Fine
		}
	}
	if !t.OversizeFraction.Given || fine == nil {
		return whole, nil
	}
	c, err := soil.Oversize{Share: t.OversizeFraction.Value, Gravity: s.stoneGravity(sample)}.Correct(*fine)
	return &c, err
}

// stoneGravity is the specific gravity of the stones in a field test: the mean of
// those that the laboratory weighed, of the sample named if any; else the soil's own.
func (s *soilOf) stoneGravity(sample string) float64 {
	weighed, sum := 0, 0.0
	for i := range s.samples {
		p := &s.samples[i]
		if (sample == "" || p.Name == sample) && p.Oversize.Gravity > 0 {
			weighed, sum = weighed+1, sum+p.Oversize.Gravity
		}
	}
	if weighed > 0 {
		return sum / float64(weighed)
	}
	return s.row.SpecificGravity.Or(usualGravity)
}

// hasSample tells whether a sample was read for the material, as required; none named
// will do.
func (s *soilOf) hasSample(name string) bool {
	return name == "" || slices.ContainsFunc(s.samples, func(p Sample) bool { return p.Name == name })
}

// readSingle reads samples of one specimen off the family that the material's
// other samples form (AASHTO T 272).
func (j *Job) readSingle(s *soilOf, single []string, points map[string][]soil.Point, first map[string]site.Ref, ps *site.Problems) {
	if len(single) == 0 {
		return
	}
	var members []soil.Member
	for _, p := range s.samples {
		members = append(members, soil.Member{Name: named(p.Name), Points: points[p.Name], Curve: p.Fine})
	}
	family, err := soil.NewFamily(members)
	for _, sample := range single {
		var c soil.Curve
		at := first[sample]
		why := err
		if err == nil {
			c, why = family.OnePoint(points[sample][0])
		}
		if why != nil {
			problem := noCurve(s.row, sample, at, fmt.Errorf("it has one point, and %w", why))
			problem.Mend = "give at least three points at different water contents, or one from 80 to 100 % of the optimum between the curves of two other samples"
			*ps = append(*ps, problem)
			continue
		}
		j.note("note", at, fmt.Sprintf("sample %s of %s has one point; its maximum dry density %s at %s was read off the family of its other samples",
			named(sample), s.row.Name, j.density(c.MaxDry), percent(c.Optimum)), "AASHTO T 272")
		j.addSample(s, Sample{Name: sample, Curve: c, Fine: c}, at, ps)
	}
}
