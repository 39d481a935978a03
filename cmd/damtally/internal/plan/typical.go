package plan

import (
	"fmt"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// stoodIn says which published typical factors stand in for one soil.
type stoodIn struct{ shrink, swell bool }

// typical puts published typical factors in where the site allows it and no
// typed ones stand. Whether they are used is seen once the factors are worked.
func (j *Job) typical(s *soilOf, in *soil.Input, ps *site.Problems) stoodIn {
	if !s.row.TypicalFactors || s.bought {
		return stoodIn{}
	}
	found, ok := soil.Typical(s.row.SoilClass, s.row.Name)
	if !ok {
		*ps = append(*ps, site.Problem{
			Ref: s.row.Ref, Column: "typical factors",
			What: fmt.Sprintf("no typical factors are known of %s", s.row.Name),
			Mend: "give its `soil class` (such as CL or SM), a name that ends in clay, loam, silt, sand, gravel or rock, or typed factors",
		})
		return stoodIn{}
	}
	use := stoodIn{in.TypedShrink == nil, in.TypedSwell == nil}
	if use.shrink {
		in.TypedShrink = &found.Shrink
	}
	if use.swell {
		in.TypedSwell = &found.Swell
	}
	return use
}

// mark says of factors that they are typical, not typed.
func (u stoodIn) mark(f *soil.Factors) {
	if u.shrink && f.ShrinkFrom == soil.Typed {
		f.ShrinkFrom = soil.Published
	}
	if u.swell && f.SwellFrom == soil.Typed {
		f.SwellFrom = soil.Published
	}
}

// typicalNotes marks, where nobody can miss it, what rests on typical factors.
func (j *Job) typicalNotes(m *Material) []site.Note {
	f := m.Factors
	shrink, swell := f.ShrinkFrom == soil.Published, f.SwellFrom == soil.Published
	if !shrink && !swell {
		return nil
	}
	found, _ := soil.Typical(m.Row.SoilClass, m.Row.Name)
	what := fmt.Sprintf("shrink factor %.2f and swell %s are", f.Shrink, percent(f.Swell))
	switch {
	case !swell:
		what = fmt.Sprintf("shrink factor %.2f is", f.Shrink)
	case !shrink:
		what = fmt.Sprintf("swell %s is", percent(f.Swell))
	}
	return []site.Note{{Level: "danger", Ref: m.Row.Ref, Source: found.Source, Text: fmt.Sprintf(
		"%s: the %s typical of %s, not tested: its bank and loose volumes may be far off; have its density tested before you bid", m.Row.Name, what, found.Soil)}}
}
