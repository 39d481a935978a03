package plan

import (
	"fmt"
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/earthwork/soil"
)

// clayNotes asks about the soils that are to hold the water back, those of a core
// or a blanket.
func (j *Job) clayNotes(r *Result) []site.Note {
	var out []site.Note
	for i := range r.Materials {
		m := &r.Materials[i]
		if m.Bought || !holdsWater(r, m) {
			continue
		}
		q := soil.ClayQuality{
			Class:       m.Row.SoilClass,
			LiquidLimit: m.Row.LiquidLimit.Or(math.NaN()), Plasticity: m.Row.Plasticity.Or(math.NaN()),
			Fines: m.Row.Fines.Or(math.NaN()), Dispersive: m.Row.Dispersive,
		}
		for _, p := range q.Prompts() {
			level := "look"
			if p.Danger {
				level = "danger"
			}
			out = append(out, site.Note{Level: level, Ref: m.Row.Ref, Source: p.Source, Text: fmt.Sprintf("%s is to hold the water back, yet %s", m.Row.Name, p.Text)})
		}
	}
	return out
}

// holdsWater says that the material goes into a core of the design, into a
// lining of the lake bed, or, in a dam without a core, into its shell: then
// nothing else holds the water. A material that no table describes is left out,
// since nothing was said of it at all.
func holdsWater(r *Result, m *Material) bool {
	if len(m.Blankets) > 0 {
		return true
	}
	kind := earthwork.Core
	if !hasCore(r) {
		kind = earthwork.Shell
	}
	for _, s := range m.Shares {
		if s.Compacted > 0 && s.Zone < len(r.Design.Zones) && r.Design.Zones[s.Zone].Kind == kind {
			return kind == earthwork.Core || m.Row.Ref.Row > 0
		}
	}
	return false
}

// hasCore says that the design has a core.
func hasCore(r *Result) bool {
	return slices.ContainsFunc(r.Design.Zones, func(z earthwork.Zone) bool { return z.Kind == earthwork.Core })
}
